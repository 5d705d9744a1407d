package sheet

import (
	"strings"

	"urdir/dye"
	"urdir/internal/lang"
)

// DyeWhat is the name of what goes into a dye bath: a substance of the list, or
// a material of the recipe.
func DyeWhat(t *lang.Words, r dye.Recipe, what string) string {
	if dye.SubstanceOf(what) != nil {
		return t.T("substance-"+what, nil)
	}
	if m := r.Material(what); m != nil {
		if name := m.Name.In(t.Tag); name != "" {
			return name
		}
	}
	return what
}

// DyeWeight is how much of something is weighed or measured out.
func DyeWeight(t *lang.Words, w dye.Weighed) string {
	if w.Volume > 0 {
		return t.S(w.Volume)
	}
	return t.Weight(w.Mass)
}

// DyeRule is an amount as the recipe gives it.
func DyeRule(t *lang.Words, a dye.Amount) string {
	switch {
	case a.PerLitre > 0:
		return t.S(a.PerLitre)
	case a.MLPerLitre > 0:
		return t.S(a.MLPerLitre)
	case a.MLPerKG > 0:
		return t.S(a.MLPerKG)
	}
	return t.S(a.Share)
}

// DyeHeat is a temperature curve in words.
func DyeHeat(t *lang.Words, curve []dye.Segment) string {
	var out []string
	for _, s := range curve {
		switch {
		case s.To == 0:
		case s.Rate > 0:
			out = append(out, t.T("dye-to-rate", map[string]any{"to": s.To, "rate": s.Rate}))
		default:
			out = append(out, t.T("dye-to", map[string]any{"to": s.To}))
		}
		if s.Hold > 0 {
			out = append(out, t.T("dye-hold", map[string]any{"hold": s.Hold}))
		}
	}
	return strings.Join(out, ", ")
}

// DyeSource is where an amount is from; that it is from memory is said in the
// reader's language.
func DyeSource(t *lang.Words, source string) string {
	return strings.ReplaceAll(source, "from memory", t.T("dye-from-memory", nil))
}
