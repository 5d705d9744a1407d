package frame

import (
	"math"

	"urdir/measure"
)

// Longest is the longest way found and a length no way can exceed.
type Longest struct {
	Path  Path
	Bound measure.CM
}

// Longest finds the longest way round the frame, which must be valid. Where
// proving it the longest would take too long, Bound is above its length. Both
// are zero where pegs stand in every way.
func (f Frame) Longest() Longest {
	s := newSearch(f, math.Inf(1))
	low, high := s.lengthen()
	bound := s.longest.total
	if low <= high {
		bound = math.Max(bound, s.worth(low, high, s.spent+effort))
	}
	if s.longest.total == 0 {
		return Longest{}
	}
	p := s.path(s.longest, s.longest.length())
	p.Proven = Proven{}
	return Longest{p, measure.CM(bound / 2)}
}

// beginnings is from how many chains the longest is looked for.
const beginnings = 8

// stretch is how many steps go into making the longest way longer, and as many
// into bringing an excess down; more on a frame of more than two dozen pegs,
// where a chain has more neighbours.
func (s *search) stretch() int { return 600_000 * max(1, s.t.n*s.t.n/(24*24)) }

// lengthen looks for the longest way, and stops when one is long enough: first
// by bettering chains step by step, then by going through the chains that the
// bounds allow to be longer still. It gives the fewest and the most pegs of
// those chains it could not go through; low is above high if there are none.
func (s *search) lengthen() (low, high int) {
	// From a fresh start, so that Find and Longest come to the same.
	s.longest, s.bounds.price, s.bounds.most = way{}, make([]float64, s.t.n), nil
	limit := s.spent + s.stretch()
	s.limit = s.spent + s.stretch()/2
	s.climbs(longer, s.found)
	s.limit = limit
	s.cut = s.longest.total + 1e-6
	s.worth(2, len(s.free)-1, s.spent+s.stretch()/4)
	low, high = len(s.free), -1
	for k := len(s.free) - 1; k >= 0 && !s.found(); k-- {
		s.cut = s.longest.total + 1e-6
		if k >= 2 {
			if bound, _ := s.root(k); bound < s.cut {
				continue
			}
		}
		if !s.level(k, s.share(k, 3)) {
			low, high = k, max(high, k)
		}
	}
	return low, high
}

// climbs betters chains from beginnings that differ in entry and turning peg.
func (s *search) climbs(value func(total float64) float64, enough func() bool) {
	tries := len(s.entries) * len(s.turns)
	for i := range min(beginnings, tries) {
		k := i * tries / min(beginnings, tries)
		e, end := k%len(s.entries), s.turns[k/len(s.entries)]
		if end != s.entries[e].start {
			s.climb(way{entry: e, end: end}, value)
		}
		if enough() {
			return
		}
	}
}

func longer(total float64) float64 { return total }

// approach brings the excess of the best way down: step by step from either side
// of the need, then by trying other ends for the best way, and for a long one.
func (s *search) approach() {
	s.cut = s.need - 1e-9
	nearer := func(total float64) float64 { return -math.Abs(total - s.need) }
	s.limit = s.spent + s.stretch()/4
	s.climbs(nearer, s.perfect)
	s.otherEnds(s.best, s.spent+s.stretch()*3/8)
	if !s.perfect() {
		s.limit = s.spent + s.stretch()/4
		s.climbs(longer, s.perfect)
		s.otherEnds(s.longest, s.spent+s.stretch()*3/8)
	}
	s.proven.Excess = s.proven.Excess || s.perfect()
}

// otherEnds takes the last pegs off a way, five at first, then more, and tries
// all chains of as many pegs instead.
func (s *search) otherEnds(w way, until int) {
	for left := 5; left <= 9 && !s.perfect(); left++ {
		keep := len(w.chain) - left
		if keep < 1 {
			return
		}
		s.fill(left)
		s.e = w.entry
		s.begin()
		ok := s.extend(left, s.walkTo(w.chain[:keep]), until)
		s.reset()
		if !ok {
			return
		}
	}
}
