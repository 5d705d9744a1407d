package schedule

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// span is working time in minutes from the beginning, the end not included.
type span struct{ from, to int32 }

// on is the hours of a day, and the name of the rule they are by.
func (c *Calendar) on(d Date, weekday time.Weekday, own []Span) ([]Span, string) {
	for _, r := range slices.Backward(c.Rules) {
		if r.holds(d, weekday) {
			return r.Hours, r.Name
		}
	}
	for _, h := range c.Weekly {
		if h.Day == weekday {
			own = append(own, h.Span)
		}
	}
	return own, ""
}

func (r *Rule) holds(d Date, weekday time.Weekday) bool {
	if len(r.Weekdays) > 0 && !slices.Contains(r.Weekdays, weekday) || !r.dated(d) {
		return false
	}
	if len(r.Weeks) == 0 {
		return true
	}
	last := d.Day+7 > daysIn(d.Year, d.Month)
	return slices.Contains(r.Weeks, (d.Day+6)/7) || last && slices.Contains(r.Weeks, -1)
}

// dated reports whether a day is between the first and the last; of every year,
// they may lie to both sides of New Year.
func (r *Rule) dated(d Date) bool {
	if r.From.Year == 0 && r.To.Year == 0 && r.From.Month > 0 && r.To.Month > 0 {
		d.Year = 0
		if r.From.compare(r.To) > 0 {
			return d.compare(r.From) >= 0 || d.compare(r.To) <= 0
		}
	}
	return (r.From == Date{} || d.compare(r.From) >= 0) && (r.To == Date{} || d.compare(r.To) <= 0)
}

func (d Date) compare(e Date) int {
	return cmp.Or(cmp.Compare(d.Year, e.Year), cmp.Compare(d.Month, e.Month), cmp.Compare(d.Day, e.Day))
}

// real reports whether there is such a day, or none is given.
func (d Date) real() bool {
	year := d.Year
	if year == 0 {
		year = 2000 // a leap year
	}
	return d == Date{} || d.Month >= 1 && d.Month <= 12 && d.Day >= 1 && d.Day <= daysIn(year, d.Month)
}

func daysIn(year int, m time.Month) int {
	return time.Date(year, m+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// date is the day of a point in time.
func (p *Problem) date(at int32) (Date, time.Weekday) {
	t := p.When(Minutes(at))
	y, m, d := t.Date()
	return Date{y, m, d}, t.Weekday()
}

// spans is when a calendar is open from the beginning on. Hours are those of the
// wall clock, so the day on which clocks change is an hour shorter or longer.
func (p *Problem) spans(c *Calendar) (out []span) {
	in := p.in()
	first, _ := p.date(0)
	var own []Span
	for k := range p.days() {
		noon := time.Date(first.Year, first.Month, first.Day+k, 12, 0, 0, 0, in)
		y, m, d := noon.Date()
		var hours []Span
		hours, _ = c.on(Date{y, m, d}, noon.Weekday(), own[:0])
		for _, h := range hours {
			s := span{p.at(time.Date(y, m, d, h.From/60, h.From%60, 0, 0, in)), p.at(time.Date(y, m, d, h.To/60, h.To%60, 0, 0, in))}
			if s.from = max(s.from, 0); s.from < s.to {
				out = append(out, s)
			}
		}
	}
	return joined(out)
}

// joined is spans in order, those that touch made one.
func joined(in []span) (out []span) {
	slices.SortFunc(in, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	for _, s := range in {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

// both is when two calendars are open.
func both(a, b []span) (out []span) {
	for len(a) > 0 && len(b) > 0 {
		if s := (span{max(a[0].from, b[0].from), min(a[0].to, b[0].to)}); s.from < s.to {
			out = append(out, s)
		}
		if a[0].to < b[0].to {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return out
}

// without is working time with some of it taken out.
func without(a []span, cut span) (out []span) {
	for _, s := range a {
		if s.to <= cut.from || s.from >= cut.to {
			out = append(out, s)
			continue
		}
		if s.from < cut.from {
			out = append(out, span{s.from, cut.from})
		}
		if s.to > cut.to {
			out = append(out, span{cut.to, s.to})
		}
	}
	return out
}

// hours compiles calendars, each set of them once.
type hours struct {
	problem *Problem
	byKey   map[string]*Calendar
	spans   map[string][]span
	clocks  map[string]*clock
}

func newHours(p *Problem) *hours {
	h := &hours{p, map[string]*Calendar{}, map[string][]span{}, map[string]*clock{}}
	for i := range p.Calendars {
		h.byKey[p.Calendars[i].Key] = &p.Calendars[i]
	}
	return h
}

// of is the clock that runs when all calendars are open; nil runs always.
func (h *hours) of(calendars []string) *clock {
	if len(calendars) == 0 {
		return nil
	}
	keys := slices.Compact(slices.Sorted(slices.Values(calendars)))
	name := strings.Join(keys, "\x00")
	c := h.clocks[name]
	if c == nil {
		c = newClock(h.open(keys))
		h.clocks[name] = c
	}
	return c
}

func (h *hours) open(calendars []string) []span {
	open := []span{{0, 1 << 29}}
	for _, k := range calendars {
		s, ok := h.spans[k]
		if !ok {
			s = h.problem.spans(h.byKey[k])
			h.spans[k] = s
		}
		open = both(open, s)
	}
	return open
}

// person is the clock of a person at work that has hours of its own, if any; her
// classes are cut out of it.
func (h *hours) person(q *Person, own string, classes []span) *clock {
	var and []string
	if own != "" {
		and = []string{own}
	}
	if q.Overtime == 0 && len(classes) == 0 {
		return h.of(append(slices.Clone(q.Calendars), and...))
	}
	open := longer(h.open(q.Calendars), int32(q.Overtime))
	open = both(open, h.open(and))
	for _, cut := range classes {
		open = without(open, cut)
	}
	return newClock(open)
}

// longer is hours with some more after the last of each day: where none follow
// for the length of a night.
func longer(in []span, more int32) []span {
	const night = 8 * 60
	out := slices.Clone(in)
	for i := range out {
		if i+1 == len(out) {
			out[i].to += more
		} else if next := out[i+1].from; next-out[i].to >= night {
			out[i].to = min(out[i].to+more, next)
		}
	}
	return joined(out)
}
