package schedule

import (
	"urdir/check"

	"urdir/chance"
)

// Search holds the best plan so far and makes it better for as long as it is
// asked to. It is not for use by several goroutines at once.
type Search struct {
	net    *net
	chance chance.Stream
	walk   *walk
	best   shot
	bound  *Bound
	count  int // schedules made
	asked  int // for
	herd   *herd
	tear   *tear
}

// shot is a plan as it was at some time.
type shot struct {
	spots  []spot
	places []int32
	score  Score
}

// New checks the problem and makes the first answer; without a Search there is
// an error among the problems. The seed picks the sequence of chance.
func New(p Problem, seed uint64) (*Search, check.Problems) {
	s, ps := start(p, seed)
	if ps.Failed() {
		return nil, ps
	}
	if s.net.single {
		s.herd = newHerd(s)
	} else {
		s.tear = newTear(s)
	}
	return s, ps
}

// start is a search that has only what is fixed.
func start(p Problem, seed uint64) (*Search, check.Problems) {
	n, base, ps := p.compile(nil)
	if ps.Failed() {
		return nil, ps
	}
	s := &Search{net: n, chance: chance.Stream(seed), walk: newWalk(n)}
	s.walk.copyFrom(base)
	return s, ps
}

// Make is the plan after so many schedules.
func Make(p Problem, seed uint64, schedules int) (Plan, check.Problems) {
	s, ps := New(p, seed)
	if ps.Failed() {
		return Plan{}, ps
	}
	s.Run(schedules)
	return s.Plan(), ps
}

// Schedules is how many whole or part schedules were made.
func (s *Search) Schedules() int { return s.count }

// Score is that of the best plan so far.
func (s *Search) Score() Score { return s.best.score }

// Run makes so many more schedules, or one or two more than that: they come in
// steps of one to three. However the schedules are shared out over calls, the
// plan after so many in all is the same.
func (s *Search) Run(schedules int) {
	s.asked += schedules
	for s.count < s.asked {
		switch {
		case len(s.net.units) == 0:
			s.count = s.asked
		case s.herd != nil:
			s.herd.step()
		default:
			s.tear.step()
		}
	}
}

// keep takes over the plan of the walk if it is the best.
func (s *Search) keep() {
	if s.best.spots == nil || s.walk.score.less(s.best.score) {
		s.best.from(s.walk)
	}
}

func (s *shot) from(w *walk) {
	s.spots = append(s.spots[:0], w.spots...)
	s.places = append(s.places[:0], w.places...)
	s.score = w.score
}

// load makes the walk a plan again.
func (w *walk) load(s *shot) {
	w.clear()
	for i := range s.spots {
		t := &w.net.tasks[i]
		copy(w.try, s.places[t.spot:t.spot+len(t.needs)])
		if s.spots[i].option >= 0 {
			w.put(int32(i), s.spots[i])
		}
	}
	w.refreshAll()
}

// ranking is in which order units are placed: of those that may be, the one with
// the lowest key first.
type ranking struct {
	key  []float64 // by unit
	left []int32   // units before each that are not placed
	heap []int32
}

// serial places units one after the other, each as early as it fits. Other units
// are placed already, and come before these or have nothing to do with them.
func (s *Search) serial(w *walk, units []int32, r *ranking, by *rule) {
	r.reset(s.net, units)
	for len(r.heap) > 0 {
		u := r.pop()
		w.build(&s.net.units[u], by)
		r.done(s.net, u)
	}
	s.count++
}

// reset begins with those of some units that come after none of them. All that
// comes after them is among them.
func (r *ranking) reset(n *net, units []int32) {
	r.heap = r.heap[:0]
	for _, u := range units {
		r.left[u] = 0
	}
	for _, u := range units {
		for _, v := range n.units[u].behind {
			r.left[v]++
		}
	}
	for _, u := range units {
		if r.left[u] == 0 {
			r.push(u)
		}
	}
}

// done adds the units that had to wait for one.
func (r *ranking) done(n *net, u int32) {
	for _, v := range n.units[u].behind {
		if r.left[v]--; r.left[v] == 0 {
			r.push(v)
		}
	}
}

func (r *ranking) less(a, b int32) bool {
	return r.key[a] < r.key[b] || r.key[a] == r.key[b] && a < b
}

func (r *ranking) push(u int32) {
	r.heap = append(r.heap, u)
	for i := len(r.heap) - 1; i > 0; {
		up := (i - 1) / 2
		if !r.less(r.heap[i], r.heap[up]) {
			return
		}
		r.heap[i], r.heap[up] = r.heap[up], r.heap[i]
		i = up
	}
}

func (r *ranking) pop() int32 {
	top, n := r.heap[0], len(r.heap)-1
	r.heap[0] = r.heap[n]
	r.heap = r.heap[:n]
	for i := 0; ; {
		k := 2*i + 1
		if k+1 < n && r.less(r.heap[k+1], r.heap[k]) {
			k++
		}
		if k >= n || !r.less(r.heap[k], r.heap[i]) {
			return top
		}
		r.heap[i], r.heap[k] = r.heap[k], r.heap[i]
		i = k
	}
}

func newRanking(units int) ranking {
	return ranking{key: make([]float64, units), left: make([]int32, units)}
}

// all is every unit.
func (n *net) all() []int32 {
	out := make([]int32, len(n.units))
	for i := range out {
		out[i] = int32(i)
	}
	return out
}
