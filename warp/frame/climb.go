package frame

import (
	"math"
	"slices"
)

// climb betters a way by its neighbours for as long as one of them is better:
// a peg more in any place, a stretch turned round, or a peg less. value says
// how good a circuit is; what cannot be walked counts as minus infinity.
func (s *search) climb(w way, value func(total float64) float64) {
	s.e = w.entry
	chain, end := w.chain, w.end
	rate := func(c []int) float64 {
		total, ok := s.total(c, end)
		if !ok {
			return math.Inf(-1)
		}
		return value(total)
	}
	best := rate(chain)
	try := make([]int, 0, s.t.n)
	for better := true; better; {
		better = s.neighbours(chain, end, try, func(next []int) bool {
			v := rate(next)
			if v <= best+1e-9 {
				return false
			}
			best, chain = v, slices.Clone(next)
			return true
		})
	}
	if total, ok := s.total(chain, end); ok {
		s.chain = append(s.chain, chain...)
		s.done(total, s.cross.count(s.stations(end)), end)
		s.chain = s.chain[:0]
	}
}

// neighbours shows the chains one step away, in scratch space, until one is
// taken.
func (s *search) neighbours(chain []int, end int, try []int, take func([]int) bool) bool {
	for _, p := range s.free {
		if p == end || p == s.entries[s.e].start || slices.Contains(chain, p) {
			continue
		}
		for i := range len(chain) + 1 {
			try = append(append(append(try[:0], chain[:i]...), p), chain[i:]...)
			if take(try) {
				return true
			}
		}
	}
	for i := range chain {
		for j := i + 2; j <= len(chain); j++ {
			try = append(try[:0], chain...)
			slices.Reverse(try[i:j])
			if take(try) {
				return true
			}
		}
		try = append(append(try[:0], chain[:i]...), chain[i+1:]...)
		if take(try) {
			return true
		}
	}
	return false
}
