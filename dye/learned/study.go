package learned

import (
	"slices"

	"urdir/check"
)

// Report is what was learned.
type Report struct {
	Recipes []Recipe // by key
	Factors []Factored
}

// Study tells what was learned from baths, and of which of these factors it
// matters. The order of the observations does not matter; a factor named twice is
// asked once.
//
//	learned-many    more than 2000 baths
//	learned-colour  a colour is not within CIELAB's bounds
func Study(obs []Observation, factors ...Factor) (Report, check.Problems) {
	ps := checked(obs)
	if ps.Failed() {
		return Report{}, ps
	}
	obs = inOrder(obs)
	var out Report
	for of := range recipes(obs) {
		out.Recipes = append(out.Recipes, recipe(of))
	}
	for i, f := range factors {
		if !slices.Contains(factors[:i], f) {
			out.Factors = append(out.Factors, factored(obs, f))
		}
	}
	var biases, differences []*Chance
	for i := range out.Recipes {
		biases = append(biases, &out.Recipes[i].Chance)
	}
	for i := range out.Factors {
		differences = append(differences, &out.Factors[i].Chance)
	}
	judge(biases)
	judge(differences)
	return out, ps
}

// recipes yields the observations of each recipe; they are in order.
func recipes(obs []Observation) func(yield func([]Observation) bool) {
	return func(yield func([]Observation) bool) {
		for from := 0; from < len(obs); {
			to := from + 1
			for to < len(obs) && obs[to].Recipe == obs[from].Recipe {
				to++
			}
			if !yield(obs[from:to]) {
				return
			}
			from = to
		}
	}
}
