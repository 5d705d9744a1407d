package workshop

import (
	"context"

	"urdir/check"
	"urdir/internal/store"
)

// Ware is one line of a price list: what is offered, to whom, at which price. It is
// what the workshop asks; what a piece should cost a quote reckons.
type Ware struct {
	Name  string
	List  string // for whom the list is; empty: the workshop's own
	Price Money
	From  string // date from which it holds, or empty
	Note  string
}

func (w *Ware) check() check.Problems {
	trim(&w.Name, &w.List, &w.From, &w.Note)
	var ps check.Problems
	named(&ps, "name", w.Name)
	short(&ps, "list", w.List, maxName)
	short(&ps, "note", w.Note, 2000)
	day(&ps, "from", w.From)
	money(&ps, "price", w.Price)
	if w.Price.Minor == 0 {
		ps.Wrong("price", "field-empty", nil)
	}
	return ps
}

// Wares lists what price lists offer, list by list.
func (h *House) Wares(ctx context.Context, p Person, page Page) (Listed[Ware], error) {
	return many(ctx, h, p, "Wares", wares, page, false)
}

// SaveWare keeps a line of a price list.
func (h *House) SaveWare(ctx context.Context, p Person, v Kept[Ware]) (Kept[Ware], error) {
	if err := allowed(p, "SaveWare"); err != nil {
		return v, err
	}
	if err := invalid(v.Value.check()); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveWare", wares, v)
}

// DropWare takes a line off a price list.
func (h *House) DropWare(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "DropWare", func(tx *store.Tx) error {
		if _, err := wares.get(tx, id); err != nil {
			return err
		}
		return tx.Remove(wares.name, id, revision)
	})
}
