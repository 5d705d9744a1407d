package frame

import "math"

// beforeLast is the peg before the last of the chain.
func (s *search) beforeLast() int {
	if m := len(s.chain); m > 1 {
		return s.chain[m-2]
	}
	return s.entries[s.e].second
}

// settle is the touch on the last peg of the chain, now that q follows; false if
// the way goes straight on.
func (s *search) settle(q int) (touch, bool) {
	p := s.chain[len(s.chain)-1]
	side := s.t.sign[(s.beforeLast()*s.t.n+p)*s.t.n+q]
	return at(p, int(side)), side != 0
}

// arrive adds the leg that reaches the last peg of the chain on this side, and
// the bend before that leg.
func (s *search) arrive(acc float64, t touch) (float64, bool) {
	m := len(s.chain)
	if m == 1 {
		pre := s.prefix[s.e][t]
		return pre.length, pre.ok
	}
	e := s.t.at(s.touches[m-2], t)
	if s.t.blocked[e] {
		return 0, false
	}
	bends, ok := s.wrap(m-2, s.touches[m-2], t.peg(), s.t.slant[e], s.t.slant[e])
	return acc + bends + 2*s.t.reach[e], ok
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
	t, ok := s.settle(end)
	if !ok {
		return 0, false
	}
	sum, ok := s.arrive(acc, t)
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

// walkTo puts a chain that can be walked on the empty one.
func (s *search) walkTo(chain []int) (acc float64) {
	s.push(chain[0])
	for _, p := range chain[1:] {
		t, _ := s.settle(p)
		acc, _ = s.arrive(acc, t)
		s.touches = append(s.touches, t)
		s.push(p)
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
		t, ok := s.settle(chain[i+1])
		if !ok {
			return 0, false
		}
		if acc, ok = s.arrive(acc, t); !ok {
			return 0, false
		}
		s.touches = append(s.touches, t)
	}
	return s.close(acc, end)
}
