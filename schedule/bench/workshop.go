package bench

import (
	"fmt"
	"math/rand/v2"
	"time"

	"urdir/schedule"
)

// Size is how large an invented workshop is.
type Size struct{ Orders, People, Pots, Days int }

// Workshop invents a cooperative on a coast that does not exist: everything in it
// is by chance, with hours, feasts and work as common practice has them, no source.
func Workshop(size Size, seed uint64) schedule.Problem {
	m := maker{Rand: rand.New(rand.NewPCG(seed, 2)), size: size}
	m.p = schedule.Problem{Begin: time.Date(2031, 3, 3, 7, 0, 0, 0, time.UTC), Days: size.Days + 365}
	m.calendars()
	m.people()
	m.places()
	for o := range size.Orders {
		m.order(o)
	}
	for c := range size.Orders / 60 {
		m.class(c)
	}
	return m.p
}

type maker struct {
	*rand.Rand
	p    schedule.Problem
	size Size
	lot  string // a dye lot that more orders may share
	left int
}

func (m *maker) between(low, high int) int { return low + m.IntN(high-low+1) }

func week(from, to int, days ...time.Weekday) (out []schedule.Hours) {
	for _, d := range days {
		out = append(out, schedule.Hours{Day: d, Span: schedule.Span{From: from * 60, To: to * 60}})
	}
	return out
}

var working = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday, time.Saturday}

func (m *maker) calendars() {
	house := schedule.Calendar{Key: "house", Weekly: append(week(7, 13, working...), week(14, 19, working...)...)}
	house.Rules = []schedule.Rule{
		{Name: "market", Weekdays: []time.Weekday{time.Saturday}, Weeks: []int{1, 3, 5}},
		{Name: "feast of the boats", From: schedule.Date{Month: 5, Day: 14}, To: schedule.Date{Month: 5, Day: 16}},
		{Name: "bean harvest", From: schedule.Date{Month: 7, Day: 7}, To: schedule.Date{Month: 7, Day: 19}, Hours: []schedule.Span{{From: 14 * 60, To: 19 * 60}}},
	}
	yard := schedule.Calendar{Key: "yard", Weekly: week(7, 12, working[:5]...)}
	m.p.Calendars = append(m.p.Calendars, house, yard)
}

func (m *maker) people() {
	for k := range m.size.People {
		key := fmt.Sprint("member ", k)
		own := schedule.Calendar{Key: key, Weekly: week(8, 12, working...)}
		switch turn := m.IntN(3); {
		case k%10 >= 7: // who dyes works in the morning
		case turn == 0:
			own.Weekly = week(14, 18, working...)
		case turn == 1:
			own.Weekly = append(own.Weekly, week(14, 17, working[:3]...)...)
		}
		if m.IntN(3) == 0 {
			from := m.p.Begin.AddDate(0, 0, m.IntN(m.size.Days))
			own.Rules = append(own.Rules, schedule.Rule{Name: "away", From: dateOf(from), To: dateOf(from.AddDate(0, 0, 6))})
		}
		q := schedule.Person{Key: key, Calendars: []string{"house", key}, Skills: []string{"finish"}}
		if k%10 < 8 {
			q.Skills = append(q.Skills, "weave")
		}
		if k%10 >= 7 {
			q.Skills = append(q.Skills, "dye")
		}
		if k%20 == 0 {
			q.Skills = append(q.Skills, "teach")
		}
		q.Wants = schedule.Minutes(m.between(5, 20) * 60 * m.size.Days / 7)
		m.p.Calendars = append(m.p.Calendars, own)
		m.p.People = append(m.p.People, q)
	}
}

func dateOf(t time.Time) schedule.Date {
	y, m, d := t.Date()
	return schedule.Date{Year: y, Month: m, Day: d}
}

func (m *maker) places() {
	add := func(n int, kind string, capacity func() int, shared bool) {
		for k := range n {
			m.p.Places = append(m.p.Places, schedule.Place{Key: fmt.Sprint(kind, " ", k), Kind: kind, Capacity: capacity(), Shared: shared})
		}
	}
	one := func() int { return 1 }
	add(m.size.Pots, "pot", func() int { return 60 + 20*m.IntN(3) }, false)
	add(1, "line", func() int { return 8 + 4*m.size.Pots }, true)
	add(2+m.size.People/10, "frame", one, false)
	add(2+m.size.People*3/4, "loom", one, false)
}

func (m *maker) order(o int) {
	key := fmt.Sprint("order ", o)
	due := m.p.Begin.AddDate(0, 0, m.between(15, m.size.Days))
	m.p.Orders = append(m.p.Orders, schedule.Order{Key: key, Due: due, Weight: m.between(1, 3)})
	dried := m.dye(key)
	last := ""
	stay := key + " warp"
	step := func(kind, skill, place string, work, stand int, after ...schedule.After) {
		s := schedule.Step{Key: key + " " + kind, Kind: kind, Orders: []string{key}, Work: schedule.Minutes(work), Stand: schedule.Minutes(stand), Skill: skill}
		if skill == "weave" {
			s.Stay = stay
		}
		if place != "" {
			s.Needs = []schedule.Need{{Kind: place}}
		}
		s.After = after
		if last != "" {
			s.After = append(s.After, schedule.After{Step: last})
		}
		last = s.Key
		m.p.Steps = append(m.p.Steps, s)
	}
	step("warping", "weave", "frame", m.between(90, 420), 0, schedule.After{Step: dried})
	step("dressing", "weave", "loom", m.between(60, 240), 0)
	step("weaving", "weave", "loom", 60*m.between(8, 80), 0)
	step("finishing", "finish", "", m.between(30, 180), 12*60)
	step("tagging", "finish", "", 20, 0)
}

// dye is the steps of a dye lot, a new one or one that is shared; the key is of
// the last.
func (m *maker) dye(order string) string {
	if m.left > 0 {
		m.left--
		for i := range m.p.Steps {
			if s := &m.p.Steps[i]; s.Kind == m.lot {
				s.Orders = append(s.Orders, order)
			}
		}
		return m.lot + " dry"
	}
	m.lot, m.left = order+" lot", max(0, m.between(-2, 3))
	kg := m.between(1, 4)
	step := func(kind, skill, calendar string, work, stand int, need schedule.Need, after ...schedule.After) string {
		s := schedule.Step{Key: m.lot + " " + kind, Kind: m.lot, Orders: []string{order}, Work: schedule.Minutes(work), Stand: schedule.Minutes(stand),
			Skill: skill, Calendar: calendar, Whole: true, Needs: []schedule.Need{need}, After: after}
		m.p.Steps = append(m.p.Steps, s)
		return s.Key
	}
	pot := schedule.Need{Kind: "pot", Amount: 15 * kg}
	bite := step("mordant", "dye", "yard", 90, 12*60, pot)
	bath := step("bath", "dye", "yard", m.between(120, 240), 60, pot, schedule.After{Step: bite, Min: 60, Max: 5 * day})
	return step("dry", "dye", "", 30, day*m.between(1, 3), schedule.Need{Kind: "line", Amount: kg}, schedule.After{Step: bath, Max: day})
}

// class is an order with hours that are fixed, and small warps that must be on
// looms by then.
func (m *maker) class(c int) {
	key := fmt.Sprint("class ", c)
	at := m.p.Begin.AddDate(0, 0, 7*m.between(4, 3+m.size.Days/10)+1).Add(8 * time.Hour) // a Tuesday at three
	if y, mo, d := at.Date(); mo == 5 && d >= 14 && d <= 16 && y > 0 {
		at = at.AddDate(0, 0, 7) // not in the feast
	}
	m.p.Orders = append(m.p.Orders, schedule.Order{Key: key, Due: at.Add(3 * time.Hour), Weight: 5})
	s := schedule.Step{Key: key + " teaching", Kind: "class", Orders: []string{key}, Work: 120, Skill: "finish", At: at}
	for k := range 3 {
		warp := schedule.Step{Key: fmt.Sprint(key, " kit ", k), Kind: "kit", Orders: []string{key}, Work: 90, Skill: "weave", Needs: []schedule.Need{{Kind: "frame"}}}
		m.p.Steps = append(m.p.Steps, warp)
		s.After = append(s.After, schedule.After{Step: warp.Key})
	}
	m.p.Steps = append(m.p.Steps, s)
}
