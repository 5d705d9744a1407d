package dye_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/check"
	"urdir/dye"
	"urdir/measure"
)

func told(ps check.Problems) (out []string) {
	for _, p := range ps {
		s := p.Path + " " + p.Code
		if p.Severity == check.Caution {
			s += " (caution)"
		}
		out = append(out, s)
	}
	return out
}

// Each fault alone, with where it is.
func TestCheck(t *testing.T) {
	for want, spoil := range map[string]func(*dye.Recipe){
		"fibre dye-fibre":                                    func(r *dye.Recipe) { r.Fibre = "glass" },
		"liquor out-of-range":                                func(r *dye.Recipe) { r.Liquor = 0 },
		"left out-of-range":                                  func(r *dye.Recipe) { r.Left = 1 },
		"steps dye-steps":                                    func(r *dye.Recipe) { r.Steps = nil },
		"steps[1].kind dye-kind":                             func(r *dye.Recipe) { r.Steps[1].Kind = "boil" },
		"steps[1].liquor out-of-range":                       func(r *dye.Recipe) { r.Steps[1].Liquor = 1 },
		"steps[0].same-bath dye-same-bath":                   func(r *dye.Recipe) { r.Steps[0].Same = true },
		"steps[5].same-bath dye-same-bath":                   func(r *dye.Recipe) { r.Steps[5].Same = true },
		"steps[4].waters out-of-range":                       func(r *dye.Recipe) { r.Steps[4].Times = 11 },
		"steps[1].work dye-time":                             func(r *dye.Recipe) { r.Steps[1].Work = -5 },
		"steps[1].stand dye-time":                            func(r *dye.Recipe) { r.Steps[1].Stand = -1 },
		"steps[1].wait dye-time":                             func(r *dye.Recipe) { r.Steps[1].Wait = 100 * measure.Day },
		"steps[1].heat[0].hold dye-time":                     func(r *dye.Recipe) { r.Steps[1].Heat[0].Hold = -1 },
		"steps[1].heat[0].rate out-of-range":                 func(r *dye.Recipe) { r.Steps[1].Heat[0].Rate = 11 },
		"steps[1].heat[0].from out-of-range":                 func(r *dye.Recipe) { r.Steps[1].Heat[0].From = -1 },
		"steps[1].heat[0].to dye-above-boiling":              func(r *dye.Recipe) { r.Steps[1].Heat[0].To = 101 },
		"steps[1].amounts[0].what dye-what":                  func(r *dye.Recipe) { r.Steps[1].Amounts[0].What = "allum" },
		"steps[1].amounts[0] dye-amount-none":                func(r *dye.Recipe) { r.Steps[1].Amounts[0].Share = 0 },
		"steps[1].amounts[0] dye-amount-twice":               func(r *dye.Recipe) { r.Steps[1].Amounts[0].PerLitre = 1 },
		"steps[1].amounts[0].amount dye-share":               func(r *dye.Recipe) { r.Steps[1].Amounts[0].Share = 3 },
		"steps[2].amounts[0].amount dye-share":               func(r *dye.Recipe) { r.Steps[2].Amounts[0].Share = 3 },
		"steps[3].amounts[0].amount out-of-range":            func(r *dye.Recipe) { r.Steps[3].Amounts[0].PerLitre = -1 },
		"steps[0].amounts[1].amount out-of-range":            func(r *dye.Recipe) { r.Steps[0].Amounts[1].MLPerKG = 3000 },
		"steps[1].amounts[0].low dye-range":                  func(r *dye.Recipe) { r.Steps[1].Amounts[0].Low = 0.2; r.Steps[1].Amounts[0].High = 0.1 },
		"steps[1].amounts[0].what dye-heavy-metal (caution)": func(r *dye.Recipe) { r.Steps[1].Amounts[0].What = "copper" },
		"steps[1].amounts[0].amount dye-iron-much (caution)": func(r *dye.Recipe) { r.Steps[1].Amounts[0].What = "iron" },
		"steps[5] dye-no-bath":                               func(r *dye.Recipe) { r.Steps[5].Amounts = r.Steps[1].Amounts },
		"steps[1].vat dye-vat-elsewhere":                     func(r *dye.Recipe) { r.Steps[1].Vat = &dye.Vat{} },
		"steps[1].vat dye-vat-missing":                       func(r *dye.Recipe) { r.Steps[1].Kind = dye.Dip },
	} {
		r := madder()
		spoil(&r)
		if diff := cmp.Diff([]string{want}, told(dye.Check(r, 0))); diff != "" {
			t.Errorf("%s: (-want +got)\n%s", want, diff)
		}
	}
	if ps := dye.Check(madder(), 0); len(ps) > 0 {
		t.Errorf("a good recipe: %v", ps)
	}
}

// 300 % is too much dried and usual fresh (references say 200 to 500 % of fresh
// leaves, from memory).
func TestCheck_fresh(t *testing.T) {
	r := madder()
	r.Steps[2].Amounts[0].Share = 3
	r.Materials[0].Fresh = true
	if ps := dye.Check(r, 0); len(ps) > 0 {
		t.Error(ps)
	}
}

func TestCheck_vat(t *testing.T) {
	r := madder()
	r.Steps = []dye.Step{{Kind: dye.Dip, Vat: &dye.Vat{Dye: "woad", Strength: 0, Dips: 0, Dip: -1, Airing: -1, Warm: 120, Pickup: 9,
		Stock: []dye.Part{{What: "chrome", Parts: 0}}}}}
	want := []string{"steps[0].vat.dye dye-what", "steps[0].vat.strength out-of-range", "steps[0].vat.dips out-of-range", "steps[0].vat.dip dye-time",
		"steps[0].vat.airing dye-time", "steps[0].vat.warm dye-above-boiling", "steps[0].vat.pickup out-of-range",
		"steps[0].vat.stock[0].what dye-heavy-metal (caution)", "steps[0].vat.stock[0].parts out-of-range"}
	if diff := cmp.Diff(want, told(dye.Check(r, 0))); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// 95 °C is a simmer by the sea and above boiling at 2000 m, where water boils at
// 93.3 °C (see TestBoilingPoint); the problem says so.
func TestCheck_altitude(t *testing.T) {
	r := madder()
	r.Steps[1].Heat[0].To = 95
	if ps := dye.Check(r, 0); len(ps) > 0 {
		t.Errorf("by the sea: %v", ps)
	}
	ps := dye.Check(r, 2000)
	if len(ps) != 1 || ps[0].Code != "dye-above-boiling" {
		t.Fatalf("at 2000 m: %v", ps)
	}
	near(t, "told boiling point", float64(ps[0].Args["boils"].(measure.Celsius)), 93.3, 0.1)
}

// What is wrong with recipe, lot, pots and place comes at once.
func TestMake_allProblems(t *testing.T) {
	r := madder()
	r.Steps[1].Work = -5
	o := dye.Order{Fibre: dye.Protein, Mass: -1, Skein: -1, Pots: []dye.Pot{{Litres: 0}}, Place: dye.Place{Height: 9000, Room: dye.Room{Air: 90, Humidity: 2},
		Fuel: dye.Fuel{Kind: "dung", Moisture: 0.9, Stove: 2}}}
	_, ps := dye.Make(r, o)
	want := []string{"steps[0].heat[0].to dye-above-boiling", "steps[1].work dye-time", "order.fibre dye-for-cellulose", "order.height out-of-range", "order.water out-of-range",
		"order.air out-of-range", "order.humidity out-of-range", "order.fuel dye-fuel", "order.moisture out-of-range", "order.stove out-of-range", "order.pots[0] dye-pot", "order.mass dye-mass", "order.skein dye-mass"}
	if diff := cmp.Diff(want, told(ps)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// A pot too small for one skein is an error; damp air a caution.
func TestMake_skeinAndDamp(t *testing.T) {
	o := order(800, dye.Pot{Litres: 10})
	o.Skein = 400
	if _, ps := dye.Make(madder(), o); fmt.Sprint(told(ps)) != "[order.pots dye-skein-too-big]" {
		t.Errorf("%v", ps)
	}
	o = order(800, dye.Pot{Litres: 40})
	o.Place.Humidity = 0.99
	if _, ps := dye.Make(madder(), o); fmt.Sprint(told(ps)) != "[order.humidity dye-damp (caution)]" {
		t.Errorf("%v", ps)
	}
}

func TestFibreOf(t *testing.T) {
	for name, want := range map[string]dye.Fibre{"cotton": dye.Cellulose, "agave": dye.Cellulose, "wool": dye.Protein, "silk": dye.Protein, "acrylic": "", "": ""} {
		if got, ok := dye.FibreOf(name); got != want || ok != (want != "") {
			t.Errorf("%s is %q, %v", name, got, ok)
		}
	}
}
