package frame

import (
	"math"
	"slices"
)

// few is the number of free pegs up to which every chain is tried for the
// longest: nine make fewer than a million.
const few = 8

// lengthen looks for a long way: exactly on a small frame, else by building
// chains and bettering them, from at most the given number of beginnings. It
// stops when a way is long enough.
func (s *search) lengthen(beginnings int) {
	if len(s.free) <= few {
		s.unbounded()
		s.ceiling = s.longest.total
		s.reconsider()
		return
	}
	s.ceiling = s.degreeBound()
	tries := len(s.entries) * len(s.turns)
	for i := range min(beginnings, tries) {
		k := i * tries / min(beginnings, tries)
		e, end := k%len(s.entries), s.turns[k/len(s.entries)]
		if end != s.entries[e].start {
			s.climb(e, nil, end, func(total float64) float64 { return total })
		}
		if s.longest.total >= s.need {
			break
		}
	}
	s.ceiling = math.Max(s.ceiling, s.longest.total)
	s.reconsider()
}

// shorten brings the excess of the best way down by the same steps.
func (s *search) shorten() {
	b := s.best
	s.climb(b.entry, b.chain, b.end, func(total float64) float64 {
		if total < s.need-1e-9 {
			return math.Inf(-1)
		}
		return -total
	})
}

// refine tries every other end for the best way: its last pegs are taken off,
// five at first, then more, and all chains of as many pegs are tried instead.
func (s *search) refine() {
	until := s.spent + s.limit/4
	for left := 5; left <= 9 && s.class(s.best.total) > 0; left++ {
		b := s.best
		keep := len(b.chain) - left - 1
		if keep < 0 {
			return
		}
		s.e = b.entry
		s.used[s.entries[s.e].start] = true
		acc, ok := 0.0, true
		for i := 0; i < keep && ok; i++ {
			s.chain = append(s.chain, b.chain[i])
			s.used[b.chain[i]] = true
			var t touch
			acc, t, ok = s.advance(b.chain[i], b.chain[i+1], acc)
			s.touches = append(s.touches, t)
		}
		ok = ok && s.step(left, b.chain[keep], acc, until)
		s.chain, s.touches = s.chain[:0], s.touches[:0]
		clear(s.used)
		if !ok {
			return
		}
	}
}

// reconsider lets the longest way stand as a candidate for the length needed.
func (s *search) reconsider() {
	if l := s.longest; l.total >= s.need-1e-9 && l.total > 0 && s.better(l.total, l.crossings, len(l.chain)) {
		s.best = l
	}
}

// unbounded goes through every chain there is.
func (s *search) unbounded() {
	var grow func()
	grow = func() {
		for _, end := range s.turns {
			if !s.used[end] {
				if total, ok := s.total(s.chain, end); ok && total > s.longest.total+1e-9 {
					s.longest = way{total, s.crossings(end), s.e, slices.Clone(s.chain), end}
				}
			}
		}
		for _, p := range s.free {
			if !s.used[p] {
				s.used[p] = true
				s.chain = append(s.chain, p)
				grow()
				s.chain = s.chain[:len(s.chain)-1]
				s.used[p] = false
			}
		}
	}
	for e, en := range s.entries {
		s.e = e
		s.used[en.start] = true
		grow()
		s.used[en.start] = false
	}
}

// total is the circuit of the entry s.e with a chain and a turning peg.
func (s *search) total(chain []int, end int) (float64, bool) {
	if len(chain) == 0 {
		return s.direct(s.entries[s.e], end)
	}
	keep, touches := s.chain, s.touches
	s.touches = s.touches[:0]
	defer func() { s.chain, s.touches = keep, touches[:0] }()
	acc := 0.0
	for i, p := range chain {
		s.chain = chain[:i+1]
		if i+1 == len(chain) {
			return s.close(p, end, acc)
		}
		sum, t, ok := s.advance(p, chain[i+1], acc)
		if !ok {
			return 0, false
		}
		acc = sum
		s.touches = append(s.touches, t)
	}
	return 0, false
}

// climb betters a chain by its neighbours for as long as one of them is better:
// a peg more in any place, a stretch turned round, or a peg less. value says
// how good a circuit is; what cannot be walked counts as minus infinity.
func (s *search) climb(e int, chain []int, end int, value func(total float64) float64) {
	s.e = e
	try := make([]int, 0, s.t.n)
	rate := func(c []int) float64 {
		total, ok := s.total(c, end)
		if !ok {
			return math.Inf(-1)
		}
		return value(total)
	}
	best := rate(chain)
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
		s.chain = chain
		s.done(total, end)
	}
	s.chain = nil
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

// degreeBound is a circuit no way can exceed: every peg of the chain has two
// legs, so half of each peg's two longest legs, added up, is at least the sum of
// the legs.
func (s *search) degreeBound() float64 {
	sum, enter := 0.0, 0.0
	for e := range s.entries {
		for t := range s.prefix[e] {
			enter = math.Max(enter, okOr(s.prefix[e][t], 0))
		}
	}
	wrap := 0.0
	for _, p := range s.free {
		first, second := 0.0, 0.0
		for _, q := range s.free {
			if q == p {
				continue
			}
			if l := s.legMost(p, q); l > first {
				first, second = l, first
			} else if l > second {
				second = l
			}
		}
		sum += first + second // twice half of each, for out and back
		wrap = math.Max(wrap, 4*math.Pi*s.t.r[p])
	}
	return enter + sum + wrap
}
