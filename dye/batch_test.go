package dye_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/measure"
)

// madder is a recipe with a step of every sort but a vat.
func madder() dye.Recipe {
	return dye.Recipe{Key: "madder", Fibre: dye.Cellulose, Liquor: 30, Left: 0.5, Sample: true,
		Materials: []dye.Material{{Key: "root", Latin: "Rubia tinctorum"}},
		Steps: []dye.Step{
			{Kind: dye.Scour, Amounts: []dye.Amount{{What: "soda-ash", Share: 0.044}, {What: "detergent", MLPerKG: 22}}, Heat: []dye.Segment{{To: 90, Hold: 60}}, Work: 20},
			{Kind: dye.Mordant, Amounts: []dye.Amount{{What: "alum", Share: 0.15}, {What: "soda-ash", Share: 0.02}}, Heat: []dye.Segment{{To: 55, Hold: 90}}, Work: 20, Stand: 720},
			{Kind: dye.Extract, NextDay: true, Amounts: []dye.Amount{{What: "root", Share: 0.5}}, Heat: []dye.Segment{{To: 65, Hold: 60}}},
			{Kind: dye.Dye, Same: true, Amounts: []dye.Amount{{What: "chalk", PerLitre: 0.5}}, Heat: []dye.Segment{{To: 65, Hold: 60}}, Work: 25, Stand: 60},
			{Kind: dye.Rinse, Liquor: 20, Times: 2, Work: 15},
			{Kind: dye.Dry, Work: 20},
		}}
}

func order(mass measure.Gram, pots ...dye.Pot) dye.Order {
	return dye.Order{Mass: mass, Pots: pots, Place: dye.NewPlace()}
}

// By hand, 800 g in a pot of 40 L: amounts as in the recipe's per cents, four
// fresh baths of 24, 24, 24 and 2 x 16 L, 20 mL/kg x 0.8 kg of soap, 0.5 g/L in
// 24 L of chalk. The worked sums published (botanicalcolors.com: 150 g at 10 %
// is 15 g, at 25 % 37.5 g) go the same way.
func TestMake(t *testing.T) {
	b, ps := dye.Make(madder(), order(800, dye.Pot{Litres: 40}))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	near(t, "water", float64(b.Water), 24*3+2*16, 1e-9)
	want := []dye.Weighed{{What: "soda-ash", Mass: 35.2 + 16}, {What: "detergent", Volume: 0.0176}, {What: "alum", Mass: 120},
		{What: "root", Mass: 400}, {What: "chalk", Mass: 12}}
	if diff := cmp.Diff(want, b.Amounts, cmp.Comparer(func(a, b measure.Gram) bool { return a-b < 1e-9 && b-a < 1e-9 }),
		cmp.Comparer(func(a, b measure.Litre) bool { return a-b < 1e-9 && b-a < 1e-9 })); diff != "" {
		t.Errorf("amounts (-want +got)\n%s", diff)
	}
	near(t, "work", float64(b.Work), 20+20+25+15+20, 1e-9)
	near(t, "standing", float64(b.Stand), 780, 1e-9)
	near(t, "days", float64(b.Days), 2, 0)
	heat := dye.NewPlace().Warm(24, 800, dye.Cellulose, 20, []dye.Segment{{To: 90, Hold: 60}}).Heat
	near(t, "heat of the scour", float64(b.Steps[0].Heat), float64(heat), 1e-9)
	near(t, "its fuel", float64(b.Steps[0].Fuel), float64(dye.Fuel{}.For(heat)), 1e-9)
	sum := measure.KJ(0)
	for _, s := range b.Steps {
		sum += s.Heat
	}
	near(t, "heat", float64(b.Heat), float64(sum), 1e-6)
	near(t, "line", float64(b.Drying.Line), 1600, 1e-9)
	// The dye bath is the extract's, still at 65 °C: only what is lost is heated.
	lost := dye.NewPlace().Loss(24, 65).For(60)
	near(t, "heat in the same bath", float64(b.Steps[3].Heat), float64(lost), 1e-9)
	if got := fmt.Sprintf("%v %s %s", b.Steps[1].Hazards, b.Steps[1].Waste, b.Steps[4].Waste); got != "[never-food apart alkali hot-bath steam smoke lifting dust alum slippery] reuse drain" {
		t.Errorf("cautions of the mordant: %s", got)
	}
}

// 2.1 kg in 21 skeins are three baths of 700 g: each takes a third, and two
// rounds in two pots take the fire twice.
func TestMake_baths(t *testing.T) {
	o := order(2100, dye.Pot{Litres: 40}, dye.Pot{Litres: 38})
	o.Skein = 100
	b, ps := dye.Make(madder(), o)
	if len(ps) > 0 || b.Division.Baths != 3 || b.Division.Rounds != 2 {
		t.Fatalf("%+v, %v", b.Division, ps)
	}
	mordant := b.Steps[1]
	near(t, "alum of a bath", float64(mordant.Portions[0].Amounts[0].Mass), 105, 1e-9)
	near(t, "alum of all", float64(b.Amounts[2].Mass), 315, 1e-9)
	near(t, "hands", float64(mordant.Work), 60, 1e-9)
	near(t, "fire", float64(mordant.Fire), 2*(35/1.5+90), 1e-9)
	near(t, "heat", float64(mordant.Heat), 3*float64(mordant.Portions[0].Heat), 1e-6)
}

// However a lot is shared out, what goes into its baths is the recipe's share of
// its fibre, and no pot is overfilled.
func TestMake_amountsAreShares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := order(measure.Gram(rapid.IntRange(50, 20_000).Draw(t, "lot")), dye.Pot{Litres: measure.Litre(rapid.IntRange(10, 120).Draw(t, "pot"))})
		o.Skein = measure.Gram(rapid.IntRange(0, 150).Draw(t, "skein"))
		b, ps := dye.Make(madder(), o)
		if ps.Failed() {
			t.Fatal(ps)
		}
		for what, share := range map[string]float64{"alum": 0.15, "root": 0.5} {
			for _, a := range b.Amounts {
				if want := float64(o.Mass) * share; a.What == what && (float64(a.Mass)-want > 1e-6 || want-float64(a.Mass) > 1e-6) {
					t.Fatalf("%s: %v g, want %v", what, a.Mass, want)
				}
			}
		}
		for _, s := range b.Steps {
			for _, q := range s.Portions {
				if q.Bath > o.Pots[0].Holds()*(1+1e-9) {
					t.Fatalf("a bath of %v L in a pot for %v", q.Bath, o.Pots[0].Holds())
				}
			}
		}
	})
}

// Nothing of a recipe is changed by making it, and the same gives the same.
func TestMake_pure(t *testing.T) {
	r := madder()
	a, _ := dye.Make(r, order(800, dye.Pot{Litres: 40}))
	b, _ := dye.Make(r, order(800, dye.Pot{Litres: 40}))
	if diff := cmp.Diff(a, b); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(madder(), r); diff != "" {
		t.Error(diff)
	}
}

// A bath that stood overnight is as cold as the air; one that stood an hour is
// as hot as it was.
func TestMake_coolsOvernight(t *testing.T) {
	r := madder()
	r.Steps[2].Stand = 720
	b, _ := dye.Make(r, order(800, dye.Pot{Litres: 40}))
	p := dye.NewPlace()
	near(t, "heat", float64(b.Steps[3].Heat), float64(p.Warm(24, 800, dye.Cellulose, p.Air, []dye.Segment{{To: 65, Hold: 60}}).Heat), 1e-9)
}

func BenchmarkMake(b *testing.B) {
	r, o := madder(), order(2100, dye.Pot{Litres: 40})
	b.ReportAllocs()
	for b.Loop() {
		dye.Make(r, o)
	}
}

func ExampleMake() {
	r := dye.Recipe{Fibre: dye.Cellulose, Liquor: 30, Steps: []dye.Step{
		{Kind: dye.Mordant, Amounts: []dye.Amount{{What: "alum", Share: 0.15}}, Heat: []dye.Segment{{To: 55, Hold: 90}}}}}
	b, ps := dye.Make(r, dye.Order{Mass: 800, Pots: []dye.Pot{{Litres: 40}}, Place: dye.NewPlace()})
	fmt.Println(ps.Err(), b.Division.Baths, b.Water, b.Amounts[0].Mass)
	// Output: <nil> 1 24 120
}
