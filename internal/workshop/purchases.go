package workshop

import (
	"context"
	"fmt"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// Buy puts what was bought or gathered on the shelf, with what it cost. A
// purchase without a supply makes one of v.
func (h *House) Buy(ctx context.Context, p Person, v Kept[Supply], b Purchase) (out Kept[Supply], _ error) {
	if err := allowed(p, "Buy"); err != nil {
		return v, err
	}
	ps := v.Value.check()
	trim(&b.Day, &b.From, &b.Note)
	if b.Day == "" {
		b.Day = h.today()
	}
	day(&ps, "bought", b.Day)
	short(&ps, "from", b.From, maxName)
	short(&ps, "purchase-note", b.Note, 2000)
	money(&ps, "cost", b.Cost)
	if !(b.Mass <= maxGrams && milligrams(b.Mass) > 0) {
		ps.Wrong("grams", "mass-out-of-range", check.Args{"value": b.Mass})
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	err := h.update(ctx, p, "Buy", func(tx *store.Tx) error {
		var err error
		if v.ID == "" {
			out, err = supplies.put(tx, v)
		} else {
			out, err = supplies.get(tx, v.ID)
		}
		if err != nil {
			return err
		}
		b.Supply = out.ID
		n, err := tx.Next("purchase")
		if err != nil {
			return err
		}
		k, err := purchases.put(tx, Kept[Purchase]{ID: fmt.Sprintf("%s.%06d", out.ID, n), Value: b})
		if err != nil {
			return err
		}
		if err = tx.Move(out.ID, milligrams(b.Mass), Outside, Shelf); err != nil {
			return err
		}
		return h.buy(tx, purchaseSource(k.ID), out.ID, out.Value.What, b.Cost, b.Paid)
	})
	if err != nil {
		return v, err
	}
	return out, nil
}

// purchaseSource is the name under which a purchase is in the books of money.
func purchaseSource(id string) string { return "purchase:" + id }

// lastBought is the purchase that was the last thing that happened to a supply;
// empty if something else was.
func lastBought(moves []Move, bought []Kept[Purchase]) (id string) {
	if n := len(moves); n == 0 || moves[n-1].From != Outside {
		return ""
	}
	for _, b := range bought { // their names count up
		id = max(id, b.ID)
	}
	return id
}

// UndoBuy takes back what was told of a purchase, if nothing happened to the supply
// since: it goes out as it came in.
func (h *House) UndoBuy(ctx context.Context, p Person, purchase string, revision int64) error {
	return h.update(ctx, p, "UndoBuy", func(tx *store.Tx) error {
		b, err := purchases.get(tx, purchase)
		if err != nil {
			return err
		}
		moves, err := tx.Moves(b.Value.Supply, "")
		if err != nil {
			return err
		}
		bought, err := purchases.list(tx, Page{Parent: b.Value.Supply}, false)
		if err != nil {
			return err
		}
		if lastBought(moves, bought.Items) != purchase {
			return wrong("", "undo-moved-on", nil)
		}
		if err = tx.Remove(purchases.name, purchase, revision); err != nil {
			return err
		}
		if err = h.unpost(tx, purchaseSource(purchase)); err != nil {
			return err
		}
		return tx.Move(b.Value.Supply, milligrams(b.Value.Mass), Shelf, Outside)
	})
}

// Spoil takes a supply off the shelf that is spoiled or used otherwise.
func (h *House) Spoil(ctx context.Context, p Person, id string, g measure.Gram) error {
	if !(g <= maxGrams && milligrams(g) > 0) {
		if err := allowed(p, "Spoil"); err != nil {
			return err
		}
		return wrong("grams", "mass-out-of-range", check.Args{"value": g})
	}
	return h.update(ctx, p, "Spoil", func(tx *store.Tx) error {
		s, err := supplies.get(tx, id)
		if err != nil {
			return err
		}
		if err := tx.Move(id, milligrams(g), Shelf, Waste); err != nil {
			return err
		}
		return h.use(tx, "supply:"+id, s.Value.What, []Moved{{id, milligrams(g), Shelf, Waste}}, nil)
	})
}
