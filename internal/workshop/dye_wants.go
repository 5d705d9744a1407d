package workshop

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
)

// DyeWant is a yarn of an open order that is to be dyed.
type DyeWant struct {
	DyeFor
	Customer string
	Cloth    string
	Fibre    string
	Count    string
	Skein    measure.Gram
	Due      string // of the order
	DryBy    string // when its warp is to be laid; empty if the order has no date
	Wish     Wish
	Recipe   RecipeView
	Dyeing   string         // planned for it already, but not begun
	Refused  string         // lot that was dyed for it and rejected
	Problems check.Problems // why it cannot be dyed so
}

// key names the want within a dye plan.
func (w DyeWant) key() string { return w.Order + "." + w.Line + "." + w.Yarn }

// usualSkein is reckoned with where nobody says what a skein weighs.
const usualSkein measure.Gram = 100

// dyeWants gathers what all open orders want dyed and no dyeing has begun for.
func (h *House) dyeWants(tx *store.Tx, set Settings) (out []DyeWant, _ error) {
	open, err := orders.list(tx, Page{State: "open"}, false)
	if err != nil {
		return nil, err
	}
	recipes, err := allRecipes(tx)
	if err != nil {
		return nil, err
	}
	for _, k := range open.Items {
		o, err := h.order(tx, k.ID)
		if err != nil {
			return nil, err
		}
		for _, l := range o.Lines {
			of, err := h.lineWants(tx, o, l)
			if err != nil {
				return nil, err
			}
			out = append(out, of...)
		}
	}
	for i := range out {
		out[i].look(recipes, set.Dye)
	}
	return out, nil
}

// lineWants is what one line wants dyed.
func (h *House) lineWants(tx *store.Tx, o OrderView, l LineView) (out []DyeWant, _ error) {
	if l.Made.Failed() {
		return nil, nil
	}
	rest := toGive(l, o.Jobs)
	for _, w := range l.Wants {
		wish, ok := l.wish(w.Need)
		if !ok || rest[w.Yarn] <= 0 {
			continue
		}
		planned, refused := "", ""
		switch {
		case w.Lot.Value.Dye.Rejected:
			refused = w.Lot.ID
		case w.Lot.ID != "":
			id := w.Lot.Value.Dye.Dyeing
			if !w.Lot.Value.Waiting || id == "" {
				continue // dyed, or waiting for a bath nobody planned here
			}
			d, err := dyeings.get(tx, id)
			if err != nil {
				return nil, err
			}
			if d.Value.State() != DyePlanned {
				continue
			}
			planned = id
		}
		out = append(out, DyeWant{
			DyeFor:   DyeFor{Order: o.ID, Line: l.ID, Yarn: w.Yarn, Number: o.Value.Number, Mass: rest[w.Yarn]},
			Customer: o.Customer.Value.Name, Cloth: l.Cloth.Value.Name, Fibre: w.Need.Fibre, Count: w.Need.Count, Skein: w.Need.Skein,
			Due: o.Value.Due, Wish: wish, Dyeing: planned, Refused: refused})
	}
	return out, nil
}

// wish is how a line wants a yarn dyed: as the order says, or else its cloth. An
// order that chose a lot that is not to be dyed says so by that.
func (l LineView) wish(y plan.YarnNeed) (Wish, bool) {
	if w, ok := l.Dye[y.Key]; ok {
		return w, w.Recipe != ""
	}
	return Wish{Recipe: y.Dye, Strength: y.Share}, y.Dye != ""
}

// Wished is how a line wants a yarn dyed; one that is not to be has no recipe.
func (l LineView) Wished(y plan.YarnNeed) Wish {
	w, _ := l.wish(y)
	return w
}

// look finds a want's recipe, and why it may not do.
func (w *DyeWant) look(recipes map[string]RecipeView, d DyeHouse) {
	if w.Skein <= 0 {
		w.Skein = usualSkein
	}
	if due, err := time.Parse(time.DateOnly, w.Due); err == nil {
		w.DryBy = due.AddDate(0, 0, -d.Filled().Lead).Format(time.DateOnly)
	}
	r, ok := recipes[w.Wish.Recipe]
	if !ok {
		w.Problems.Wrong("recipe", "dye-recipe-gone", check.Args{"recipe": w.Wish.Recipe})
		return
	}
	w.Recipe = r
	w.Problems = wishProblems(r.Recipe, w.Wish, w.Fibre, d)
}

// wishProblems is why a fibre cannot be dyed by a recipe at a strength.
func wishProblems(r dye.Recipe, wish Wish, fibre string, d DyeHouse) (ps check.Problems) {
	class, known := dye.FibreOf(fibre)
	switch {
	case !known:
		ps.Wrong("fibre", "dye-no-fibre", check.Args{"fibre": fibre})
	case class != r.Fibre && r.Fibre == dye.Protein:
		ps.Wrong("fibre", "dye-for-protein", nil)
	case class != r.Fibre:
		ps.Wrong("fibre", "dye-for-cellulose", nil)
	}
	at, more := r.At(wish.Strength)
	ps = append(ps, more...)
	if !more.Failed() {
		ps = append(ps, dye.Check(at, d.Place.Height)...)
	}
	return ps
}

// WishDye says how yarns of a line are to be dyed; a yarn whose wish has no
// recipe is not to be. A yarn that is to be dyed loses the lot that was chosen
// for it, unless that lot is one planned for it here.
func (h *House) WishDye(ctx context.Context, p Person, id, line string, revision int64, wishes map[string]Wish) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "WishDye", func(tx *store.Tx) error {
		o, err := h.order(tx, id)
		if err != nil {
			return err
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(o.Value.Lines, func(l Line) bool { return l.ID == line })
		if at < 0 {
			return &Error{Code: NotFound}
		}
		l := &o.Value.Lines[at]
		l.Dye, l.Lots = map[string]Wish{}, maps.Clone(l.Lots)
		var ps check.Problems
		for _, w := range o.Lines[at].Wants {
			wish := wishes[w.Yarn]
			if wish.Recipe == "" {
				if w.Need.Dye != "" {
					l.Dye[w.Yarn] = Wish{} // against what the cloth says
				}
				continue
			}
			path := fmt.Sprintf("dye.%s", w.Yarn)
			var r RecipeView
			if r, err = recipe(tx, wish.Recipe); missing(err) {
				ps.Wrong(path, "dye-recipe-gone", check.Args{"recipe": wish.Recipe})
				continue
			}
			if err != nil {
				return err
			}
			ps.Under(path, wishProblems(r.Recipe, wish, w.Need.Fibre, set.Value.Dye))
			l.Dye[w.Yarn] = wish
			if !w.Lot.Value.Waiting {
				delete(l.Lots, w.Yarn)
			}
		}
		if err = invalid(ps); err != nil {
			return err
		}
		o.Revision = revision
		out, err = orders.put(tx, o.Kept)
		return err
	})
	return out, err
}

// missing says whether an error is that there is no such record.
func missing(err error) bool { return errors.Is(err, store.ErrNotFound) }
