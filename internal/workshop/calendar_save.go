package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// SaveHours keeps when a member can work: anybody's for the head, her own for a
// member.
func (h *House) SaveHours(ctx context.Context, p Person, id string, revision int64, t Hours) (out Kept[Member], _ error) {
	if err := allowed(p, "SaveHours"); err != nil {
		return out, err
	}
	if !p.May("SaveMember") && (p.Member == "" || p.Member != id) {
		return out, &Error{Code: NotFound}
	}
	t.Offers, t.Absences = slices.Clone(t.Offers), slices.Clone(t.Absences)
	if err := invalid(t.check()); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "SaveHours", func(tx *store.Tx) error {
		m, err := members.get(tx, id)
		if err != nil {
			return err
		}
		m.Revision, m.Value.Time = revision, t
		out, err = members.put(tx, m)
		return err
	})
	return out, err
}

// Most that hours may say.
const (
	maxOffers   = 40
	maxAbsences = 400
	maxClosures = 200
)

func (t *Hours) check() (ps check.Problems) {
	if len(t.Offers) > maxOffers {
		ps.Wrong("offers", "parts-too-many", check.Args{"count": len(t.Offers), "most": maxOffers})
	}
	for i, o := range t.Offers {
		at := fmt.Sprintf("offers[%d]", i)
		choice(&ps, at, o.Day, weekDays...)
		if o.From < 0 || o.From >= o.To || o.To > 24*60 {
			ps.Wrong(at, "hours-order", nil)
		}
		if slices.ContainsFunc(t.Offers[:i], func(b Offer) bool { return b.Day == o.Day && b.From < o.To && o.From < b.To }) {
			ps.Wrong(at, "hours-twice", nil)
		}
	}
	if t.Wants < 0 || t.Wants > 100 {
		ps.Wrong("wants", "out-of-range", check.Args{"value": t.Wants, "low": 0, "high": 100})
	}
	if len(t.Absences) > maxAbsences {
		ps.Wrong("absences", "parts-too-many", check.Args{"count": len(t.Absences), "most": maxAbsences})
	}
	for i := range t.Absences {
		a, at := &t.Absences[i], fmt.Sprintf("absences[%d]", i)
		trim(&a.From, &a.To, &a.Why)
		if day(&ps, at, a.From); a.From == "" {
			ps.Wrong(at, "field-empty", nil)
		}
		period(&ps, at, a.From, a.To)
		short(&ps, at, a.Why, maxName)
	}
	return ps
}

// period reads two dates, the second not before the first; either may be left out.
func period(ps *check.Problems, path, from, to string) {
	day(ps, path, to)
	if from != "" && to != "" && to < from {
		ps.Wrong(path, "days-order", check.Args{"from": from, "to": to})
	}
}

// check bounds what a calendar says.
func (c *CalendarHouse) check(ps *check.Problems) {
	trim(&c.Zone)
	if _, err := time.LoadLocation(c.Zone); err != nil {
		ps.Wrong("zone", "zone-unknown", check.Args{"text": c.Zone})
	}
	if c.Opens < 0 || c.Opens >= 24*60 {
		ps.Wrong("opens", "hours-order", nil)
	}
	if len(c.Closed) > maxClosures {
		ps.Wrong("closed", "parts-too-many", check.Args{"count": len(c.Closed), "most": maxClosures})
	}
	for i := range c.Closed {
		c.Closed[i].check(ps, fmt.Sprintf("closed[%d]", i))
	}
	bound := func(path string, n, most int) {
		if n < 0 || n > most {
			ps.Wrong(path, "out-of-range", check.Args{"value": n, "low": 0, "high": most})
		}
	}
	bound("looms", c.Looms, 1000)
	bound("buying", c.Buying, 365)
	for name, n := range c.Frames {
		short(ps, "frames."+name, name, maxName)
		bound("frames."+name, n, 100)
	}
	for _, s := range c.starts() {
		if m, own := c.Minutes[s.Kind]; own && !(m >= 0 && m <= 10*measure.Day) {
			ps.Wrong("minutes."+s.Kind, "rates-minutes", nil)
		}
	}
}

func (c *Closure) check(ps *check.Problems, at string) {
	trim(&c.Name, &c.From, &c.To)
	named(ps, at, c.Name)
	day(ps, at+".from", c.From)
	period(ps, at+".from", c.From, c.To)
	for _, d := range c.Weekdays {
		choice(ps, at, d, weekDays...)
	}
	for _, n := range c.Weeks {
		if n != -1 && (n < 1 || n > 5) {
			ps.Wrong(at, "out-of-range", check.Args{"value": n, "low": -1, "high": 5})
		}
	}
	if c.From == "" && c.To == "" && len(c.Weekdays) == 0 {
		ps.Wrong(at, "closed-always", check.Args{"name": c.Name})
	}
	if !(c.Share >= 0 && c.Share < 1) {
		ps.Wrong(at+".share", "out-of-range", check.Args{"value": c.Share, "low": measure.Ratio(0), "high": measure.Ratio(1)})
	}
}
