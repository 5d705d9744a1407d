package workshop

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/price"
	"urdir/yarn"
)

// Places material can be. What comes in comes from outside; what is lost or cut
// off goes to waste.
const (
	Outside = "outside"
	Shelf   = "shelf"
	Waste   = "waste"
)

// Bag is the place of what a member has for a warp.
func Bag(job string) string { return "bag:" + job }

// Woven is the place of the cloth a member gave back.
func Woven(job string) string { return "woven:" + job }

// InPiece is the place of what became a piece.
func InPiece(piece string) string { return "piece:" + piece }

func grams(mg int64) measure.Gram { return measure.Gram(float64(mg) / 1000) }

func milligrams(g measure.Gram) int64 { return int64(float64(g)*1000 + 0.5) }

// Move is material that went from one place to another.
type Move = store.Move

// Stock is what lies in a place.
type Stock = store.Stock

// LotStock is a lot and what there is of it.
type LotStock struct {
	Kept[Lot]
	OnShelf measure.Gram
	Out     measure.Gram // in bags and cloth not yet finished
	Worth   Money        // of all that is left, by the books; nothing if no cost is known. On the shelf's pages only
	Kilo    Money        // of it, on average; on a lot's page only
}

// Low says whether the lot is to be got again.
func (l LotStock) Low() bool { return l.Value.Reorder > 0 && l.OnShelf < l.Value.Reorder }

// Lots lists lots with what there is of each.
func (h *House) Lots(ctx context.Context, p Person, page Page) (out Listed[Lot], stock map[string]LotStock, _ error) {
	err := h.view(ctx, p, "Lots", func(tx *store.Tx) (err error) {
		if out, err = lots.list(tx, page, false); err != nil {
			return err
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		if stock, err = stocksOf(tx, out.Items...); err != nil {
			return err
		}
		worth, err := worthsOf(tx, set.Value.Currency, slices.Collect(maps.Keys(stock))...)
		for id, s := range stock {
			s.Worth = worth[id]
			stock[id] = s
		}
		return err
	})
	return out, stock, err
}

// stockOf is what there is of a lot, without what it is worth: most who ask only give
// it out.
func stockOf(tx *store.Tx, l Kept[Lot]) (LotStock, error) {
	all, err := stocksOf(tx, l)
	return all[l.ID], err
}

// stocksOf is that of several lots.
func stocksOf(tx *store.Tx, some ...Kept[Lot]) (map[string]LotStock, error) {
	out := map[string]LotStock{}
	var ids []string
	for _, l := range some {
		out[l.ID] = LotStock{Kept: l}
		ids = append(ids, l.ID)
	}
	held, err := tx.HeldOf(InPiece(""), ids...)
	for _, s := range held {
		l := out[s.Lot]
		switch {
		case s.Place == Shelf:
			l.OnShelf = grams(s.Milligrams)
		case strings.HasPrefix(s.Place, "bag:") || strings.HasPrefix(s.Place, "woven:"):
			l.Out += grams(s.Milligrams)
		}
		out[s.Lot] = l
	}
	return out, err
}

// value adds what a lot is worth.
func (l *LotStock) value(tx *store.Tx) error {
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	if l.Worth, err = worthOf(tx, l.ID, set.Value.Currency); err != nil {
		return err
	}
	mg, err := massOf(tx, l.ID, false)
	l.Kilo = price.Average(l.Worth, mg, 1_000_000)
	return err
}

// Lot gives a lot, what there is of it, and where it went.
func (h *House) Lot(ctx context.Context, p Person, id string) (out LotStock, moves []store.Move, _ error) {
	err := h.view(ctx, p, "Lot", func(tx *store.Tx) error {
		l, err := lots.get(tx, id)
		if err != nil {
			return err
		}
		if out, err = stockOf(tx, l); err != nil {
			return err
		}
		if err = out.value(tx); err != nil {
			return err
		}
		moves, err = tx.Moves(id, "")
		return err
	})
	return out, moves, err
}

// SaveLot keeps a lot.
func (h *House) SaveLot(ctx context.Context, p Person, v Kept[Lot]) (Kept[Lot], error) {
	if err := allowed(p, "SaveLot"); err != nil {
		return v, err
	}
	if err := invalid(v.Value.check()); err != nil {
		return v, err
	}
	return keepLot(ctx, h, p, v)
}

// check says what is wrong with a lot, and tidies it.
func (l *Lot) check() check.Problems {
	trim(&l.Label, &l.Letter, &l.Colour, &l.Fibre, &l.Count, &l.Dyed, &l.Note)
	l.Letter = strings.ToUpper(l.Letter)
	var ps check.Problems
	named(&ps, "label", l.Label)
	short(&ps, "letter", l.Letter, maxName)
	short(&ps, "note", l.Note, 2000)
	if !isColour(l.Colour) {
		ps.Wrong("colour", "colour-unread", check.Args{"text": l.Colour})
	}
	if len([]rune(l.Letter)) > 2 {
		ps.Wrong("letter", "letter-long", check.Args{"letter": l.Letter})
	}
	if l.Count != "" {
		if _, err := yarn.ParseCount(l.Count); err != nil {
			if ce, ok := errors.AsType[*yarn.CountError](err); ok {
				ps.Wrong("count", ce.Code, ce.Args())
			}
		}
	}
	if l.Fibre != "" && !yarn.KnownFibre(l.Fibre) {
		ps.Wrong("fibre", "fibre-unknown", check.Args{"fibre": l.Fibre, "known": strings.Join(yarn.Fibres(), ", ")})
	}
	day(&ps, "dyed", l.Dyed)
	weight(&ps, "skein", l.Skein)
	weight(&ps, "reorder", l.Reorder)
	return ps
}

// keepLot keeps a lot as a form gives it: of its dyeing a form only says whether
// it is to be dyed, and a colour chosen anew is by eye.
func keepLot(ctx context.Context, h *House, p Person, v Kept[Lot]) (out Kept[Lot], _ error) {
	err := h.update(ctx, p, "SaveLot", func(tx *store.Tx) error {
		if v.ID != "" {
			now, err := lots.get(tx, v.ID)
			if err != nil {
				return err
			}
			undyed := v.Value.Dye.Undyed
			v.Value.Dye = now.Value.Dye
			v.Value.Dye.Undyed = undyed
			if v.Value.Colour != now.Value.Colour {
				v.Value.Dye.Measured, v.Value.Dye.How = nil, ""
			}
		}
		var err error
		out, err = lots.put(tx, v)
		return err
	})
	if err != nil {
		return v, err
	}
	return out, nil
}

// Receive puts yarn that came in on the shelf, at what it cost with its freight, paid
// from an account; a cost of nothing is not known.
func (h *House) Receive(ctx context.Context, p Person, lot string, g measure.Gram, cost Money, from string) error {
	var ps check.Problems
	if money(&ps, "cost", cost); ps.Failed() {
		return cmp.Or(allowed(p, "Receive"), invalid(ps))
	}
	return h.shelf(ctx, p, "Receive", lot, g, Outside, Shelf, func(tx *store.Tx, l Kept[Lot]) error {
		return h.buy(tx, "lot:"+lot, lot, l.Value.Label, cost, from)
	})
}

// Discard takes yarn off the shelf that is lost, spoiled or used otherwise.
func (h *House) Discard(ctx context.Context, p Person, lot string, g measure.Gram) error {
	return h.shelf(ctx, p, "Discard", lot, g, Shelf, Waste, func(tx *store.Tx, l Kept[Lot]) error {
		return h.use(tx, "lot:"+lot, l.Value.Label, []Moved{{lot, milligrams(g), Shelf, Waste}}, nil)
	})
}

func (h *House) shelf(ctx context.Context, p Person, call, lot string, g measure.Gram, from, to string, then func(*store.Tx, Kept[Lot]) error) error {
	if err := allowed(p, call); err != nil {
		return err
	}
	if !(g <= maxGrams && milligrams(g) > 0) {
		return wrong("grams", "mass-out-of-range", check.Args{"value": g})
	}
	return h.update(ctx, p, call, func(tx *store.Tx) error {
		l, err := lots.get(tx, lot)
		if err != nil {
			return err
		}
		if err := tx.Move(lot, milligrams(g), from, to); err != nil {
			return err
		}
		return then(tx, l)
	})
}

// CheckBooks compares what every place holds with its moves; it gives a line
// for each difference, in English, for whoever looks after the server.
func (h *House) CheckBooks(ctx context.Context, p Person) (faults []string, err error) {
	err = h.view(ctx, p, "CheckBooks", func(tx *store.Tx) error {
		faults, err = tx.Check()
		return err
	})
	return faults, err
}
