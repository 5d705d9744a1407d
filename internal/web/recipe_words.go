package web

import (
	"slices"
	"strings"

	"urdir/colour"
	"urdir/dye"
	"urdir/measure"
	"urdir/sheet"
)

// Stuff, Rule, Weighs and From are an amount in words: what it is, how much the
// recipe says, how much that is, and where it is from.
func (v *visit) Stuff(r dye.Recipe, what string) string { return sheet.DyeWhat(v.Words, r, what) }

// Rule is described with Stuff.
func (v *visit) Rule(a dye.Amount) string {
	rule := sheet.DyeRule(v.Words, a)
	if a.High > 0 {
		rule += " (" + v.T("dye-range-of", "low", a.Low, "high", a.High) + ")"
	}
	return rule
}

// Weighs is described with Stuff; where baths differ it is of each kind of bath.
func (v *visit) Weighs(s dye.StepPlan, k int) string {
	var out []string
	for _, q := range s.Portions {
		if k < len(q.Amounts) {
			out = append(out, sheet.DyeWeight(v.Words, q.Amounts[k]))
		}
	}
	return strings.Join(out, " / ")
}

// Weight is an amount of the whole lot.
func (v *visit) Weight(w dye.Weighed) string { return sheet.DyeWeight(v.Words, w) }

// From is described with Stuff.
func (v *visit) From(source string) string { return sheet.DyeSource(v.Words, source) }

// Heat is a temperature curve in words.
func (v *visit) Heat(curve []dye.Segment) string { return sheet.DyeHeat(v.Words, curve) }

// Facts is what is done in a step beside what goes in, in a few words each.
func (v *visit) Facts(s recipeStep, asked bool) (out []string) {
	add := func(yes bool, key string, pairs ...any) {
		if yes {
			out = append(out, v.T(key, pairs...))
		}
	}
	add(s.Step.Same, "dye-same")
	for _, q := range s.Plan.Portions {
		add(asked && q.Water > 0, "dye-new-water", "water", q.Water/measure.Litre(max(1, s.Plan.Times)))
	}
	if s.Step.Times > 1 {
		out = append(out, v.N("dye-waters", s.Step.Times))
	}
	if heat := v.Heat(s.Step.Heat); heat != "" {
		out = append(out, heat)
	}
	add(s.Step.Stand > 0, "dye-stand", "time", s.Step.Stand)
	add(s.Step.Work > 0, "dye-work", "time", s.Step.Work)
	add(s.Step.Wait > 0, "dye-wait", "time", s.Step.Wait)
	return out
}

// chemLabel is what stands on the label of a substance, and where that is from.
type chemLabel struct {
	Says []string
	From string
}

// Labels is what the label of a substance says by the Globally Harmonised
// System; nil for what has no such label.
func (v *visit) Labels(what string) *chemLabel {
	s := dye.SubstanceOf(what)
	if s == nil || len(s.GHS) == 0 {
		return nil
	}
	l := &chemLabel{From: v.From(s.Source)}
	for _, code := range s.GHS {
		l.Says = append(l.Says, code+" "+v.T("ghs-"+code))
	}
	return l
}

// Afterwards is an afterbath in words.
func (v *visit) Afterwards(r dye.Recipe, a dye.Afterbath) string {
	var shares []string
	for _, e := range a.Shares {
		shares = append(shares, v.T("dye-share-of", "share", e.Share, "what", v.Stuff(r, e.What)))
	}
	return v.T("dye-after-line", "n", a.Number, "strength", a.Strength, "shares", shares)
}

// About is the colour a recipe gives, about.
func about(r dye.Recipe) colour.Lab {
	c, err := colour.ParseSRGB(r.Colour)
	if err != nil {
		return colour.Lab{L: 50}
	}
	return c.Lab()
}

// PotTicked says whether a pot of the workshop's is to be used: all of them
// unless the address says which.
func (v *visit) PotTicked(i int) bool {
	q := v.r.URL.Query()
	return !q.Has("mass") || slices.Contains(q["pot"], itoa(i))
}

// PotTyped is the pot that is typed for a workshop that has none.
func (v *visit) PotTyped(r recipeView) string {
	if len(r.Pots) > 0 {
		return ""
	}
	return v.Words.Num(float64(usualPot), 0)
}

// Litres is the volume of a pot.
func (v *visit) Litres(n float64) string { return v.S(measure.Litre(n)) }
