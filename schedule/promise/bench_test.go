package promise_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/promise"
	"urdir/schedule/rates"
)

// large is 300 open orders of fourteen steps, 80 members, 6 pots, a line of 40 kg
// and 4 frames, and one order more that is asked about.
func large() promise.Input {
	chance := rand.New(rand.NewPCG(9, 9))
	p := schedule.Problem{Begin: begin, Calendars: []schedule.Calendar{week()}}
	for i := range 80 {
		p.People = append(p.People, schedule.Person{Key: fmt.Sprint("member ", i), Calendars: []string{"week"}})
	}
	for i := range 6 {
		p.Places = append(p.Places, schedule.Place{Key: fmt.Sprint("pot ", i), Kind: "pot", Capacity: 20 + 10*i})
	}
	p.Places = append(p.Places, schedule.Place{Key: "line", Capacity: 40, Shared: true})
	for i := range 4 {
		p.Places = append(p.Places, schedule.Place{Key: fmt.Sprint("frame ", i), Kind: "frame"})
	}
	in := promise.Input{}
	for o := range 301 {
		order := fmt.Sprint("order ", o)
		p.Orders = append(p.Orders, schedule.Order{Key: order})
		weaver := fmt.Sprint("member ", 2+chance.IntN(78))
		last := ""
		for k := range 14 {
			s := schedule.Step{Key: fmt.Sprint(order, " ", k), Kind: fmt.Sprint("kind ", k), Orders: []string{order}, Work: schedule.Minutes(20 + chance.IntN(60))}
			who := fmt.Sprint("member ", chance.IntN(2))
			switch {
			case k < 2: // mordant and dye
				s.Whole, s.Stand, s.Needs = true, 60, []schedule.Need{{Kind: "pot", Amount: 10 + chance.IntN(20)}}
			case k == 2:
				s.Stand, s.Needs, s.Work = 1440, []schedule.Need{{Place: "line", Amount: 1 + chance.IntN(3)}}, 10
			case k == 3:
				who, s.Needs, s.Work = weaver, []schedule.Need{{Kind: "frame"}}, 240
			default:
				who, s.Work = weaver, schedule.Minutes(100+chance.IntN(600))
			}
			s.Who = []schedule.Hand{{Person: who}}
			if last != "" {
				s.After = []schedule.After{{Step: last}}
			}
			if k == 1 {
				s.After[0].Max = 5 * 1440
			}
			last = s.Key
			p.Steps = append(p.Steps, s)
			in.Turns = append(in.Turns, schedule.Turn{Person: who, Start: schedule.Minutes(o*100 + k*600)})
		}
	}
	in.Problem, in.GiveWay = p, []string{"order 300"}
	in.Takes = func(s *schedule.Step, _ string) rates.Forecast {
		return rates.Forecast{Median: measure.Minute(s.Work), Member: 0.1, Task: 0.3}
	}
	return in
}

func BenchmarkSimulate_300orders(b *testing.B) {
	in := large()
	b.ReportAllocs()
	for b.Loop() {
		if out, ps := promise.Simulate(in); ps.Failed() {
			b.Fatal(ps)
		} else if d, bad := out.Orders[300].By(0.8); bad.Failed() {
			b.Fatal(bad)
		} else if b.N == 1 {
			b.Logf("%+v, broken %v", d, out.Broken)
		}
	}
}
