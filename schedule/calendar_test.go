package schedule_test

import (
	"testing"
	"time"
	_ "time/tzdata" // the same clock changes on every machine

	"urdir/schedule"
)

// weekly is hours of some days of the week.
func weekly(from, to int, days ...time.Weekday) (out []schedule.Hours) {
	for _, d := range days {
		out = append(out, schedule.Hours{Day: d, Span: schedule.Span{From: from * 60, To: to * 60}})
	}
	return out
}

var everyDay = []time.Weekday{0, 1, 2, 3, 4, 5, 6}

// lone is one step of one person with a calendar.
func lone(from time.Time, c schedule.Calendar, s schedule.Step) schedule.Problem {
	c.Key, s.Key, s.Orders = "c", "s", []string{"o"}
	if s.Work > 0 {
		s.Who = []schedule.Hand{{Person: "p"}}
	}
	return schedule.Problem{Begin: from, In: from.Location(), Days: 60, Calendars: []schedule.Calendar{c},
		People: []schedule.Person{{Key: "p", Calendars: []string{"c"}}}, Orders: []schedule.Order{{Key: "o"}}, Steps: []schedule.Step{s}}
}

// Cases worked by hand: a wall calendar is enough to follow them.
func TestNew_calendars(t *testing.T) {
	madrid, err := time.LoadLocation("Europe/Madrid")
	if err != nil {
		t.Fatal(err)
	}
	local := func(month time.Month, d, h, m int) time.Time { return time.Date(2031, month, d, h, m, 0, 0, madrid) }
	workdays := weekly(8, 12, 1, 2, 3, 4, 5)
	for _, test := range []struct {
		name       string
		begin      time.Time
		calendar   schedule.Calendar
		step       schedule.Step
		first, end time.Time
	}{
		{"work goes on the next day", local(5, 12, 8, 0), schedule.Calendar{Weekly: workdays}, schedule.Step{Work: 6 * hour},
			local(5, 12, 8, 0), local(5, 13, 10, 0)},
		{"a feast inside a task: Monday to Thursday without Wednesday", local(5, 12, 8, 0),
			schedule.Calendar{Weekly: workdays, Rules: []schedule.Rule{{Name: "feast", From: schedule.Date{Month: 5, Day: 14}, To: schedule.Date{Month: 5, Day: 14}}}},
			schedule.Step{Work: 10 * hour}, local(5, 12, 8, 0), local(5, 15, 10, 0)},
		{"whole work waits for the next morning", local(5, 12, 10, 0), schedule.Calendar{Weekly: workdays}, schedule.Step{Work: 3 * hour, Whole: true},
			local(5, 13, 8, 0), local(5, 13, 11, 0)},
		{"drying goes on over Sunday", local(5, 17, 11, 0), schedule.Calendar{Weekly: weekly(8, 12, 6)}, schedule.Step{Work: hour, Stand: 2 * day},
			local(5, 17, 11, 0), local(5, 19, 12, 0)},
		// On 30 March 2031 clocks go from 2:00 to 3:00 (last Sunday of March; directive 2000/84/EC).
		{"an hour is missing in the night of the change", local(3, 30, 0, 0), schedule.Calendar{Weekly: weekly(0, 8, everyDay...)}, schedule.Step{Work: 8 * hour},
			local(3, 30, 0, 0), local(3, 31, 1, 0)},
		{"morning hours after the change are those of the wall", local(3, 29, 11, 0), schedule.Calendar{Weekly: weekly(8, 12, everyDay...)}, schedule.Step{Work: 2 * hour},
			local(3, 29, 11, 0), local(3, 30, 9, 0)},
		// Standing is by the clock that runs on: 24 hours from noon end at one.
		{"soaking is an hour later by the wall", local(3, 29, 12, 0), schedule.Calendar{Weekly: weekly(12, 18, everyDay...)}, schedule.Step{Work: 0, Stand: day},
			local(3, 29, 12, 0), local(3, 30, 13, 0)},
		// On 26 October 2031 they go back from 3:00 to 2:00.
		{"an hour more in autumn", local(10, 26, 0, 0), schedule.Calendar{Weekly: weekly(0, 8, everyDay...)}, schedule.Step{Work: 9 * hour},
			local(10, 26, 0, 0), local(10, 26, 8, 0)},
		// August 2031 has Saturdays on 2, 9, 16, 23 and 30: markets on the first, third and fifth.
		{"a month with five market days", local(8, 2, 0, 0), schedule.Calendar{Weekly: weekly(8, 12, 6),
			Rules: []schedule.Rule{{Name: "market", Weekdays: []time.Weekday{6}, Weeks: []int{1, 3, 5}}}}, schedule.Step{Work: 12 * hour},
			local(8, 9, 8, 0), local(9, 13, 12, 0)}, // 9, 23 August, then 13 September: the 6th is a first Saturday
		{"the last Saturday alone", local(8, 1, 0, 0), schedule.Calendar{
			Rules: []schedule.Rule{{Weekdays: []time.Weekday{6}, Weeks: []int{-1}, Hours: []schedule.Span{{From: 480, To: 720}}}}}, schedule.Step{Work: hour},
			local(8, 30, 8, 0), local(8, 30, 9, 0)},
		{"a later rule goes before: a Sunday worked for once in harvest weeks", local(7, 6, 0, 0), schedule.Calendar{Weekly: workdays, Rules: []schedule.Rule{
			{Name: "harvest", From: schedule.Date{Year: 2031, Month: 7, Day: 1}, To: schedule.Date{Year: 2031, Month: 7, Day: 20}},
			{Name: "once", From: schedule.Date{Year: 2031, Month: 7, Day: 13}, To: schedule.Date{Year: 2031, Month: 7, Day: 13}, Hours: []schedule.Span{{From: 600, To: 660}}}}},
			schedule.Step{Work: 2 * hour}, local(7, 13, 10, 0), local(7, 21, 9, 0)},
	} {
		plan, ps := schedule.Make(lone(test.begin, test.calendar, test.step), 1, 3)
		if ps.Failed() {
			t.Errorf("%s: %v", test.name, ps)
			continue
		}
		p := schedule.Problem{Begin: test.begin, In: madrid}
		if j := plan.Jobs[0]; !p.When(j.First).Equal(test.first) || !p.When(j.End).Equal(test.end) {
			t.Errorf("%s: %v to %v; want %v to %v", test.name, p.When(j.First), p.When(j.End), test.first, test.end)
		}
	}
}

// A class at fixed hours stands out of a weaver's work, which goes on after it;
// what it needs is ready before.
func TestNew_class(t *testing.T) {
	p := lone(begin, schedule.Calendar{Weekly: weekly(8, 16, everyDay...)}, schedule.Step{Work: 12 * hour})
	p.Orders = append(p.Orders, schedule.Order{Key: "class"})
	p.Steps = append(p.Steps,
		schedule.Step{Key: "kit", Orders: []string{"class"}, Work: hour, Who: []schedule.Hand{{Person: "p"}}},
		schedule.Step{Key: "class", Orders: []string{"class"}, Work: 2 * hour, At: at(34 * hour), Who: []schedule.Hand{{Person: "p"}}, // Tuesday at ten
			After: []schedule.After{{Step: "kit"}}})
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		t.Fatal(ps)
	}
	s.Run(100)
	plan := s.Plan()
	audit(t, p, plan)
	if plan.Score.Broken > 0 || len(plan.Missing) > 0 {
		t.Errorf("%+v", plan)
	}
	for _, j := range plan.Jobs {
		// Monday 8 to 16 and Tuesday 8 to 16 without 10 to 12 are 14 hours for 12 of work and 1 of the kit.
		if j.End > 40*hour {
			t.Errorf("%+v ends after Tuesday at four", j)
		}
	}
}

func TestFairness(t *testing.T) {
	// Jain, Chiu and Hawe 1984: (sum x)^2 / (n sum x^2) of 30, 60, 60, 60 is
	// 44100 / 46800.
	same := []schedule.Minutes{100, 100, 100, 100}
	for _, test := range []struct {
		given, wanted []schedule.Minutes
		want          float64
	}{
		{[]schedule.Minutes{30, 60, 60, 60}, same, 44100.0 / 46800},
		{[]schedule.Minutes{0, 0, 0, 1}, same, 0.25},
		{[]schedule.Minutes{5, 5, 5, 5}, same, 1},
		{[]schedule.Minutes{10, 20, 40, 99}, []schedule.Minutes{100, 200, 400, 0}, 1}, // each a tenth; the last wants nothing
		{nil, nil, 1},
	} {
		if got := schedule.Fairness(test.given, test.wanted); got < test.want-1e-12 || got > test.want+1e-12 {
			t.Errorf("Fairness(%v, %v) = %v; want %v", test.given, test.wanted, got, test.want)
		}
	}
}

// Two who want work get it by what they want, when nobody has to wait for that.
func TestRun_sharesWork(t *testing.T) {
	p := schedule.Problem{Begin: begin, People: []schedule.Person{{Key: "a", Wants: 30 * hour}, {Key: "b", Wants: 10 * hour}}}
	for i := range 8 {
		o := string(rune('a' + i))
		p.Orders = append(p.Orders, schedule.Order{Key: o, Due: at(40 * day)})
		p.Steps = append(p.Steps, schedule.Step{Key: o, Orders: []string{o}, Work: hour, Who: []schedule.Hand{{Person: "a"}, {Person: "b"}}})
	}
	plan, ps := schedule.Make(p, 1, 200)
	if ps.Failed() || plan.Fairness != 1 || plan.Shares[0].Given != 6*hour {
		t.Errorf("%v: %+v, %v", ps, plan.Shares, plan.Fairness)
	}
}
