package workshop

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // not every machine has a table of time zones

	"urdir/schedule"
)

// hoursBook is the calendar of a workshop: which hours of a day are worked, and
// by which name a day is known on which they are not as usual.
type hoursBook struct {
	set    Settings
	feasts map[string]string
}

func newHoursBook(set Settings) hoursBook {
	b := hoursBook{set, map[string]string{}}
	for _, f := range set.Feasts {
		b.feasts[f.Day] = f.Name
	}
	return b
}

// Location is the workshop's time zone; UTC if it does not say, or says what
// nobody knows.
func (s Settings) Location() *time.Location {
	if z, err := time.LoadLocation(s.Calendar.Zone); err == nil {
		return z
	}
	return time.UTC
}

func (c CalendarHouse) opens() int {
	if c.Opens == 0 {
		return DefaultOpens
	}
	return c.Opens
}

func (c CalendarHouse) buying() int {
	if c.Buying == 0 {
		return DefaultBuying
	}
	return c.Buying
}

// weekday is how settings name a day of the week.
func weekday(t time.Time) string { return strings.ToLower(t.Weekday().String()[:3]) }

// holds says whether a closure is for a day.
func (c Closure) holds(t time.Time) bool {
	date := t.Format(time.DateOnly)
	if c.From != "" && date < c.From || c.To != "" && date > c.To {
		return false
	}
	if len(c.Weekdays) > 0 && !slices.Contains(c.Weekdays, weekday(t)) {
		return false
	}
	last := t.AddDate(0, 0, 7).Month() != t.Month()
	return len(c.Weeks) == 0 || slices.Contains(c.Weeks, (t.Day()+6)/7) || last && slices.Contains(c.Weeks, -1)
}

// share is how much of the usual hours of a day is worked, and why it is less.
// Of several reasons the one that leaves least counts.
func (b hoursBook) share(t time.Time) (share float64, why string) {
	if name, ok := b.feasts[t.Format(time.DateOnly)]; ok {
		return 0, name
	}
	share = 1
	for _, c := range b.set.Calendar.Closed {
		if float64(c.Share) < share && c.holds(t) {
			share, why = float64(c.Share), c.Name
		}
	}
	return share, why
}

// house is the hours of the workshop itself: its yard, its door.
func (b hoursBook) house(t time.Time) ([]schedule.Span, string) {
	share, why := b.share(t)
	from := b.set.Calendar.opens()
	return cutHours([]schedule.Span{{From: from, To: min(from+60*b.set.Week[weekday(t)], 24*60)}}, share), why
}

// member is the hours a member works on a day.
func (b hoursBook) member(m Member, t time.Time) ([]schedule.Span, string) {
	for _, a := range m.Time.Absences {
		if date := t.Format(time.DateOnly); date >= a.From && (a.To == "" || date <= a.To) {
			return nil, a.Why
		}
	}
	share, why := b.share(t)
	return cutHours(b.offered(m, weekday(t)), share), why
}

// offered is the usual hours of a member on a weekday. One who only says how many
// hours a week she offers is thought to work them as the workshop spreads its own.
func (b hoursBook) offered(m Member, day string) (out []schedule.Span) {
	for _, o := range m.Time.Offers {
		if o.Day == day {
			out = append(out, schedule.Span{From: o.From, To: o.To})
		}
	}
	if len(m.Time.Offers) > 0 || m.Hours == 0 {
		return out
	}
	week, all := b.set.Week, 0
	for _, n := range week {
		all += n
	}
	if all == 0 {
		return nil
	}
	from := b.set.Calendar.opens()
	long := int(math.Round(60 * float64(m.Hours) * float64(week[day]) / float64(all)))
	return cutHours([]schedule.Span{{From: from, To: min(from+long, 24*60)}}, 1)
}

// weekly is how many minutes a member offers in a usual week.
func (b hoursBook) weekly(m Member) (n int) {
	for _, d := range weekDays {
		for _, s := range b.offered(m, d) {
			n += s.To - s.From
		}
	}
	return n
}

// cutHours leaves the first part of each stretch.
func cutHours(spans []schedule.Span, share float64) (out []schedule.Span) {
	for _, s := range spans {
		s.To = s.From + int(math.Round(share*float64(s.To-s.From)))
		if s.From < s.To {
			out = append(out, s)
		}
	}
	return out
}

// weekDays is the days of the week as settings name them.
var weekDays = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// calendar writes hours out for the schedule: the usual week, and every day of so
// many on which they are others.
func calendar(key string, begin time.Time, days int, usual func(day string) []schedule.Span, on func(time.Time) ([]schedule.Span, string)) (c schedule.Calendar, minutes int) {
	c.Key = key
	for i, d := range weekDays {
		for _, s := range usual(d) {
			c.Weekly = append(c.Weekly, schedule.Hours{Day: time.Weekday((i + 1) % 7), Span: s})
		}
	}
	y, m, d := begin.Date()
	for n := range days {
		noon := time.Date(y, m, d+n, 12, 0, 0, 0, time.UTC)
		hours, why := on(noon)
		for _, s := range hours {
			minutes += s.To - s.From
		}
		if !slices.Equal(hours, usual(weekday(noon))) {
			day := schedule.Date{Year: noon.Year(), Month: noon.Month(), Day: noon.Day()}
			c.Rules = append(c.Rules, schedule.Rule{Name: why, From: day, To: day, Hours: hours})
		}
	}
	return c, minutes
}

// stretches is the hours between two times, day by day.
func stretches(first, last time.Time, on func(time.Time) ([]schedule.Span, string)) (out []Stretch) {
	y, m, d := first.Date()
	for n := 0; ; n++ {
		day := time.Date(y, m, d+n, 0, 0, 0, 0, first.Location())
		if !day.Before(last) {
			return out
		}
		hours, _ := on(time.Date(y, m, d+n, 12, 0, 0, 0, time.UTC))
		for _, h := range hours {
			s := Stretch{wall(day, h.From), wall(day, h.To)}
			if s.From.Before(first) {
				s.From = first
			}
			if s.To.After(last) {
				s.To = last
			}
			if s.From.Before(s.To) {
				out = append(out, s)
			}
		}
	}
}

// besides is what of some hours is left beside others.
func besides(hours, others []Stretch) []Stretch {
	for _, o := range others {
		var left []Stretch
		for _, h := range hours {
			if !o.From.Before(h.To) || !h.From.Before(o.To) {
				left = append(left, h)
				continue
			}
			if h.From.Before(o.From) {
				left = append(left, Stretch{h.From, o.From})
			}
			if o.To.Before(h.To) {
				left = append(left, Stretch{o.To, h.To})
			}
		}
		hours = left
	}
	return hours
}

// wall is a time of the clock on a day, in minutes after midnight.
func wall(day time.Time, minutes int) time.Time {
	y, m, d := day.Date()
	return time.Date(y, m, d, minutes/60, minutes%60, 0, 0, day.Location())
}

// hoursOf is the hours at which hands can work at a step.
func (w *works) hoursOf(member string, s *schedule.Step) func(time.Time) ([]schedule.Span, string) {
	whole := func(time.Time) ([]schedule.Span, string) { return []schedule.Span{{From: 0, To: 24 * 60}}, "" }
	hers, house := whole, whole
	if member != "" && s.At.IsZero() {
		m := w.member(member).Value
		hers = func(t time.Time) ([]schedule.Span, string) { return w.book.member(m, t) }
	}
	if s.Calendar != "" {
		house = w.book.house
	}
	return func(t time.Time) ([]schedule.Span, string) {
		a, why := hers(t)
		b, shut := house(t)
		return bothHours(a, b), cmp.Or(why, shut)
	}
}
