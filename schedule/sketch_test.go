package schedule_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// What is kept up with each change is what is reckoned anew, and lots only change times.
func TestSketch_keepsUp(t *testing.T) {
	for seed := range uint64(4) {
		s, ps := schedule.New(bench.Workshop(bench.Size{Orders: 40, People: 12, Pots: 2, Days: 90}, seed+1), 1)
		if ps.Failed() {
			t.Fatal(ps)
		}
		before := s.Sketch(0)
		after := s.Sketch(20000)
		if lots, stints := after.Size(); lots < 10 || stints != 40 {
			t.Fatalf("%d lots, %d stints of 40 warps", lots, stints)
		}
		if orders, fair := after.Drift(); orders != 0 || math.Abs(fair) > 1e-6 {
			t.Errorf("workshop %d: off by %g, fairness by %g", seed, orders, fair)
		}
		if n := after.OutOfTurn(); n > 0 {
			t.Errorf("workshop %d: %d lots are before what they wait for", seed, n)
		}
		if !slices.Equal(before.Times(), after.Times()) {
			t.Errorf("workshop %d: lots are at other times", seed)
		}
	}
}

// Where nothing else is scarce, what is drawn is ready when the sketch says.
func TestSketch_isDrawn(t *testing.T) {
	for seed := range uint64(20) {
		c := rand.New(rand.NewPCG(seed, 8))
		waits := int(seed % 2) // in a stint: then another may be begun meanwhile
		p := schedule.Problem{Begin: begin, Days: 200}
		for k := range 3 {
			own := schedule.Calendar{Key: fmt.Sprint("c", k)}
			for d := range 5 + c.IntN(3) {
				own.Weekly = append(own.Weekly, schedule.Hours{Day: begin.AddDate(0, 0, d).Weekday(), Span: schedule.Span{From: 480, To: 600 + 60*c.IntN(6)}})
			}
			p.Calendars = append(p.Calendars, own)
			p.People = append(p.People, schedule.Person{Key: fmt.Sprint("p", k), Skills: []string{"weave"}, Calendars: []string{own.Key}, Wants: 100 * hour})
		}
		for o := range 12 {
			key := fmt.Sprint("o", o)
			p.Orders = append(p.Orders, schedule.Order{Key: key, Due: at(schedule.Minutes(3+c.IntN(20)) * day), Weight: 1 + c.IntN(3)})
			p.Steps = append(p.Steps,
				schedule.Step{Key: key + " warp", Orders: []string{key}, Work: schedule.Minutes(1+c.IntN(5)) * hour, Skill: "weave", Stay: key},
				schedule.Step{Key: key + " weave", Orders: []string{key}, Work: schedule.Minutes(4+c.IntN(30)) * hour, Skill: "weave", Stay: key,
					Stand: schedule.Minutes(c.IntN(2)) * hour, After: []schedule.After{{Step: key + " warp", Min: schedule.Minutes(waits*c.IntN(3)) * hour}}},
				schedule.Step{Key: key + " rest", Orders: []string{key}, Stand: 12 * hour, After: []schedule.After{{Step: key + " weave"}}})
		}
		s, ps := schedule.New(p, 1)
		if ps.Failed() {
			t.Fatal(ps)
		}
		for _, changes := range []int{0, 3000} {
			said, drawn := s.Sketch(changes).Ends()
			for o := range said {
				if drawn[o] > said[o] {
					t.Errorf("workshop %d, %d changes: order %d is ready at %d, not at %d", seed, changes, o, drawn[o], said[o])
				}
			}
			if waits == 0 && changes > 0 && !slices.Equal(said, drawn) {
				t.Errorf("workshop %d: ready at %d, not at %d", seed, drawn, said)
			}
		}
	}
}

// Steps that can be reached in very many ways are gone through once.
func TestSketch_manyWays(t *testing.T) {
	p := schedule.Problem{Begin: begin, Days: 60, People: []schedule.Person{{Key: "a", Skills: []string{"weave"}}, {Key: "b", Skills: []string{"weave"}}}}
	for o := range 2 {
		key := fmt.Sprint("o", o)
		p.Orders = append(p.Orders, schedule.Order{Key: key, Due: at(0)})
		var last []schedule.After
		for layer := range 40 {
			var next []schedule.After
			for k := range 2 {
				s := schedule.Step{Key: fmt.Sprint(key, " ", layer, ".", k), Orders: []string{key}, Stand: hour, After: last}
				p.Steps = append(p.Steps, s)
				next = append(next, schedule.After{Step: s.Key})
			}
			last = next
		}
		p.Steps = append(p.Steps, schedule.Step{Key: key + " weave", Orders: []string{key}, Work: 5 * hour, Skill: "weave", Stay: key, After: last})
	}
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		t.Fatal(ps)
	}
	if said, drawn := s.Sketch(1000).Ends(); !slices.Equal(said, []int32{45 * 60, 45 * 60}) || !slices.Equal(said, drawn) {
		t.Errorf("said %d, drawn %d", said, drawn)
	}
}
