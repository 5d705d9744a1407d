package learned_test

import (
	"math"
	"slices"
	"testing"

	"urdir/colour"
	"urdir/dye"
	"urdir/dye/learned"
	"urdir/measure"
)

// Greys about L = 50, where CIEDE2000 is the difference in L (S_L = 1 in Sharma,
// Wu and Dalal 2005): 2, 4 and 6 have the mean 4 and the standard deviation 2.
func TestStudy_recipe(t *testing.T) {
	var obs []learned.Observation
	for i, d := range []float64{2, 6, 4} {
		obs = append(obs, learned.Observation{Recipe: "walnut", Strength: measure.Ratio(i) / 10, Day: dye.Day{Year: 2031, Month: 3 - i, Day: 1},
			Expected: colour.Lab{L: 50 - d/2}, Reached: colour.Lab{L: 50 + d/2}})
	}
	r := study(t, obs).Recipes[0]
	if r.Key != "walnut" || r.Baths != 3 || !near(float64(r.Mean), 4, 1e-9) || !near(float64(r.Spread), 2, 1e-9) {
		t.Errorf("got %+v, want 3 baths, 4 and 2", r)
	}
	if !near(r.Parts.L, 4, 1e-9) || r.Parts.C != 0 || !slices.Equal(r.Ways, []colour.Way{colour.Lighter}) {
		t.Errorf("got %+v %v, want lighter by 4", r.Parts, r.Ways)
	}
	if r.First.Month != 1 || r.Last.Month != 3 || r.Weakest != 0.1 || r.Strongest != 0.2 {
		t.Errorf("from %v to %v, %v to %v", r.First, r.Last, r.Weakest, r.Strongest)
	}
	if r.Verdict != learned.TooFew || r.Least != 0.25 || r.P != 1 { // of 2^3 signs two are as far apart
		t.Errorf("got %+v", r.Chance)
	}
}

func TestStudy_groups(t *testing.T) {
	var obs []learned.Observation
	for i, p := range append(phases, "") {
		o := bath("madder", "", learned.Shift{L: float64(i)})
		o.Moon = p
		o.Plants = [][]string{{"A"}, {"B", "A"}, {"A", "B", "A"}, nil}[i%4]
		obs = append(obs, o)
	}
	r := study(t, obs, learned.MoonHalf, learned.MoonPhase, learned.PlantLots, learned.Water)
	for i, want := range []map[string]int{
		{learned.Waxing: 3, learned.Waning: 3},
		{"new": 1, "waxing-crescent": 1, "first-quarter": 1, "waxing-gibbous": 1, "full": 1, "waning-gibbous": 1, "last-quarter": 1, "waning-crescent": 1},
		{"A": 3, "A + B": 4},
		{}, // of water nothing is known
	} {
		got := map[string]int{}
		for _, g := range r.Factors[i].Groups {
			got[g.Name] = g.Baths
		}
		if len(got) != len(want) {
			t.Errorf("%s: %v, want %v", r.Factors[i].Factor, got, want)
		}
		for name, n := range want {
			if got[name] != n {
				t.Errorf("%s: %v, want %v", r.Factors[i].Factor, got, want)
			}
		}
	}
	if f := r.Factors[1]; f.Verdict != learned.TooFew || !near(f.Least, 1, 1e-9) { // a bath a phase: any order is as far apart
		t.Errorf("%+v", f)
	}
	if f := r.Factors[0]; f.Verdict != learned.TooFew || !near(f.Least, 2.0/20, 1e-9) { // three of six, either way round
		t.Errorf("%+v", f)
	}
}

// Colours all alike are no more than chance; groups that explain all are more, and
// have no F.
func TestStudy_withoutScatter(t *testing.T) {
	same := study(t, plain(map[string][]float64{"rain": {1, 1, 1, 1}, "well": {1, 1, 1, 1}}), learned.Water)
	if f := same.Factors[0]; f.P != 1 || f.Share != 0 || f.Verdict != learned.NoMoreThanChance {
		t.Errorf("%+v", f)
	}
	if r := same.Recipes[0]; r.P != 2.0/256 || r.Verdict != learned.MoreThanChance || r.Spread != 0 {
		t.Errorf("%+v", r)
	}
	apart := study(t, plain(map[string][]float64{"rain": {1, 1, 1, 1}, "well": {2, 2, 2, 2}}), learned.Water).Factors[0]
	if _, ok := apart.F(); ok || apart.Share != 1 || apart.Verdict != learned.MoreThanChance {
		t.Errorf("%+v", apart)
	}
}

// Sixteen baths that all came out too light: their signs are drawn. Of 65 536, two
// are as far from zero, and 9999 draws hold at most a few of them; what happened
// counts once.
func TestStudy_drawn(t *testing.T) {
	var obs []learned.Observation
	for i := range 16 {
		obs = append(obs, bath("madder", "", learned.Shift{L: 1 + float64(i)/16}))
	}
	c := study(t, obs).Recipes[0].Chance
	if c.Exact || c.Tried != 10000 || c.Least != 0.0001 || c.P < 0.0001 || c.P > 0.0005 || c.Verdict != learned.MoreThanChance {
		t.Errorf("%+v", c)
	}
}

// Sixteen recipes, each dyed once in either water, are more arrangements than are
// all tried. In one recipe the waters lie 100 apart, in fifteen 1 apart the other
// way: however each recipe's baths are dealt out, the waters are at least as far
// apart as 100 - 15.
func TestStudy_drawnWithinRecipes(t *testing.T) {
	var obs []learned.Observation
	for i := range 16 {
		apart := -1.0
		if i == 7 {
			apart = 100
		}
		recipe := string(rune('a' + i))
		obs = append(obs, bath(recipe, "rain", learned.Shift{}), bath(recipe, "well", learned.Shift{A: apart}))
	}
	if c := study(t, obs, learned.Water).Factors[0].Chance; c.Exact || c.P != 1 {
		t.Errorf("%+v, want P 1", c)
	}
}

func TestStudy_badInput(t *testing.T) {
	bad := bath("madder", "", learned.Shift{})
	bad.Reached.B = math.NaN()
	dark := bath("madder", "", learned.Shift{L: -46})
	_, ps := learned.Study([]learned.Observation{bad, bath("madder", "", learned.Shift{}), dark})
	if len(ps) != 2 || ps[0].Path != "baths[0].reached" || ps[1].Path != "baths[2].reached" || ps[0].Code != "learned-colour" {
		t.Errorf("got %v", ps)
	}
	if _, ps := learned.Study(make([]learned.Observation, 2001)); len(ps) != 1 || ps[0].Code != "learned-many" {
		t.Errorf("got %v", ps)
	}
	if r := study(t, nil, learned.Water); len(r.Recipes) != 0 || r.Factors[0].Verdict != learned.TooFew {
		t.Errorf("got %+v", r)
	}
}

// The most baths there may be, in a water each or in pairs: an answer all the same.
func BenchmarkStudy(b *testing.B) {
	var obs []learned.Observation
	for i := range 2000 {
		o := bath([]string{"madder", "weld", "walnut", "indigo"}[i%4], string(rune('a'+i%12)), learned.Shift{L: float64(i * i % 17)})
		o.Plants = []string{o.Recipe + string(rune('a'+i/40))}
		o.Moon = phases[i%8]
		obs = append(obs, o)
	}
	for b.Loop() {
		study(b, obs, every...)
	}
}
