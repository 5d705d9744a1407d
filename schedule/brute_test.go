package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"urdir/schedule"
)

// brute tries every order of the steps of a small problem with every choice of
// people, each step as early as it fits, hour by hour: among these is a plan that
// is best by any measure that never gets better by being later (Sprecher, Kolisch
// and Drexl, EJOR 80, 1995). It shares no code with the package. Work goes from
// Begin on; steps have work or standing time, people and one shared place.
type brute struct {
	p     schedule.Problem
	open  map[string]func(hour int) bool
	used  []int            // of the place, by hour
	busy  map[string][]int // by hour
	end   []int
	who   []string // does each step
	best  int64
	index map[string]int
	most  int
}

const horizon = 24 * 30

func newBrute(p schedule.Problem, open map[string]func(int) bool) *brute {
	b := &brute{p: p, open: open, used: make([]int, horizon), busy: map[string][]int{}, end: make([]int, len(p.Steps)), who: make([]string, len(p.Steps)), best: 1 << 40, index: map[string]int{}}
	for i, s := range p.Steps {
		b.index[s.Key] = i
		b.end[i] = -1
	}
	for _, q := range p.People {
		b.busy[q.Key] = make([]int, horizon)
	}
	if len(p.Places) > 0 {
		b.most = p.Places[0].Capacity
	}
	b.next(0)
	return b
}

func (b *brute) next(placed int) {
	if placed == len(b.p.Steps) {
		b.best = min(b.best, b.late())
		return
	}
	for i, s := range b.p.Steps {
		if b.end[i] >= 0 {
			continue
		}
		from, ok := 0, true
		for _, a := range s.After {
			e := b.end[b.index[a.Step]]
			ok = ok && e >= 0
			from = max(from, e+int(a.Min/hour))
		}
		if !ok {
			continue
		}
		if len(s.Who) == 0 {
			b.place(i, "", int(s.Work/hour), from, placed)
		}
		for _, h := range s.Who {
			if b.stays(i, h.Person) {
				b.place(i, h.Person, int(h.Work/hour), from, placed)
			}
		}
	}
}

// stays reports whether a person did what is done already of what stays with one.
func (b *brute) stays(i int, who string) bool {
	for k, s := range b.p.Steps {
		if s.Stay != "" && s.Stay == b.p.Steps[i].Stay && b.end[k] >= 0 && b.who[k] != who {
			return false
		}
	}
	return true
}

func (b *brute) place(i int, who string, work, from, placed int) {
	s := &b.p.Steps[i]
	for start := from; start < horizon/2; start++ {
		last, ok := b.hands(who, work, start)
		end := last + int(s.Stand/hour)
		for h := start; ok && h < end; h++ {
			ok = len(s.Needs) == 0 || b.used[h]+s.Needs[0].Amount <= b.most
		}
		if !ok {
			continue
		}
		b.mark(s, who, start, last, end, 1)
		b.end[i], b.who[i] = end, who
		b.next(placed + 1)
		b.end[i] = -1
		b.mark(s, who, start, last, end, -1)
		return
	}
}

// hands is when work begun at an hour is done; it must begin in an open one.
func (b *brute) hands(who string, work, start int) (last int, ok bool) {
	if who == "" || work == 0 {
		return start + work, true
	}
	if !b.open[who](start) {
		return 0, false
	}
	h := start
	for left := work; left > 0; h++ {
		if b.busy[who][h] > 0 {
			return 0, false
		}
		if b.open[who](h) {
			left--
		}
	}
	return h, true
}

func (b *brute) mark(s *schedule.Step, who string, start, last, end, sign int) {
	for h := start; h < last && who != ""; h++ {
		b.busy[who][h] += sign
	}
	for h := start; h < end && len(s.Needs) > 0; h++ {
		b.used[h] += sign * s.Needs[0].Amount
	}
}

func (b *brute) late() (sum int64) {
	for _, o := range b.p.Orders {
		end := 0
		for i, s := range b.p.Steps {
			if s.Orders[0] == o.Key {
				end = max(end, b.end[i])
			}
		}
		due := int(o.Due.Sub(b.p.Begin).Hours())
		if end > due {
			sum += int64(o.Weight) * int64((end-due+23)/24)
		}
	}
	return sum
}

// Projects of up to seven activities, one day a unit of time, two at most of a
// shared resource; the makespan of the best plan is known.
func TestRun_findsTheShortestProject(t *testing.T) {
	const cases = 60
	for seed := range uint64(cases) {
		c := rand.New(rand.NewPCG(seed, 5))
		p := schedule.Problem{Begin: begin, Orders: []schedule.Order{{Key: "all", Due: begin, Weight: 1}},
			Places: []schedule.Place{{Key: "R", Capacity: 4, Shared: true}}}
		for i := range 5 + c.IntN(3) {
			s := schedule.Step{Key: fmt.Sprint(i), Orders: []string{"all"}, Stand: schedule.Minutes(1+c.IntN(3)) * day / 4,
				Needs: []schedule.Need{{Place: "R", Amount: 1 + c.IntN(3)}}}
			for k := range i {
				if c.IntN(3) == 0 {
					s.After = append(s.After, schedule.After{Step: fmt.Sprint(k)})
				}
			}
			p.Steps = append(p.Steps, s)
		}
		b := newBrute(p, nil)
		plan, ps := schedule.Make(p, 1, 300)
		if ps.Failed() {
			t.Fatal(ps)
		}
		if plan.Score.Late != b.best || plan.Bound.Late > b.best {
			t.Errorf("project %d: %d days, bound %d; the shortest takes %d", seed, plan.Score.Late, plan.Bound.Late, b.best)
		}
	}
}

// Three orders, each with a lot in one pot and a warp that stays with one of two
// people.
func TestRun_findsTheLeastLatenessOfWarps(t *testing.T) {
	findsTheLeast(t, 7, func(c *rand.Rand) (p schedule.Problem, open map[string]func(int) bool) {
		p = schedule.Problem{Begin: begin, Days: 60, Places: []schedule.Place{{Key: "pot", Capacity: 1, Shared: true}}}
		open = map[string]func(int) bool{}
		for k := range 2 {
			addPerson(&p, k, c, open)
		}
		for o := range 3 {
			key := fmt.Sprint("o", o)
			p.Orders = append(p.Orders, schedule.Order{Key: key, Due: at(schedule.Minutes(1+c.IntN(5)) * day), Weight: 1 + c.IntN(3)})
			p.Steps = append(p.Steps, schedule.Step{Key: key + " dye", Orders: []string{key}, Stand: schedule.Minutes(6+c.IntN(18)) * hour, Needs: []schedule.Need{{Place: "pot", Amount: 1}}})
			last := key + " dye"
			for _, kind := range []string{" warp", " weave"} {
				s := schedule.Step{Key: key + kind, Orders: []string{key}, Stay: key, After: []schedule.After{{Step: last}}}
				for _, q := range p.People {
					s.Who = append(s.Who, schedule.Hand{Person: q.Key, Work: schedule.Minutes(1+c.IntN(9)) * hour})
				}
				last = s.Key
				p.Steps = append(p.Steps, s)
			}
		}
		return p, open
	})
}

// Two or three orders, two people with hours, one drying line.
func TestRun_findsTheLeastLateness(t *testing.T) {
	findsTheLeast(t, 6, func(c *rand.Rand) (p schedule.Problem, open map[string]func(int) bool) {
		p = schedule.Problem{Begin: begin, Days: 60, Places: []schedule.Place{{Key: "R", Capacity: 3, Shared: true}}}
		open = map[string]func(int) bool{}
		for k := range 2 {
			addPerson(&p, k, c, open)
		}
		for o := range 2 + c.IntN(2) {
			order := fmt.Sprint("o", o)
			p.Orders = append(p.Orders, schedule.Order{Key: order, Due: at(schedule.Minutes(c.IntN(5)) * day), Weight: 1 + c.IntN(3)})
			last := ""
			for k := range 2 {
				s := schedule.Step{Key: fmt.Sprint(order, ".", k), Orders: []string{order}, Stand: schedule.Minutes(c.IntN(3)*8) * hour}
				for _, q := range p.People {
					s.Who = append(s.Who, schedule.Hand{Person: q.Key, Work: schedule.Minutes(1+c.IntN(12)) * hour})
				}
				if c.IntN(2) == 0 {
					s.Needs = []schedule.Need{{Place: "R", Amount: 1 + c.IntN(3)}}
				}
				if last != "" {
					s.After = []schedule.After{{Step: last, Min: schedule.Minutes(c.IntN(2)*5) * hour}}
				}
				last = s.Key
				p.Steps = append(p.Steps, s)
			}
		}
		return p, open
	})
}

// findsTheLeast looks at workshops of which the least weighted lateness is known.
func findsTheLeast(t *testing.T, chance uint64, workshop func(*rand.Rand) (schedule.Problem, map[string]func(int) bool)) {
	const cases = 60
	missed := 0
	for seed := range uint64(cases) {
		p, open := workshop(rand.New(rand.NewPCG(seed, chance)))
		b := newBrute(p, open)
		plan, ps := schedule.Make(p, 1, 2000)
		if ps.Failed() {
			t.Fatal(ps)
		}
		if plan.Score.Late < b.best || plan.Bound.Late > b.best {
			t.Errorf("workshop %d: %d, bound %d; the least is %d", seed, plan.Score.Late, plan.Bound.Late, b.best)
		}
		if plan.Score.Late > b.best {
			missed++
		}
	}
	if missed > 1 { // a search that is stopped promises no best plan
		t.Errorf("%d of %d workshops are later than need be", missed, cases)
	}
}

// addPerson adds somebody who has a day of the week off.
func addPerson(p *schedule.Problem, off int, c *rand.Rand, open map[string]func(int) bool) {
	key := fmt.Sprint("p", off)
	from, long := 6+c.IntN(6), 3+c.IntN(8)
	own := schedule.Calendar{Key: key}
	for d := range 7 {
		if d != off {
			own.Weekly = append(own.Weekly, schedule.Hours{Day: begin.AddDate(0, 0, d).Weekday(), Span: schedule.Span{From: from * 60, To: (from + long) * 60}})
		}
	}
	open[key] = func(h int) bool { return h/24%7 != off && h%24 >= from && h%24 < from+long }
	p.Calendars = append(p.Calendars, own)
	p.People = append(p.People, schedule.Person{Key: key, Calendars: []string{key}})
}
