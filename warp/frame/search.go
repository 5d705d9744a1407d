package frame

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// nodes is how many steps a search may take. It is a count and not a clock, so
// that the same frame gives the same path on every machine; it is about 40 ms
// of one core.
const nodes = 700_000

// Find finds the way for ends of the given length; the frame must be valid.
// What Find looks for is in the package comment. If even the longest way is too
// short, the problem frame-too-short says how long that is.
func (f Frame) Find(need measure.CM) (Path, check.Problems) {
	var ps check.Problems
	s := newSearch(f, 2*float64(need))
	s.run()
	if !s.found() {
		s.lengthen(8)
	}
	if !s.found() {
		longest := f.Longest()
		if longest.Path.Length < need {
			ps.Wrong("", "frame-too-short", check.Args{"longest": longest.Path.Length, "needed": need})
			return Path{}, ps
		}
		s.lengthen(math.MaxInt)
	}
	if s.class(s.best.total) > 0 && !s.proven.Excess {
		s.shorten()
		s.refine()
		s.proven.Excess = s.class(s.best.total) == 0
	}
	return s.path(s.best, need), ps
}

// found says whether some way is long enough.
func (s *search) found() bool { return !math.IsInf(s.best.total, 1) }

// Longest is the longest way found and a length no way can exceed.
type Longest struct {
	Path  Path
	Bound measure.CM
}

// Longest finds the longest way round the frame, which must be valid. Where
// proving it the longest would take too long, Bound is above its length.
func (f Frame) Longest() Longest {
	s := newSearch(f, math.Inf(1))
	s.lengthen(math.MaxInt)
	p := s.path(s.longest, 0)
	p.Excess = 0
	return Longest{p, measure.CM(s.ceiling / 2)}
}

// way is a complete path: which start, cross order and side, the chain, and the
// turning peg.
type way struct {
	total     float64
	crossings int
	entry     int // index into search.entries
	chain     []int
	end       int
}

// entry is one way through the cross: start peg, order of the cross pegs, and
// the side on which the first is passed.
type entry struct {
	start, first, second int
	side                 int
}

// prefix is the way from the start through the cross onto a touch, out and back.
type prefix struct {
	length  float64 // both ways and the wrap on the start peg
	in, out float64 // direction on arriving outward, and on leaving homeward
	ok      bool
}

// search holds the tables and the best way so far. Totals are of a circuit.
type search struct {
	f       Frame
	t       *table
	need    float64
	free    []int // pegs a chain may use, by falling reach
	entries []entry
	prefix  [][]prefix // by entry, then touch
	turns   []int
	most    [][]float64 // most[k][p]: what k more pegs and the turn can add after p
	least   [][]float64
	best    way
	longest way
	ceiling float64
	spent   int
	limit   int
	proven  Proven

	// the way being tried
	e       int
	chain   []int
	touches []touch
	used    []bool
}

func newSearch(f Frame, need float64) *search {
	s := &search{f: f, t: newTable(f), need: need, limit: nodes}
	a, b := f.index(f.Cross[0]), f.index(f.Cross[1])
	for _, id := range f.Start {
		p := f.index(id)
		if p == a || p == b {
			continue
		}
		for _, side := range []int{1, -1} {
			s.entries = append(s.entries, entry{p, a, b, side}, entry{p, b, a, side})
		}
	}
	for _, id := range f.Turn {
		if p := f.index(id); p != a && p != b {
			s.turns = append(s.turns, p)
		}
	}
	for p := range f.Pegs {
		if p != a && p != b {
			s.free = append(s.free, p)
		}
	}
	s.prefix = make([][]prefix, len(s.entries))
	for i, e := range s.entries {
		s.prefix[i] = make([]prefix, 2*s.t.n)
		for p := range s.t.n {
			if p != e.start && p != e.first && p != e.second {
				s.prefix[i][at(p, 1)] = s.enter(e, at(p, 1))
				s.prefix[i][at(p, -1)] = s.enter(e, at(p, -1))
			}
		}
	}
	s.used = make([]bool, s.t.n)
	s.bounds()
	s.best.total, s.best.crossings = math.Inf(1), math.MaxInt
	return s
}

// enter reckons the way through the cross onto a touch of the first peg behind
// it. Outward the cross pegs lie on e.side and on the other; homeward the same
// sides are met from behind, which is the other side of each peg.
func (s *search) enter(e entry, to touch) prefix {
	start, c1, c2 := at(e.start, e.side), at(e.first, e.side), at(e.second, -e.side)
	out := s.t.taut([]touch{start, c1, c2, to})
	back := s.t.taut([]touch{to.other(), c2, c1, start})
	lo, from, in, ok1 := s.t.measure(out)
	lb, leave, home, ok2 := s.t.measure(back)
	wrap := turn(start.side(), home, from)
	return prefix{
		length: lo + lb + s.t.r[e.start]*wrap,
		in:     in, out: leave, ok: ok1 && ok2,
	}
}

// tail is the way from the last touch of a chain round the turning peg and back
// onto it: the shorter of the two ways round.
func (s *search) tail(last touch, end int) (length, out, in float64, ok bool) {
	length = math.Inf(1)
	for _, t := range []touch{at(end, 1), at(end, -1)} {
		there, back := s.t.at(last, t), s.t.at(t, last.other())
		if s.t.blocked[there] || s.t.blocked[back] {
			continue
		}
		l := s.t.length[there] + s.t.length[back] + s.t.r[end]*turn(t.side(), s.t.angle[there], s.t.angle[back])
		if l < length {
			length, out, in, ok = l, s.t.angle[there], s.t.angle[back], true
		}
	}
	return length, out, in, ok
}

// direct is the circuit without a chain: through the cross to the turning peg.
func (s *search) direct(e entry, end int) (float64, bool) {
	c1, c2 := at(e.first, e.side), at(e.second, -e.side)
	start, to := at(e.start, e.side), at(end, -e.side)
	lo, from, in, ok1 := s.t.measure(s.t.taut([]touch{start, c1, c2, to}))
	lb, leave, home, ok2 := s.t.measure(s.t.taut([]touch{to, c2, c1, start}))
	total := lo + lb + s.t.r[e.start]*turn(start.side(), home, from) + s.t.r[end]*turn(to.side(), in, leave)
	return total, ok1 && ok2
}

// class is the excess in whole steps of the resolution.
func (s *search) class(total float64) int {
	return int(math.Floor((total - s.need) / 2 / resolution))
}

// better says whether a finished way beats the best.
func (s *search) better(total float64, crossings, pegs int) bool {
	if total < s.need-1e-9 {
		return false
	}
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
func (s *search) done(total float64, end int) {
	if total > s.longest.total+1e-9 {
		s.longest = way{total, s.crossings(end), s.e, slices.Clone(s.chain), end}
	}
	if total < s.need-1e-9 {
		return
	}
	if c := s.crossings(end); s.better(total, c, len(s.chain)) {
		s.best = way{total, c, s.e, slices.Clone(s.chain), end}
	}
}

// run goes through chains of 0, 1, 2 ... pegs. A level that is gone through
// whole is proven; when one finds a way of class 0, no longer chain can be
// better.
func (s *search) run() {
	whole := true
	for k := 0; k <= len(s.free); k++ {
		from := s.spent
		complete := s.level(k, from+s.share(k))
		if s.found() && s.class(s.best.total) == 0 && len(s.best.chain) == k {
			s.proven = Proven{Excess: true, Pegs: whole, Crossings: whole && complete}
			return
		}
		whole = whole && complete
		if s.spent >= s.limit {
			whole = false
			break
		}
	}
	zero := s.found() && s.class(s.best.total) == 0
	s.proven = Proven{Excess: zero || whole, Pegs: whole, Crossings: whole}
}

// share is how much of what is left a level may spend: a third, so that a level
// that cannot be gone through leaves enough for those that may hold the answer.
func (s *search) share(int) int { return (s.limit - s.spent) / 3 }

// level tries every chain of k pegs; it is false when its steps ran out.
func (s *search) level(k, until int) bool {
	for e := range s.entries {
		s.e = e
		en := s.entries[e]
		if k == 0 {
			for _, end := range s.turns {
				if total, ok := s.direct(en, end); ok && end != en.start {
					s.spent++
					s.done(total, end)
				}
			}
			continue
		}
		s.used[en.start] = true
		for _, p := range s.free {
			if !s.used[p] && !s.step(k-1, p, 0, until) {
				s.used[en.start] = false
				return false
			}
		}
		s.used[en.start] = false
	}
	return true
}

// step puts a peg on the chain and goes on with left more. acc is the circuit
// up to the leg before the one that reaches p, whose side is known only when
// the next peg is. It is false when the steps have run out.
func (s *search) step(left, p int, acc float64, until int) bool {
	if s.spent >= until {
		return false
	}
	s.spent++
	m := len(s.chain)
	reach := s.reachMost(m, p)
	if acc+reach+2*s.most[left][p] < s.need-1e-9 {
		return true
	}
	if low := acc + s.reachLeast(m, p) + 2*s.least[left][p]; s.beyond(low) {
		return true
	}
	s.chain = append(s.chain, p)
	s.used[p] = true
	ok := s.next(left, p, acc, until)
	s.used[p] = false
	s.chain = s.chain[:m]
	return ok
}

// beyond says whether a total cannot be as good as the best.
func (s *search) beyond(total float64) bool {
	return s.found() && s.class(total) > s.class(s.best.total)
}

func (s *search) next(left, p int, acc float64, until int) bool {
	if left == 0 {
		for _, end := range s.turns {
			if !s.used[end] {
				if total, ok := s.close(p, end, acc); ok {
					s.done(total, end)
				}
			}
		}
		return true
	}
	for _, q := range s.free {
		if s.used[q] {
			continue
		}
		sum, t, ok := s.advance(p, q, acc)
		if !ok {
			continue
		}
		s.touches = append(s.touches, t)
		ok = s.step(left-1, q, sum, until)
		s.touches = s.touches[:len(s.touches)-1]
		if !ok {
			return false
		}
	}
	return true
}

// before is the peg that precedes the last of the chain.
func (s *search) before() int {
	if m := len(s.chain); m > 1 {
		return s.chain[m-2]
	}
	return s.entries[s.e].second
}

// advance settles the side of p, now that q follows, and adds the leg that
// reaches p with the arcs on the peg before it.
func (s *search) advance(p, q int, acc float64) (float64, touch, bool) {
	n := s.t.n
	side := s.t.sign[(s.before()*n+p)*n+q]
	if side == 0 {
		return 0, 0, false
	}
	t := at(p, int(side))
	sum, ok := s.arrive(t, acc)
	return sum, t, ok
}

// arrive adds the leg onto a touch, out and back, and the arcs behind it.
func (s *search) arrive(t touch, acc float64) (float64, bool) {
	m := len(s.touches)
	if m == 0 {
		pre := s.prefix[s.e][t]
		return acc + pre.length, pre.ok
	}
	last := s.touches[m-1]
	e := s.t.at(last, t)
	if s.t.blocked[e] {
		return 0, false
	}
	arcs, ok := s.arcs(m-1, s.t.angle[e], s.t.angle[e]+math.Pi)
	return acc + 2*s.t.length[e] + arcs, ok
}

// arcs are the wraps on the touch i of the chain, outward and homeward, given
// the direction in which the thread leaves it outward and reaches it homeward.
func (s *search) arcs(i int, out, in float64) (float64, bool) {
	t := s.touches[i]
	var from, home float64 // arriving outward, leaving homeward
	if i == 0 {
		pre := s.prefix[s.e][t]
		from, home = pre.in, pre.out
	} else {
		from = s.t.angle[s.t.at(s.touches[i-1], t)]
		home = from + math.Pi
	}
	a, b := turn(t.side(), from, out), turn(-t.side(), in, home)
	return s.t.r[t.peg()] * (a + b), a <= maxWrap && b <= maxWrap
}

// close finishes the chain at a turning peg.
func (s *search) close(p, end int, acc float64) (float64, bool) {
	sum, t, ok := s.advance(p, end, acc)
	if !ok {
		return 0, false
	}
	length, out, in, ok := s.tail(t, end)
	if !ok {
		return 0, false
	}
	s.touches = append(s.touches, t)
	arcs, ok := s.arcs(len(s.touches)-1, out, in)
	s.touches = s.touches[:len(s.touches)-1]
	return sum + length + arcs, ok
}
