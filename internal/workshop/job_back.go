package workshop

import (
	"cmp"
	"context"
	"math/bits"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// TakeBack takes a woven warp back: the cloth is weighed, the yarn left over
// goes to the shelf, and what is neither is waste. Every gram that was given
// out is accounted for.
func (h *House) TakeBack(ctx context.Context, p Person, id string, revision int64, woven measure.Gram, left map[string]measure.Gram) (Kept[Job], error) {
	return h.change(ctx, p, "TakeBack", id, revision, func(tx *store.Tx, v *JobView) error {
		switch v.Value.State() {
		case Waiting, Off:
			return wrong("", "job-not-in-work", nil)
		}
		if !(woven >= 0 && woven <= maxGrams) {
			return wrong("woven", "mass-out-of-range", check.Args{"value": woven})
		}
		back, err := moveAll(tx, left, Bag(id), Shelf)
		if err != nil {
			return err
		}
		used, err := tx.Held(Bag(id), "")
		if err != nil {
			return err
		}
		all := int64(0)
		for _, s := range used {
			all += s.Milligrams
		}
		if milligrams(woven) > all {
			return wrong("woven", "woven-too-heavy", check.Args{"woven": woven, "most": grams(all)})
		}
		cloth, err := moveShare(tx, used, milligrams(woven), Woven(id))
		if err != nil {
			return err
		}
		rest, err := tx.Held(Bag(id), "")
		if err != nil {
			return err
		}
		lost, err := moveShare(tx, rest, total(rest), Waste)
		if err != nil {
			return err
		}
		source := v.source()
		if err := h.use(tx, source, number(v.Value.Number)+" "+v.Value.Cloth, lost, map[string]string{"order": v.Value.Order, "product": v.Value.Cloth}); err != nil {
			return err
		}
		if err := h.wovenWork(tx, v, source); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: BackFact, At: h.today(), By: p.Name, Grams: woven,
			Moves: slices.Concat(back, cloth, lost)})
		return nil
	})
}

func total(held []store.Stock) (mg int64) {
	for _, s := range held {
		mg += s.Milligrams
	}
	return mg
}

// moveShare moves so many milligrams out of what is held, from each lot in
// proportion; the parts add up to the whole (largest remainders).
func moveShare(tx *store.Tx, held []store.Stock, mg int64, to string) (moved []Moved, err error) {
	all := total(held)
	if mg <= 0 || all == 0 {
		return nil, nil
	}
	parts := apportion(held, mg, all)
	for i, s := range held {
		if parts[i] == 0 {
			continue
		}
		if err := tx.Move(s.Lot, parts[i], s.Place, to); err != nil {
			return nil, err
		}
		moved = append(moved, Moved{s.Lot, parts[i], s.Place, to})
	}
	return moved, nil
}

// apportion divides mg over the stocks in proportion to what each holds.
func apportion(held []store.Stock, mg, all int64) []int64 {
	parts := make([]int64, len(held))
	order := make([]int, len(held))
	left := mg
	over := make([]uint64, len(held))
	for i, s := range held {
		hi, lo := bits.Mul64(uint64(s.Milligrams), uint64(mg)) // beyond 64 bits for a tonne of each of many lots
		part, rest := bits.Div64(hi, lo, uint64(all))
		parts[i], over[i], order[i] = int64(part), rest, i
		left -= parts[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(over[b], over[a]) })
	for _, i := range order[:left] {
		parts[i]++
	}
	return parts
}

// Paid tells that a member was paid for a warp, from an account.
func (h *House) Paid(ctx context.Context, p Person, id string, revision int64, pay Money, from string) (Kept[Job], error) {
	return h.change(ctx, p, "Paid", id, revision, func(tx *store.Tx, v *JobView) error {
		if v.Value.State() != Off || v.Value.Paid() {
			return wrong("pay", "job-not-payable", nil)
		}
		var ps check.Problems
		if money(&ps, "pay", pay); pay.Minor <= 0 {
			ps.Wrong("pay", "amount-out-of-range", nil)
		}
		if err := invalid(ps); err != nil {
			return err
		}
		if err := h.payJob(tx, v, pay, from); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: PaidFact, At: h.today(), By: p.Name, Pay: pay})
		return nil
	})
}
