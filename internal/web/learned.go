package web

import (
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/dye"
	"urdir/dye/learned"
	"urdir/internal/workshop"
)

// learnedView is what the baths taught, and the baths.
type learnedView struct {
	learned.Report
	Baths    []workshop.Reached // the last first
	Names    map[string]string  // of recipes, by key
	Plants   map[string]workshop.Supply
	Problems check.Problems
}

// factors are what may make a difference, in the order they are shown.
var factors = []learned.Factor{learned.PlantLots, learned.Water, learned.MoonHalf, learned.MoonPhase}

func learnedPage(v *visit) error {
	baths, plants, err := v.s.house.Reached(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	recipes, err := v.s.house.Recipes(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view := learnedView{Baths: baths, Plants: plants, Names: map[string]string{}}
	for _, r := range recipes {
		view.Names[r.Key] = v.Text(r.Recipe.Name)
	}
	view.Report, view.Problems = learned.Study(observations(baths), factors...)
	slices.Reverse(view.Baths)
	return v.page("learned", v.T("learned"), view)
}

// observations is the baths as they are compared.
func observations(baths []workshop.Reached) (out []learned.Observation) {
	for _, b := range baths {
		o := learned.Observation{Recipe: b.Dyeing.Value.Recipe, Strength: b.Dyeing.Value.Strength, Plants: b.Plants, Water: b.Water, Moon: b.Moon,
			Expected: b.Expected, Reached: b.Colour}
		if d, err := time.Parse(time.DateOnly, b.Day); err == nil {
			o.Day = dye.Day{Year: d.Year(), Month: int(d.Month()), Day: d.Day()}
		}
		out = append(out, o)
	}
	return out
}

// RecipeName is a recipe's name; one that is gone has its key.
func (l learnedView) RecipeName(key string) string {
	if name := l.Names[key]; name != "" {
		return name
	}
	return key
}

// GroupName is a group of a factor in words.
func (v *visit) GroupName(l learnedView, f learned.Factor, name string) string {
	switch f {
	case learned.PlantLots:
		return l.PlantNames(strings.Split(name, " + "))
	case learned.MoonPhase, learned.MoonHalf:
		return v.T("moon-" + name)
	}
	return name
}

// PlantNames is lots of plants as the workshop calls them, each with its day.
func (l learnedView) PlantNames(ids []string) string {
	var out []string
	for _, id := range ids {
		s := l.Plants[id]
		name := s.Name
		if name == "" {
			name = s.What
		}
		for _, more := range []string{s.Gathered, s.Day} {
			if more != "" {
				name += ", " + more
			}
		}
		out = append(out, name)
	}
	return strings.Join(out, " + ")
}

// Shift writes a difference of colours by its parts, each with its sign.
func (v *visit) Shift(s learned.Shift) string {
	sign := func(x float64) string {
		n := v.Words.Fixed(x, 1)
		if x > 0 {
			n = "+" + n
		}
		return n
	}
	return v.T("colour-lab", "l", sign(s.L), "a", sign(s.A), "b", sign(s.B))
}

// Chance is what can be said of a difference, in words with its numbers.
func (v *visit) Chance(c learned.Chance, baths int) string {
	all := ""
	if c.Exact {
		all = "all"
	}
	return v.T("chance-"+string(c.Verdict), "n", baths, "p", v.P(c.Adjusted), "least", v.P(c.Least), "tried", c.Tried, "all", all)
}

// P writes a probability, to a thousandth where that is what matters.
func (v *visit) P(p float64) string {
	if p < 0.001 {
		return "< " + v.Words.Fixed(0.001, 3)
	}
	if p < 0.1 {
		return v.Words.Fixed(p, 3)
	}
	return v.Words.Fixed(p, 2)
}
