package web

import (
	"math"

	"urdir/colour"
	"urdir/draw"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/surface"
)

// lotView is a lot, where it comes from and where it went.
type lotView struct {
	workshop.LotStock
	Moves    []workshop.Move
	Story    workshop.Story
	Recipe   workshop.RecipeView // it was dyed by; without a key if it is not known
	Limit    colour.DeltaE
	Currency string
	Stuffs   []stuff
	Whose    []workshop.Kept[workshop.Customer] // who have pieces of it
}

// lotViewOf gathers a lot and its story.
func (v *visit) lotViewOf(id string) (view lotView, err error) {
	ctx := v.r.Context()
	if view.LotStock, view.Moves, err = v.s.house.Lot(ctx, v.Person, id); err != nil {
		return view, err
	}
	if view.Story, err = v.s.house.Story(ctx, v.Person, id); err != nil {
		return view, err
	}
	set, err := v.s.house.Settings(ctx, v.Person)
	if err != nil {
		return view, err
	}
	view.Limit, view.Currency = set.Value.Dye.Filled().Limit, set.Value.Currency
	if key := view.Value.Dye.Recipe; key != "" {
		view.Recipe, err = v.s.house.Recipe(ctx, v.Person, key)
		if err != nil && workshop.CodeOf(err) != workshop.NotFound { // a recipe may be taken away; its lots stay
			return view, err
		}
	}
	seen := map[string]bool{}
	for _, p := range view.Story.Pieces {
		if !seen[p.Customer.ID] {
			seen[p.Customer.ID] = true
			view.Whose = append(view.Whose, p.Customer)
		}
	}
	view.Stuffs, err = v.stuffs()
	return view, err
}

// Is is what a supply of the story is.
func (l lotView) Is(what string) stuff { return stuffOf(l.Stuffs, what) }

// Baths are the days on which the lot was in a bath.
func (l lotView) Baths() (out []workshop.DyeFact) {
	if l.Story.Dyeing == nil {
		return nil
	}
	for _, f := range l.Story.Dyeing.Value.Facts {
		if f.Kind == workshop.StageFact {
			out = append(out, f)
		}
	}
	return out
}

// Kind is what was done on one of these days.
func (l lotView) Kind(f workshop.DyeFact) string {
	days := l.Story.Dyeing.Value.Days
	if f.Stage < 0 || f.Stage >= len(days) {
		return "dye"
	}
	return string(days[f.Stage].Kind)
}

// Gone says whether any of it has left the shelf for good.
func (l lotView) Gone() bool {
	return len(l.Story.Jobs)+len(l.Story.Pieces)+len(l.Story.Onward) > 0
}

// hatchOf is the hatch that stands for a lot's colour in grey: always the same for
// one letter.
func hatchOf(l workshop.Lot) (n int) {
	for _, r := range l.Letter {
		n = n*31 + int(r)
	}
	return 1 + n%(surface.Hatches-1) // none of them is empty
}

// The picture of a lot, in mm of paper: wound yarn, and beside it what a printer
// without colours shows of it.
const (
	windW, windH  measure.MM = 60, 40
	windChip      measure.MM = 20
	windStep      measure.MM = 1.3
	windLine      measure.MM = 0.18
	windDeep                 = 0.22 // of the ink in a line between two windings
	windSlack     measure.MM = 0.35
	windSlackTurn            = 0.7
)

// lotSwatch draws yarn as it is wound on a card, with its letter and hatch.
func lotSwatch(v *visit) error {
	l, _, err := v.s.house.Lot(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	c := surface.ParseColour(l.Value.Colour)
	return v.picture(l.Value.Label, windW, windH, func(s surface.Surface, b surface.Box) {
		wound := surface.Box{W: b.W - windChip - 1, H: b.H}
		s.Rect(wound, c)
		var lines surface.Path
		for x, n := windStep, 0.0; x < wound.W; x, n = x+windStep, n+1 {
			lean := windSlack * measure.MM(math.Sin(windSlackTurn*n))
			lines.MoveTo(x+lean, 0).LineTo(x-lean, b.H)
		}
		s.Path(&lines, surface.Line(c.Mix(surface.InkOn(c), windDeep), windLine))
		surface.Chip(s, surface.Box{X: b.W - windChip, W: windChip, H: b.H}, c, hatchOf(l.Value), l.Value.Letter)
		s.Path(surface.Outline(b.Inset(0.1)), surface.Line(draw.Hair, 0.2))
	})
}

// lotLabels sends labels for the skeins of a lot that lie on the shelf, or one if
// none does.
func lotLabels(v *visit) error {
	view, err := v.lotViewOf(v.r.PathValue("id"))
	if err != nil {
		return err
	}
	l, n := view.Value, 1
	if l.Skein > 0 {
		n = min(mostLabels, max(1, int(math.Ceil(float64(view.OnShelf/l.Skein)-1e-9))))
	}
	return v.sendLabels(view.Kept, v.Text(view.Recipe.Recipe.Name), n, min(max(l.Skein, 0), view.OnShelf))
}
