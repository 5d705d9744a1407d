package workshop

import (
	"context"
	"errors"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// Jobs lists the warps in work: a member's own, everybody's for the others.
func (h *House) Jobs(ctx context.Context, p Person, page Page) (out Listed[Job], names map[string]string, _ error) {
	names = map[string]string{}
	err := h.view(ctx, p, "Jobs", func(tx *store.Tx) error {
		ms, err := members.list(tx, Page{}, false)
		if err != nil {
			return err
		}
		for _, m := range ms.Items {
			names[m.ID] = m.Value.Name
		}
		page.State = jobStates(page.State, ms.Items)
		if onlyOwn(p) {
			names = map[string]string{p.Member: names[p.Member]}
			page.State = heldStates(p.Member) + "," + string(Off) + ":" + p.Member
		}
		out, err = jobs.list(tx, page, true)
		return err
	})
	return out, names, err
}

// change reads a warp, lets f add to it, and keeps it.
func (h *House) change(ctx context.Context, p Person, call, id string, revision int64, f func(*store.Tx, *JobView) error) (out Kept[Job], _ error) {
	err := h.update(ctx, p, call, func(tx *store.Tx) error {
		v, err := h.job(tx, p, id)
		if err != nil {
			return err
		}
		v.Revision = revision
		if err = f(tx, &v); err != nil {
			return err
		}
		if out, err = jobs.put(tx, v.Kept); err != nil {
			return err
		}
		return h.settle(tx, v.Value.Order)
	})
	return out, err
}

// GiveOut gives a warp to a member: what she gets of each lot goes from the
// shelf into her bag.
func (h *House) GiveOut(ctx context.Context, p Person, id string, revision int64, member string, masses map[string]measure.Gram, pay Money) (Kept[Job], error) {
	return h.change(ctx, p, "GiveOut", id, revision, func(tx *store.Tx, v *JobView) error {
		if v.Value.State() != Waiting {
			return wrong("member", "job-taken", nil)
		}
		m, err := members.get(tx, member)
		if err != nil {
			return wrong("member", "field-empty", nil)
		}
		if m.Value.Away {
			return wrong("member", "member-away", check.Args{"name": m.Value.Name})
		}
		var ps check.Problems
		if money(&ps, "pay", pay); ps.Failed() {
			return invalid(ps)
		}
		if err = agreeable(tx, pay); err != nil {
			return err
		}
		for lot, g := range masses {
			var l Kept[Lot]
			if l, err = lots.get(tx, lot); err != nil {
				return err
			}
			if l.Value.Waiting && g > 0 {
				return wrong("grams."+lot, "lot-not-dyed", check.Args{"lot": l.Value.Label})
			}
			if (l.Value.Dye.Unjudged || l.Value.Dye.Rejected) && g > 0 {
				return wrong("grams."+lot, "lot-not-accepted", check.Args{"lot": l.Value.Label})
			}
		}
		moved, err := moveAll(tx, masses, Shelf, Bag(id))
		if err != nil {
			return err
		}
		v.Value.Member = member
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: GivenFact, At: h.today(), By: p.Name, Member: member, Pay: pay, Moves: moved})
		return nil
	})
}

// moveAll moves masses of lots, in the order of their names.
func moveAll(tx *store.Tx, masses map[string]measure.Gram, from, to string) (moved []Moved, err error) {
	ids := make([]string, 0, len(masses))
	for id := range masses {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		g := masses[id]
		if !(g >= 0 && g <= maxGrams) {
			return nil, wrong("grams."+id, "mass-out-of-range", check.Args{"value": g})
		}
		if _, err := lots.get(tx, id); err != nil {
			return nil, err
		}
		mg := milligrams(g)
		if mg == 0 {
			continue
		}
		if err := tx.Move(id, mg, from, to); err != nil {
			return nil, at("grams."+id, fromStore(err))
		}
		moved = append(moved, Moved{id, mg, from, to})
	}
	return moved, nil
}

// at says of an Error which field it is about.
func at(path string, err error) error {
	e, ok := errors.AsType[*Error](err)
	if !ok {
		return err
	}
	for i := range e.Problems {
		e.Problems[i].Path = path
	}
	return e
}

// Laid tells that a warp is on the frame, or dressed.
func (h *House) Laid(ctx context.Context, p Person, id string, revision int64) (Kept[Job], error) {
	return h.change(ctx, p, "Laid", id, revision, h.laidNow(p, ""))
}

// laidNow adds that a warp is laid; shown is what a telephone's clock showed when
// it was told there.
func (h *House) laidNow(p Person, shown string) func(*store.Tx, *JobView) error {
	return func(_ *store.Tx, v *JobView) error {
		if v.Value.State() != Given {
			return wrong("", "job-not-given", nil)
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: LaidFact, At: h.today(), By: p.Name, Shown: shown})
		return nil
	}
}

// Tell tells how much is woven, in cm on the loom or in whole bands of the
// first panel; bands of 0 means it was told in cm.
func (h *House) Tell(ctx context.Context, p Person, id string, revision int64, cm measure.CM, bands int) (Kept[Job], error) {
	return h.change(ctx, p, "Tell", id, revision, h.wovenNow(p, cm, bands, ""))
}

// wovenNow adds how much is woven; shown is what a telephone's clock showed when it
// was told there.
func (h *House) wovenNow(p Person, cm measure.CM, bands int, shown string) func(*store.Tx, *JobView) error {
	return func(_ *store.Tx, v *JobView) error {
		switch v.Value.State() {
		case Waiting, Off:
			return wrong("", "job-not-in-work", nil)
		}
		if bands != 0 {
			at, ok := bandEnd(v, bands)
			if !ok {
				return wrong("bands", "out-of-range", check.Args{"value": bands, "low": 1, "high": len(v.Made.Plan.Panels[v.Panels[0]].Bands)})
			}
			cm = at
		}
		if !(cm >= 0 && cm <= v.Value.Length*1.2) {
			return wrong("cm", "size-out-of-range", check.Args{"value": cm, "low": measure.CM(0), "high": v.Value.Length})
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: ToldFact, At: h.today(), By: p.Name, CM: cm, Shown: shown})
		return nil
	}
}

// bandEnd is where a band of the first panel ends, counted from 1.
func bandEnd(v *JobView, n int) (measure.CM, bool) {
	bs := v.Made.Plan.Panels[v.Panels[0]].Bands
	if n < 1 || n > len(bs) {
		return 0, false
	}
	end := measure.CM(0)
	for _, b := range bs[:n] {
		end = max(end, b.To)
	}
	return end, true
}
