package workshop

import (
	"context"
	"maps"
	"slices"
	"sort"

	"urdir/colour"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
)

// Instead is a cloth as it is, and with another lot for one of its yarns.
type Instead struct {
	Cloth  Kept[Cloth]
	Order  Kept[Order] // of the line; zero if only a cloth is looked at
	Line   Line
	Yarns  []plan.YarnNeed // of the cloth as it is
	Lots   []LotStock      // on the shelf: of the yarn's fibre and count first
	Yarn   plan.YarnNeed   // in question; zero while none is chosen
	Lot    LotStock        // in its place; zero while none is chosen
	Was    Planned
	Now    Planned
	Alike  bool // the lot is of the yarn's fibre and count
	Need   measure.Gram
	Pieces int           // that there is enough of the lot for
	Apart  colour.DeltaE // the lot from the yarn as it is
	Ways   []colour.Way
}

// Chosen says whether there are two to be looked at.
func (n Instead) Chosen() bool {
	return n.Yarn.Key != "" && n.Lot.ID != "" && !n.Was.Failed() && !n.Now.Failed()
}

// mostEnough is up to how many pieces it is told that yarn is enough for.
const mostEnough = 200

// LotInCloth shows a version of a cloth (0: the newest) with a lot for one of its
// yarns; both may be left out, to be chosen.
func (h *House) LotInCloth(ctx context.Context, p Person, cloth string, version int, yarn, lot string) (out Instead, _ error) {
	err := h.view(ctx, p, "LotInCloth", func(tx *store.Tx) (err error) {
		if out.Cloth, err = cloths.get(tx, cloth); err != nil {
			return err
		}
		if version == 0 {
			version = out.Cloth.Value.Version
		}
		v, err := versions.get(tx, versionID(cloth, version))
		if err != nil {
			return err
		}
		out.Line = Line{Cloth: cloth, Version: version}
		s, err := h.sheet(tx, v.Value.Text, Order{}, out.Line)
		if err != nil {
			return err
		}
		return h.instead(tx, &out, s, yarn, lot)
	})
	return out, err
}

// LotInOrder shows a line of an order with a lot for one of its yarns.
func (h *House) LotInOrder(ctx context.Context, p Person, order, line, yarn, lot string) (out Instead, _ error) {
	err := h.view(ctx, p, "LotInOrder", func(tx *store.Tx) error {
		o, err := h.order(tx, order)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(o.Lines, func(l LineView) bool { return l.ID == line })
		if at < 0 {
			return &Error{Code: NotFound}
		}
		l := o.Lines[at]
		out.Order, out.Line, out.Cloth = o.Kept, l.Line, l.Cloth
		s, err := h.sheetOf(tx, o.Kept, l.Line)
		if err != nil {
			return err
		}
		return h.instead(tx, &out, s, yarn, lot)
	})
	return out, err
}

// sheetOf is what a line of an order is planned from: as it was confirmed, with
// the lots chosen since.
func (h *House) sheetOf(tx *store.Tx, o Kept[Order], l Line) (Sheet, error) {
	v, err := versions.get(tx, versionID(l.Cloth, l.Version))
	if err != nil {
		return Sheet{}, err
	}
	s, err := h.sheet(tx, v.Value.Text, o.Value, l)
	if err != nil || o.Value.Confirmed == "" {
		return s, err
	}
	f, err := frozens.get(tx, o.ID+"."+l.ID)
	f.Value.Sheet.Lots = s.Lots
	return f.Value.Sheet, err
}

// instead plans a sheet as it is and with the lot, and reckons what differs.
func (h *House) instead(tx *store.Tx, out *Instead, s Sheet, yarn, lot string) error {
	out.Was = h.plans.plan(s)
	if out.Was.Failed() {
		return nil
	}
	out.Yarns = slices.DeleteFunc(slices.Clone(out.Was.Plan.Yarns), func(y plan.YarnNeed) bool { return y.Mass == 0 })
	for _, y := range out.Yarns {
		if y.Key == yarn {
			out.Yarn = y
		}
	}
	if yarn != "" && out.Yarn.Key == "" {
		return &Error{Code: NotFound}
	}
	if err := out.shelf(tx); err != nil {
		return err
	}
	if lot == "" || out.Yarn.Key == "" {
		return nil
	}
	l, err := lots.get(tx, lot)
	if err != nil {
		return err
	}
	if out.Lot, err = stockOf(tx, l); err != nil {
		return err
	}
	now := Lot{Colour: out.Yarn.Colour}.Lab()
	if was, ok := s.Lots[yarn]; ok {
		now = was.Lab()
	}
	out.Apart, out.Ways = colour.Difference(now, l.Value.Lab()), colour.WaysOf(now, l.Value.Lab())
	out.Alike = out.Like(l.Value)
	s.Lots = maps.Clone(s.Lots)
	s.Lots[yarn] = l.Value
	out.Now, out.Need, out.Pieces = h.plans.plan(s), out.Yarn.Mass, s.enough(yarn, out.Lot.OnShelf)
	return nil
}

// enough is for how many pieces there is enough of a yarn, found by planning them.
func (s Sheet) enough(yarn string, have measure.Gram) int {
	need := func(pieces int) measure.Gram {
		s.Quantity = pieces
		made := s.Make()
		for _, y := range made.Plan.Yarns {
			if y.Key == yarn && !made.Failed() {
				return y.Mass
			}
		}
		return maxGrams // so many cannot be planned at once
	}
	return sort.Search(mostEnough, func(n int) bool { return milligrams(need(n+1)) > milligrams(have) })
}

// Like says whether a lot is of the yarn's fibre and count; where one of the two
// says nothing it is not known to differ.
func (n Instead) Like(l Lot) bool {
	same := func(a, b string) bool { return a == "" || b == "" || a == b }
	return same(l.Fibre, n.Yarn.Fibre) && same(l.Count, n.Yarn.Count)
}

// shelf gathers the lots there are, those like the yarn first.
func (n *Instead) shelf(tx *store.Tx) error {
	var err error
	n.Lots, err = lotsOnShelf(tx)
	slices.SortStableFunc(n.Lots, func(a, b LotStock) int {
		switch x, y := n.Like(a.Value), n.Like(b.Value); {
		case x == y:
			return 0
		case x:
			return -1
		}
		return 1
	})
	return err
}
