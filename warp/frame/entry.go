package frame

import (
	"math"
	"slices"
)

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

// touches are those of the start and the cross. Outward the cross pegs lie on
// the entry's side and on the other; homeward the same sides are met from
// behind, which is the other side of each peg.
func (e entry) touches() (start, first, second touch) {
	return at(e.start, e.side), at(e.first, e.side), at(e.second, -e.side)
}

// entrances lists the ways through the cross and what each takes to reach any
// touch behind it.
func (s *search) entrances() {
	a, b := s.f.index(s.f.Cross[0]), s.f.index(s.f.Cross[1])
	for p := range s.t.n {
		if p == a || p == b || !slices.Contains(s.f.Start, s.f.Pegs[p].ID) {
			continue
		}
		for _, side := range []int{1, -1} {
			for _, c := range [][2]int{{a, b}, {b, a}} {
				if !s.t.brushes(p, c[0], c[1]) {
					s.entries = append(s.entries, entry{p, c[0], c[1], side})
				}
			}
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
}

// enter reckons the way through the cross onto a touch of the first peg behind
// it.
func (s *search) enter(e entry, to touch) prefix {
	start, c1, c2 := e.touches()
	lo, from, in, ok1 := s.t.measure(s.t.taut([]touch{start, c1, c2, to}))
	lb, leave, home, ok2 := s.t.measure(s.t.taut([]touch{to.other(), c2, c1, start}))
	return prefix{
		length: lo + lb + s.t.r[e.start]*turn(start.side(), home, from),
		in:     in, out: leave, ok: ok1 && ok2,
	}
}

// direct is the circuit without a chain: through the cross to the turning peg.
func (s *search) direct(e entry, end int) (float64, bool) {
	start, c1, c2 := e.touches()
	to := at(end, -e.side)
	lo, from, in, ok1 := s.t.measure(s.t.taut([]touch{start, c1, c2, to}))
	lb, leave, home, ok2 := s.t.measure(s.t.taut([]touch{to, c2, c1, start}))
	total := lo + lb + s.t.r[e.start]*turn(start.side(), home, from) + s.t.r[end]*turn(to.side(), in, leave)
	return total, ok1 && ok2
}

// firstBends is how far the way bends at the first peg of a chain, outward and
// homeward, when the peg next comes after it: wraps without the next leg's
// slant, so they may be a little under nothing.
func (s *search) firstBends(t touch, next int) (out, home float64) {
	pre := s.prefix[s.e][t]
	line := s.t.line[t.peg()*s.t.n+next]
	return bent(t.side() * (line - pre.in)), bent(t.side() * (line + math.Pi - pre.out))
}

// bent brings an angle between minus a quarter and three quarters of a turn.
func bent(a float64) float64 {
	for a < -math.Pi/2 {
		a += 2 * math.Pi
	}
	for a >= 3*math.Pi/2 {
		a -= 2 * math.Pi
	}
	return a
}
