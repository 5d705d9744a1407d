package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
)

// Orders lists orders, the last first.
func (h *House) Orders(ctx context.Context, p Person, page Page) (out Listed[Order], names map[string]string, err error) {
	names = map[string]string{}
	err = h.view(ctx, p, "Orders", func(tx *store.Tx) error {
		if out, err = orders.list(tx, page, true); err != nil {
			return err
		}
		for _, o := range out.Items {
			if c, missing := customers.get(tx, o.Value.Customer); missing == nil {
				names[o.Value.Customer] = c.Value.Name
			}
		}
		return nil
	})
	return out, names, err
}

// OrderView is an order with all that belongs to it.
type OrderView struct {
	Kept[Order]
	Customer Kept[Customer]
	Lines    []LineView
	Jobs     []Kept[Job]
	Pieces   []Kept[Piece]
	Thread   Thread
}

// LineView is a line with its cloth and plan.
type LineView struct {
	Line
	Cloth   Kept[Cloth]
	Made    Planned // as frozen, or of the line's version if not confirmed
	Frozen  bool
	Newest  int      // version of the cloth now
	Changes []Change // between the frozen plan and one of the newest version
	Wants   []Want   // the yarns of the plan and the lots chosen for them
}

// Want is a yarn a line needs.
type Want struct {
	Yarn   string
	Need   plan.YarnNeed
	Lot    LotStock // zero if none is chosen
	Enough bool     // what lies on the shelf will do for what is not given out yet
}

// Order gives an order with everything that belongs to it.
func (h *House) Order(ctx context.Context, p Person, id string) (out OrderView, err error) {
	err = h.view(ctx, p, "Order", func(tx *store.Tx) error {
		out, err = h.order(tx, id)
		return err
	})
	return out, err
}

func (h *House) order(tx *store.Tx, id string) (out OrderView, err error) {
	if out.Kept, err = orders.get(tx, id); err != nil {
		return out, err
	}
	if out.Value.Customer != "" {
		if out.Customer, err = customers.get(tx, out.Value.Customer); err != nil {
			return out, err
		}
	}
	js, err := jobs.list(tx, Page{Parent: id}, false)
	if err != nil {
		return out, err
	}
	ps, err := pieces.list(tx, Page{Parent: id}, false)
	if err != nil {
		return out, err
	}
	out.Jobs, out.Pieces = js.Items, ps.Items
	for _, l := range out.Value.Lines {
		v, err := h.line(tx, out.Kept, l, out.Jobs)
		if err != nil {
			return out, err
		}
		out.Lines = append(out.Lines, v)
	}
	out.Thread = threadOf(out)
	return out, nil
}

// line gathers what belongs to a line; the order's warps tell how much of its
// yarn is still to be given out.
func (h *House) line(tx *store.Tx, o Kept[Order], l Line, js []Kept[Job]) (v LineView, err error) {
	v = LineView{Line: l}
	if v.Cloth, err = cloths.get(tx, l.Cloth); err != nil {
		return v, err
	}
	v.Newest = v.Cloth.Value.Version
	ver, err := versions.get(tx, versionID(l.Cloth, l.Version))
	if err != nil {
		return v, err
	}
	s, err := h.sheet(tx, ver.Value.Text, o.Value, l)
	if err != nil {
		return v, err
	}
	if o.Value.Confirmed != "" {
		var f Kept[Frozen]
		if f, err = frozens.get(tx, o.ID+"."+l.ID); err != nil {
			return v, err
		}
		// Lots may still be chosen after confirming; the rest stays as it was.
		f.Value.Sheet.Lots = s.Lots
		v.Frozen, v.Made = true, h.plans.plan(f.Value.Sheet)
		if v.Newest != l.Version {
			s.Text = v.Cloth.Value.Text
			if now := h.plans.plan(s); !now.Failed() && !v.Made.Failed() {
				v.Changes = Changes(v.Made.Plan, now.Plan)
			}
		}
	} else {
		v.Made = h.plans.plan(s)
	}
	v.Wants, err = h.wants(tx, v, js)
	return v, err
}

// wants lists the yarns of a line with the lots chosen.
func (h *House) wants(tx *store.Tx, v LineView, js []Kept[Job]) (out []Want, err error) {
	rest := toGive(v, js)
	for _, y := range v.Made.Plan.Yarns {
		w := Want{Yarn: y.Key, Need: y}
		if id := v.Lots[y.Key]; id != "" {
			lot, err := lots.get(tx, id)
			if err != nil {
				return nil, err
			}
			if w.Lot, err = stockOf(tx, lot); err != nil {
				return nil, err
			}
			w.Enough = milligrams(w.Lot.OnShelf) >= milligrams(rest[y.Key]) && !w.Lot.Value.Dye.Rejected
		}
		out = append(out, w)
	}
	return out, nil
}

// toGive is how much of each yarn a line takes that is not given out yet.
func toGive(v LineView, js []Kept[Job]) map[string]measure.Gram {
	rest := map[string]measure.Gram{}
	if !v.Frozen {
		for _, y := range v.Made.Plan.Yarns {
			rest[y.Key] = y.Mass
		}
		return rest
	}
	for _, j := range js {
		if j.Value.Line != v.ID || j.Value.State() != Waiting {
			continue
		}
		for _, n := range needsOf(v.Made.Plan, j.Value, nil) {
			rest[n.Yarn] += n.Mass
		}
	}
	return rest
}

// SaveOrder keeps an order that is not confirmed yet; after that only its
// wishes and its date change.
func (h *House) SaveOrder(ctx context.Context, p Person, v Kept[Order]) (out Kept[Order], err error) {
	if err = allowed(p, "SaveOrder"); err != nil {
		return v, err
	}
	o := &v.Value
	trim(&o.Due, &o.Taken, &o.Wishes)
	o.Lines = slices.Clone(o.Lines) // the caller's stay hers
	if o.Taken == "" {
		o.Taken = h.today()
	}
	ps := o.check()
	if err = invalid(ps); err != nil {
		return v, err
	}
	err = h.update(ctx, p, "SaveOrder", func(tx *store.Tx) error {
		var ps check.Problems
		if v.ID != "" {
			var now Kept[Order]
			if now, err = orders.get(tx, v.ID); err != nil {
				return err
			}
			if now.Value.Cancelled != "" {
				return wrong("", "order-cancelled", nil)
			}
			o.keep(now.Value)
		} else {
			o.keep(Order{})
			if o.Number, err = tx.Next("order"); err != nil {
				return err
			}
		}
		if _, missing := customers.get(tx, o.Customer); missing != nil {
			ps.Wrong("customer", "field-empty", nil)
		}
		for i := range o.Lines {
			c, missing := cloths.get(tx, o.Lines[i].Cloth)
			if missing != nil {
				ps.Wrong(fmt.Sprintf("lines[%d].cloth", i), "field-empty", nil)
				continue
			}
			l := &o.Lines[i]
			if l.Version == 0 {
				l.Version = c.Value.Version
			}
			if l.Version < 1 || l.Version > c.Value.Version {
				ps.Wrong(fmt.Sprintf("lines[%d].version", i), "out-of-range", check.Args{"value": l.Version, "low": 1, "high": c.Value.Version})
			}
		}
		if err = invalid(ps); err != nil {
			return err
		}
		if out, err = orders.put(tx, v); err != nil {
			return err
		}
		return h.bookDeposit(tx, out, "")
	})
	if err != nil {
		return v, err
	}
	return out, nil
}

// keep leaves to an order what is not for SaveOrder to change.
func (o *Order) keep(now Order) {
	o.Number, o.Confirmed, o.Cancelled, o.Done = now.Number, now.Confirmed, now.Cancelled, now.Done
	o.Class, o.Promise = now.Class, now.Promise
	if o.Confirmed != "" {
		o.Lines, o.Customer = now.Lines, now.Customer
	}
	for i := range o.Lines {
		was := now.line(o.Lines[i].ID)
		o.Lines[i].Lots, o.Lines[i].Dye = was.Lots, was.Dye
	}
}

// check finds what is wrong with an order by itself, and names its lines.
func (o *Order) check() (ps check.Problems) {
	day(&ps, "taken", o.Taken)
	day(&ps, "due", o.Due)
	if !ps.Failed() && o.Due != "" && o.Due < o.Taken {
		ps.Wrong("due", "order-due-early", check.Args{"due": o.Due, "taken": o.Taken})
	}
	short(&ps, "wishes", o.Wishes, 4000)
	if o.Customer == "" {
		ps.Wrong("customer", "field-empty", nil)
	}
	if len(o.Lines) > maxLines {
		ps.Wrong("lines", "parts-too-many", check.Args{"count": len(o.Lines), "most": maxLines})
	}
	money(&ps, "deposit", o.Deposit)
	seen := map[string]bool{"": true}
	for i := range o.Lines {
		l, at := &o.Lines[i], fmt.Sprintf("lines[%d]", i)
		if seen[l.ID] || !plain(l.ID) {
			l.ID = fmt.Sprintf("%02d%s", i, newID()[:6])
		}
		seen[l.ID] = true
		l.Wishes = strings.TrimSpace(l.Wishes)
		short(&ps, at+".wishes", l.Wishes, 2000)
		if l.Quantity < 1 || l.Quantity > maxPieces {
			ps.Wrong(at+".quantity", "out-of-range", check.Args{"value": l.Quantity, "low": 1, "high": maxPieces})
		}
	}
	return ps
}

// ConfirmOrder freezes the plan of every line and makes the warps and pieces
// that follow from it. It refuses cloths that cannot be planned and figures
// that may not be sold.
func (h *House) ConfirmOrder(ctx context.Context, p Person, id string, revision int64) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "ConfirmOrder", func(tx *store.Tx) error {
		o, err := orders.get(tx, id)
		if err != nil {
			return err
		}
		o.Revision = revision
		switch {
		case o.Value.Confirmed != "":
			return wrong("", "order-confirmed", nil)
		case o.Value.Cancelled != "":
			return wrong("", "order-cancelled", nil)
		case len(o.Value.Lines) == 0:
			return wrong("lines", "order-no-lines", nil)
		}
		o.Value.Confirmed = h.today()
		if out, err = orders.put(tx, o); err != nil {
			return err
		}
		for _, l := range o.Value.Lines {
			made, err := h.freeze(tx, o, l)
			if err != nil {
				return err
			}
			if err := h.layOut(tx, o, l, made); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}

// layOut makes the warps and pieces of a line.
func (h *House) layOut(tx *store.Tx, o Kept[Order], l Line, p plan.Plan) error {
	for _, w := range p.Warps {
		for n := 1; n <= w.Layings; n++ {
			_, err := jobs.put(tx, Kept[Job]{Value: Job{Order: o.ID, Line: l.ID, Number: o.Value.Number, Warp: w.Key,
				Laying: n, Layings: w.Layings, Cloth: p.Name, Length: w.Length.Panels}})
			if err != nil {
				return err
			}
		}
	}
	for n := 1; n <= l.Quantity; n++ {
		number, err := tx.Next("piece")
		if err != nil {
			return err
		}
		_, err = pieces.put(tx, Kept[Piece]{Value: Piece{Number: number, Order: o.ID, Line: l.ID, OrderNumber: o.Value.Number,
			Cloth: p.Name, N: n, Of: l.Quantity}})
		if err != nil {
			return err
		}
	}
	return nil
}

// CancelOrder ends an order of which no yarn is out any more.
func (h *House) CancelOrder(ctx context.Context, p Person, id string, revision int64) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "CancelOrder", func(tx *store.Tx) error {
		o, err := h.order(tx, id)
		if err != nil {
			return err
		}
		if o.Value.Cancelled != "" {
			return wrong("", "order-cancelled", nil)
		}
		for _, j := range o.Jobs {
			if j.Value.State() != Waiting {
				return wrong("", "order-in-work", check.Args{"warp": j.Value.Warp})
			}
		}
		o.Revision, o.Value.Cancelled = revision, h.today()
		if out, err = orders.put(tx, o.Kept); err != nil {
			return err
		}
		for _, j := range o.Jobs {
			if err := tx.Remove(jobs.name, j.ID, j.Revision); err != nil {
				return err
			}
		}
		for _, x := range o.Pieces {
			if err := tx.Remove(pieces.name, x.ID, x.Revision); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}

// ChooseLots says which lot each yarn of a line is taken from.
func (h *House) ChooseLots(ctx context.Context, p Person, id, line string, revision int64, chosen map[string]string) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "ChooseLots", func(tx *store.Tx) error {
		o, err := orders.get(tx, id)
		if err != nil {
			return err
		}
		o.Revision = revision
		found := false
		for i := range o.Value.Lines {
			if o.Value.Lines[i].ID != line {
				continue
			}
			found = true
			o.Value.Lines[i].Lots = map[string]string{}
			for yarn, lot := range chosen {
				if lot == "" {
					continue
				}
				if _, err = lots.get(tx, lot); err != nil {
					return err
				}
				o.Value.Lines[i].Lots[yarn] = lot
			}
		}
		if !found {
			return &Error{Code: NotFound}
		}
		out, err = orders.put(tx, o)
		return err
	})
	return out, err
}
