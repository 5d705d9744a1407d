package schedule

import (
	"math"
	"slices"
)

// herd makes a plan of one order better: a genetic algorithm over lists of units,
// each placed as early as it fits in the order of the list, with two-point
// crossover (Hartmann, Naval Research Logistics 1998), and every plan justified
// to the right and to the left (Valls, Ballestin and Quintanilla, EJOR 2005).
type herd struct {
	*Search
	back   *walk // time runs back
	moment int32 // from which it does
	held   shot  // only what is fixed, and so for back
	fixed  shot
	beasts []*beast
	rank   ranking
	by     rule
	child  beast
	inList []bool
	side   []int8
	sorted []int64
	every  []int32 // unit
	mother *beast  // of the child; none if it was made by chance
	father *beast
}

// beast is a plan: the order of its units, who does each task.
type beast struct {
	list   []int32
	chosen []int32
	worth  float64
	print  uint64 // of all starts
}

// The herd begins with so many plans by chance and grows with the root of the
// schedules made, so that a short search is keen and a long one does not run dry.
// Measured; our choice.
const (
	firstHerd  = 40
	mostHerd   = 400
	herdGrowth = 1.2
	mostNoise  = 12 // by so many usual durations two steps may change places in a plan by chance
	swaps      = 15 // one in so many neighbours
	choices    = 25 // one in so many choices of a person, and about one in a plan at most
)

func newHerd(s *Search) *herd {
	n := s.net
	h := &herd{Search: s, moment: int32(n.problem.days()+1) * day, rank: newRanking(len(n.units)), inList: make([]bool, len(n.units)),
		side: make([]int8, len(n.units)), every: n.all()}
	h.back = newWalk(n.mirror(h.moment))
	h.held.from(s.walk)
	h.fixed.from(s.walk)
	for i := range h.fixed.spots {
		if sp := &h.fixed.spots[i]; sp.option >= 0 {
			*sp = sp.mirror(h.moment)
		}
	}
	h.by = rule{chance: &s.chance, look: mostLooks}
	h.child = beast{list: make([]int32, 0, len(n.units)), chosen: make([]int32, len(n.tasks))}
	h.sample(0)
	h.admit()
	return h
}

// step makes one more plan: by chance, or of one or two there are.
func (h *herd) step() {
	h.mother, h.father = nil, nil
	if most := h.most(); len(h.beasts) < min(most, firstHerd) || len(h.beasts) < most && h.chance.Below(2) == 0 {
		h.sample(1)
	} else {
		h.breed()
	}
	h.admit()
}

// most is how many plans the herd may have by now.
func (h *herd) most() int {
	return min(max(firstHerd, int(herdGrowth*math.Sqrt(float64(h.count)))), mostHerd)
}

// sample is a plan by latest ends, more or less.
func (h *herd) sample(noise float64) {
	n := h.net
	for i := range h.child.chosen {
		h.child.chosen[i] = -1
	}
	spread := 0.0
	for i := range n.tasks {
		spread += float64(n.tasks[i].usual)
	}
	spread *= noise * mostNoise * h.chance.Share() / float64(len(n.tasks))
	for u := range n.units {
		h.rank.key[u] = float64(n.tasks[n.units[u].tasks[0]].latest) + spread*h.chance.Share()
	}
	h.listByKey()
	h.grow()
}

// grow makes the plan of the child's list and justifies it.
func (h *herd) grow() {
	h.follow(h.walk, &h.held, 0)
	h.walk.refreshAll()
	h.keep()
	h.justify()
}

// parent is the better of two.
func (h *herd) parent() *beast {
	a, b := h.beasts[h.chance.Below(len(h.beasts))], h.beasts[h.chance.Below(len(h.beasts))]
	if b.worth < a.worth {
		return b
	}
	return a
}

// justify shifts the plan of the walk to the right, last ends first, and back to
// the left, and leaves it there.
func (h *herd) justify() {
	end := h.walk.lastEnd()
	if end < never {
		h.order(h.walk, true)
		h.follow(h.back, &h.fixed, h.moment-end)
		if h.back.broken == 0 {
			h.order(h.back, false)
			h.follow(h.walk, &h.held, 0)
			h.walk.refreshAll()
			h.keep()
		}
	}
	h.learn()
}

// follow makes the plan of the child's list from nothing but what is fixed.
func (h *herd) follow(w *walk, fixed *shot, floor int32) {
	w.load(fixed)
	w.floor = floor
	h.by.chosen = h.child.chosen
	for _, u := range h.child.list {
		w.build(&w.net.units[u], &h.by)
	}
	h.count++
}

// order puts the child's list in order of a plan: of the one by its ends, last
// first, or of the one whose time runs back, by its starts as time runs forward;
// what is equal, by what must come first. It takes over who does each task.
func (h *herd) order(w *walk, last bool) {
	c := &h.child
	h.sorted = h.sorted[:0]
	for u := range w.net.units {
		at, k := w.spots[w.net.units[u].tasks[0]].end, u
		if last {
			at = w.lastOf(u)
			k = len(w.net.units) - 1 - u
		}
		h.sorted = append(h.sorted, int64(-at)<<32|int64(k))
	}
	h.write(last)
	for i := range w.spots {
		c.chosen[i] = w.spots[i].option
	}
}

// write makes the child's list of what was sorted.
func (h *herd) write(last bool) {
	slices.Sort(h.sorted)
	c := &h.child
	c.list = c.list[:0]
	for _, key := range h.sorted {
		u := int32(key & (1<<32 - 1))
		if last {
			u = int32(len(h.net.units)) - 1 - u
		}
		c.list = append(c.list, u)
	}
}

// lastOf is the end of the last task of a unit.
func (w *walk) lastOf(u int) (end int32) {
	for _, i := range w.net.units[u].tasks {
		end = max(end, w.spots[i].end)
	}
	return end
}

// lastEnd is when all is done.
func (w *walk) lastEnd() (end int32) {
	for i := range w.spots {
		end = max(end, w.spots[i].end)
	}
	return end
}

// learn takes the plan of the walk over as the child.
func (h *herd) learn() {
	c, w := &h.child, h.walk
	h.sorted = h.sorted[:0]
	for u := range w.net.units {
		h.sorted = append(h.sorted, int64(w.spots[w.net.units[u].tasks[0]].start)<<32|int64(u))
	}
	h.write(false)
	c.worth = w.worth()
	c.print = 14695981039346656037 // FNV-1a
	for i := range w.spots {
		c.chosen[i] = w.spots[i].option
		c.print = (c.print ^ uint64(uint32(w.spots[i].start))) * 1099511628211
	}
}

// admit takes the child into the herd: by chance made, as one more; bred, in
// place of the worse of its parents, which keeps the herd from becoming all alike.
func (h *herd) admit() {
	c := &h.child
	for _, b := range h.beasts {
		if b.print == c.print {
			return
		}
	}
	if h.mother == nil {
		h.beasts = append(h.beasts, &beast{slices.Clone(c.list), slices.Clone(c.chosen), c.worth, c.print})
		return
	}
	b := h.mother
	if h.father.worth > b.worth {
		b = h.father
	}
	if c.worth <= b.worth {
		b.list = append(b.list[:0], c.list...)
		copy(b.chosen, c.chosen)
		b.worth, b.print = c.worth, c.print
	}
}
