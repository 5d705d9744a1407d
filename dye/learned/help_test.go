package learned_test

import (
	"math"

	"urdir/colour"
	"urdir/dye/learned"
)

// tester is a test, be it of testing or of rapid.
type tester interface {
	Helper()
	Fatal(args ...any)
}

// study is Study of what must be right.
func study(t tester, obs []learned.Observation, factors ...learned.Factor) learned.Report {
	t.Helper()
	r, ps := learned.Study(obs, factors...)
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return r
}

// plain is baths of one recipe whose lightness alone was off, in waters named after
// the keys.
func plain(groups map[string][]float64) (obs []learned.Observation) {
	for water, offsets := range groups {
		for _, l := range offsets {
			obs = append(obs, bath("madder", water, learned.Shift{L: l}))
		}
	}
	return obs
}

// bath is a bath of a middle red that came out off by a shift.
func bath(recipe, water string, off learned.Shift) learned.Observation {
	meant := colour.Lab{L: 45, A: 40, B: 25}
	return learned.Observation{Recipe: recipe, Water: water, Expected: meant, Reached: colour.Lab{L: meant.L + off.L, A: meant.A + off.A, B: meant.B + off.B}}
}

// near is whether two numbers are no farther apart than by.
func near(a, b, by float64) bool { return math.Abs(a-b) <= by }
