package workshop

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// ClassView is a class with what must be ready for it by when.
type ClassView struct {
	OrderView
	Teacher  Kept[Member] // who was chosen; without a record: whoever teaches
	Gives    string       // name of who gives it in the timetable
	Kits     int          // warps for its learners
	From     string       // date from which it is prepared
	Tasks    []Task       // of its preparing and itself, by when they must be done
	Hands    int          // minutes of preparing
	Teaching measure.Minute
	Problems check.Problems // what is in the way, and what is to be looked at
	Over     bool
	Names    map[string]string // of members, by record
}

// Class gives a class with its preparing, as the timetable has it.
func (h *House) Class(ctx context.Context, p Person, id string) (out ClassView, _ error) {
	var t Timetable
	err := h.view(ctx, p, "Class", func(tx *store.Tx) (err error) {
		if out.OrderView, err = h.order(tx, id); err != nil {
			return err
		}
		c := out.Value.Class
		if c == nil {
			return wrong("", "class-none", nil)
		}
		out.Over, out.From = c.Day < h.today(), dayAfter(c.Day, -c.ahead())
		out.Teaching = measure.Minute(c.To - c.From)
		if c.Teacher != "" {
			if out.Teacher, err = members.get(tx, c.Teacher); err != nil {
				return err
			}
		}
		t, err = h.timetable(tx, promiseSchedules, time.Time{})
		return err
	})
	if err != nil || out.Over || out.Value.Cancelled != "" || out.Value.Done != "" {
		return out, err
	}
	o := out.OrderView
	if o.Value.Confirmed == "" {
		layOutDraft(&o)
	}
	out.Kits, out.Names = len(o.Jobs), t.Names
	out.prepare(t, o)
	return out, nil
}

// prepare tells what is done for the class by when, in the timetable it stands in
// or would stand in.
func (out *ClassView) prepare(t Timetable, o OrderView) {
	for _, l := range t.Left {
		if l.ID == o.ID {
			out.Problems = l.Problems
			return
		}
	}
	if !t.has(o.ID) {
		joined, err := t.joined(o)
		if e, ok := errors.AsType[*Error](err); ok {
			out.Problems = e.Problems
			return
		}
		t = joined
	}
	out.Problems = t.works.classProblems(o)
	for _, k := range t.Tasks {
		if !slices.Contains(k.Orders, o.ID) {
			continue
		}
		out.Tasks = append(out.Tasks, k)
		if k.Kind == ClassTask {
			out.Gives = t.Names[k.Member]
		} else {
			out.Hands += k.Minutes
		}
	}
	slices.SortStableFunc(out.Tasks, func(a, b Task) int { return cmp.Or(a.End.Compare(b.End), cmp.Compare(a.Key, b.Key)) })
}

// Classes lists the classes to come and those that are not closed yet, by day, with
// the names of who asked for them.
func (h *House) Classes(ctx context.Context, p Person) (out []Kept[Order], names map[string]string, _ error) {
	names = map[string]string{}
	err := h.view(ctx, p, "Classes", func(tx *store.Tx) error {
		all, err := orders.list(tx, Page{State: "draft,open"}, false)
		if err != nil {
			return err
		}
		for _, o := range all.Items {
			if o.Value.Class == nil {
				continue
			}
			c, none := customers.get(tx, o.Value.Customer)
			if none != nil && !missing(none) {
				return none
			}
			names[o.Value.Customer] = c.Value.Name
			out = append(out, o)
		}
		slices.SortStableFunc(out, func(a, b Kept[Order]) int { return cmp.Compare(a.Value.Class.Day, b.Value.Class.Day) })
		return nil
	})
	return out, names, err
}

// Learners adds learners to a class, or takes them away.
func (h *House) Learners(ctx context.Context, p Person, id string, revision int64, more int) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "Learners", func(tx *store.Tx) error {
		o, err := orders.get(tx, id)
		if err != nil {
			return err
		}
		if o.Value.Class == nil || o.Value.Cancelled != "" {
			return wrong("", "class-none", nil)
		}
		c := *o.Value.Class
		c.Learners += more
		switch {
		case c.Learners > c.Seats:
			return wrong("learners", "class-full", check.Args{"seats": c.Seats})
		case c.Learners < 0:
			return wrong("learners", "class-nobody", nil)
		}
		o.Revision, o.Value.Class = revision, &c
		out, err = orders.put(tx, o)
		return err
	})
	return out, err
}
