package frame

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// effort is how many steps a search may take. It is a count and not a clock, so
// that the same frame gives the same path on every machine; it is about 25 ms
// of one core.
const effort = 2_000_000

// Find finds the way for ends of the given length; the frame must be valid.
// What Find looks for is in the package comment. If even the longest way is too
// short, the problem frame-too-short says how long that is; frame-blocked says
// that pegs stand in every way.
func (f Frame) Find(need measure.CM) (Path, check.Problems) {
	var ps check.Problems
	s := newSearch(f, 2*float64(need))
	s.run()
	if !s.found() {
		s.lengthen()
	}
	switch {
	case s.longest.total == 0:
		ps.Wrong("", "frame-blocked", nil)
		return Path{}, ps
	case !s.found():
		ps.Wrong("", "frame-too-short", check.Args{"longest": s.longest.length(), "needed": need})
		return Path{}, ps
	}
	if !s.proven.Excess {
		s.approach()
	}
	return s.path(s.best, need), ps
}

// found says whether some way is long enough.
func (s *search) found() bool { return !math.IsInf(s.best.total, 1) }

// way is a complete path: which start, cross order and side, the chain, and the
// turning peg.
type way struct {
	total     float64
	crossings int
	entry     int // index into search.entries
	chain     []int
	end       int
}

// length is that of an end: half the circuit.
func (w way) length() measure.CM { return measure.CM(w.total / 2) }

// search holds the tables and the best way so far. Totals are of a circuit.
type search struct {
	f       Frame
	t       *table
	need    float64
	cut     float64 // ways shorter than this are of no use
	free    []int   // pegs a chain may use
	turns   []int
	entries []entry
	prefix  [][]prefix // by entry, then touch
	bounds  bounds
	cross   crossTable

	best    way
	longest way
	spent   int // steps taken
	limit   int // steps that may be taken
	proven  Proven

	// the way being tried
	e       int
	chain   []int
	touches []touch // of all of the chain but the last, whose side its successor settles
	used    []bool
	rest    float64 // sum of the prices of unused pegs
	legs    legSet
	crossed int
	options [][]option // scratch, by depth
}

func newSearch(f Frame, need float64) *search {
	s := &search{f: f, t: newTable(f), need: need, cut: need - 1e-9, limit: effort}
	for p := range f.Pegs {
		id := f.Pegs[p].ID
		if slices.Contains(f.Cross[:], id) || !slices.ContainsFunc(f.Start, func(start string) bool { return start != id }) {
			continue // on a cross peg, or the only start
		}
		s.free = append(s.free, p)
		if slices.Contains(f.Turn, id) {
			s.turns = append(s.turns, p)
		}
	}
	s.entrances()
	s.cross = newCrossTable(s.t)
	s.legs = s.cross.none()
	s.used = make([]bool, s.t.n)
	s.options = make([][]option, s.t.n+1)
	s.bounds = newBounds(s)
	s.bounds.lead = s.leads()
	s.best.total, s.best.crossings = math.Inf(1), math.MaxInt
	return s
}

// class is the excess in whole steps of the resolution.
func (s *search) class(total float64) int {
	return int(math.Max(0, total-s.need) / 2 / resolution)
}

// better says whether a finished way beats the best.
func (s *search) better(total float64, crossings, pegs int) bool {
	if !s.found() {
		return true
	}
	a, b := s.class(total), s.class(s.best.total)
	switch {
	case a != b:
		return a < b
	case pegs != len(s.best.chain):
		return pegs < len(s.best.chain)
	}
	return crossings < s.best.crossings
}

// done keeps a finished way if it is the best or the longest so far.
func (s *search) done(total float64, crossings, end int) {
	if total > s.longest.total+1e-9 {
		s.longest = way{total, crossings, s.e, slices.Clone(s.chain), end}
	}
	if total >= s.need-1e-9 && s.better(total, crossings, len(s.chain)) {
		s.best = way{total, crossings, s.e, slices.Clone(s.chain), end}
	}
}

// perfect says that no way has less excess than the best.
func (s *search) perfect() bool { return s.found() && s.class(s.best.total) == 0 }

// run goes through chains of 0, 1, 2 ... pegs. A level that is gone through
// whole is proven; when one finds a way without excess, no longer chain can be
// better.
func (s *search) run() {
	whole := true
	for k := range len(s.free) {
		if s.worth(k, k, s.spent+(s.limit-s.spent)/6) < s.cut {
			continue
		}
		// Half of what is left: a level that cannot be gone through leaves
		// enough for those that may hold the answer.
		complete := s.level(k, s.share(k, 2))
		if s.perfect() {
			s.proven = Proven{Excess: true, Pegs: whole, Crossings: whole && complete}
			return
		}
		whole = whole && complete
	}
	s.proven = Proven{Excess: whole && s.found(), Pegs: whole && s.found(), Crossings: whole && s.found()}
}

// share is the step at which a level of k pegs has to stop when it may have a
// half or a third of what is left. Chains of one peg are always gone through.
func (s *search) share(k, part int) int {
	if k < 2 {
		return math.MaxInt
	}
	return s.spent + (s.limit-s.spent)/part
}

// level tries every chain of k pegs; it is false when its steps ran out.
func (s *search) level(k, until int) bool {
	for e, en := range s.entries {
		s.e = e
		if k == 0 {
			for _, end := range s.turns {
				if total, ok := s.direct(en, end); ok && end != en.start {
					s.done(total, s.cross.count(s.stations(end)), end)
				}
			}
			continue
		}
		s.begin()
		for _, p := range s.free {
			if s.used[p] {
				continue
			}
			s.push(p)
			ok := s.extend(k-1, 0, until)
			s.pop()
			if !ok {
				s.reset()
				return false
			}
		}
		s.reset()
	}
	return true
}

// stations are the pegs of the outward way in order.
func (s *search) stations(end int) []int {
	e := s.entries[s.e]
	return append(append([]int{e.start, e.first, e.second}, s.chain...), end)
}

// begin readies the scratch for chains of the entry s.e.
func (s *search) begin() {
	e := s.entries[s.e]
	s.used[e.start] = true
	s.legs.add(s.cross.leg(e.start, e.first))
	s.legs.add(s.cross.leg(e.first, e.second))
	s.rest = 0
	for _, p := range s.free {
		if p != e.start {
			s.rest += s.bounds.price[p]
		}
	}
}

func (s *search) reset() {
	s.chain, s.touches, s.crossed = s.chain[:0], s.touches[:0], 0
	clear(s.used)
	clear(s.legs)
}

// push and pop put a peg on the chain and take it off.
func (s *search) push(p int) {
	leg := s.cross.leg(s.before(), p)
	s.crossed += s.cross.with(leg, s.legs)
	s.legs.add(leg)
	s.chain = append(s.chain, p)
	s.used[p] = true
	s.rest -= s.bounds.price[p]
}

func (s *search) pop() {
	m := len(s.chain) - 1
	p := s.chain[m]
	s.chain = s.chain[:m]
	s.used[p] = false
	s.rest += s.bounds.price[p]
	leg := s.cross.leg(s.before(), p)
	s.legs.remove(leg)
	s.crossed -= s.cross.with(leg, s.legs)
}

// before is the last peg of the chain, or the second of the cross.
func (s *search) before() int {
	if m := len(s.chain); m > 0 {
		return s.chain[m-1]
	}
	return s.entries[s.e].second
}

// option is a peg that may come next.
type option struct {
	peg  int
	side touch   // of the peg before it
	acc  float64 // the circuit up to that touch
	low  float64 // no circuit that goes on so is shorter
	key  float64
}

// extend goes on from the last peg of the chain with left more. acc is the
// circuit up to the touch before that peg. It is false when the steps have run
// out.
func (s *search) extend(left int, acc float64, until int) bool {
	if s.spent >= until {
		return false
	}
	if s.perfect() && s.crossed >= s.best.crossings {
		return true
	}
	if left == 0 {
		s.finish(acc)
		return true
	}
	for _, o := range s.next(left, acc) {
		if s.found() && s.class(o.low) > s.class(s.best.total) {
			continue
		}
		s.touches = append(s.touches, o.side)
		s.push(o.peg)
		ok := s.extend(left-1, o.acc, until)
		s.pop()
		s.touches = s.touches[:len(s.touches)-1]
		if !ok {
			return false
		}
	}
	return true
}

// next lists the pegs with which a way of use can go on. Those come first whose
// possible lengths have the need in their middle: most ways lie there.
func (s *search) next(left int, acc float64) []option {
	m := len(s.chain)
	p := s.chain[m-1]
	list := s.options[m][:0]
	most, least := s.bounds.most[left-1], s.bounds.least[left-1]
	s.spent += len(s.free) - m
	before, first := s.beforeLast(), 0.0
	var sum [2]float64 // by the side of p
	var open [2]bool
	for side := range sum {
		sum[side], open[side] = s.arrive(acc, touch(2*p+side))
	}
	for _, q := range s.free {
		i := (before*s.t.n+p)*s.t.n + q
		t := at(p, int(s.t.sign[i]))
		acc := sum[t&1]
		if s.used[q] || s.t.sign[i] == 0 || !open[t&1] {
			continue
		}
		if m == 1 {
			first = s.firstLeg(t, q)
		}
		high := acc + first + 2*(s.bounds.far[i]+most[p*s.t.n+q]+s.rest-s.bounds.price[q])
		low := acc + first + 2*(s.bounds.near[i]+least[p*s.t.n+q]) - 1e-9
		if high < s.cut || s.found() && s.class(low) > s.class(s.best.total) {
			continue
		}
		list = append(list, option{q, t, acc, low, math.Abs((s.cut-low)/(high-low) - 0.5)})
	}
	if left > 1 {
		for i := 1; i < len(list); i++ {
			for j := i; j > 0 && list[j].key < list[j-1].key; j-- {
				list[j], list[j-1] = list[j-1], list[j]
			}
		}
	}
	s.options[m] = list
	return list
}

// finish closes the chain at every turning peg.
func (s *search) finish(acc float64) {
	s.spent += len(s.turns)
	for _, end := range s.turns {
		if s.used[end] {
			continue
		}
		if total, ok := s.close(acc, end); ok {
			s.done(total, s.crossed+s.cross.with(s.cross.leg(s.before(), end), s.legs), end)
		}
	}
}
