package web

import (
	"fmt"
	"net/url"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
)

// shadesView is what is known of how strong a recipe dyes, and what is asked of
// it.
type shadesView struct {
	workshop.ShadeView
	Points  []shadePoint // samples and lots, the weakest first
	Steps   []shadeStep  // what the series gives
	Chart   *shadeChart
	Wish    *wishView
	Over    *overView
	Recipes []workshop.RecipeView
}

// shadePoint is a skein of known strength and colour.
type shadePoint struct {
	Strength measure.Ratio
	Colour   colour.Lab
	Off      colour.DeltaE // from the fitted series
	Sample   *workshop.Kept[workshop.Sample]
	Dyeing   *workshop.Kept[workshop.Dyeing]
}

// shadeStep is a strength and what the series gives there.
type shadeStep struct {
	Strength measure.Ratio
	Colour   colour.Lab
}

func shadesPage(v *visit) error { return v.shadesAgain(nil) }

// shadesAgain is the page of a recipe's shades, with what was wrong with a form
// on it.
func (v *visit) shadesAgain(wrong error) error {
	key := v.r.PathValue("key")
	s, err := v.s.house.Shade(v.r.Context(), v.Person, key)
	if err != nil {
		return err
	}
	view := shadesView{ShadeView: s, Points: pointsOf(s)}
	if view.Recipes, err = v.s.house.Recipes(v.r.Context(), v.Person); err != nil {
		return err
	}
	if s.Fitted {
		view.Steps = stepsOf(s.Shade)
		view.Chart = drawShade(s.Shade, view.Points)
	}
	title := v.T("shades-of") + ": " + v.Text(s.Recipe.Recipe.Name)
	if wrong != nil {
		return v.again(wrong, "shades", title, view)
	}
	f := v.asked()
	if text := strings.TrimSpace(f.text("wish")); text != "" && s.Fitted {
		view.Wish = f.strengthFor(s.Shade)
	}
	if f.text("over") != "" {
		o, err := v.over(f, s)
		if err != nil {
			return err
		}
		if !f.ps.Failed() {
			view.Over = &o
		}
	}
	v.Problems = f.ps
	return v.page("shades", title, view)
}

// pointsOf is the samples and lots of a recipe by their strength. The fit has its
// residuals in the order of the samples it was given: those with dye, then lots.
func pointsOf(s workshop.ShadeView) (out []shadePoint) {
	n := 0
	off := func() (d colour.DeltaE) {
		if n < len(s.Shade.Residuals) {
			d = s.Shade.Residuals[n].Difference
		}
		n++
		return d
	}
	for i := range s.Samples {
		k := &s.Samples[i]
		p := shadePoint{Strength: k.Value.Strength, Colour: k.Value.Colour, Sample: k}
		if p.Strength > 0 {
			p.Off = off()
		}
		out = append(out, p)
	}
	for i := range s.Lots {
		l := &s.Lots[i]
		out = append(out, shadePoint{Strength: l.Strength, Colour: l.Colour, Off: off(), Dyeing: &l.Dyeing})
	}
	return out
}

// shadesShown is how many strengths of a series are shown.
const shadesShown = 7

// stepsOf is a series from the skein without dye to its strongest sample.
func stepsOf(sh colour.Shade) (out []shadeStep) {
	for i := range shadesShown {
		amount := sh.Most * measure.Ratio(i) / (shadesShown - 1)
		if c, ok := shadeAt(sh, amount); ok {
			out = append(out, shadeStep{amount, c})
		}
	}
	return out
}

func shadeAt(sh colour.Shade, amount measure.Ratio) (colour.Lab, bool) {
	bands, ps := sh.At(amount)
	if ps.Failed() || !sh.Coloured {
		return colour.Lab{}, false
	}
	return bands.Colour()
}

// wishView is the strength proposed for a wanted colour.
type wishView struct {
	Wanted    colour.Lab
	Found     bool
	Strength  colour.Strength
	Sure      bool // the range is known
	Low, High measure.Ratio
	Problems  check.Problems
}

// sureness is how often the strength asked for lies in the range that is told.
const sureness measure.Ratio = 0.95

func (f *form) strengthFor(sh colour.Shade) *wishView {
	c := f.colour("wish")
	if f.ps.Failed() {
		return nil
	}
	w := &wishView{Wanted: c}
	w.Strength, w.Problems = sh.Strength(colour.Reading{Colour: c})
	w.Found = !w.Problems.Failed()
	w.Low, w.High, w.Sure = w.Strength.Within(sureness)
	return w
}

// Sureness is for the page.
func (w *wishView) Sureness() measure.Ratio { return sureness }

// overView is a preview of one recipe dyed over another.
type overView struct {
	Second       workshop.RecipeView
	Bare         colour.Lab
	First, Other overBath
	Both         colour.Lab
	Problems     check.Problems
}

// overBath is what one of the two gives by itself; Guess: by the colour in the
// recipe, not by samples.
type overBath struct {
	Strength measure.Ratio
	Colour   colour.Lab
	Guess    bool
}

// bareYarn is undyed cotton where no sample tells; from memory.
var bareYarn = colour.Lab{L: 90, A: 1, B: 9}

// over previews another recipe dyed over this one.
func (v *visit) over(f *form, s workshop.ShadeView) (o overView, _ error) {
	other, err := v.s.house.Shade(v.r.Context(), v.Person, f.text("over"))
	if workshop.CodeOf(err) == workshop.NotFound {
		f.ps.Wrong("over", "dye-recipe-gone", check.Args{"recipe": cut(f.text("over"))})
		return o, nil
	}
	if err != nil {
		return o, err
	}
	o = overView{Second: other.Recipe, Bare: bareYarn}
	if s.Fitted {
		if c, ok := shadeAt(s.Shade, 0); ok {
			o.Bare = c
		}
	}
	o.First = overBathOf(s, f.percent("first"), "first", &f.ps)
	o.Other = overBathOf(other, f.percent("second"), "second", &f.ps)
	_, o.Problems = dye.Over(s.Recipe.Recipe, other.Recipe.Recipe)
	o.Both = colour.Overdye(o.Bare, o.First.Colour, o.Other.Colour)
	return o, nil
}

// overBathOf is what a recipe gives at a strength; zero is the recipe's own.
func overBathOf(s workshop.ShadeView, strength measure.Ratio, field string, ps *check.Problems) overBath {
	b := overBath{Strength: strength, Colour: about(s.Recipe.Recipe), Guess: true}
	if b.Strength == 0 {
		b.Strength = s.Recipe.Recipe.Dyestuff()
	}
	if _, more := s.Recipe.Recipe.At(strength); more.Failed() {
		for _, p := range more {
			p.Path = field
			*ps = append(*ps, p)
		}
		return b
	}
	if s.Fitted {
		if c, ok := shadeAt(s.Shade, b.Strength); ok {
			b.Colour, b.Guess = c, false
		}
	}
	return b
}

// sampleColour is the colour of a new sample, of which the page before asked
// strength, day and a note.
func sampleColour(v *visit, f *form) (of colourOf, err error) {
	key := v.r.PathValue("key")
	r, err := v.s.house.Recipe(v.r.Context(), v.Person, key)
	if err != nil {
		return of, err
	}
	at := "/recipes/" + url.PathEscape(key) + "/shades"
	s := workshop.Sample{Recipe: key, Strength: f.percent("strength"), Day: f.text("day"), Note: f.text("note")}
	of = colourOf{Name: v.T("sample-name", "recipe", v.Text(r.Recipe.Name), "strength", s.Strength), At: at + "/new", Back: at, Show: r.Recipe.Colour,
		Carry: []carried{{"strength", f.text("strength")}, {"day", s.Day}, {"note", s.Note}}}
	of.keep = func(c colour.Lab, how string, _ *workshop.Picture) error {
		s.Colour, s.How = c, how
		_, err := v.s.house.SaveSample(v.r.Context(), v.Person, workshop.Kept[workshop.Sample]{Value: s})
		return err
	}
	return of, nil
}

func dropSample(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err := v.s.house.DropSample(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision()); err != nil {
		return err
	}
	return v.to("/recipes/"+url.PathEscape(f.text("recipe"))+"/shades", "sample-dropped")
}

// shadeChart is lightness over strength: the curve of the series and the skeins
// it was fitted to.
type shadeChart struct {
	Width, Height int
	Left, Bottom  float64
	Line          string
	Dots          []dot
	Across, Up    []mark
}

type dot struct {
	X, Y float64
	Fill string
	Lot  bool // of an order, not a sample
}

// drawShade lays a chart out.
func drawShade(sh colour.Shade, points []shadePoint) *shadeChart {
	const wide, high, left, right, top, bottom, corners = 640, 260, 56, 24, 14, 36, 48
	most := float64(sh.Most) * 1.1
	x := func(amount float64) float64 { return left + (wide-left-right)*amount/most }
	y := func(l float64) float64 { return high - bottom - (high-top-bottom)*l/100 }
	c := &shadeChart{Width: wide, Height: high, Left: left, Bottom: high - bottom}
	var line []string
	for i := range corners + 1 {
		amount := most * float64(i) / corners
		if at, ok := shadeAt(sh, measure.Ratio(amount)); ok {
			line = append(line, fmt.Sprintf("%.1f,%.1f", x(amount), y(at.L)))
		}
	}
	c.Line = strings.Join(line, " ")
	for _, p := range points {
		if a := float64(p.Strength); a <= most {
			c.Dots = append(c.Dots, dot{x(a), y(p.Colour.L), p.Colour.Show().SRGB.String(), p.Dyeing != nil})
		}
	}
	for i := range 5 {
		a := sh.Most * measure.Ratio(i) / 4
		c.Across = append(c.Across, mark{x(float64(a)), high - bottom + 22, a})
		l := 25 * i
		c.Up = append(c.Up, mark{left - 8, y(float64(l)), l})
	}
	return c
}
