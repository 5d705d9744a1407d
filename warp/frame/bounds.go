package frame

import (
	"math"
	"slices"
)

// bounds prepares what k more pegs can add at most and at least after a peg,
// for half a circuit: walks that may come back to a peg, so both are on the
// safe side of what chains can do.
func (s *search) bounds() {
	n := s.t.n
	far, near := make([]float64, n*n), make([]float64, n*n)
	for i := range n {
		for j := range n {
			if i == j {
				continue
			}
			far[i*n+j], near[i*n+j] = s.legMost(i, j), s.legLeast(i, j)
		}
	}
	k := len(s.free) + 1
	s.most, s.least = make([][]float64, k), make([][]float64, k)
	for left := range k {
		s.most[left], s.least[left] = make([]float64, n), make([]float64, n)
		for p := range n {
			most, least := math.Inf(-1), math.Inf(1)
			to := s.turns
			if left > 0 {
				to = s.free
			}
			for _, q := range to {
				if q == p {
					continue
				}
				a, b := far[p*n+q]+math.Pi*s.t.r[q], near[p*n+q]
				if left > 0 {
					a, b = far[p*n+q]+s.most[left-1][q], b+s.least[left-1][q]
				}
				most, least = math.Max(most, a), math.Min(least, b)
			}
			s.most[left][p], s.least[left][p] = most, least
		}
	}
	slices.SortStableFunc(s.free, func(a, b int) int {
		return compare(s.most[0][b], s.most[0][a])
	})
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// legMost is the longest leg between two pegs, with half the most that wraps on
// each of them. A chain's peg is wrapped at most maxWrap each way.
func (s *search) legMost(i, j int) float64 {
	open := math.Hypot(s.t.x[i]-s.t.x[j], s.t.y[i]-s.t.y[j])
	return open + maxWrap*(s.t.r[i]+s.t.r[j])/2
}

// legLeast is the shortest leg between two pegs: the crossed belt's.
func (s *search) legLeast(i, j int) float64 {
	d := math.Hypot(s.t.x[i]-s.t.x[j], s.t.y[i]-s.t.y[j])
	r := s.t.r[i] + s.t.r[j]
	return math.Sqrt(math.Max(0, d*d-r*r))
}

// reachMost and reachLeast bound the part of the circuit between what acc has
// counted and peg p: the leg that reaches p, with the arcs behind it.
func (s *search) reachMost(m, p int) float64 {
	if m == 0 {
		a, b := s.prefix[s.e][at(p, 1)], s.prefix[s.e][at(p, -1)]
		return math.Max(okOr(a, 0), okOr(b, 0)) + maxWrap*s.t.r[p]
	}
	q := s.chain[m-1]
	return 2*s.legMost(q, p) + maxWrap*s.t.r[q] // legMost has the other half of q's wraps
}

func (s *search) reachLeast(m, p int) float64 {
	if m == 0 {
		a, b := s.prefix[s.e][at(p, 1)], s.prefix[s.e][at(p, -1)]
		return math.Min(okOr(a, math.Inf(1)), okOr(b, math.Inf(1)))
	}
	return 2 * s.legLeast(s.chain[m-1], p)
}

func okOr(p prefix, or float64) float64 {
	if p.ok {
		return p.length
	}
	return or
}

// crossings counts how often the outward way crosses itself, from the second
// cross peg on; the cross itself is wanted.
func (s *search) crossings(end int) int {
	pts := append(append([]int{s.entries[s.e].second}, s.chain...), end)
	n := 0
	for i := 0; i+1 < len(pts); i++ {
		for j := i + 2; j+1 < len(pts); j++ {
			if s.cross(pts[i], pts[i+1], pts[j], pts[j+1]) {
				n++
			}
		}
	}
	return n
}

// cross says whether the stretches a-b and c-d cross.
func (s *search) cross(a, b, c, d int) bool {
	side := func(p, q, r int) float64 {
		return (s.t.x[q]-s.t.x[p])*(s.t.y[r]-s.t.y[p]) - (s.t.y[q]-s.t.y[p])*(s.t.x[r]-s.t.x[p])
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}
