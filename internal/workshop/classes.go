package workshop

import (
	"context"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/schedule"
)

// Most that a class may be.
const (
	maxSeats = 200
	maxAhead = 120
)

func (c Class) ahead() int {
	if c.Ahead == 0 {
		return DefaultAhead
	}
	return c.Ahead
}

// dated says whether there is a class, and its day is known: of one that is asked
// about it is not.
func (c *Class) dated() bool { return c != nil && c.Day != "" }

// SaveClass says that an order is a class, and when; nil that it is none.
func (h *House) SaveClass(ctx context.Context, p Person, id string, revision int64, c *Class) (out Kept[Order], _ error) {
	err := h.update(ctx, p, "SaveClass", func(tx *store.Tx) error {
		o, err := orders.get(tx, id)
		if err != nil {
			return err
		}
		if o.Value.Cancelled != "" {
			return wrong("", "order-cancelled", nil)
		}
		if c != nil {
			ps := c.check()
			if was := o.Value.Class; !ps.Failed() && c.Day < h.today() && (was == nil || was.Day != c.Day) {
				ps.Wrong("day", "class-past", check.Args{"day": c.Day})
			}
			if c.Teacher != "" {
				m, none := members.get(tx, c.Teacher)
				if none != nil || !slices.Contains(m.Value.Skills, "teach") {
					ps.Wrong("teacher", "class-teacher", nil)
				}
			}
			if err = invalid(ps); err != nil {
				return err
			}
			o.Value.Due = c.Day
		}
		o.Revision, o.Value.Class = revision, c
		out, err = orders.put(tx, o)
		return err
	})
	return out, err
}

func (c *Class) check() (ps check.Problems) {
	trim(&c.Day, &c.Teacher)
	if day(&ps, "day", c.Day); c.Day == "" {
		ps.Wrong("day", "field-empty", nil)
	}
	if c.From < 0 || c.From >= c.To || c.To > 24*60 {
		ps.Wrong("from", "hours-order", nil)
	}
	if c.Seats < 1 || c.Seats > maxSeats {
		ps.Wrong("seats", "out-of-range", check.Args{"value": c.Seats, "low": 1, "high": maxSeats})
	}
	if c.Learners < 0 || c.Seats > 0 && c.Learners > c.Seats {
		ps.Wrong("learners", "class-seats", check.Args{"learners": c.Learners, "seats": c.Seats})
	}
	if c.Ahead < 0 || c.Ahead > maxAhead {
		ps.Wrong("ahead", "out-of-range", check.Args{"value": c.Ahead, "low": 0, "high": maxAhead})
	}
	return ps
}

// classProblems is why a class cannot be held as it is: too few small warps for
// its learners, or too few looms, those of classes prepared at the same time taken
// out.
func (w *works) classProblems(o OrderView) (ps check.Problems) {
	c := o.Value.Class
	if !c.dated() {
		return nil
	}
	at, ok := w.dayAt(c.Day, c.From)
	if !ok || at.Before(w.begin) {
		ps.Wrong("class", "class-over", check.Args{"what": number(o.Value.Number), "day": c.Day})
		return ps
	}
	if kits := len(o.Jobs); kits < c.Learners {
		ps.Look("class", "class-kits", check.Args{"what": number(o.Value.Number), "kits": kits, "learners": c.Learners})
	}
	looms := w.set.Calendar.Looms
	if looms == 0 {
		return ps // nobody said
	}
	used := 0
	for _, other := range w.orders {
		if k := other.Value.Class; k != nil && overlapping(*c, *k) {
			used += len(other.Jobs)
		}
	}
	if used > looms {
		ps.Look("class", "class-looms", check.Args{"what": number(o.Value.Number), "kits": used, "looms": looms})
	}
	return ps
}

// overlapping says whether the warps of two classes may stand on looms on one day.
func overlapping(a, b Class) bool {
	from := func(c Class) string { return dayAfter(c.Day, -c.ahead()) }
	return from(a) <= b.Day && from(b) <= a.Day
}

// class adds the hours of the class itself, for which its warps must be ready.
func (m *making) class() {
	c := m.o.Value.Class
	at, _ := m.dayAt(c.Day, c.From) // looked at before
	t := m.task(ClassTask, m.o.ID, "order", m.o.ID, number(m.o.Value.Number)+" "+m.o.Customer.Value.Name)
	long := schedule.Minutes(c.To - c.From)
	s := schedule.Step{Work: long, At: at, Skill: "teach"}
	for _, k := range m.kits {
		s.After = append(s.After, schedule.After{Step: k.Step, Max: schedule.Minutes((c.ahead() + 1) * 24 * 60)})
	}
	for _, q := range m.problem.People {
		if c.Teacher == "" || c.Teacher == q.Key {
			s.Who = append(s.Who, schedule.Hand{Person: q.Key, Work: long})
		}
	}
	m.add(t, s)
}

// ends is when the class ends.
func (c Class) ends(zone *time.Location) time.Time {
	day, err := time.ParseInLocation(time.DateOnly, c.Day, zone)
	if err != nil {
		return time.Time{}
	}
	return wall(day, c.To)
}
