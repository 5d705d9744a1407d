package schedule

import (
	"fmt"
	"slices"

	"urdir/check"
)

// Means is something that may make an order ready sooner.
type Means string

const (
	OnePlace   Means = "place"    // one more place of a kind
	MoreHours  Means = "overtime" // two hours more each day of one person
	SplitWork  Means = "split"    // half of the longest step that stays with one person goes to another
	BeforeRest Means = "first"    // the order goes before all others that are not fixed
)

// overtime is what MoreHours tries.
const overtime = 120

// Try is a means, and what it would give.
type Try struct {
	Means Means   `json:"means"`
	Which string  `json:"which,omitempty"` // the kind of place, the person, the step
	Ready Minutes `json:"ready_min"`
	Gain  Minutes `json:"gain_min"`  // sooner than in the plan
	Late  int64   `json:"late_days"` // of all orders then
}

// Earlier tries what would make an order ready sooner than it is in a plan of the
// problem, and gives what helps, the most helpful first. The other orders stay as
// they are, except where the order goes before them.
func Earlier(p Problem, plan Plan, order string) ([]Try, check.Problems) {
	chain, ps := Why(p, plan, order)
	at := slices.IndexFunc(plan.Orders, func(r Ready) bool { return r.Order == order })
	if ps.Failed() || at < 0 {
		return nil, ps
	}
	t := trial{problem: p, order: order, now: plan.Orders[at].End, rest: p.without(plan, order)}
	for _, kind := range t.kinds() {
		t.place(kind)
	}
	var people []string
	for _, l := range chain {
		if l.Person != "" && !slices.Contains(people, l.Person) {
			people = append(people, l.Person)
		}
	}
	for _, q := range people {
		t.overtime(q)
	}
	t.split()
	t.first()
	slices.SortStableFunc(t.out, func(a, b Try) int { return int(b.Gain - a.Gain) })
	return t.out, ps
}

// without is a plan without the steps that serve only one order and may move.
func (p *Problem) without(plan Plan, order string) Plan {
	own := map[string]bool{}
	for i := range p.Steps {
		own[p.Steps[i].Key] = len(p.Steps[i].Orders) == 1 && p.Steps[i].Orders[0] == order
	}
	plan.Jobs = slices.DeleteFunc(slices.Clone(plan.Jobs), func(j Job) bool { return own[j.Step] })
	return plan
}

type trial struct {
	problem Problem
	order   string
	now     Minutes
	rest    Plan
	out     []Try
}

// see keeps a try that helps.
func (t *trial) see(means Means, which string, p Problem) {
	s, ps := around(&p, &t.rest)
	if ps.Failed() {
		return
	}
	t.keep(means, which, s)
}

func (t *trial) keep(means Means, which string, s *Search) {
	at := slices.IndexFunc(s.net.problem.Orders, func(o Order) bool { return o.Key == t.order })
	if r := s.net.ready(&s.best, at); r.End < t.now {
		t.out = append(t.out, Try{means, which, r.End, t.now - r.End, s.best.score.Late})
	}
}

// kinds is the kinds of places that the order's steps need.
func (t *trial) kinds() (out []string) {
	for _, s := range t.problem.Steps {
		for _, d := range s.Needs {
			if d.Place == "" && slices.Contains(s.Orders, t.order) && !slices.Contains(out, d.Kind) {
				out = append(out, d.Kind)
			}
		}
	}
	return out
}

func (t *trial) place(kind string) {
	more := Place{Key: "one more " + kind, Kind: kind}
	for _, q := range t.problem.Places {
		if q.Kind == kind && q.Capacity >= more.Capacity {
			more.Capacity, more.Shared = q.Capacity, q.Shared
		}
	}
	p := t.problem
	p.Places = append(slices.Clone(p.Places), more)
	t.see(OnePlace, kind, p)
}

func (t *trial) overtime(person string) {
	p := t.problem
	p.People = slices.Clone(p.People)
	for i := range p.People {
		if p.People[i].Key == person {
			p.People[i].Overtime += overtime
		}
	}
	t.see(MoreHours, person, p)
}

// split gives half of a step's hands to another person. What came after the step
// waits for both halves.
func (t *trial) split() {
	p := t.problem
	long := -1
	for i, s := range p.Steps {
		if s.Stay != "" && s.Told == nil && slices.Contains(s.Orders, t.order) && (long < 0 || s.Work > p.Steps[long].Work) {
			long = i
		}
	}
	if long < 0 {
		return
	}
	p.Steps = slices.Clone(p.Steps)
	key := p.Steps[long].Key
	half := fmt.Sprint(key, " 2")
	for i := range p.Steps {
		s := &p.Steps[i]
		if k := slices.IndexFunc(s.After, func(a After) bool { return a.Step == key }); k >= 0 {
			s.After = append(slices.Clone(s.After), After{half, s.After[k].Min, s.After[k].Max})
		}
	}
	s := &p.Steps[long]
	s.Work, s.Who = (s.Work+1)/2, slices.Clone(s.Who)
	for k := range s.Who {
		s.Who[k].Work = (s.Who[k].Work + 1) / 2
	}
	other := *s
	other.Key, other.Stay = half, half
	p.Steps = append(p.Steps, other)
	t.see(SplitWork, key, p)
}

// first makes a first answer in which the order goes before all others.
func (t *trial) first() {
	p := t.problem
	n, base, ps := p.compile(nil)
	if ps.Failed() {
		return
	}
	s := &Search{net: n, walk: newWalk(n)}
	s.walk.copyFrom(base)
	rank := newRanking(len(n.units))
	for u := range n.units {
		i := n.units[u].tasks[0]
		rank.key[u] = float64(n.tasks[i].latest) - float64(n.tasks[i].usual)
		if n.serves(int32(u), t.order) {
			rank.key[u] -= float64(never)
		}
	}
	s.serial(s.walk, n.all(), &rank, &rule{})
	s.walk.refreshAll()
	s.keep()
	t.keep(BeforeRest, "", s)
}

// serves reports whether a unit has a task for an order.
func (n *net) serves(u int32, order string) bool {
	return slices.ContainsFunc(n.units[u].tasks, func(i int32) bool { return slices.Contains(n.problem.Steps[i].Orders, order) })
}
