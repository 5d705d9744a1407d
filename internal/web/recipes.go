package web

import (
	"io"
	"slices"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/dyefile"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/sheet"
)

// Classes is every class of fibre, for forms.
func (v *visit) Classes() []string { return []string{string(dye.Cellulose), string(dye.Protein)} }

// Text is a text of a recipe in the page's language.
func (v *visit) Text(t dye.Text) string { return t.In(v.Words.Tag) }

// recipesView is the list; Dropped is the recipe that was taken away just now.
type recipesView struct {
	Items   []workshop.RecipeView
	Dropped string
}

// recipeList lists the recipes of a class of fibre in which all words that are
// looked for stand.
func recipeList(v *visit) error {
	all, err := v.s.house.Recipes(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	asked := strings.Fields(workshop.Fold(cut(v.Query())))
	view := recipesView{Dropped: cut(v.r.URL.Query().Get("dropped"))}
	view.Items = slices.DeleteFunc(all, func(r workshop.RecipeView) bool {
		says := r.Key + " " + v.Text(r.Recipe.Name) + " " + v.Text(r.Recipe.Shade)
		for _, m := range r.Recipe.Materials {
			says += " " + m.Latin + " " + v.Text(m.Name)
		}
		says = workshop.Fold(says)
		return v.State() != "" && v.State() != string(r.Recipe.Fibre) ||
			slices.ContainsFunc(asked, func(word string) bool { return !strings.Contains(says, word) })
	})
	return v.page("recipes", v.T("recipes"), view)
}

// lined is a problem and the line of the file it stands in; 0 if in none.
type lined struct {
	check.Problem
	Line int
}

func inLines(ps check.Problems, source dyefile.Source) (out []lined) {
	for _, p := range ps {
		at, _ := source.Locate(p.Path)
		out = append(out, lined{p, at.Line})
	}
	return out
}

// recipeView is a recipe as it is read: made for what was asked for, or else as
// it stands in its file.
type recipeView struct {
	workshop.RecipeView
	About   []lined // what is wrong with the recipe, or to be looked at
	Batch   dye.Batch
	Made    bool // there is a batch
	Fits    bool // it is for what was asked for, or for the usual mass; else what was asked for cannot be
	Asked   bool
	Pots    []workshop.Pot
	Place   dye.Place
	Days    []recipeDay
	Address string // of this recipe for what was asked for, behind the name of a page
}

// recipeDay is the steps of one day.
type recipeDay struct {
	N     int
	Steps []recipeStep
}

type recipeStep struct {
	N    int
	Step dye.Step
	Plan dye.StepPlan // for what was asked for
	Last bool         // in its bath
	Heat *curve
}

// usualMass is what a recipe is shown for unless something else is asked for;
// usualPot is the pot of a workshop that has not said what it has.
const (
	usualMass = measure.Gram(1000)
	usualPot  = measure.Litre(40)
)

func recipePage(v *visit) error {
	view, err := v.recipeView()
	if err != nil {
		return err
	}
	return v.page("recipe", v.Text(view.Recipe.Name), view)
}

// recipeView gathers a recipe and makes it for what the address asks for.
func (v *visit) recipeView() (view recipeView, err error) {
	if view.RecipeView, err = v.s.house.Recipe(v.r.Context(), v.Person, v.r.PathValue("key")); err != nil {
		return view, err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return view, err
	}
	view.Place, view.Pots = set.Value.Dye.Filled().Place, set.Value.Pots
	q := v.r.URL.Query()
	view.Asked = q.Has("mass")
	order, ps := v.lotAsked(view)
	view.Batch, view.Made, view.About = madeFor(&ps, view, order)
	v.Problems, view.Fits = ps, view.Made
	if !view.Made && !failedIn(view.About) { // what was asked for cannot be; the recipe can
		rest := check.Problems{}
		view.Batch, view.Made, _ = madeFor(&rest, view, dye.Order{Mass: usualMass, Pots: []dye.Pot{{Litres: 1000}}, Place: view.Place})
	}
	view.Days = daysOf(view)
	q.Del("done")
	view.Address = q.Encode()
	return view, nil
}

// madeFor makes a recipe for an order: what is wrong with the order goes to its
// form, the rest to the recipe's own lines.
func madeFor(form *check.Problems, view recipeView, order dye.Order) (dye.Batch, bool, []lined) {
	b, ps := dye.Make(view.Recipe, order)
	var about check.Problems
	for _, p := range ps {
		field, ofOrder := strings.CutPrefix(p.Path, "order.")
		if !ofOrder {
			about = append(about, p)
			continue
		}
		if strings.HasPrefix(field, "pots") {
			field = "pot"
		}
		p.Path = field
		if !slices.ContainsFunc(*form, func(q check.Problem) bool { return q.Path == field }) {
			*form = append(*form, p)
		}
	}
	return b, !ps.Failed() && !form.Failed(), inLines(about, view.Source)
}

func failedIn(all []lined) bool {
	return slices.ContainsFunc(all, func(l lined) bool { return l.Severity == check.Error })
}

// lotAsked is the lot the address asks for: a kilogram in the workshop's pots if
// it asks for none.
func (v *visit) lotAsked(view recipeView) (dye.Order, check.Problems) {
	q := v.r.URL.Query()
	o := dye.Order{Mass: usualMass, Place: view.Place}
	f := v.asked()
	if view.Asked {
		o.Mass, o.Skein = f.grams("mass"), f.grams("skein")
	}
	for i, p := range view.Pots {
		if !view.Asked || slices.Contains(q["pot"], itoa(i)) {
			o.Pots = append(o.Pots, dye.Pot{Name: p.Name, Litres: measure.Litre(p.Litres)})
		}
	}
	if text := strings.TrimSpace(q.Get("litres")); text != "" {
		o.Pots = append(o.Pots, dye.Pot{Name: text, Litres: quantity(f, "litres", " L", measure.ParseLitres)})
	}
	if len(o.Pots) == 0 && !view.Asked {
		o.Pots = []dye.Pot{{Litres: usualPot}}
	}
	return o, f.ps
}

// daysOf parts the steps into days.
func daysOf(view recipeView) (out []recipeDay) {
	steps := view.Recipe.Steps
	for i, s := range steps {
		if i == 0 || s.NextDay {
			out = append(out, recipeDay{N: len(out) + 1})
		}
		r := recipeStep{N: i + 1, Step: s, Last: i+1 == len(steps) || !steps[i+1].Same}
		start := view.Place.Water
		if view.Made {
			r.Plan = view.Batch.Steps[i]
		}
		if before := i - 1; s.Same && before >= 0 {
			c := dye.Curve(start, steps[before].Heat)
			start = c[len(c)-1].Warm
		}
		if len(s.Heat) > 0 {
			r.Heat = drawCurve(dye.Curve(start, s.Heat))
		}
		day := &out[len(out)-1]
		day.Steps = append(day.Steps, r)
	}
	return out
}

// recipeSheet is the dyer's sheet of a recipe for what was asked for.
func recipeSheet(v *visit) error {
	view, err := v.recipeView()
	if err != nil {
		return err
	}
	if !view.Fits {
		return &workshop.Error{Code: workshop.Invalid, Problems: v.Problems}
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	paper, err := v.sheetOptions()
	if err != nil {
		return err
	}
	o := sheet.DyerOptions{Options: paper, Measures: map[string]sheet.Kitchen{}}
	for what, k := range set.Value.Dye.Kitchens() {
		o.Measures[kitchenKey(view.Recipe, what)] = sheet.Kitchen{Name: k.Name, Mass: k.Mass, Volume: k.Volume}
	}
	return v.send("application/pdf", view.Key+".pdf", func(w io.Writer) error { return sheet.Dyer(w, view.Batch, o) })
}

// kitchenKey is how a recipe names what a measure is for: a substance, or its
// own key for the plant of a Latin name.
func kitchenKey(r dye.Recipe, what string) string {
	for _, m := range r.Materials {
		if m.Latin == what {
			return m.Key
		}
	}
	return what
}
