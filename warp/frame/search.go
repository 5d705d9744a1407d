package frame

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// effort is how many steps a search may take. It is a count and not a clock, so
// that the same frame gives the same path on every machine; it is about 30 ms
// of one core.
const effort = 1_000_000

// Find finds the way for ends of the given length; the frame must be valid.
// What Find looks for is in the package comment. If even the longest way is too
// short, the problem frame-too-short says how long that is.
func (f Frame) Find(need measure.CM) (Path, check.Problems) {
	var ps check.Problems
	s := newSearch(f, 2*float64(need))
	s.run()
	if !s.found() {
		s.lengthen()
	}
	if !s.found() {
		longest := measure.CM(s.longest.total / 2)
		ps.Wrong("", "frame-too-short", check.Args{"longest": longest, "needed": need})
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
	ceiling float64
	spent   int
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
	s := &search{f: f, t: newTable(f), need: need, cut: need - 1e-9}
	for p := range f.Pegs {
		if !slices.Contains(f.Cross[:], f.Pegs[p].ID) {
			s.free = append(s.free, p)
			if slices.Contains(f.Turn, f.Pegs[p].ID) {
				s.turns = append(s.turns, p)
			}
		}
	}
	s.entrances()
	s.cross = newCrossTable(s.t)
	s.legs = s.cross.none()
	s.used = make([]bool, s.t.n)
	s.options = make([][]option, s.t.n+1)
	s.bounds = newBounds(s)
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
		if !s.worth(k) {
			continue
		}
		// Half of what is left: a level that cannot be gone through leaves
		// enough for those that may hold the answer.
		complete := s.level(k, s.spent+(effort-s.spent)/2)
		if s.perfect() {
			s.proven = Proven{Excess: true, Pegs: whole, Crossings: whole && complete}
			return
		}
		whole = whole && complete
	}
	s.proven = Proven{Excess: whole && s.found(), Pegs: whole && s.found(), Crossings: whole && s.found()}
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

// beforeLast is the peg before the last of the chain.
func (s *search) beforeLast() int {
	if m := len(s.chain); m > 1 {
		return s.chain[m-2]
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
	first := 0.0
	for _, q := range s.free {
		if s.used[q] {
			continue
		}
		sum, t, ok := s.arrive(acc, q)
		if !ok {
			continue
		}
		i := (s.beforeLast()*s.t.n+p)*s.t.n + q
		if m == 1 {
			first = s.firstLeg(t, q)
		}
		high := sum + first + 2*(s.bounds.far[i]+most[p*s.t.n+q]+s.rest-s.bounds.price[q])
		low := sum + first + 2*(s.bounds.near[i]+least[p*s.t.n+q]) - 1e-9
		if high < s.cut || s.found() && s.class(low) > s.class(s.best.total) {
			continue
		}
		list = append(list, option{q, t, sum, low, math.Abs((s.cut-low)/(high-low) - 0.5)})
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

// arrive settles the side of the last peg of the chain, now that q follows, and
// adds the leg that reaches it with the bend before that leg.
func (s *search) arrive(acc float64, q int) (float64, touch, bool) {
	n, m := s.t.n, len(s.chain)
	p := s.chain[m-1]
	side := s.t.sign[(s.beforeLast()*n+p)*n+q]
	if side == 0 {
		return 0, 0, false
	}
	t := at(p, int(side))
	if m == 1 {
		pre := s.prefix[s.e][t]
		return pre.length, t, pre.ok
	}
	e := s.t.at(s.touches[m-2], t)
	if s.t.blocked[e] {
		return 0, 0, false
	}
	bends, ok := s.wrap(m-2, s.touches[m-2], p, s.t.slant[e], s.t.slant[e])
	return acc + bends + 2*s.t.reach[e], t, ok
}

// wrap is the thread in the bends, outward and homeward, at the peg with index i
// of the chain, when next follows; the slants are those of the legs between the
// two. It is false where the thread would not lie on the peg, or goes all the
// way round it.
func (s *search) wrap(i int, t touch, next int, out, home float64) (float64, bool) {
	p := t.peg()
	if i == 0 {
		a, b := s.firstBends(t, next)
		return s.t.r[p] * (a + b), wraps(a+out) && wraps(b+home)
	}
	a := s.t.bend[(s.chain[i-1]*s.t.n+p)*s.t.n+next]
	in := s.t.slant[s.t.at(t, s.touches[i-1])]
	return 2 * s.t.r[p] * a, wraps(a+in+out) && wraps(a+in+home)
}

func wraps(angle float64) bool { return angle >= -1e-9 && angle <= maxWrap }

// close is the circuit that ends round a turning peg. Thread goes on by one
// side of it and comes back by the other, so it is as long either way round.
func (s *search) close(acc float64, end int) (float64, bool) {
	sum, t, ok := s.arrive(acc, end)
	if !ok {
		return 0, false
	}
	there, back := s.t.at(t, at(end, 1)), s.t.at(t, at(end, -1))
	if s.t.blocked[there] || s.t.blocked[back] {
		return 0, false
	}
	bends, ok := s.wrap(len(s.chain)-1, t, end, s.t.slant[there], s.t.slant[back])
	return sum + bends + s.t.reach[there] + s.t.reach[back] + math.Pi*s.t.r[end], ok
}
