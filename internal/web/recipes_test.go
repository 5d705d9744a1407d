package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"urdir/internal/lang"
)

// The list is narrowed by class of fibre, and found by name in the page's
// language, by colour and by botanical name, with or without accents.
func TestRecipes_list(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for query, want := range map[string]string{"?q=tagetes": "marigold-cotton marigold-wool", "?q=Cempas%C3%BAchil&state=protein": "marigold-wool",
		"?q=cempasuchil+algodon": "marigold-cotton", "?q=dragon": "", "?state=protein&q=rubia": "madder-wool"} {
		var got []string
		for _, a := range s.page("/recipes"+query, "head").all("a") {
			if key, ok := strings.CutPrefix(a.attr["href"], "/recipes/"); ok && key != "new" {
				got = append(got, key)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: got %q, want %q", query, got, want)
		}
	}
	if first := s.page("/recipes", "head").all("ul"); !strings.Contains(first[len(first)-1].kids[0].text, "propia") {
		t.Error("the workshop's own recipe is not first")
	}
	s.noFaults()
}

// What is shown is the recipe for the mass asked for. By hand: of 2400 g of
// cotton, 15 % alum are 360 g and 50 % madder 1.2 kg; 2400 g at 30 L/kg are 72 L, which
// two pots of 60 L filled to 80 % take in two baths of 180 g and 600 g.
func TestRecipe_forALot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get("/recipes/madder-cotton?mass=2400&litres=60", "head")
	s.want("recipe", got, http.StatusOK)
	for _, text := range []string{"Rubia tinctorum", "alumbre", "360", "180", "1,2", "600", "theperfectpigment.com", "H319", "CLP Annex VI", "usual de 35"} {
		if !strings.Contains(got.body, text) {
			t.Errorf("%q is not on the page", text)
		}
	}
	s.says("recipe", got, must(lang.For("es")).T("dye-waste-law", nil))
	sheet := s.get("/recipes/madder-cotton/sheet.pdf?mass=2400&litres=60", "head")
	s.want("sheet", sheet, http.StatusOK)
	if sheet.Header().Get("Content-Type") != "application/pdf" || !strings.HasPrefix(sheet.body, "%PDF-") {
		t.Error("the sheet is no PDF")
	}
	s.noFaults()
}

// A lot that cannot be is explained beside its field; the recipe stays readable,
// and there is no sheet of it.
func TestRecipe_badLot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for query, field := range map[string]string{"mass=0&litres=60": "mass", "mass=mucho&litres=60": "mass", "mass=-5&litres=60": "mass", "mass=1e9&litres=60": "mass",
		"mass=1000&litres=nada": "litres", "mass=1000&litres=60&skein=2,5,5": "skein"} {
		root := s.page("/recipes/madder-cotton?"+query, "head")
		if s.beside(query, root, field); !strings.Contains(root.text, "Rubia tinctorum") {
			t.Errorf("%s: the recipe is gone", query)
		}
		if f := root.field(field); f.holds() != must(url.ParseQuery(query)).Get(field) {
			t.Errorf("%s: the field holds %q", query, f.holds())
		}
		s.want(query+": sheet", s.get("/recipes/madder-cotton/sheet.pdf?"+query, "head"), http.StatusUnprocessableEntity)
	}
	for _, query := range []string{"mass=1000", "mass=5000&litres=2&skein=100"} { // no pot; one too small for a skein
		if got := s.get("/recipes/madder-cotton?"+query, "head"); !strings.Contains(got.body, `id="w-pot"`) {
			t.Errorf("%s: nothing is said of the pots", query)
		}
	}
	s.noFaults()
}

// A recipe with errors is refused with the line of each; what was typed stays.
func TestRecipe_errorsByLine(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	text := "recipe: 1\nname: Mío\nfibre: cellulose\nliquor: 30 L/kg\nsteps:\n  - kind: dye\n    amounts:\n      - {what: dragon, amount: 20 %}\n    heat: [{to: 140 °C, hold: 60 min}]\n    work: -5 min\n"
	got := s.post("/recipes/new", "dyer", pairs("text", text))
	s.want("refused", got, http.StatusUnprocessableEntity)
	for _, line := range []string{"8", "9", "10"} {
		s.says("line "+line, got, must(lang.For("es")).T("line-n", map[string]any{"n": line}))
	}
	root := s.read("refused", got)
	if s.beside("refused", root, "text"); root.field("text").holds() != text {
		t.Errorf("holds %q", root.field("text").holds())
	}
	good := strings.NewReplacer("dragon", "alum", "140 °C", "80 °C", "-5 min", "5 min").Replace(text)
	got = s.post("/recipes/new", "dyer", pairs("text", strings.ReplaceAll(good, "\n", "\r\n")))
	s.want("mended", got, http.StatusSeeOther)
	if at := got.Header().Get("Location"); at != "/recipes/mio?done=saved" {
		t.Errorf("kept at %q", at)
	}
	s.want("its page", s.get("/recipes/mio", "seller"), http.StatusOK)
	s.noFaults()
}

// A shipped recipe that is changed is the workshop's; it can be taken away, put
// back, and changed no further from an old page.
func TestRecipe_ownVersion(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const key = "weld-cotton"
	form := recordForm(s.page("/recipes/"+key+"/edit", "dyer")).fields()
	form.Set("text", strings.Replace(form.Get("text"), "fibre:", "# ours\nfibre:", 1))
	s.want("keep", s.post("/recipes/"+key+"/edit", "dyer", form), http.StatusSeeOther)
	s.want("keep from an old page", s.post("/recipes/"+key+"/edit", "dyer", form), http.StatusConflict)
	own := must(s.house.Recipe(ctx, s.people["dyer"], key))
	if !own.Own || !own.Shipped || !strings.Contains(own.Text, "# ours") {
		t.Fatalf("own %v, shipped %v", own.Own, own.Shipped)
	}
	s.want("a seller may not", s.post("/recipes/"+key+"/drop", "seller", pairs("revision", "1")), http.StatusForbidden)
	got := s.post("/recipes/"+key+"/drop", "dyer", pairs("revision", "1"))
	s.want("drop", got, http.StatusSeeOther)
	if r := must(s.house.Recipe(ctx, s.people["dyer"], key)); r.Own {
		t.Error("still the workshop's")
	}
	for _, f := range s.page(got.Header().Get("Location"), "dyer").mainForms() {
		if f.attr["action"] == "/restore/recipe/"+key {
			s.want("put back", s.post(f.attr["action"], "dyer", f.fields()), http.StatusSeeOther)
		}
	}
	if r := must(s.house.Recipe(ctx, s.people["dyer"], key)); !r.Own || r.Text != own.Text {
		t.Error("not put back")
	}
	s.noFaults()
}

// A recipe with a poisonous heavy metal is kept, and says so on its page.
func TestRecipe_heavyMetal(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, metal := range []string{"copper", "tin", "chrome"} {
		text := "recipe: 1\nname: con " + metal + "\nfibre: protein\nliquor: 30 L/kg\nsteps:\n  - kind: mordant\n    amounts:\n      - {what: " + metal + ", amount: 2 %, source: de memoria}\n"
		got := s.post("/recipes/new", "dyer", pairs("text", text))
		s.want(metal, got, http.StatusSeeOther)
		page := s.get(got.Header().Get("Location"), "dyer")
		what, _ := must(lang.For("es")).Problem(problemOf("dye-heavy-metal", metal))
		s.says(metal, page, what)
		s.says(metal, page, must(lang.For("es")).T("hazard-heavy-metal", nil))
	}
	s.noFaults()
}
