package workshop

import (
	"context"

	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
)

// JobView is a warp in work with its plan.
type JobView struct {
	Kept[Job]
	Member Kept[Member]
	Made   Planned
	Warp   *plan.WarpPlan
	Bag    []store.Stock // what its member has
	Needs  []LotNeed     // what one laying takes
	Lots   map[string]Kept[Lot]
	Panels []int // indices of the plan's panels woven on it
}

// LotNeed is how much of a lot one laying takes.
type LotNeed struct {
	Yarn, Lot string
	Mass      measure.Gram
}

// Job gives a warp in work; a member only her own.
func (h *House) Job(ctx context.Context, p Person, id string) (out JobView, err error) {
	err = h.view(ctx, p, "Job", func(tx *store.Tx) error {
		out, err = h.job(tx, p, id)
		return err
	})
	return out, err
}

func (h *House) job(tx *store.Tx, p Person, id string) (out JobView, err error) {
	if out.Kept, err = jobs.get(tx, id); err != nil {
		return out, err
	}
	if onlyOwn(p) && (p.Member == "" || out.Value.Member != p.Member) {
		return JobView{}, &Error{Code: NotFound}
	}
	if out.Value.Member != "" {
		if out.Member, err = members.get(tx, out.Value.Member); err != nil {
			return out, err
		}
	}
	o, err := orders.get(tx, out.Value.Order)
	if err != nil {
		return out, err
	}
	l, err := h.line(tx, o, o.Value.line(out.Value.Line), nil)
	if err != nil {
		return out, err
	}
	out.Made = l.Made
	out.Warp = out.Made.Plan.Warp(out.Value.Warp)
	if out.Warp == nil {
		return out, &Error{Code: NotFound}
	}
	out.Panels = panelsOn(out.Made.Plan, out.Value.Warp)
	out.Lots = map[string]Kept[Lot]{}
	for _, w := range l.Wants {
		if w.Lot.ID != "" {
			out.Lots[w.Lot.ID] = w.Lot.Kept
		}
	}
	out.Needs = needsOf(out.Made.Plan, out.Value, l.Lots)
	out.Bag, err = tx.Held(Bag(id), "")
	return out, err
}

// line finds a line of an order.
func (o Order) line(id string) Line {
	for _, l := range o.Lines {
		if l.ID == id {
			return l
		}
	}
	return Line{}
}

// panelsOn are the indices of a plan's panels that are woven on a warp.
func panelsOn(p plan.Plan, warp string) (out []int) {
	for i, pan := range p.Panels {
		if pan.Warp == warp {
			out = append(out, i)
		}
	}
	return out
}

// needsOf is what one laying takes of each yarn: its ends, and its part of the
// weft and the figures, with the spare.
func needsOf(p plan.Plan, j Job, chosen map[string]string) []LotNeed {
	w := p.Warp(j.Warp)
	if w == nil {
		return nil
	}
	mass := map[string]measure.Gram{}
	for _, y := range w.Yarns {
		mass[y.Yarn] += y.Mass
	}
	for _, i := range panelsOn(p, j.Warp) {
		pan := p.Panels[i]
		times := measure.Gram(float64(pan.Count*p.Pieces) / float64(w.Layings))
		for _, b := range pan.Bands {
			mass[b.Weft] += b.WeftMass * times
			if b.Figure == nil {
				continue
			}
			for _, u := range b.Figure.Yarns {
				mass[u.Yarn] += p.Yarn(u.Yarn).Tex.Mass(u.Length) * times
			}
		}
	}
	var out []LotNeed
	for _, y := range p.Yarns {
		if m := mass[y.Key]; m > 0 {
			out = append(out, LotNeed{y.Key, chosen[y.Key], m * measure.Gram(1+p.Spare())})
		}
	}
	return out
}
