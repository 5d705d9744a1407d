package schedule_test

import (
	"testing"
	"time"

	"urdir/schedule"
)

// TestFirst_looksAtAllThatStays is for the first answer: a warp goes to who is done
// with the weaving first, not to who could begin first.
func TestFirst_looksAtAllThatStays(t *testing.T) {
	daily := func(key string, to int) (c schedule.Calendar) {
		c.Key = key
		for d := time.Sunday; d <= time.Saturday; d++ {
			c.Weekly = append(c.Weekly, schedule.Hours{Day: d, Span: schedule.Span{From: 0, To: to}})
		}
		return c
	}
	away := daily("long", 8*60)
	y, m, d := begin.Date()
	away.Rules = []schedule.Rule{{Name: "away", From: schedule.Date{Year: y, Month: m, Day: d}, To: schedule.Date{Year: y, Month: m, Day: d + 2}}}
	p := schedule.Problem{Begin: begin, Days: 200,
		Calendars: []schedule.Calendar{daily("short", 60), away},
		People: []schedule.Person{
			{Key: "begins at once", Calendars: []string{"short"}, Skills: []string{"weave"}, Wants: 6000},
			{Key: "ends first", Calendars: []string{"long"}, Skills: []string{"weave"}, Wants: 6000},
		},
		Orders: []schedule.Order{{Key: "a"}, {Key: "b", Due: at(1)}}, // with one order alone another search begins
		Steps: []schedule.Step{
			{Key: "warp", Orders: []string{"b"}, Work: 60, Skill: "weave", Stay: "cloth"},
			{Key: "weave", Orders: []string{"b"}, Work: 20 * 60, Skill: "weave", Stay: "cloth", After: []schedule.After{{Step: "warp"}}},
		}}
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		t.Fatal(ps)
	}
	for _, j := range s.Plan().Jobs {
		if j.Person != "ends first" {
			t.Errorf("%s is done by who %s", j.Step, j.Person)
		}
	}
}

// Who may do a step need not be able to do the rest that stays with its person.
func TestReplay_notAllMayDoTheRest(t *testing.T) {
	p := schedule.Problem{Begin: begin, Days: 30,
		People: []schedule.Person{{Key: "lays", Skills: []string{"lay"}}, {Key: "weaves too", Skills: []string{"lay", "weave"}}},
		Orders: []schedule.Order{{Key: "a"}, {Key: "b"}},
		Steps: []schedule.Step{
			{Key: "warp", Orders: []string{"a"}, Work: 60, Skill: "lay", Stay: "cloth"},
			{Key: "weave", Orders: []string{"a"}, Work: 600, Skill: "weave", Stay: "cloth", After: []schedule.After{{Step: "warp"}}},
		}}
	plan, ps := schedule.Make(p, 1, 20)
	if ps.Failed() {
		t.Fatal(ps)
	}
	turns := make([]schedule.Turn, len(p.Steps))
	for i, j := range plan.Jobs {
		turns[i] = schedule.Turn{Person: j.Person, Start: j.Start}
		if j.Person != "weaves too" {
			t.Errorf("%s is done by who %s", j.Step, j.Person)
		}
	}
	if _, ps := schedule.NewReplay(&p, turns, nil); ps.Failed() {
		t.Error(ps)
	}
}
