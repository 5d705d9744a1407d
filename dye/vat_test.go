package dye_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/measure"
)

func indigo() dye.Vat {
	return dye.Vat{Dye: "indigo", Strength: 50.0 / 15, Stock: []dye.Part{{What: "lime", Parts: 2}, {What: "fructose", Parts: 3}}, Warm: 45, Dips: 5, Dip: 5, Airing: 15}
}

// The published vat: 50 g of indigo, 100 g of lime and 150 g of fructose in 15 L
// (weaveandburrow.com). With 500 g of fibre carrying 1.5 L/kg, 0.75 L, each dip
// takes a twentieth: by hand 50 x (1 - 0.95^5) = 11.31 g, 2.26 % of the fibre,
// within the published 2 to 3 % of a medium blue (botanicalcolors.com).
func TestVat(t *testing.T) {
	p := indigo().Make(15, 500)
	near(t, "indigo", float64(p.Dye), 50, 1e-9)
	near(t, "lime", float64(p.Stock[0].Mass), 100, 1e-9)
	near(t, "fructose", float64(p.Stock[1].Mass), 150, 1e-9)
	near(t, "taken", float64(p.Taken), 50*(1-math.Pow(0.95, 5)), 1e-9)
	near(t, "share", float64(p.Share), 0.0226, 0.0001)
	near(t, "left", float64(p.Left), 10.0/3*math.Pow(0.95, 5), 1e-9)
	near(t, "time", float64(p.Time), 100, 0)
}

// What is taken and what is left are what there was; a vat only grows weaker;
// and the number of dips for a share is the least that gives it.
func TestVat_exhausts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := indigo()
		v.Strength = measure.PerLitre(rapid.Float64Range(0.5, 10).Draw(t, "strength"))
		v.Dips = rapid.IntRange(1, 40).Draw(t, "dips")
		bath := measure.Litre(rapid.Float64Range(5, 100).Draw(t, "bath"))
		m := measure.Gram(rapid.Float64Range(50, 3000).Draw(t, "fibre"))
		p := v.Make(bath, m)
		if all := float64(p.Taken) + float64(p.Left)*float64(bath); math.Abs(all-float64(p.Dye)) > 1e-6*float64(p.Dye) {
			t.Fatalf("%v g of %v g", all, p.Dye)
		}
		before := v.Strength
		for _, c := range p.After {
			if c < 0 || c > before {
				t.Fatalf("%v g/L after %v", c, before)
			}
			before = c
		}
		want := measure.Ratio(rapid.Float64Range(0.001, 0.05).Draw(t, "share"))
		if n := v.DipsFor(want, bath, m); n > 0 && n < 1000 {
			v.Dips = n
			if v.Make(bath, m).Share < want*(1-1e-6) {
				t.Fatalf("%d dips give too little", n)
			}
			if v.Dips = n - 1; n > 1 && v.Make(bath, m).Share > want*(1+1e-6) {
				t.Fatalf("%d dips would do", n-1)
			}
		} else if n == 0 && float64(want)*float64(m) < float64(p.Dye)*(1-1e-9) {
			t.Fatal("said to be too much for the vat")
		}
	})
}

func TestMake_vat(t *testing.T) {
	v := indigo()
	v.Strength, v.Dips = 1, 20
	r := dye.Recipe{Fibre: dye.Cellulose, Liquor: 20, Materials: []dye.Material{{Key: "indigo", Latin: "Indigofera suffruticosa"}},
		Steps: []dye.Step{{Kind: dye.Dip, Work: 40, Vat: &v}}}
	b, ps := dye.Make(r, order(1000, dye.Pot{Litres: 40}))
	if len(ps) != 1 || ps[0].Code != "dye-vat-weak" {
		t.Errorf("of a vat dipped until it is spent: %v", ps)
	}
	if got := fmt.Sprint(b.Amounts); got != "[{indigo 20 0} {lime 40 0} {fructose 60 0}]" {
		t.Errorf("amounts %s", got)
	}
	near(t, "hands: vat, dips and airing", float64(b.Work), 40+20*20, 1e-9)
	near(t, "warmed to", float64(b.Steps[0].Hottest), 45, 0)
	if b.Steps[0].Waste != dye.Neutralise {
		t.Errorf("a lime vat goes to %s", b.Steps[0].Waste)
	}
}
