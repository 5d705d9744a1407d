package workshop

import (
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"urdir/colour"
	"urdir/dye"
	dyelots "urdir/dye/lots"
	"urdir/internal/store"
)

// AcceptDye makes a proposed dye plan the dye house's: dyeings that had not begun
// give way, every lot of the plan gets a record that waits for its bath, and the
// orders' lines are told which lot is theirs. mark and steps are those of the
// proposal; if anything it was made from has changed, it is refused.
func (h *House) AcceptDye(ctx context.Context, p Person, mark string, steps int) (made []Kept[Dyeing], _ error) {
	d, err := h.ProposeDye(ctx, p, steps) // outside the transaction: others can write meanwhile
	if err != nil {
		return nil, err
	}
	if err = invalid(d.About); err != nil {
		return nil, err
	}
	err = h.update(ctx, p, "AcceptDye", func(tx *store.Tx) (err error) {
		made, err = h.layPlan(tx, d, mark)
		return err
	})
	if err != nil {
		return nil, err
	}
	return made, nil
}

// layPlan makes the records of a plan, if what it was made from is as it was.
func (h *House) layPlan(tx *store.Tx, d DyeProposal, mark string) (made []Kept[Dyeing], _ error) {
	now, _, err := h.dyeWork(tx)
	switch {
	case err != nil:
		return nil, err
	case now.Mark != mark || d.Mark != mark:
		return nil, wrong("", "dye-plan-changed", nil)
	case len(d.Plan.Lots) == 0:
		return nil, wrong("", "dye-plan-empty", nil)
	}
	if err = h.giveWay(tx); err != nil {
		return nil, err
	}
	set, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	letters, err := lettersTaken(tx)
	if err != nil {
		return nil, err
	}
	byNumber := map[int]string{}
	for _, l := range inOrder(d.Plan.Lots) {
		k, err := h.layDyeing(tx, d, l, set.Value, letters, byNumber)
		if err != nil {
			return nil, err
		}
		made = append(made, k)
	}
	return made, nil
}

// inOrder puts lots behind those in whose bath they are dyed.
func inOrder(ls []dyelots.Lot) []dyelots.Lot {
	out := slices.Clone(ls)
	slices.SortStableFunc(out, func(a, b dyelots.Lot) int { return min(a.After, 1) - min(b.After, 1) })
	return out
}

// giveWay removes dyeings that have not begun, with the lots that waited for
// them. The history keeps them.
func (h *House) giveWay(tx *store.Tx) error {
	open, err := dyeings.list(tx, Page{State: string(DyePlanned)}, false)
	if err != nil {
		return err
	}
	for _, d := range open.Items {
		for _, f := range d.Value.For {
			if err := chooseLot(tx, f, d.Value.Lot, ""); err != nil {
				return err
			}
		}
		l, err := lots.get(tx, d.Value.Lot)
		if err != nil {
			return err
		}
		if err := tx.Remove(lots.name, l.ID, l.Revision); err != nil {
			return err
		}
		if err := tx.Remove(dyeings.name, d.ID, d.Revision); err != nil {
			return err
		}
	}
	return nil
}

// chooseLot changes the lot chosen for a yarn of a line, if it still is that one.
func chooseLot(tx *store.Tx, f DyeFor, was, now string) error {
	o, err := orders.get(tx, f.Order)
	if missing(err) {
		return nil // cancelled and gone
	}
	if err != nil {
		return err
	}
	for i := range o.Value.Lines {
		l := &o.Value.Lines[i]
		if l.ID != f.Line || l.Lots[f.Yarn] != was {
			continue
		}
		l.Lots = maps.Clone(l.Lots)
		if l.Lots == nil {
			l.Lots = map[string]string{}
		}
		if l.Lots[f.Yarn] = now; now == "" {
			delete(l.Lots, f.Yarn)
		}
		_, err = orders.put(tx, o)
	}
	return err
}

// layDyeing makes the record of one lot of the plan.
func (h *House) layDyeing(tx *store.Tx, d DyeProposal, l dyelots.Lot, set Settings, letters map[string]bool, byNumber map[int]string) (out Kept[Dyeing], _ error) {
	first := d.Want(l.Wants[0].Want)
	r := first.Recipe
	number, err := tx.Next("dyeing")
	if err != nil {
		return out, err
	}
	v := Dyeing{Number: number, Recipe: r.Key, Text: r.Text, Strength: l.Strength, Fibre: first.Fibre, Count: first.Count,
		Mass: l.Mass.Gram(), Skein: first.Skein, Dry: d.Day(l.Dry), After: byNumber[l.After], Standard: first.Wish.Colour}
	v.Label = r.Recipe.Name.In(set.Language) + " " + strconv.FormatInt(number, 10)
	for _, s := range l.Stages {
		day := DyeDay{Kind: dye.Kind(s.Stage), Day: d.Day(s.Day)}
		for _, b := range s.Baths {
			day.Pots = append(day.Pots, b.Pot)
		}
		v.Days = append(v.Days, day)
	}
	show := r.Recipe.Colour
	if v.Standard != nil {
		show = v.Standard.Show().SRGB.String()
	} else if c, unread := colour.ParseSRGB(show); unread == nil {
		lab := c.Lab()
		v.Standard = &lab
	}
	id := newID()
	lot, err := lots.put(tx, Kept[Lot]{Value: Lot{Label: v.Label, Letter: freeLetters(v.Label, letters), Colour: show, Fibre: v.Fibre, Count: v.Count,
		Skein: v.Skein, Waiting: true, Dye: LotDye{Dyeing: id, Recipe: v.Recipe, Strength: v.Strength, Standard: v.Standard}}})
	if err != nil {
		return out, err
	}
	v.Lot = lot.ID
	if v.From, err = yarnFor(tx, v); err != nil {
		return out, err
	}
	for _, part := range l.Wants {
		w := d.Want(part.Want)
		w.Mass = part.Mass.Gram()
		v.For = append(v.For, w.DyeFor)
		if err := chooseLot(tx, w.DyeFor, w.Refused, lot.ID); err != nil {
			return out, err
		}
	}
	byNumber[l.Number] = id
	return dyeings.put(tx, Kept[Dyeing]{ID: id, Value: v})
}

// yarnFor is the undyed lot of a dyeing's fibre and count of which there is most;
// empty if there is none.
func yarnFor(tx *store.Tx, d Dyeing) (string, error) {
	all, err := lotsOnShelf(tx)
	var best LotStock
	for _, l := range all {
		if l.Value.Dye.Undyed && l.Value.Fibre == d.Fibre && l.Value.Count == d.Count && l.OnShelf > best.OnShelf {
			best = l
		}
	}
	return best.ID, err
}

// lettersTaken are the letters of lots on the shelf and of those that wait.
func lettersTaken(tx *store.Tx) (map[string]bool, error) {
	all, err := lots.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	on, err := onShelf(tx)
	taken := map[string]bool{"": true}
	for _, k := range all.Items {
		if k.Value.Waiting || on[k.ID] > 0 {
			taken[k.Value.Letter] = true
		}
	}
	return taken, err
}

// freeLetters is the first letter of a name, with a figure or another of its
// letters behind it if it is taken.
func freeLetters(name string, taken map[string]bool) string {
	first, rest := "X", "23456789"
	for _, r := range strings.ToUpper(name) {
		if unicode.IsLetter(r) {
			first = string(r)
			break
		}
	}
	for r := 'A'; r <= 'Z'; r++ {
		rest += string(r)
	}
	out := first
	for i := 0; taken[out] && i < len(rest); i++ {
		out = first + rest[i:i+1]
	}
	taken[out] = true // of more than 35 with that letter two are alike
	return out
}
