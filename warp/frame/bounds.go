package frame

import (
	"math"
	"slices"
)

// bounds say what more pegs can add at most and at least after two pegs, for
// half a circuit. They are those of walks, which may come back to a peg, though
// not at once: on the safe side of what chains can do.
//
// A walk of many pegs would go to and fro between the outermost. So each peg has
// a price: a walk pays it at every visit and is given it once for each peg still
// unused. A chain, which visits no peg twice, gets back at least what it pays,
// whatever the prices are; a walk that goes to and fro does not (Lagrangian
// relaxation, as Held and Karp bound a tour).
type bounds struct {
	// By p, q, r: half of what the bend at q and the leg from there to r add at
	// most and at least, and what the bend and the turn at r add; minus or plus
	// infinity where there is no such way.
	far, near, end []float64
	lead           []float64   // by p*n + q: a circuit up to p and q, the first of a chain
	price          []float64   // by peg
	most           [][]float64 // most[k][p*n+q]: k more pegs and the turn after p, q
	least          [][]float64
}

func newBounds(s *search) bounds {
	n := s.t.n
	b := bounds{far: make([]float64, n*n*n), near: make([]float64, n*n*n), end: make([]float64, n*n*n), price: make([]float64, n)}
	for i := range b.far {
		b.far[i], b.near[i], b.end[i] = math.Inf(-1), math.Inf(1), math.Inf(-1)
	}
	for _, q := range s.free {
		for _, r := range s.free {
			for _, t := range []touch{at(q, 1), at(q, -1)} {
				far, near, end := s.leg(t, r)
				for p := range n {
					i := (p*n+q)*n + r
					if p != r && p != q && q != r && float64(s.t.sign[i]) == t.side() {
						bend := s.t.r[q] * s.t.bend[i]
						b.far[i], b.near[i], b.end[i] = bend+far, bend+near, bend+end
					}
				}
			}
		}
	}
	return b
}

// leg is what the leg from a touch to a peg adds at most and at least, and half
// of what the turn at that peg adds.
func (s *search) leg(t touch, q int) (far, near, end float64) {
	there, back := s.t.at(t, at(q, 1)), s.t.at(t, at(q, -1))
	far, near, end = math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, e := range []int{there, back} {
		if !s.t.blocked[e] {
			far, near = math.Max(far, s.t.reach[e]), math.Min(near, s.t.reach[e])
		}
	}
	if slices.Contains(s.turns, q) && !s.t.blocked[there] && !s.t.blocked[back] {
		end = (s.t.reach[there] + s.t.reach[back] + math.Pi*s.t.r[q]) / 2
	}
	return far, near, end
}

// fill works the bounds out for up to k more pegs.
func (s *search) fill(k int) {
	for left := len(s.bounds.least); left <= k; left++ {
		s.bounds.least = append(s.bounds.least, s.shortWalks(left))
	}
	for left := len(s.bounds.most); left <= k; left++ {
		s.bounds.most = append(s.bounds.most, s.longWalks(left))
		s.spent += s.t.n * s.t.n * s.t.n / 16 // as long as that many steps take
	}
}

// longWalks are the longest walks of so many more pegs, at their price.
func (s *search) longWalks(left int) []float64 {
	n := s.t.n
	out, rest := make([]float64, n*n), make([]float64, n)
	step := s.bounds.far
	if left == 0 {
		step = s.bounds.end
	}
	for _, q := range s.free {
		for r := range rest {
			rest[r] = -s.bounds.price[r]
			if left > 0 {
				rest[r] += s.bounds.most[left-1][q*n+r]
			}
		}
		for _, p := range s.free {
			best := math.Inf(-1)
			for r, v := range step[(p*n+q)*n : (p*n+q+1)*n] {
				if v += rest[r]; v > best {
					best = v
				}
			}
			out[p*n+q] = best
		}
	}
	return out
}

// shortWalks are the shortest.
func (s *search) shortWalks(left int) []float64 {
	n := s.t.n
	out := make([]float64, n*n)
	for _, p := range s.free {
		for _, q := range s.free {
			best := math.Inf(1)
			for r := range n {
				v := s.bounds.end[(p*n+q)*n+r]
				if left > 0 {
					v = s.bounds.near[(p*n+q)*n+r] + s.bounds.least[left-1][q*n+r]
				}
				if v < best && !math.IsInf(v, -1) {
					best = v
				}
			}
			out[p*n+q] = best
		}
	}
	return out
}

// root is a length no circuit with a chain of k pegs, two or more, exceeds, with
// the chain of the walk it comes from.
func (s *search) root(k int) (bound float64, walk []int) {
	n := s.t.n
	s.spent += n * n / 16
	sum := 0.0
	for _, p := range s.free {
		sum += s.bounds.price[p]
	}
	bound = math.Inf(-1)
	first, second := -1, -1
	for _, p := range s.free {
		for _, q := range s.free {
			v := s.bounds.lead[p*n+q] + 2*(s.bounds.most[k-2][p*n+q]+sum-s.bounds.price[p]-s.bounds.price[q])
			if v > bound {
				bound, first, second = v, p, q
			}
		}
	}
	if first < 0 {
		return bound, nil
	}
	walk = []int{first, second}
	for left := k - 2; left >= 0; left-- {
		walk = append(walk, s.follow(left, walk[len(walk)-2], walk[len(walk)-1]))
	}
	return bound, walk
}

// leads is the longest way through the cross to a first and a second peg, by
// p*n + q; minus infinity if there is none.
func (s *search) leads() []float64 {
	n := s.t.n
	out := make([]float64, n*n)
	for i := range out {
		out[i] = math.Inf(-1)
	}
	for e, en := range s.entries {
		s.e = e
		for _, p := range s.free {
			for _, q := range s.free {
				i := (en.second*n+p)*n + q
				t := at(p, int(s.t.sign[i]))
				if pre := s.prefix[e][t]; pre.ok && s.t.sign[i] != 0 && p != q && p != en.start && q != en.start {
					out[p*n+q] = math.Max(out[p*n+q], pre.length+s.firstLeg(t, q)+2*s.bounds.far[i])
				}
			}
		}
	}
	return out
}

// firstLeg is what the bend at the first peg of a chain adds over the bend
// counted in far and near, which takes the second cross peg for the peg before.
func (s *search) firstLeg(t touch, next int) float64 {
	p, n := t.peg(), s.t.n
	a, b := s.firstBends(t, next)
	return s.t.r[p] * (a + b - 2*s.t.bend[(s.entries[s.e].second*n+p)*n+next])
}

// follow is the peg to which the longest walk goes on.
func (s *search) follow(left, p, q int) int {
	n := s.t.n
	best, at := math.Inf(-1), 0
	for _, r := range s.free {
		v := s.bounds.end[(p*n+q)*n+r]
		if left > 0 {
			v = s.bounds.far[(p*n+q)*n+r] + s.bounds.most[left-1][q*n+r]
		}
		if v -= s.bounds.price[r]; v > best {
			best, at = v, r
		}
	}
	return at
}

// ceilingOf is the root's bound for chains of low to high pegs, two or more.
func (s *search) ceilingOf(low, high int) (bound float64, walk []int) {
	bound = math.Inf(-1)
	for k := low; k <= high; k++ {
		if b, w := s.root(k); b > bound {
			bound, walk = b, w
		}
	}
	return bound, walk
}

// worth prepares the bounds for chains of low to high pegs, and gives a length
// that none of them exceeds. It betters the prices for as long as that can show
// that none is long enough, and the steps allow: dearer where the walk comes
// twice, cheaper where it does not come.
func (s *search) worth(low, high, until int) float64 {
	if high < 2 {
		return math.Inf(1)
	}
	s.fill(high - 2)
	bound, walk := s.ceilingOf(low, high)
	prices, least := s.bounds.price, bound
	for bound >= s.cut && least*nearly < s.cut && walk != nil && s.spent < until {
		next := s.reprice(walk, bound-s.cut+1)
		if next == nil {
			break
		}
		s.charge(next, high)
		if bound, walk = s.ceilingOf(low, high); bound < least {
			least, prices = bound, next
		}
	}
	s.charge(prices, high)
	return least
}

// nearly is how near to the bound a need must be for prices to be of use.
const nearly = 0.5

// reprice gives the prices that would lower the walk's bound by this much if it
// stayed the longest (Polyak's step of the subgradient method); nil if there are
// none.
func (s *search) reprice(walk []int, by float64) []float64 {
	visits := make([]float64, s.t.n)
	for _, p := range walk {
		visits[p]++
	}
	norm := 0.0
	for _, p := range s.free {
		if g := visits[p] - 1; g > 0 || s.bounds.price[p] > 0 {
			norm += g * g
		}
	}
	if norm == 0 {
		return nil
	}
	next := slices.Clone(s.bounds.price)
	for _, p := range s.free {
		next[p] = math.Max(0, next[p]+by/2/norm*(visits[p]-1))
	}
	return next
}

// charge sets the prices.
func (s *search) charge(prices []float64, k int) {
	if &prices[0] != &s.bounds.price[0] {
		s.bounds.price, s.bounds.most = prices, nil
		s.fill(k - 2)
	}
}
