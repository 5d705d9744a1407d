package web

import (
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
)

// wishRow is how one yarn of an order's line is to be dyed, as its form shows it.
type wishRow struct {
	Need     plan.YarnNeed
	Field    string // how its fields' names begin
	ID       string // and their ids
	Recipes  []workshop.RecipeView
	Recipe   string
	Strength string
	Colour   string
	Wrong    wishWrong
}

// wishWrong is what is wrong with each field, in words.
type wishWrong struct{ Recipe, Strength, Colour string }

// wishes makes the rows of every line of an order. What was typed is kept on the
// line it was typed for.
func (v *visit) wishes(o workshop.OrderView, recipes []workshop.RecipeView) map[string][]wishRow {
	out := map[string][]wishRow{}
	for _, l := range o.Lines {
		for _, w := range l.Wants {
			if w.Need.Mass == 0 {
				continue
			}
			row := wishRow{Need: w.Need, Field: "dye." + w.Yarn, ID: "dye-" + l.ID + "-" + w.Yarn, Recipes: recipesFor(recipes, w.Need.Fibre)}
			if wish := l.Wished(w.Need); wish.Recipe != "" {
				row.Recipe = wish.Recipe
				if wish.Strength > 0 {
					row.Strength = v.Words.Num(float64(wish.Strength)*100, 2)
				}
				if wish.Colour != nil {
					row.Colour = wish.Colour.String()
				}
			}
			if v.OnLine(l.ID) {
				row.typed(v)
			}
			out[l.ID] = append(out[l.ID], row)
		}
	}
	return out
}

// recipesFor are the recipes for a fibre.
func recipesFor(all []workshop.RecipeView, fibre string) (out []workshop.RecipeView) {
	class, ok := dye.FibreOf(fibre)
	for _, r := range all {
		if ok && r.Recipe.Fibre == class {
			out = append(out, r)
		}
	}
	return out
}

// OnLine says whether a form of an order's line was sent and came back.
func (v *visit) OnLine(line string) bool { return v.Form != nil && v.r.PathValue("line") == line }

// typed fills a row with what was typed and what is wrong with it.
func (w *wishRow) typed(v *visit) {
	w.Recipe, w.Strength, w.Colour = v.Val(w.Field+".recipe", w.Recipe), v.Val(w.Field+".strength", w.Strength), v.Val(w.Field+".colour", w.Colour)
	for _, p := range v.Problems {
		switch rest, ours := strings.CutPrefix(p.Path, w.Field); {
		case !ours || rest != "" && rest[0] != '.':
		case rest == ".strength":
			w.Wrong.Strength += v.Say(p) + " "
		case rest == ".colour":
			w.Wrong.Colour += v.Say(p) + " "
		case p.Severity == check.Error:
			w.Wrong.Recipe += v.Say(p) + " "
		}
	}
}

// leastStrength is the weakest a wish may ask for: a thousandth of the fibre's
// weight, which no balance of a dye house parts over a lot any finer.
const leastStrength measure.Ratio = 0.001

// mostStrength is what the words name as the most; recipes have a most of their
// own.
const mostStrength measure.Ratio = 6

// wishDye says how the yarns of a line are to be dyed.
func wishDye(v *visit) error {
	return v.actOrder("wished", func(f *form, id string) error {
		wishes := f.wishes()
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.WishDye(v.r.Context(), v.Person, id, v.r.PathValue("line"), f.revision(), wishes)
		return err
	})
}

// wishes reads the wishes of a line, by yarn.
func (f *form) wishes() map[string]workshop.Wish {
	out := map[string]workshop.Wish{}
	for field := range f.v.r.PostForm {
		rest, begins := strings.CutPrefix(field, "dye.")
		yarn, ends := strings.CutSuffix(rest, ".recipe")
		if !begins || !ends {
			continue
		}
		at := "dye." + yarn
		strength, col := strings.TrimSpace(f.text(at+".strength")), f.labIf(at+".colour")
		w := workshop.Wish{Recipe: f.text(field), Strength: f.percent(at + ".strength"), Colour: col}
		switch {
		case w.Recipe == "" && (strength != "" || col != nil):
			f.ps.Wrong(at, "field-empty", nil)
		case strength != "" && w.Strength == 0 && !f.ps.Failed():
			f.ps.Wrong(at+".strength", "out-of-range", check.Args{"value": w.Strength, "low": leastStrength, "high": mostStrength})
		}
		out[yarn] = w
	}
	return out
}
