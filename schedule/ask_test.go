package schedule_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// A new order goes in between; no step of the others moves.
func TestInsert_disturbsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		old := p
		last := p.Orders[len(p.Orders)-1].Key
		old.Steps = slices.DeleteFunc(slices.Clone(p.Steps), func(s schedule.Step) bool { return slices.Contains(s.Orders, last) })
		for i := range old.Steps {
			s := &old.Steps[i]
			s.After = slices.DeleteFunc(slices.Clone(s.After), func(a schedule.After) bool {
				return !slices.ContainsFunc(old.Steps, func(o schedule.Step) bool { return o.Key == a.Step })
			})
			p.Steps[slices.IndexFunc(p.Steps, func(o schedule.Step) bool { return o.Key == s.Key })].After = s.After
		}
		for i := range p.Steps { // told things may make the new order impossible; that is another test
			p.Steps[i].Told = nil
		}
		for i := range old.Steps {
			old.Steps[i].Told = nil
		}
		given, ps := schedule.Make(old, 1, 50)
		if ps.Failed() {
			t.Fatal(ps)
		}
		plan, ps := schedule.Insert(p, given)
		if ps.Failed() {
			t.Fatal(ps)
		}
		audit(t, p, plan)
		for _, j := range given.Jobs {
			k := slices.IndexFunc(plan.Jobs, func(o schedule.Job) bool { return o.Step == j.Step })
			if o := plan.Jobs[k]; o.Start != j.Start || o.Person != j.Person || o.End != j.End {
				t.Errorf("%+v was %+v", o, j)
			}
		}
	})
}

// The pot is taken by another order until Monday at one, then she has no hours
// until Tuesday at eight: both are in the chain, back to the beginning.
func TestWhy_namesTheChain(t *testing.T) {
	p := sound()
	p.Steps = append([]schedule.Step{{Key: "first dye", Orders: []string{"poncho"}, Work: hour, Stand: 4 * hour, Skill: "dye", Whole: true, Needs: []schedule.Need{{Kind: "pot"}}}}, p.Steps...)
	p.Orders = append(p.Orders, schedule.Order{Key: "poncho", Due: at(12 * hour), Weight: 9})
	p.Steps[1].Work = 4 * hour
	plan, ps := schedule.Make(p, 1, 100)
	if ps.Failed() {
		t.Fatal(ps)
	}
	links, ps := schedule.Why(p, plan, "shawl")
	if ps.Failed() || len(links) < 4 {
		t.Fatalf("%v: %+v", ps, links)
	}
	// Monday 8 to 13 the first bath; four hours without a stop fit only on Tuesday.
	var got []schedule.Cause
	for _, l := range links {
		got = append(got, l.Cause)
	}
	want := []schedule.Cause{schedule.AfterStep, schedule.NoHours, schedule.AfterRoom}
	if !slices.Equal(got[:3], want) || links[2].Other != "first dye" || links[2].Place != "pot" {
		t.Errorf("%+v", links)
	}
}

// In any plan the chain begins at the order's last step, and each link names what
// the next is about.
func TestWhy_anyPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t)
		plan, ps := schedule.Make(p, 1, 30)
		if ps.Failed() || len(p.Steps) == 0 || len(plan.Missing) > 0 {
			t.Skip("drawn anew")
		}
		order := p.Steps[0].Orders[0]
		links, ps := schedule.Why(p, plan, order)
		if ps.Failed() || len(links) == 0 {
			t.Fatalf("%v: %+v", ps, links)
		}
		for k, l := range links {
			if l.From > l.To || l.Other != "" && k+1 < len(links) && links[k+1].Step != l.Other {
				t.Errorf("link %d of %+v", k, links)
			}
		}
	})
}

// With one pot and two orders, a second pot makes the later one earlier by the
// five hours of the first bath; that goes before the rest is seen too.
func TestEarlier(t *testing.T) {
	p := sound()
	p.Calendars[0].Weekly = weekly(0, 24, everyDay...)
	p.People = append(p.People, schedule.Person{Key: "Ida", Calendars: []string{"days"}, Skills: []string{"dye"}})
	p.Steps = append(p.Steps, schedule.Step{Key: "first dye", Orders: []string{"poncho"}, Work: hour, Stand: 4 * hour, Skill: "dye", Needs: []schedule.Need{{Kind: "pot"}}})
	p.Orders = append(p.Orders, schedule.Order{Key: "poncho", Due: at(5 * hour), Weight: 9})
	p.Orders[0].Due = at(day)
	plan, ps := schedule.Make(p, 1, 200)
	if ps.Failed() {
		t.Fatal(ps)
	}
	tries, ps := schedule.Earlier(p, plan, "shawl")
	if ps.Failed() {
		t.Fatal(ps)
	}
	gain := map[schedule.Means]schedule.Minutes{}
	for _, try := range tries {
		gain[try.Means] = try.Gain
	}
	if plan.Orders[0].End != 5*hour+5*hour+day+22*hour || gain[schedule.OnePlace] != 5*hour || gain[schedule.BeforeRest] != 5*hour || gain[schedule.SplitWork] != 10*hour {
		t.Errorf("ready at %d; %+v", plan.Orders[0].End, tries)
	}
}

func TestEarlier_overtime(t *testing.T) {
	p := sound()
	p.People = p.People[:1]
	plan, ps := schedule.Make(p, 1, 100)
	if ps.Failed() {
		t.Fatal(ps)
	}
	tries, ps := schedule.Earlier(p, plan, "shawl")
	k := slices.IndexFunc(tries, func(t schedule.Try) bool { return t.Means == schedule.MoreHours && t.Which == "Ana" })
	// Tuesday from one: 22 hours, 8 a day, end on Friday at eleven; with 10 a day on Thursday at three.
	if ps.Failed() || k < 0 || plan.Orders[0].End != 4*day+11*hour || tries[k].Ready != 3*day+15*hour {
		t.Errorf("%v, ready at %d: %+v", ps, plan.Orders[0].End, tries)
	}
}

func BenchmarkInsert(b *testing.B) {
	p := bench.Workshop(bench.Size{Orders: 301, People: 80, Pots: 6, Days: 180}, 1)
	old := p
	old.Orders = slices.DeleteFunc(slices.Clone(p.Orders), func(o schedule.Order) bool { return o.Key == "order 300" })
	old.Steps = slices.DeleteFunc(slices.Clone(p.Steps), func(s schedule.Step) bool { return slices.Equal(s.Orders, []string{"order 300"}) })
	for i := range old.Steps {
		old.Steps[i].Orders = slices.DeleteFunc(slices.Clone(old.Steps[i].Orders), func(o string) bool { return o == "order 300" })
	}
	given, ps := schedule.Make(old, 1, 3)
	if ps.Failed() {
		b.Fatal(ps)
	}
	for b.Loop() {
		if _, ps := schedule.Insert(p, given); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

// Given steps stay where they are in plans that a search would not make: a step
// that takes no time amid one that fills the line, and a small dyeing in the large
// pot while the next one stands in the small one.
func TestInsert_leavesWhatIsGiven(t *testing.T) {
	shawl := []string{"shawl"}
	need := func(kind string, amount int) []schedule.Need { return []schedule.Need{{Kind: kind, Amount: amount}} }
	p := schedule.Problem{Begin: begin, In: time.UTC, Days: 120,
		Places: []schedule.Place{{Key: "line", Kind: "line", Capacity: 3, Shared: true}, {Key: "small", Kind: "pot", Capacity: 1}, {Key: "large", Kind: "pot", Capacity: 2}},
		Orders: []schedule.Order{{Key: "shawl"}},
		Steps: []schedule.Step{
			{Key: "dry", Orders: shawl, Stand: 100, Needs: need("line", 2)}, {Key: "look", Orders: shawl, Needs: need("line", 2)},
			{Key: "first", Orders: shawl, Stand: 60, Needs: need("pot", 1)}, {Key: "second", Orders: shawl, Stand: 60, Needs: need("pot", 1)},
			{Key: "third", Orders: shawl, Stand: 60, Needs: need("pot", 2)}}}
	given := schedule.Plan{Jobs: []schedule.Job{{Step: "dry", Places: []string{"line"}, Start: 10}, {Step: "look", Places: []string{"line"}, Start: 50},
		{Step: "first", Places: []string{"large"}}, {Step: "second", Places: []string{"small"}, Start: 30}, {Step: "third", Places: []string{"large"}, Start: 60}}}
	plan, ps := schedule.Insert(p, given)
	if ps.Failed() {
		t.Fatal(ps)
	}
	for _, j := range given.Jobs {
		k := slices.IndexFunc(plan.Jobs, func(o schedule.Job) bool { return o.Step == j.Step })
		if o := plan.Jobs[k]; o.Start != j.Start || !slices.Equal(o.Places, j.Places) {
			t.Errorf("%s went from %d in %v to %d in %v", j.Step, j.Start, j.Places, o.Start, o.Places)
		}
	}
}
