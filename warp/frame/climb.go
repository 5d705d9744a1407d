package frame

import (
	"math"
	"slices"
)

// climb betters a way by its neighbours for as long as one of them is better.
// value says how good a circuit is; what cannot be walked counts as minus
// infinity.
func (s *search) climb(w way, value func(total float64) float64) {
	s.e = w.entry
	rate := func(pegs []int) float64 {
		s.spent += len(pegs)
		last := len(pegs) - 1
		if !slices.Contains(s.turns, pegs[last]) {
			return math.Inf(-1)
		}
		total, ok := s.total(pegs[:last], pegs[last])
		if !ok {
			return math.Inf(-1)
		}
		if total >= s.need-1e-9 && (!s.found() || s.class(total) < s.class(s.best.total)) {
			s.keep(pegs, total)
		}
		return value(total)
	}
	pegs := append(slices.Clone(w.chain), w.end)
	best := rate(pegs)
	try := make([]int, 0, s.t.n)
	for better := true; better && s.spent < s.limit; {
		better = s.neighbours(pegs, try, func(next []int) bool {
			v := rate(next)
			if v <= best+1e-9 {
				return false
			}
			best, pegs = v, slices.Clone(next)
			return true
		})
	}
	last := len(pegs) - 1
	if total, ok := s.total(pegs[:last], pegs[last]); ok {
		s.keep(pegs, total)
	}
}

// keep counts a way by these pegs, the turning peg last, as done.
func (s *search) keep(pegs []int, total float64) {
	last := len(pegs) - 1
	s.chain = append(s.chain, pegs[:last]...)
	s.done(total, s.cross.count(s.stations(pegs[last])), pegs[last])
	s.chain = s.chain[:0]
}

// neighbours shows the ways one step away, in scratch space, until one is taken:
// a peg more in any place, a peg moved to another place, a stretch turned round,
// or a peg less.
func (s *search) neighbours(pegs, try []int, take func([]int) bool) bool {
	for _, p := range s.free {
		if p == s.entries[s.e].start || slices.Contains(pegs, p) {
			continue
		}
		for i := range len(pegs) + 1 {
			try = slices.Insert(append(try[:0], pegs...), i, p)
			if take(try) {
				return true
			}
		}
	}
	for i, p := range pegs {
		for j := range pegs {
			try = slices.Insert(slices.Delete(append(try[:0], pegs...), i, i+1), j, p)
			if j != i && take(try) {
				return true
			}
			if j <= i+1 {
				continue
			}
			try = append(try[:0], pegs...)
			slices.Reverse(try[i : j+1])
			if take(try) {
				return true
			}
		}
		try = slices.Delete(append(try[:0], pegs...), i, i+1)
		if len(try) > 0 && take(try) {
			return true
		}
	}
	return false
}
