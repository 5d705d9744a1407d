package workshop

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"urdir/dye"
	"urdir/measure"
	"urdir/schedule"
)

// PlanDay is a day of the calendar before anybody has work on it.
type PlanDay struct {
	Date   string
	Moon   dye.Moon
	Name   string        // of the feast, market day or weeks of harvest; empty: a day as usual
	Share  measure.Ratio // of the usual hours that are worked
	Closed bool          // nobody works
}

func (b hoursBook) day(date string) PlanDay {
	out := PlanDay{Date: date}
	out.Moon, _ = b.set.Dye.Moon(date)
	at := noon(date)
	share, why := b.share(at)
	out.Share, out.Name = measure.Ratio(share), why
	out.Closed = share == 0 || b.set.Week[weekday(at)] == 0
	return out
}

// Day says what a date is in the workshop's calendar.
func (t Timetable) Day(date string) PlanDay { return t.works.book.day(date) }

// AwayOn is why a member is not there on a date; ok is false if she is.
func (m Member) AwayOn(date string) (why string, ok bool) {
	for _, a := range m.Time.Absences {
		if date >= a.From && (a.To == "" || date <= a.To) {
			return a.Why, true
		}
	}
	return "", m.Away
}

// Offered is the hours a member offers on a date, feasts and absences taken out.
func (t Timetable) Offered(member, date string) []Stretch {
	day, ok := t.works.dayAt(date, 0)
	m := t.works.member(member)
	if !ok || m.ID == "" || m.Value.Away {
		return nil
	}
	hours, _ := t.works.book.member(m.Value, noon(date))
	return clockHours(day, hours)
}

func clockHours(day time.Time, hours []schedule.Span) (out []Stretch) {
	for _, h := range hours {
		out = append(out, Stretch{wall(day, h.From), wall(day, h.To)})
	}
	return out
}

// Crew is who takes part in the timetable, by name.
func (t Timetable) Crew() (out []Kept[Member]) {
	has := map[string]bool{}
	for _, p := range t.works.problem.People {
		has[p.Key] = true
	}
	for _, k := range t.Tasks {
		has[k.Member] = true
	}
	for _, m := range t.works.members {
		if has[m.ID] {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b Kept[Member]) int {
		return strings.Compare(strings.ToLower(a.Value.Name), strings.ToLower(b.Value.Name))
	})
	return out
}

// Spots is the places of the workshop that one can see full: pots, the drying
// line, frames.
func (t Timetable) Spots() (out []string) {
	for _, p := range t.works.problem.Places {
		out = append(out, p.Key)
	}
	return out
}

// Task is a task by its key.
func (t Timetable) Task(key string) (Task, bool) {
	i := slices.IndexFunc(t.Tasks, func(k Task) bool { return k.Key == key })
	if i < 0 {
		return Task{}, false
	}
	return t.Tasks[i], true
}

// WhyThen is what a task of the timetable waited for.
func (t Timetable) WhyThen(key string) (Link, bool) {
	byKey := map[string]*Task{}
	for i := range t.Tasks {
		byKey[t.Tasks[i].Key] = &t.Tasks[i]
	}
	k := byKey[key]
	if k == nil {
		return Link{}, false
	}
	return t.link(k, byKey), true
}

// MayDo is the members a task can be given to, by name; none if it is not for the
// calendar to move.
func (t Timetable) MayDo(k Task) (out []string) {
	s := t.works.step(k.Key)
	if s == nil || t.movable(k, Shift{Member: k.Member, Start: t.Begin}) != nil {
		return nil
	}
	for _, h := range s.Who {
		out = append(out, h.Person)
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Compare(t.Names[a], t.Names[b]) })
	return out
}

// HourFor is when a member would begin on a date what now begins at another time:
// at that hour if it is hers, else at her first. ok is false if she has none then.
func (t Timetable) HourFor(member, date string, like time.Time) (at time.Time, ok bool) {
	like = like.In(t.Zone)
	day, read := t.works.dayAt(date, 0)
	if !read {
		return at, false
	}
	same := wall(day, like.Hour()*60+like.Minute())
	for _, h := range t.Offered(member, date) {
		if h.To.Before(t.Begin) || h.To.Equal(t.Begin) {
			continue
		}
		if h.From.Before(t.Begin) {
			h.From = t.Begin
		}
		if !same.Before(h.From) && same.Before(h.To) {
			return same, true
		}
		if !ok {
			at, ok = h.From, true
		}
	}
	return at, ok
}

// At is a time of the clock on a date where the workshop is.
func (t Timetable) At(date string, minutes int) (time.Time, bool) {
	return t.works.dayAt(date, minutes)
}

// MemberLoad is the work a member has in each of some weeks, beside the hours she
// offers.
type MemberLoad struct {
	MemberShare // of the whole season
	Weeks       []WeekLoad
}

// WeekLoad is the hours of a week that are given, and those offered, from when the
// timetable begins.
type WeekLoad struct{ Given, Offered measure.Minute }

// Load is the work of everybody in so many weeks from a date on, by name.
func (t Timetable) Load(from string, weeks int) (out []MemberLoad) {
	first, _ := t.works.dayAt(from, 0)
	for _, m := range t.Crew() {
		l := MemberLoad{MemberShare{Member: m.ID, Name: m.Value.Name}, make([]WeekLoad, weeks)}
		for _, s := range t.Shares {
			if s.Member == m.ID {
				l.MemberShare = s
			}
		}
		for n := range 7 * weeks {
			for _, s := range t.Offered(m.ID, dayAfter(from, n)) {
				l.Weeks[n/7].Offered += s.since(t.Begin)
			}
		}
		for _, k := range t.Tasks {
			if k.Member != m.ID {
				continue
			}
			for _, s := range k.Hands {
				if n := weekOf(first, s.From); n >= 0 && n < weeks {
					l.Weeks[n].Given += s.since(t.Begin)
				}
			}
		}
		out = append(out, l)
	}
	return out
}

// since is how long a stretch is from a time on.
func (s Stretch) since(t time.Time) measure.Minute {
	if s.From.Before(t) {
		s.From = t
	}
	return max(0, measure.Minute(s.To.Sub(s.From)/time.Minute))
}

// weekOf is how many weeks a time is after a day.
func weekOf(first, t time.Time) int {
	days := daysBetween(first.Format(time.DateOnly), t.In(first.Location()).Format(time.DateOnly))
	if days < 0 {
		return -1
	}
	return days / 7
}
