package schedule_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// begin is a Monday.
var begin = time.Date(2031, 3, 3, 0, 0, 0, 0, time.UTC)

const hour, day = schedule.Minutes(60), schedule.Minutes(24 * 60)

func at(m schedule.Minutes) time.Time { return begin.Add(time.Duration(m) * time.Minute) }

// anyProblem draws a small problem, tight and odd on purpose. What is refused is
// drawn anew (about a third): rapid counts only what is not, and fails a test that
// finds fewer than one in eleven.
func anyProblem(t *rapid.T) schedule.Problem {
	n := func(low, high int, what string) int { return rapid.IntRange(low, high).Draw(t, what) }
	p := schedule.Problem{Begin: begin, Days: 120}
	for c := range n(1, 3, "calendars") {
		own := schedule.Calendar{Key: fmt.Sprint("c", c)}
		for d := range 7 {
			if from := n(6, 12, "from"); d < 5 || from > 9 {
				own.Weekly = append(own.Weekly, schedule.Hours{Day: time.Weekday(d), Span: schedule.Span{From: from * 60, To: (from + n(3, 9, "long")) * 60}})
			}
		}
		if n(0, 1, "away") == 1 {
			d := begin.AddDate(0, 0, n(0, 10, "day"))
			own.Rules = append(own.Rules, schedule.Rule{Name: "away", From: schedule.Date{Year: d.Year(), Month: d.Month(), Day: d.Day()},
				To: schedule.Date{Year: d.Year(), Month: d.Month(), Day: d.Day() + n(0, 5, "days")}})
		}
		p.Calendars = append(p.Calendars, own)
	}
	for i := range n(1, 3, "people") {
		q := schedule.Person{Key: fmt.Sprint("p", i), Skills: []string{"a"}, Wants: schedule.Minutes(n(0, 40, "wants")) * hour}
		if c := n(0, len(p.Calendars), "calendar"); c > 0 {
			q.Calendars = []string{p.Calendars[c-1].Key}
		}
		if i == 0 || n(0, 1, "b") == 1 {
			q.Skills = append(q.Skills, "b")
		}
		p.People = append(p.People, q)
	}
	for i := range n(1, 3, "pots") {
		p.Places = append(p.Places, schedule.Place{Key: fmt.Sprint("pot", i), Kind: "pot", Capacity: n(2, 3, "litres")})
	}
	p.Places = append(p.Places, schedule.Place{Key: "line", Kind: "line", Capacity: n(3, 6, "kg"), Shared: true})
	for o := range n(1, 4, "orders") {
		own := schedule.Order{Key: fmt.Sprint("o", o), Weight: n(0, 3, "weight")}
		if n(0, 3, "promised") > 0 {
			own.Due = at(schedule.Minutes(n(-2, 14, "due")) * day)
		}
		if n(0, 2, "from") == 0 {
			own.From = at(schedule.Minutes(n(0, 90, "hour")) * hour)
		}
		p.Orders = append(p.Orders, own)
	}
	for i := range n(0, 9, "steps") {
		p.Steps = append(p.Steps, anyStep(t, &p, i))
	}
	return p
}

func anyStep(t *rapid.T, p *schedule.Problem, i int) schedule.Step {
	n := func(low, high int, what string) int { return rapid.IntRange(low, high).Draw(t, what) }
	s := schedule.Step{Key: fmt.Sprint("s", i), Orders: []string{p.Orders[n(0, len(p.Orders)-1, "order")].Key}, Stand: schedule.Minutes(n(0, 30, "stand")) * 30}
	if n(0, 5, "batch") == 0 && s.Orders[0] != "o0" {
		s.Orders = append(s.Orders, "o0")
	}
	switch n(0, 4, "hands") {
	case 0:
	case 1, 2:
		s.Work, s.Skill = schedule.Minutes(n(1, 20, "work")*25), rapid.SampledFrom([]string{"a", "b"}).Draw(t, "skill")
		if s.Skill == "a" && n(0, 1, "stay") == 1 {
			s.Stay = "warp"
		}
	default:
		s.Work, s.Whole = schedule.Minutes(n(1, 7, "work")*20), true
		for k := range p.People {
			s.Who = append(s.Who, schedule.Hand{Person: p.People[k].Key, Work: schedule.Minutes(n(1, 8, "own")) * 20})
		}
	}
	if n(0, 1, "pot") == 1 {
		s.Needs = append(s.Needs, schedule.Need{Kind: "pot", Amount: n(0, 2, "litres")})
	}
	if n(0, 2, "line") == 0 {
		s.Needs = append(s.Needs, schedule.Need{Place: "line", Amount: n(1, 3, "kg")})
	}
	if i > 0 && n(0, 2, "after") > 0 {
		a := schedule.After{Step: fmt.Sprint("s", n(0, i-1, "before")), Min: schedule.Minutes(n(0, 10, "min")) * hour}
		if n(0, 2, "max") == 0 {
			a.Max = a.Min + schedule.Minutes(n(1, 6, "more"))*day
		}
		s.After = append(s.After, a)
	}
	switch n(0, 14, "told") {
	case 0:
		s.Told = &schedule.Told{Person: "p0", Start: at(schedule.Minutes(n(0, 200, "hour")) * hour), Free: n(0, 1, "free") == 1}
	case 1:
		s.Told = &schedule.Told{Person: "p0", Start: begin, Begun: true}
	}
	if s.Skill == "" && s.Who == nil {
		s.Told = nil
	}
	return s
}

// Any problem that is not refused gets a plan in which no place is over its
// capacity, no wait is broken, nobody is at work while absent; more schedules are
// not worse; the bound holds.
func TestPlan_keepsEveryLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		s, ps := schedule.New(p, rapid.Uint64().Draw(t, "seed"))
		if ps.Failed() {
			t.Skip("drawn anew")
		}
		for i := range p.Steps { // what cannot stay as it was told is said, and free
			for _, q := range ps {
				if q.Code == "schedule-told-broken" && q.Path == fmt.Sprintf("steps[%d].told", i) {
					p.Steps[i].Told.Free = true
				}
			}
		}
		first := s.Plan()
		audit(t, p, first)
		s.Run(rapid.IntRange(0, 200).Draw(t, "schedules"))
		best := s.Plan()
		audit(t, p, best)
		if a, b := best.Score, first.Score; a.Broken > b.Broken || a.Broken == b.Broken && a.Late > b.Late {
			t.Errorf("worse than at once: %+v, %+v", a, b)
		}
	})
}

// The same seed and number of schedules give the same plan to the byte, however
// they are shared out.
func TestPlan_isTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		a, ps := schedule.New(p, 7)
		b, _ := schedule.New(p, 7)
		if ps.Failed() {
			t.Skip("drawn anew")
		}
		a.Run(150)
		for left := 150; left > 0; {
			some := rapid.IntRange(1, left).Draw(t, "some")
			b.Run(some)
			b.Plan() // looking changes nothing
			left -= some
		}
		x, err := json.Marshal(a.Plan())
		y, err2 := json.Marshal(b.Plan())
		if err != nil || err2 != nil || string(x) != string(y) {
			t.Errorf("the plans differ: %v %v\n%s\n%s", err, err2, x, y)
		}
	})
}

// A workshop of a season, as it is measured with.
func TestPlan_workshop(t *testing.T) {
	for seed := range uint64(3) {
		p := bench.Workshop(bench.Size{Orders: 60, People: 16, Pots: 2, Days: 90}, seed)
		s, ps := schedule.New(p, seed)
		if ps.Failed() {
			t.Fatal(ps)
		}
		s.Run(300)
		plan := s.Plan()
		if plan.Score.Broken > 0 {
			t.Errorf("%+v", plan.Score)
		}
		audit(t, p, plan)
	}
}
