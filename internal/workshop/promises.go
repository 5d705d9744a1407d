package workshop

import (
	"context"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/schedule/promise"
)

// GivePromise keeps that a day was promised for an order, and with which
// probability; it becomes the day the order is due.
func (h *House) GivePromise(ctx context.Context, p Person, order string, revision int64, date string, probability measure.Ratio) (out Kept[Promise], _ error) {
	trim(&date)
	err := h.update(ctx, p, "GivePromise", func(tx *store.Tx) error {
		o, err := orders.get(tx, order)
		if err != nil {
			return err
		}
		var ps check.Problems
		if day(&ps, "day", date); date == "" {
			ps.Wrong("day", "field-empty", nil)
		} else if !ps.Failed() && date < h.today() {
			ps.Wrong("day", "promise-past", check.Args{"day": date})
		}
		if !(probability > 0 && probability < 1) {
			ps.Wrong("probability", "promise-probability", nil)
		}
		if o.Value.Cancelled != "" || o.Value.Done != "" {
			ps.Wrong("", "promise-done", nil)
		}
		if err = invalid(ps); err != nil {
			return err
		}
		out, err = promises.put(tx, Kept[Promise]{Value: Promise{Order: order, Number: o.Value.Number, Day: date, Probability: probability, Given: h.now(), By: p.Name}})
		if err != nil {
			return err
		}
		o.Revision, o.Value.Due, o.Value.Promise = revision, date, out.ID
		_, err = orders.put(tx, o)
		return err
	})
	return out, err
}

// PromiseView is a promise and what became of it.
type PromiseView struct {
	Kept[Promise]
	Ready string // date on which the order was ready; empty: not yet
	Over  bool   // its day is past, so that it can be compared
	Late  int    // days; early is below zero; of one that is not ready: up to today
}

// Promises gives the promises of an order, the last first, or of all if none is
// named.
func (h *House) Promises(ctx context.Context, p Person, order string, page Page) (out []PromiseView, next string, _ error) {
	err := h.view(ctx, p, "Promises", func(tx *store.Tx) error {
		page.Parent = order
		l, err := promises.list(tx, page, true)
		if err != nil {
			return err
		}
		next = l.Next
		for _, k := range l.Items {
			v, err := h.promise(tx, k)
			if err != nil {
				return err
			}
			out = append(out, v)
		}
		return nil
	})
	return out, next, err
}

func (h *House) promise(tx *store.Tx, k Kept[Promise]) (v PromiseView, err error) {
	v = PromiseView{Kept: k, Over: k.Value.Day < h.today()}
	if v.Ready, err = readyOn(tx, k.Value.Order); err != nil {
		return v, err
	}
	until := v.Ready
	if until == "" {
		until = h.today()
	}
	v.Late = daysBetween(k.Value.Day, until)
	return v, nil
}

// readyOn is the date on which the last piece of an order was finished, or its
// class was held; empty if some are not.
func readyOn(tx *store.Tx, order string) (last string, _ error) {
	o, err := orders.get(tx, order)
	if err != nil {
		return "", err
	}
	if c := o.Value.Class; c != nil {
		return c.Day, nil
	}
	ps, err := pieces.list(tx, Page{Parent: order}, false)
	for _, x := range ps.Items {
		first := slices.IndexFunc(x.Value.Facts, func(f Fact) bool { return f.Kind == FinishedFact })
		if first < 0 {
			return "", err
		}
		last = max(last, x.Value.Facts[first].At)
	}
	return last, err
}

// LateOrders says which of some orders should have been ready by now and are not.
func (h *House) LateOrders(ctx context.Context, p Person, some []Kept[Order]) (map[string]bool, error) {
	out := map[string]bool{}
	err := h.view(ctx, p, "LateOrders", func(tx *store.Tx) error {
		for _, o := range some {
			if v := o.Value; !h.late(v.Due) || v.Confirmed == "" || v.Cancelled != "" || v.Done != "" {
				continue
			}
			ready, err := readyOn(tx, o.ID)
			if err != nil {
				return err
			}
			out[o.ID] = ready == ""
		}
		return nil
	})
	return out, err
}

// KeptRecord is how a number of promises were kept.
type KeptRecord = promise.Record

// PromisesKept compares the promises whose day is past with what happened. Those
// of cancelled orders are left out: nobody waited for them.
func (h *House) PromisesKept(ctx context.Context, p Person) (out promise.Calibration, _ error) {
	var past []promise.Past
	err := h.view(ctx, p, "PromisesKept", func(tx *store.Tx) error {
		l, err := promises.list(tx, Page{}, true)
		if err != nil {
			return err
		}
		for _, k := range l.Items {
			if k.Value.Day >= h.today() {
				continue
			}
			o, err := orders.get(tx, k.Value.Order)
			if err != nil {
				return err
			}
			if o.Value.Cancelled != "" {
				continue
			}
			v, err := h.promise(tx, k)
			if err != nil {
				return err
			}
			past = append(past, promise.Past{Probability: k.Value.Probability, Late: v.Late})
		}
		return nil
	})
	if err != nil {
		return out, err
	}
	out, ps := promise.Calibrate(past)
	return out, invalid(ps)
}
