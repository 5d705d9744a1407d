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
// proving it the longest would take too long, Bound is above its length.
func (f Frame) Longest() Longest {
	s := newSearch(f, math.Inf(1))
	s.lengthen()
	p := s.path(s.longest, 0)
	p.Excess = 0
	return Longest{p, measure.CM(s.ceiling / 2)}
}

// stretch is how many steps go into making the longest way longer.
const stretch = 300_000

// lengthen looks for the longest way, and stops when one is long enough: first
// by bettering chains step by step, then by going through the chains that the
// bounds allow to be longer still. The ceiling is the longest way if all have
// been gone through.
func (s *search) lengthen() {
	until := s.spent + stretch
	longer := func(total float64) float64 { return total }
	tries := len(s.entries) * len(s.turns)
	for i := range min(beginnings, tries) {
		k := i * tries / min(beginnings, tries)
		e, end := k%len(s.entries), s.turns[k/len(s.entries)]
		if end != s.entries[e].start {
			s.climb(way{entry: e, end: end}, longer)
		}
		if s.found() {
			return
		}
	}
	ceiling := 0.0
	for k := len(s.free) - 1; k >= 0; k-- {
		s.cut = s.longest.total + 1e-6
		if s.worth(k) && !s.level(k, s.spent+(until-s.spent)/3) {
			ceiling = math.Max(ceiling, s.ceiling)
		}
		if s.found() {
			return
		}
	}
	s.ceiling = math.Max(ceiling, s.longest.total)
}

// beginnings is from how many chains the longest is looked for.
const beginnings = 8

// approach brings the excess of the best way down: step by step, and then by
// trying every other end for it. Its last pegs are taken off, five at first,
// then more, and all chains of as many pegs are tried instead.
func (s *search) approach() {
	s.cut = s.need - 1e-9
	s.climb(s.best, func(total float64) float64 {
		if total < s.cut {
			return math.Inf(-1)
		}
		return -total
	})
	until := s.spent + stretch
	for left := 5; left <= 9 && !s.perfect(); left++ {
		b := s.best
		keep := len(b.chain) - left - 1
		if keep < 0 {
			break
		}
		s.fill(left)
		s.e = b.entry
		s.begin()
		acc := s.walkTo(b.chain[:keep+1])
		ok := s.extend(left, acc, until)
		s.reset()
		if !ok {
			break
		}
	}
	s.proven.Excess = s.perfect()
}

// walkTo puts a chain that can be walked on the empty one.
func (s *search) walkTo(chain []int) (acc float64) {
	s.push(chain[0])
	for _, p := range chain[1:] {
		sum, t, _ := s.arrive(acc, p)
		s.touches = append(s.touches, t)
		s.push(p)
		acc = sum
	}
	return acc
}

// total is the circuit of the entry s.e with a chain and a turning peg.
func (s *search) total(chain []int, end int) (float64, bool) {
	if len(chain) == 0 {
		return s.direct(s.entries[s.e], end)
	}
	acc := 0.0
	defer func() { s.chain, s.touches = s.chain[:0], s.touches[:0] }()
	for i, p := range chain {
		s.chain = append(s.chain, p)
		if i+1 == len(chain) {
			break
		}
		sum, t, ok := s.arrive(acc, chain[i+1])
		if !ok {
			return 0, false
		}
		acc = sum
		s.touches = append(s.touches, t)
	}
	return s.close(acc, end)
}
