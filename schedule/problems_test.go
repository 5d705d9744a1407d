package schedule_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/check"
	"urdir/schedule"
)

// sound is a small problem that is right: a warp of two steps, a pot, a class.
func sound() schedule.Problem {
	return schedule.Problem{
		Begin: begin, Days: 30,
		Calendars: []schedule.Calendar{{Key: "days", Weekly: weekly(8, 16, everyDay...)}},
		People:    []schedule.Person{{Key: "Ana", Calendars: []string{"days"}, Skills: []string{"weave", "dye"}}, {Key: "Eva", Calendars: []string{"days"}, Skills: []string{"weave"}}},
		Places:    []schedule.Place{{Key: "pot", Kind: "pot", Capacity: 40}},
		Orders:    []schedule.Order{{Key: "shawl", Due: at(9 * day)}},
		Steps: []schedule.Step{
			{Key: "dye", Orders: []string{"shawl"}, Work: hour, Stand: 4 * hour, Skill: "dye", Whole: true, Needs: []schedule.Need{{Kind: "pot", Amount: 30}}},
			{Key: "dress", Orders: []string{"shawl"}, Work: 2 * hour, Skill: "weave", Stay: "warp", After: []schedule.After{{Step: "dye", Min: day}}},
			{Key: "weave", Orders: []string{"shawl"}, Work: 20 * hour, Skill: "weave", Stay: "warp", After: []schedule.After{{Step: "dress"}}},
		},
	}
}

func TestValidate(t *testing.T) {
	if ps := func() check.Problems { p := sound(); return p.Validate() }(); len(ps) > 0 {
		t.Fatalf("a sound problem: %v", ps)
	}
	for _, test := range []struct {
		code, path string
		spoil      func(p *schedule.Problem)
	}{
		{"schedule-loop", "steps[0].after", func(p *schedule.Problem) { p.Steps[0].After = []schedule.After{{Step: "weave"}} }},
		{"schedule-nobody", "steps[0].skill", func(p *schedule.Problem) { p.People[0].Skills = nil; p.People[1].Skills = []string{"weave"} }},
		{"schedule-no-hours", "calendars[0]", func(p *schedule.Problem) { p.Calendars[0].Weekly = nil }},
		{"schedule-hours-short", "steps[2]", func(p *schedule.Problem) { p.Steps[2].Work = 300 * hour }},
		{"schedule-past", "orders[0].due", func(p *schedule.Problem) { p.Orders[0].Due = at(-day) }},
		{"schedule-wait", "steps[1].after[0]", func(p *schedule.Problem) { p.Steps[1].After[0].Max = hour }},
		{"schedule-no-room", "steps[0].needs[0]", func(p *schedule.Problem) { p.Steps[0].Needs[0].Amount = 41 }},
		{"schedule-need-twice", "steps[0].needs[1]", func(p *schedule.Problem) { p.Steps[0].Needs = append(p.Steps[0].Needs, p.Steps[0].Needs[0]) }},
		{"schedule-whole", "steps[0].whole", func(p *schedule.Problem) { p.Steps[0].Work = 9 * hour }},
		{"schedule-stay-nobody", "steps[1].stay", func(p *schedule.Problem) {
			p.Steps[1].Skill, p.Steps[2].Who = "dye", []schedule.Hand{{Person: "Eva"}}
		}},
		{"schedule-stay-left", "steps[2].stay", func(p *schedule.Problem) { // Eva began, and may not weave any more
			p.Steps[1].Told = &schedule.Told{Person: "Eva", Start: begin, Begun: true}
			p.Steps[2].Who = []schedule.Hand{{Person: "Ana"}}
		}},
		{"schedule-stay-left", "steps[1].stay", func(p *schedule.Problem) { // Eva began, and leaves on the second day
			p.Steps[1].Told = &schedule.Told{Person: "Eva", Start: begin, Begun: true}
			p.Steps[1].After = nil
			p.Calendars = append(p.Calendars, schedule.Calendar{Key: "Eva", Weekly: weekly(0, 24, everyDay...), Rules: []schedule.Rule{{From: schedule.Date{Year: 2031, Month: 3, Day: 4}}}})
			p.People[1].Calendars = append(p.People[1].Calendars, "Eva")
		}},
		{"schedule-left", "steps[0].told", func(p *schedule.Problem) { // begun, and the only day she has left is too late
			p.Steps[0].Told = &schedule.Told{Person: "Ana", Start: at(29*day + 20*hour), Begun: true}
		}},
		{"schedule-told-unable", "steps[0].told", func(p *schedule.Problem) {
			p.Steps[0].Told = &schedule.Told{Person: "Eva", Start: begin, Begun: true}
		}},
		{"schedule-told-broken", "steps[0].told", func(p *schedule.Problem) {
			p.Steps[0].Told = &schedule.Told{Person: "Ana", Start: at(3 * hour)}
		}},
		{"schedule-class-away", "steps[0].at", func(p *schedule.Problem) { p.Steps[0].At = at(3 * hour) }},
		{"schedule-class-clash", "steps[3].at", func(p *schedule.Problem) {
			p.Steps = append(p.Steps, schedule.Step{Key: "class", Work: 2 * hour, Skill: "dye", At: at(9 * hour)})
			p.Steps[0].At = at(10 * hour)
		}},
		{"schedule-key-twice", "steps[1].key", func(p *schedule.Problem) { p.Steps[1].Key = "dye" }},
		{"schedule-unknown", "steps[0].orders", func(p *schedule.Problem) { p.Steps[0].Orders = []string{"poncho"} }},
		{"schedule-unknown", "steps[0].needs[0]", func(p *schedule.Problem) { p.Steps[0].Needs[0].Kind = "vat" }},
		{"schedule-hours", "calendars[0].weekly[0]", func(p *schedule.Problem) { p.Calendars[0].Weekly[0].To = 30 * 60 }},
		{"schedule-date", "calendars[0].rules[0]", func(p *schedule.Problem) {
			p.Calendars[0].Rules = []schedule.Rule{{From: schedule.Date{Month: time.June, Day: 31}}}
		}},
		{"schedule-minutes", "steps[0].work", func(p *schedule.Problem) { p.Steps[0].Work = -1 }},
		{"schedule-amount", "places[0].capacity", func(p *schedule.Problem) { p.Places[0].Capacity = -1 }},
		{"schedule-weight", "orders[0].weight", func(p *schedule.Problem) { p.Orders[0].Weight = -1 }},
		{"schedule-days", "days", func(p *schedule.Problem) { p.Days = 5000 }},
		{"schedule-too-many", "people", func(p *schedule.Problem) { p.People = make([]schedule.Person, schedule.MaxPeople+1) }},
	} {
		p := sound()
		test.spoil(&p)
		ps := p.Validate()
		k := slices.IndexFunc(ps, func(q check.Problem) bool { return q.Code == test.code && q.Path == test.path })
		if k < 0 {
			t.Errorf("%s at %s: got %v", test.code, test.path, ps)
		}
	}
}

func TestValidate_namesTheLoop(t *testing.T) {
	p := sound()
	p.Steps[0].After = []schedule.After{{Step: "weave"}}
	ps := p.Validate()
	if len(ps) == 0 || !strings.Contains(ps[0].Args["steps"].(string), "dye → dress → weave") &&
		!strings.Contains(ps[0].Args["steps"].(string), "dress → weave → dye") && !strings.Contains(ps[0].Args["steps"].(string), "weave → dye → dress") {
		t.Errorf("%v", ps)
	}
}
