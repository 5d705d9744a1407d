package lots

import (
	"cmp"
	"math"
	"slices"

	"urdir/chance"
	"urdir/check"
)

// Search holds the best plan so far and makes it better for as long as it is
// asked to. It is not for use by several goroutines at once.
type Search struct {
	job    *job
	chance dice
	bound  Bound
	steps  int
	best   *state
	now    *state
	try    *state
	out    []int // slots to take out
	left   [][]int32
	cycle  int // steps of the cooling under way
	cooled int // of which are done
}

// The search cools from hot to cold in cycles, each half as long again, and
// begins each from the best plan: however many steps it is given, most are spent
// in cycles of a fitting length. Measured in work; our choice.
const (
	hot, cold  = 2.0, 0.1
	firstCycle = 1000
	lateWork   = 8 // work that a want-day of lateness stands for while the search wanders
)

// overlooked is how often a day or a lot is overlooked, one in so many; a step
// has one of these.
var overlooked = [...]int{0, 100, 30, 8}

// New checks the work and makes the first answer; without a Search there is an
// error among the problems. The seed picks the sequence of chance.
func New(w Work, seed uint64) (*Search, check.Problems) {
	ps := w.Validate()
	if ps.Failed() {
		return nil, ps
	}
	s := &Search{job: newJob(w), chance: dice{Stream: chance.Stream(seed)}, cycle: firstCycle}
	s.best, s.now, s.try = newState(s.job), newState(s.job), newState(s.job)
	s.construct()
	s.now.copyFrom(s.best)
	s.bound = s.job.bound()
	return s, ps
}

// Make is the plan after so many steps.
func Make(w Work, seed uint64, steps int) (Plan, check.Problems) {
	s, ps := New(w, seed)
	if ps.Failed() {
		return Plan{}, ps
	}
	s.Improve(steps)
	return s.Plan(), ps
}

// construct puts every want where it costs least, the first due first and strong
// shades before pale ones.
func (s *Search) construct() {
	order := make([]int32, len(s.job.wants))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortStableFunc(order, s.byDue)
	f := finder{state: s.best}
	for _, k := range order {
		f.insert([]int32{k})
	}
}

func (s *Search) byDue(a, b int32) int {
	v, w := &s.job.wants[a], &s.job.wants[b]
	return cmp.Or(cmp.Compare(v.due, w.due), cmp.Compare(s.job.groups[w.group].strength, s.job.groups[v.group].strength))
}

// Steps is how many steps the search has taken.
func (s *Search) Steps() int { return s.steps }

// Improve takes so many steps.
func (s *Search) Improve(steps int) {
	if len(s.job.wants) == 0 {
		return
	}
	for range steps {
		s.step()
	}
}

// step takes some lots out of the plan, puts their yarn back, and keeps or drops
// the outcome.
func (s *Search) step() {
	s.steps++
	if s.cooled == s.cycle {
		s.cycle, s.cooled = s.cycle+s.cycle/2, 0
		s.now.copyFrom(s.best)
	}
	heat := hot * math.Pow(cold/hot, float64(s.cooled)/float64(s.cycle))
	s.cooled++
	s.try.copyFrom(s.now)
	s.chance.rate = overlooked[s.chance.Below(len(overlooked))]
	s.pick(s.try)
	s.takeOut(s.try)
	f := finder{state: s.try, chance: &s.chance}
	for _, wants := range s.left {
		if !f.insert(wants) {
			return // the finder overlooked what there was
		}
	}
	worse := s.worth(s.try.cost) - s.worth(s.now.cost)
	if worse <= 0 || s.chance.Share() < math.Exp(-worse/heat) {
		s.now, s.try = s.try, s.now
		if s.now.cost.less(s.best.cost) {
			s.best.copyFrom(s.now)
		}
	}
}

// worth is a cost as one number, for the walk only; which plan is best is decided
// by cost.less.
func (s *Search) worth(c cost) float64 {
	return lateWork*float64(c.late) + float64(c.work) + float64(c.ready)/(20*float64(len(s.job.wants)))
}
