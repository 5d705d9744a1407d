package lots_test

import (
	"fmt"
	"math/rand/v2"

	"urdir/dye/lots"
	"urdir/measure"
)

// season is a large workshop's open orders: wants over 60 days in 12 recipes of
// three strengths, and four pots. The masses are invented.
func season(wants int, seed uint64) lots.Work {
	c := rand.New(rand.NewPCG(seed, 1))
	w := lots.Work{Line: 12000}
	for i, litres := range []measure.Litre{30, 45, 60, 100} {
		w.Pots = append(w.Pots, lots.Pot{Key: fmt.Sprint("pot ", i+1), Litres: litres, Fill: 0.8})
	}
	for d := 6; d < 200; d += 7 {
		w.Closed = append(w.Closed, d)
	}
	for i := range 12 {
		r := lots.Recipe{Key: fmt.Sprint("recipe ", i+1), Liquor: 20, Dry: 1 + i%2, Left: 0.4}
		if i%4 != 3 {
			r.Stages = append(r.Stages, lots.Stage{Key: "mordant"})
		}
		r.Stages = append(r.Stages, lots.Stage{Key: "dye", Min: 1, Max: 3})
		w.Recipes = append(w.Recipes, r)
	}
	strengths := []measure.Ratio{0.5, 0.2, 0.05}
	for i := range wants {
		from := c.IntN(4) * c.IntN(4)
		w.Wants = append(w.Wants, lots.Want{Key: fmt.Sprint("want ", i+1), Recipe: fmt.Sprint("recipe ", 1+c.IntN(12)), Strength: strengths[c.IntN(3)],
			Fibre: "cellulose", Kind: fmt.Sprint("kind ", 1+c.IntN(2)), Wanted: measure.Gram(50 + c.IntN(600)), Skein: 50, From: from, Due: from + 8 + c.IntN(52)})
	}
	return w
}

// small is a tiny workshop, drawn so that all that can hinder does: pots and line
// are tight, days closed, due days near.
func small(c *rand.Rand) lots.Work {
	w := lots.Work{Line: measure.Gram(600 + 200*c.IntN(5))}
	for i := range 1 + c.IntN(2) {
		w.Pots = append(w.Pots, lots.Pot{Key: fmt.Sprint("pot ", i), Litres: measure.Litre(10 + 5*c.IntN(3)), Fill: 0.8})
	}
	for d := range 4 {
		if c.IntN(5) == 0 {
			w.Closed = append(w.Closed, d)
		}
	}
	for i := range 1 + c.IntN(2) {
		r := lots.Recipe{Key: fmt.Sprint("recipe ", i), Liquor: 20, Dry: 1 + c.IntN(2), Left: measure.Ratio(c.IntN(3)) * 0.3, Stages: []lots.Stage{{Key: "dye"}}}
		if c.IntN(2) == 0 {
			r.Stages = append([]lots.Stage{{Key: "mordant"}}, lots.Stage{Key: "dye", Min: 1, Max: 1 + c.IntN(2)})
		}
		w.Recipes = append(w.Recipes, r)
	}
	for i := range 2 + c.IntN(3) {
		w.Wants = append(w.Wants, lots.Want{Key: fmt.Sprint("want ", i), Recipe: w.Recipes[c.IntN(len(w.Recipes))].Key, Strength: []measure.Ratio{0.4, 0.1}[c.IntN(2)],
			Wanted: measure.Gram(80 + 60*c.IntN(6)), Skein: measure.Gram(20 + 30*c.IntN(2)), From: c.IntN(2) * c.IntN(3), Due: 1 + c.IntN(7), Weight: c.IntN(3)})
	}
	return w
}
