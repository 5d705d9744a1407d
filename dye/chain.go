package dye

import (
	"slices"

	"urdir/check"
	"urdir/measure"
)

// mostAfterbaths is how many afterbaths are told of.
const mostAfterbaths = 3

// Afterbath is a bath used once more, for a paler shade.
type Afterbath struct {
	Number   int           `json:"number"` // 1 is the first after the dyeing
	Strength measure.Ratio `json:"strength_fraction"`
	Shares   []Equivalent  `json:"as_good_as"`
}

// Equivalent is the fresh dye an afterbath is worth, for the weight of a second
// lot as heavy as the first.
type Equivalent struct {
	What  string        `json:"what"`
	Share measure.Ratio `json:"share_of_fibre_fraction"`
}

// Afterbaths is the series of at most n afterbaths: each has Left of the
// strength of the one before, so the kth Left^k of the first. It ends where a
// tenth is left: paler than that is hardly a colour. What is left depends on
// plant, fibre and water; a recipe's Left is a beginning, from memory.
func (r Recipe) Afterbaths(n int) (out []Afterbath) {
	const palest = 0.1
	strength := r.Left
	for k := 1; k <= n && strength >= palest; k++ {
		a := Afterbath{Number: k, Strength: strength}
		for _, s := range r.Steps {
			if s.Kind != Dye && s.Kind != Extract {
				continue
			}
			for _, m := range s.Amounts {
				if m.Share > 0 && r.Material(m.What) != nil {
					a.Shares = append(a.Shares, Equivalent{m.What, m.Share * strength})
				}
			}
		}
		out = append(out, a)
		strength *= r.Left
	}
	return out
}

// Over is a second recipe after a first: over-dyeing. What the second would do
// again is left out: its scouring, and each tannin or mordant bath that the
// first has with the same things in it. Between the two lies a night, and the
// fibre is wetted anew.
func Over(first, second Recipe) (Recipe, check.Problems) {
	var ps check.Problems
	if first.Fibre != second.Fibre {
		wrongFibre(&ps, second.Fibre)
		return Recipe{}, ps
	}
	r := first
	r.Key = first.Key + "+" + second.Key
	r.Name, r.Shade = joined(first.Name, second.Name), joined(first.Shade, second.Shade)
	r.Colour, r.Left, r.Sample = "", second.Left, true
	renamed := r.bring(second.Materials)
	r.Steps = slices.Clone(first.Steps)
	begun := len(r.Steps)
	for i, s := range second.Steps {
		kept := i+1 < len(second.Steps) && second.Steps[i+1].Same
		if !kept && !s.Same && done(first, s) {
			continue
		}
		if len(r.Steps) == begun && s.Kind != Soak {
			r.Steps = append(r.Steps, Step{Kind: Soak, Liquor: second.Liquor, Stand: measure.Hour, NextDay: true})
		}
		if s.Kind.wet() {
			s.Liquor = second.liquor(s)
		}
		s.NextDay = s.NextDay || len(r.Steps) == begun
		r.Steps = append(r.Steps, s.with(renamed))
	}
	return r, ps
}

// done says whether the first recipe has done a preparing step already.
func done(first Recipe, s Step) bool {
	if s.Kind == Scour {
		return slices.ContainsFunc(first.Steps, func(f Step) bool { return f.Kind == Scour })
	}
	if s.Kind != Tannin && s.Kind != Mordant && s.Kind != Fix {
		return false
	}
	what := func(s Step) (out []string) {
		for _, a := range s.Amounts {
			out = append(out, a.What)
		}
		slices.Sort(out)
		return out
	}
	return slices.ContainsFunc(first.Steps, func(f Step) bool { return f.Kind == s.Kind && slices.Equal(what(f), what(s)) })
}

// bring adds materials, and gives those a new key that the recipe has for
// another.
func (r *Recipe) bring(more []Material) map[string]string {
	r.Materials = slices.Clone(r.Materials)
	renamed := map[string]string{}
	for _, m := range more {
		have := r.Material(m.Key)
		switch {
		case have == nil:
		case have.Latin == m.Latin && have.Fresh == m.Fresh:
			continue
		default:
			old := m.Key
			for r.Material(m.Key) != nil {
				m.Key += "-2"
			}
			renamed[old] = m.Key
		}
		r.Materials = append(r.Materials, m)
	}
	return renamed
}

// with is the step with its materials under their new keys.
func (s Step) with(renamed map[string]string) Step {
	name := func(what string) string {
		if to, ok := renamed[what]; ok {
			return to
		}
		return what
	}
	s.Amounts = slices.Clone(s.Amounts)
	for i := range s.Amounts {
		s.Amounts[i].What = name(s.Amounts[i].What)
	}
	if s.Vat != nil {
		v := *s.Vat
		v.Dye, v.Stock = name(v.Dye), slices.Clone(v.Stock)
		for i := range v.Stock {
			v.Stock[i].What = name(v.Stock[i].What)
		}
		s.Vat = &v
	}
	return s
}

// joined is two texts as one, in every language of either.
func joined(a, b Text) Text {
	out := Text{}
	for _, t := range []Text{a, b} {
		for tag := range t {
			out[tag] = a.In(tag) + " + " + b.In(tag)
		}
	}
	return out
}
