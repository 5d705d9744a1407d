package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// bought sends a new supply and gives its page.
func (s *site) bought(v ...string) (address string) {
	s.Helper()
	got := s.post("/supplies/new", "dyer", pairs(v...))
	s.want("buy", got, http.StatusSeeOther)
	address, _, _ = strings.Cut(got.Header().Get("Location"), "?")
	return address
}

// What is typed in one's own words is kept by its key; more is bought into the
// same bag, some spoils, and the page tells all of it.
func TestSupplies_buyAndSpoil(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.bought("what", "Ácido Oxálico", "name", "Polvo para virar", "gathered", "Puerto", "grams", "1.5 kg", "cost", "4,20", "bought", "2027-02-20")
	id := strings.TrimPrefix(at, "/supplies/")
	bag := must(s.house.Supply(ctx, s.people["head"], id))
	if bag.Value.What != "oxalic-acid" || bag.OnShelf != 1500 || len(bag.Purchases) != 1 || bag.Purchases[0].Value.Cost != (workshop.Money{Minor: 420, Currency: "USD"}) {
		t.Fatalf("kept %+v", bag)
	}
	s.want("more", s.post(at+"/buy", "dyer", pairs("grams", "500", "cost", "1.40")), http.StatusSeeOther)
	s.want("more by mistake", s.post(at+"/buy", "dyer", pairs("grams", "5 kg", "cost", "14")), http.StatusSeeOther)
	undo := url.Values{}
	for _, f := range s.page(at, "dyer").mainForms() {
		if f.attr["action"] == at+"/undo" {
			undo = f.fields()
		}
	}
	s.want("undo", s.post(at+"/undo", "dyer", undo), http.StatusSeeOther)
	s.want("undo again", s.post(at+"/undo", "dyer", undo), http.StatusNotFound)
	s.want("spoiled", s.post(at+"/spoil", "dyer", pairs("spoiled", "120")), http.StatusSeeOther)
	undo.Set("purchase", "nada."+undo.Get("purchase"))
	s.want("undo of another bag's", s.post(at+"/undo", "dyer", undo), http.StatusUnprocessableEntity)
	page := s.get(at, "seller").body
	for _, says := range []string{"1,88", "5,60", "H302", "H312", "ácido oxálico", "C2H2O4", "mascarilla", "20 de febrero de 2027"} {
		if !strings.Contains(page, says) {
			t.Errorf("the page does not say %q", says)
		}
	}
	if strings.Contains(page, "<form class=\"sheet\"") {
		t.Error("the seller is offered a form")
	}
	form := recordForm(s.page(at+"/edit", "dyer")).fields()
	if form.Get("what") != "ácido oxálico" {
		t.Errorf("the form shows %q", form.Get("what"))
	}
	form.Set("expires", "2027-03-01") // the day before
	s.want("edit", s.post(at+"/edit", "dyer", form), http.StatusSeeOther)
	if page := s.get("/supplies?state=expired", "dyer").body; !strings.Contains(page, at) {
		t.Error("it is not among what is past its date")
	}
	if faults := must(s.house.CheckBooks(ctx, s.people["head"])); len(faults) > 0 {
		t.Errorf("books: %v", faults)
	}
	s.noFaults()
}

// Heavy metals are taken in, with a warning; liquids are in litres.
func TestSupplies_warnAndMeasure(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := s.bought("what", "copper", "grams", "40")
	if page := s.page(at, "dyer"); len(page.all("ul")) == 0 || !strings.Contains(s.get(at, "dyer").body, "problem-list") {
		t.Error("copper has no warning")
	}
	at = s.bought("what", "Vinagre", "grams", "2 L")
	id := strings.TrimPrefix(at, "/supplies/")
	if bag := must(s.house.Supply(ctx, s.people["head"], id)); bag.OnShelf != 2000 {
		t.Errorf("two litres are %v", bag.OnShelf)
	}
	s.want("spoil", s.post(at+"/spoil", "dyer", pairs("spoiled", "250")), http.StatusSeeOther)
	if page := s.get(at, "dyer").body; !strings.Contains(page, "1,8\u202fL") { // 1.75, to a tenth
		t.Error("what is left of it is not in litres")
	}
	s.noFaults()
}

// The list goes by the page's own words, is narrowed, and says which bag is first:
// the one whose date is nearest, but none past it.
func TestSupplies_list(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	soon := s.bought("what", "Tagetes erecta", "name", "Bolsa de pronto", "grams", "50", "expires", "2027-03-09")
	page := s.get("/supplies?q=cempasuchil", "bookkeeper").body
	if !strings.Contains(page, "Tagetes erecta") || strings.Contains(page, "Dactylopius") {
		t.Error("looking for a name does not find its plant, or finds others")
	}
	bags := s.read("list", s.get("/supplies?q=tagetes", "dyer")).all("td")
	first := ""
	for _, td := range bags {
		for _, a := range td.all("a") {
			if first == "" && strings.HasPrefix(a.attr["href"], "/supplies/") {
				first = a.attr["href"]
			}
		}
	}
	if first != soon {
		t.Errorf("first is %s, want %s", first, soon)
	}
	if page := s.get(soon, "dyer").body; !strings.Contains(page, "ésta se usa primero") {
		t.Error("the bag's own page does not say that it is first")
	}
	for _, e := range must(s.house.Today(ctx, s.people["dyer"])).Errands {
		if e.Where == "supplies" {
			s.want("the errand's page", s.get((&visit{}).Link(e.Where, e.ID), "dyer"), http.StatusOK)
		}
	}
	s.noFaults()
}

// What the dye house says is kept as it is typed, in the page's words.
func TestDyeSettings(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := recordForm(s.page("/settings/dye", "head")).fields()
	form.Set("dye.height", "1500 m")
	form.Set("dye.line", "4,5")
	form.Set("dye.fuel", "gas")
	form.Set("dye.clock", "-4.5")
	form.Set("dye.measures", "Alumbre: cuchara de palo = 11,5 g\njabón suave: taza = 200 mL\n")
	form.Set("dye.reorder", "cal apagada: 2 kg\njabón suave: 1 L\nSpartina alterniflora: 300\n")
	s.want("keep", s.post("/settings/dye", "head", form), http.StatusSeeOther)
	d := must(s.house.Settings(ctx, s.people["head"])).Value.Dye
	if d.Place.Height != 1500 || d.Line != 4500 || d.Place.Fuel.Kind != "gas" || d.Clock != -270 || len(d.Measures) != 2 || d.Measures[0].What != "alum" ||
		d.Measures[0].Mass != 11.5 || d.Measures[1].What != "detergent" || d.Measures[1].Volume != 0.2 ||
		d.Reorder["lime"] != 2000 || d.Reorder["detergent"] != 1000 || d.Reorder["Spartina alterniflora"] != 300 {
		t.Errorf("kept %+v", d)
	}
	// Water boils at 95.0 °C where the standard atmosphere has 845.6 hPa, at 1500 m
	// (ISO 2533:1975 and IAPWS saturation tables).
	if page := s.get("/settings/dye", "head").body; !strings.Contains(page, "95\u202f°C") {
		t.Error("it does not say where water boils")
	}
	if page := s.get("/supplies?state=low", "dyer").body; !strings.Contains(page, "Spartina") {
		t.Error("what there is none of is not low")
	}
	s.noFaults()
}
