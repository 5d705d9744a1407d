package web

import (
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

const shadesOf = "/recipes/" + ownRecipe + "/shades"

// The samples of a recipe are shown with the series they make; a wish that is
// one of them gets about its strength, with a range around it.
func TestShades_wish(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get(shadesOf+"?wish="+url.QueryEscape("50, 32, 26"), "seller")
	s.want("shades", got, http.StatusOK)
	m := regexp.MustCompile(`class="answer">([0-9,]+)\x{202f}% [^;]*; de ([0-9,]+)\x{202f}% a ([0-9,]+)\x{202f}%`).FindStringSubmatch(got.body)
	if m == nil {
		t.Fatal("no strength on the page")
	}
	sh := must(s.house.Shade(ctx, s.people["head"], ownRecipe)).Shade
	w, ps := sh.Strength(colour.Reading{Colour: colour.Lab{L: 50, A: 32, B: 26}})
	low, high, _ := w.Within(0.95)
	es := must(lang.For("es"))
	for i, want := range []float64{float64(w.Amount), float64(low), float64(high)} {
		if m[i+1] != es.Num(100*want, 1) {
			t.Errorf("%q, want %s", m[i+1], es.Num(100*want, 1))
		}
	}
	if w.Amount < 0.15 || w.Amount > 0.4 {
		t.Errorf("%v for the colour of the sample of 25 %%", w.Amount)
	}
	for _, p := range ps {
		what, _ := es.Problem(p)
		s.says(p.Code, got, what)
	}
	for wish, code := range map[string]string{"55, -20, 25": "shade-other-hue", "20, 5, -40": "shade-too-strong", "99, 0, 0": "shade-too-pale", "nada": "", "140, 0, 0": ""} {
		got := s.get(shadesOf+"?wish="+url.QueryEscape(wish), "seller")
		if s.want(wish, got, http.StatusOK); code == "" {
			s.beside(wish, s.read(wish, got), "wish")
			continue
		}
		_, mend := es.Problem(check.Problem{Code: code})
		s.says(wish, got, mend)
	}
	s.noFaults()
}

// A new sample comes with its strength and its colour, by photo as well; what
// cannot be is refused; it can be taken away again.
func TestShades_sample(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := shadesOf + "/new"
	yarn := colour.Lab{L: 46, A: 34, B: 27}
	fields := pairs("strength", "33", "day", "2027-02-01", "note", "de la otra raíz")
	got := s.sendScene(page, "dyer", scene{yarn: yarn, light: daylight, side: 640, card: true}.photograph(), fields)
	s.want("photo", got, http.StatusSeeOther)
	at := must(url.Parse(got.Header().Get("Location")))
	q := at.Query()
	maps.Copy(q, marks())
	for _, f := range s.page(page+"?"+q.Encode(), "dyer").mainForms() {
		if f.fields().Get("how") == "photo" {
			s.want("keep", s.post(page, "dyer", f.fields()), http.StatusSeeOther)
		}
	}
	var kept workshop.Kept[workshop.Sample]
	for _, k := range must(s.house.Shade(ctx, s.people["dyer"], ownRecipe)).Samples {
		if k.Value.Note == "de la otra raíz" {
			kept = k
		}
	}
	if v := kept.Value; v.Strength != 0.33 || v.Day != "2027-02-01" || v.How != "photo" || colour.Difference(v.Colour, yarn) > 0.5 {
		t.Errorf("kept %+v", v)
	}
	for _, bad := range []string{"900", "-1", "mucho"} {
		got := s.post(page, "dyer", pairs("strength", bad, "how", "typed", "lab", "50, 0, 0"))
		s.want(bad, got, http.StatusUnprocessableEntity)
		if text := s.read(bad, got).text; strings.Contains(text, "[") {
			t.Errorf("%s: words are missing", bad)
		}
	}
	for _, f := range s.page(shadesOf, "dyer").mainForms() {
		if f.attr["action"] == "/samples/"+kept.ID+"/drop" {
			s.want("take away", s.post(f.attr["action"], "dyer", f.fields()), http.StatusSeeOther)
		}
	}
	if strings.Contains(s.get(shadesOf, "dyer").body, "de la otra raíz") {
		t.Error("it is still there")
	}
	s.noFaults()
}

// One recipe over another: shown with both alone; of recipes for other fibres it
// is said that they do not go together.
func TestShades_over(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	es := must(lang.For("es"))
	got := s.get(shadesOf+"?over=indigo-wool&first=25", "seller")
	s.want("over", got, http.StatusOK)
	s.says("over", got, es.T("over-both", nil))
	s.says("over", got, es.T("over-guess", nil)) // indigo has no samples
	for query, field := range map[string]string{"over=dragon": "over", "over=indigo-wool&first=mucho": "first", "over=indigo-wool&second=9000": "second"} {
		root := s.page(shadesOf+"?"+query, "seller")
		s.beside(query, root, field)
		if strings.Contains(root.text, es.T("over-both", nil)) {
			t.Errorf("%s: shown all the same", query)
		}
	}
	s.want("of cotton over wool", s.get(shadesOf+"?over=indigo-cotton", "seller"), http.StatusOK)
	s.want("no such recipe", s.get("/recipes/dragon/shades", "seller"), http.StatusNotFound)
	s.noFaults()
}
