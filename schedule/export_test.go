package schedule

import (
	"math"
	"slices"
)

// Clock is compiled hours, for tests.
type Clock = clock

// NoTime is what stands for no time.
const NoTime = never

// NewClock compiles hours, each from one minute to another.
func NewClock(hours [][2]int32) *Clock {
	spans := make([]span, len(hours))
	for i, h := range hours {
		spans[i] = span{h[0], h[1]}
	}
	return newClock(spans)
}

// Hours is when it runs.
func (c *clock) Hours() (out [][2]int32) {
	for _, s := range c.spans {
		out = append(out, [2]int32{s.from, s.to})
	}
	return out
}

// The reckoning with hours.
var (
	Run      = (*clock).run
	AtLeast  = (*clock).atLeast
	Together = together
)

// Sketch is a sketch of the best plan so far, with some changes made.
type Sketch struct {
	*sketch
	search *Search
}

// Sketch makes one.
func (s *Search) Sketch(changes int) Sketch {
	s.walk.load(&s.best)
	k := newSketch(s.walk, changes)
	for !k.change(&s.chance, 100) {
	}
	return Sketch{k, s}
}

// Size is how many lots and stints it has.
func (k Sketch) Size() (lots, stints int) { return len(k.lots), len(k.stints) }

// Drift is by how much what was kept up with the changes is off what is reckoned anew:
// the cost of orders, and that of fairness.
func (k Sketch) Drift() (orders, fair float64) {
	anew := newSketch(k.walk, 0)
	for s := range k.stints {
		anew.seat(int32(s), k.stints[s].person, k.stints[s].option)
	}
	anew.queues, anew.lots = k.queues, k.lots
	for l := range anew.lots {
		anew.setEnds(&anew.lots[l])
	}
	anew.settle()
	for o := range k.orders {
		orders += math.Abs(k.orders[o].cost - anew.costOf(int32(o)))
	}
	return orders, k.fair.cost() - anew.fair.cost()
}

// OutOfTurn is how many lots are before what they wait for.
func (k Sketch) OutOfTurn() (n int) {
	for l := range k.lots {
		if !k.inTurn(int32(l)) {
			n++
		}
	}
	return n
}

// Times is when lots are, the first first.
func (k Sketch) Times() (out []int32) {
	for _, l := range k.line {
		out = append(out, k.lots[l].at)
	}
	slices.Sort(out)
	return out
}

// Ends is when each order is ready in the sketch, and when it is as the sketch is drawn.
func (k Sketch) Ends() (said, drawn []int32) {
	for o := range k.orders {
		said = append(said, k.endOf(int32(o)))
	}
	t := k.search.tear
	t.walk.load(&t.held)
	k.draw(k.search, &t.rank, false)
	return said, slices.Clone(t.walk.ends)
}
