package schedule

import (
	"cmp"
	"slices"
)

// look is how many of her steps a person tries for room in places before she
// waits; our choice, for speed.
const look = 4

// dispatch is who waits for what while a plan is run through from moment to
// moment.
type dispatch struct {
	left  []int32 // by unit, the units before it that are not placed
	rank  []int32 // by unit, its place in the plan
	seats []seat  // by person
	heap  moments
}

// seat is a person: the units she could begin, by rank, and when she looks again.
type seat struct {
	waits []waiting
	free  int32
	next  moment
}

type waiting struct{ unit, ready int32 }

// moment is when a person looks for something to do; of several at one time she
// whose step is first in the plan.
type moment struct{ at, rank, person int32 }

func newDispatch(n *net) dispatch {
	return dispatch{left: make([]int32, len(n.units)), rank: make([]int32, len(n.units)), seats: make([]seat, len(n.people))}
}

// dispatch places all units that do not give way.
func (r *Replay) dispatch() {
	d, n := &r.run, r.board.net
	for p := range d.seats {
		d.seats[p] = seat{d.seats[p].waits[:0], 0, moment{at: never}}
	}
	for k, u := range r.units {
		d.rank[u], d.left[u] = int32(k), int32(len(n.units[u].before))
	}
	for _, u := range r.units {
		if len(n.units[u].before) == 0 {
			r.arrive(u)
		}
	}
	for len(d.heap) > 0 {
		if m := d.heap.pop(); m == d.seats[m.person].next { // or else she looks at another time
			r.decide(m.person, m.at)
		}
	}
}

// person is who begins a unit, or -1.
func (r *Replay) person(u int32) int32 {
	i := r.board.net.units[u].tasks[0]
	return r.board.net.tasks[i].options[r.rule.chosen[i]].line
}

// arrive is for a unit that waits for no other: it waits for its person now.
func (r *Replay) arrive(u int32) {
	if r.yields[u] {
		return
	}
	d, p := &r.run, r.person(u)
	ready := r.board.ready(r.board.net.units[u].tasks[0])
	if p < 0 {
		r.begin(u, ready)
		return
	}
	s := &d.seats[p]
	at, _ := slices.BinarySearchFunc(s.waits, u, func(w waiting, u int32) int { return cmp.Compare(d.rank[w.unit], d.rank[u]) })
	s.waits = slices.Insert(s.waits, at, waiting{u, ready})
	d.wake(p, min(s.next.at, max(ready, s.free)))
}

// wake has a person look at a time.
func (d *dispatch) wake(p, at int32) {
	s := &d.seats[p]
	m := moment{at, never, p}
	for _, w := range s.waits {
		if w.ready <= at {
			m.rank = d.rank[w.unit]
			break
		}
	}
	if m != s.next {
		s.next = m
		d.heap.push(m)
	}
}

// decide has a person begin the first of her units that can begin now, or wait
// until one may.
func (r *Replay) decide(p, now int32) {
	d, b := &r.run, r.board
	s := &d.seats[p]
	soonest, tried := never, 0
	for k, w := range s.waits {
		if w.ready > now {
			soonest = min(soonest, w.ready)
			continue
		}
		if tried == look {
			continue
		}
		tried++
		i := b.net.units[w.unit].tasks[0]
		start := b.fit(&b.net.tasks[i], r.rule.chosen[i], now).start
		if start == now || start >= never {
			s.waits = slices.Delete(s.waits, k, k+1)
			s.next.at = never
			r.begin(w.unit, now)
			if s.free = now; start < never {
				s.free = b.spots[i].last
			}
			r.next(p)
			return
		}
		soonest = min(soonest, start)
	}
	s.next.at = never
	if soonest < never {
		d.wake(p, soonest)
	}
}

// next has a person look again when she is free and something is there.
func (r *Replay) next(p int32) {
	s := &r.run.seats[p]
	soonest := never
	for _, w := range s.waits {
		soonest = min(soonest, max(w.ready, s.free))
	}
	s.next.at = never
	if len(s.waits) > 0 {
		r.run.wake(p, soonest)
	}
}

// begin places a unit from a time on; what waited for it may be next.
func (r *Replay) begin(u, from int32) {
	b, n := r.board, r.board.net
	first := n.units[u].tasks[0]
	b.lower[first] = from
	b.build(&n.units[u], &r.rule)
	b.lower[first] = 0
	for _, v := range n.units[u].behind {
		if r.run.left[v]--; r.run.left[v] == 0 {
			r.arrive(v)
		}
	}
}

// moments is a heap, the earliest on top.
type moments []moment

func (m moment) before(o moment) bool {
	if m.at != o.at {
		return m.at < o.at
	}
	return m.rank < o.rank || m.rank == o.rank && m.person < o.person
}

func (h *moments) push(m moment) {
	s := append(*h, m)
	for i := len(s) - 1; i > 0; {
		up := (i - 1) / 2
		if !s[i].before(s[up]) {
			break
		}
		s[i], s[up] = s[up], s[i]
		i = up
	}
	*h = s
}

func (h *moments) pop() moment {
	s := *h
	top, n := s[0], len(s)-1
	s[0] = s[n]
	s = s[:n]
	for i := 0; ; {
		k := 2*i + 1
		if k+1 < n && s[k+1].before(s[k]) {
			k++
		}
		if k >= n || !s[k].before(s[i]) {
			break
		}
		s[i], s[k] = s[k], s[i]
		i = k
	}
	*h = s
	return top
}
