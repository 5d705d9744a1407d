package workshop

import (
	"context"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// lentTo is what a member owes of advances at the end of a day ("": now).
func lentTo(tx *store.Tx, member, currency, day string) (Money, error) {
	out := Money{Currency: currency}
	lent, err := tx.Sums("member", books.Advances, member, "", day)
	for _, s := range lent {
		if s.Currency == currency {
			out.Minor = max(0, s.Debit-s.Credit)
		}
	}
	return out, err
}

// agreement is what a member owes of advances, and the share agreed on.
func agreement(tx *store.Tx, member, currency string) (a price.Agreement, err error) {
	if a.Owed, err = lentTo(tx, member, currency, ""); err != nil {
		return a, err
	}
	all, err := advances.list(tx, Page{Parent: member}, false)
	for _, k := range all.Items {
		if k.Value.Undone == "" {
			a.Share = k.Value.Share
		}
	}
	return a, err
}

// GiveAdvance lends a member on pay to come. The share that is agreed on holds from
// then on for all she owes.
func (h *House) GiveAdvance(ctx context.Context, p Person, v Advance, from string) (out Kept[Advance], _ error) {
	if err := allowed(p, "GiveAdvance"); err != nil {
		return out, err
	}
	trim(&v.At, &v.Note)
	var ps check.Problems
	short(&ps, "note", v.Note, 2000)
	if money(&ps, "amount", v.Amount); v.Amount.Minor <= 0 {
		ps.Wrong("amount", "amount-out-of-range", nil)
	}
	if !v.Share.IsPos() || v.Share.Cmp(price.PerCent(100).Decimal) > 0 {
		ps.Wrong("share", "repayment-share", check.Args{"value": v.Share})
	}
	if err := invalid(ps); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "GiveAdvance", func(tx *store.Tx) error {
		m, err := members.get(tx, v.Member)
		if err != nil {
			return wrong("member", "field-empty", nil)
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		if v.Amount, err = set.Value.own("amount", v.Amount); err != nil {
			return err
		}
		if err = cashBox(tx, "from", &from); err != nil {
			return err
		}
		v.At, v.Undone = h.today(), ""
		if out, err = advances.put(tx, Kept[Advance]{Value: v}); err != nil {
			return err
		}
		return h.postAs(tx, "advance:"+out.ID, books.Entry{Text: m.Value.Name, Lines: []books.Line{
			debit(books.Advances, v.Amount, map[string]string{"member": v.Member}), credit(from, v.Amount, nil)}})
	})
	return out, err
}

// UndoAdvance takes back an advance that was written down by mistake.
func (h *House) UndoAdvance(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "UndoAdvance", func(tx *store.Tx) error {
		k, err := advances.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Undone != "" {
			return wrong("", "nothing-to-undo", nil)
		}
		k.Revision, k.Value.Undone = revision, h.today()
		if _, err = advances.put(tx, k); err != nil {
			return err
		}
		return h.unpost(tx, "advance:"+id)
	})
}
