package promise_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/schedule"
)

// Without calendars a replay is the dispatch of season_test.go, to the minute,
// whatever the work.
func TestReplay_isDispatch(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		chance := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 2))
		s := newSeason(chance, rapid.IntRange(1, 4).Draw(rt, "orders")) // a person looks at four steps at most
		in := s.input(t)
		for i := range in.Problem.People {
			in.Problem.People[i].Calendars = nil
		}
		r, ps := schedule.NewReplay(&in.Problem, in.Turns, nil)
		if ps.Failed() {
			rt.Fatal(ps)
		}
		order := s.planned()
		work, ready := make([]schedule.Minutes, len(s.jobs)), make([]schedule.Minutes, len(s.orders))
		for range 3 { // the second run must not know of the first
			for i := range s.jobs {
				work[i] = schedule.Minutes(1 + chance.IntN(1_000_000))
				s.jobs[i].work = float64(work[i])
			}
			s.dispatch(order)
			broken := r.Run(work, ready)
			for o, key := range s.orders {
				if want := s.ready()[key]; float64(ready[o]) != want || broken != 0 {
					rt.Fatalf("%s is ready at %d, by dispatch at %v; %d broken", key, ready[o], want, broken)
				}
			}
		}
	})
}

// run replays steps of one order a step, and is when each is ready.
func run(t *testing.T, p schedule.Problem, turns []schedule.Turn, work ...schedule.Minutes) ([]schedule.Minutes, int) {
	t.Helper()
	p.Begin = begin
	for i := range p.Steps {
		s := &p.Steps[i]
		s.Key = string(rune('a' + i))
		s.Orders = []string{s.Key}
		p.Orders = append(p.Orders, schedule.Order{Key: s.Key})
		if who := turns[i].Person; who != "" {
			s.Who = []schedule.Hand{{Person: who}}
		}
	}
	p.People = []schedule.Person{{Key: "Ana"}, {Key: "Berta", Calendars: []string{"week"}}}
	p.Calendars = []schedule.Calendar{week()}
	r, ps := schedule.NewReplay(&p, turns, nil)
	if ps.Failed() {
		t.Fatal(ps)
	}
	ready := make([]schedule.Minutes, len(p.Steps))
	return ready, r.Run(work, ready)
}

// Cases by hand. It is Monday, 8 in the morning; Ana works at any hour, Berta 8 to
// 12 and 13 to 17.
func TestReplay_byHand(t *testing.T) {
	at := func(h int) time.Time { return begin.Add(time.Duration(h) * time.Hour) }
	ana, berta := schedule.Turn{Person: "Ana"}, schedule.Turn{Person: "Berta"}
	second := func(u schedule.Turn) schedule.Turn { u.Start = 1; return u }
	for _, test := range []struct {
		name   string
		steps  []schedule.Step
		places []schedule.Place
		turns  []schedule.Turn
		work   []schedule.Minutes
		want   []schedule.Minutes
		broken int
	}{
		{name: "the plan's order", steps: make([]schedule.Step, 2), turns: []schedule.Turn{second(ana), ana},
			work: []schedule.Minutes{10, 50}, want: []schedule.Minutes{60, 50}},
		{name: "the next when the first is not there", steps: []schedule.Step{{}, {After: []schedule.After{{Step: "a"}}}, {}},
			turns: []schedule.Turn{berta, ana, second(ana)}, work: []schedule.Minutes{30, 10, 100}, want: []schedule.Minutes{30, 110, 100}},
		{name: "standing time is nobody's", steps: []schedule.Step{{Stand: 90}, {}}, turns: []schedule.Turn{ana, second(ana)},
			work: []schedule.Minutes{10, 20}, want: []schedule.Minutes{100, 30}},
		{name: "over noon", steps: make([]schedule.Step, 1), turns: []schedule.Turn{berta}, work: []schedule.Minutes{300}, want: []schedule.Minutes{360}},
		{name: "whole, after noon", steps: []schedule.Step{{}, {Whole: true}}, turns: []schedule.Turn{berta, second(berta)},
			work: []schedule.Minutes{60, 200}, want: []schedule.Minutes{60, 300 + 200}},
		{name: "whole, and longer than any stretch", steps: []schedule.Step{{Whole: true, Stand: 5}}, turns: []schedule.Turn{berta},
			work: []schedule.Minutes{250}, want: []schedule.Minutes{255}},
		{name: "a place for one", steps: []schedule.Step{{Needs: []schedule.Need{{Place: "frame"}}}, {Needs: []schedule.Need{{Kind: "frames"}}}},
			places: []schedule.Place{{Key: "frame", Kind: "frames"}}, turns: []schedule.Turn{ana, second(berta)},
			work: []schedule.Minutes{40, 50}, want: []schedule.Minutes{40, 90}},
		{name: "room for some", steps: []schedule.Step{{Stand: 600, Needs: []schedule.Need{{Place: "line", Amount: 6}}}, {Needs: []schedule.Need{{Place: "line", Amount: 5}}},
			{Needs: []schedule.Need{{Place: "line", Amount: 4}}}}, places: []schedule.Place{{Key: "line", Capacity: 10, Shared: true}},
			turns: []schedule.Turn{ana, second(ana), {Person: "Ana", Start: 2}}, work: []schedule.Minutes{10, 20, 30}, want: []schedule.Minutes{610, 630, 40}},
		{name: "told for later", steps: []schedule.Step{{Told: &schedule.Told{Person: "Ana", Start: at(5)}}}, turns: []schedule.Turn{ana},
			work: []schedule.Minutes{10}, want: []schedule.Minutes{310}},
		{name: "told, free to move", steps: []schedule.Step{{Told: &schedule.Told{Person: "Ana", Start: at(5), Free: true}}}, turns: []schedule.Turn{ana},
			work: []schedule.Minutes{10}, want: []schedule.Minutes{10}},
		{name: "a class at its hours", steps: []schedule.Step{{At: at(1), Work: 60}, {}}, turns: []schedule.Turn{ana, second(ana)},
			work: []schedule.Minutes{999, 90}, want: []schedule.Minutes{120, 150}},
		{name: "a class before it is ready", steps: []schedule.Step{{}, {At: at(1), Work: 60, After: []schedule.After{{Step: "a"}}}}, turns: []schedule.Turn{berta, ana},
			work: []schedule.Minutes{200, 0}, want: []schedule.Minutes{200, 120}, broken: 1},
		{name: "no long wait", steps: []schedule.Step{{}, {}, {After: []schedule.After{{Step: "b", Max: 30}}}},
			turns: []schedule.Turn{ana, berta, second(ana)}, work: []schedule.Minutes{200, 20, 10}, want: []schedule.Minutes{200, 200 - 30, 210}},
		{name: "nobody's hands", steps: []schedule.Step{{}, {After: []schedule.After{{Step: "a", Min: 7}}}}, turns: []schedule.Turn{{}, ana},
			work: []schedule.Minutes{20, 3}, want: []schedule.Minutes{20, 30}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, broken := run(t, schedule.Problem{Steps: test.steps, Places: test.places}, test.turns, test.work...)
			if diff := cmp.Diff(test.want, got); diff != "" || broken != test.broken {
				t.Errorf("%d broken, ready (-want +got):\n%s", broken, diff)
			}
		})
	}
}

// A step of an order that gives way is no less urgent than a given one that waits
// for it: mordant for a bath that serves both.
func TestReplay_waitedFor(t *testing.T) {
	p := schedule.Problem{Begin: begin, People: []schedule.Person{{Key: "Ana"}}, Orders: []schedule.Order{{Key: "given"}, {Key: "other"}, {Key: "new"}}}
	for _, s := range []schedule.Step{
		{Key: "mordant", Orders: []string{"new"}}, {Key: "dye", Orders: []string{"new", "given"}, After: []schedule.After{{Step: "mordant"}}},
		{Key: "weave", Orders: []string{"other"}}, {Key: "sew", Orders: []string{"new"}},
	} {
		s.Who = []schedule.Hand{{Person: "Ana"}}
		p.Steps = append(p.Steps, s)
	}
	r, ps := schedule.NewReplay(&p, []schedule.Turn{{Person: "Ana", Start: 1}, {Person: "Ana", Start: 2}, {Person: "Ana", Start: 3}, {Person: "Ana"}}, []string{"new"})
	if ps.Failed() {
		t.Fatal(ps)
	}
	ready := make([]schedule.Minutes, 3)
	broken := r.Run([]schedule.Minutes{10, 20, 40, 80}, ready)
	if diff := cmp.Diff([]schedule.Minutes{30, 70, 150}, ready); diff != "" || broken != 0 {
		t.Errorf("%d broken; ready (-want +got):\n%s", broken, diff)
	}
}
