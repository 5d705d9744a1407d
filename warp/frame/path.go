package frame

import (
	"math"
	"slices"

	"urdir/measure"
)

// path draws a way: its legs in order of travel, out to the turning peg and
// back.
func (s *search) path(w way, need measure.CM) Path {
	e := s.entries[w.entry]
	p := Path{
		Length: measure.CM(w.total / 2), Circuit: measure.CM(w.total),
		Excess: measure.CM(w.total/2) - need, Crossings: w.crossings, Proven: s.proven,
	}
	for _, i := range append([]int{e.start, e.first, e.second}, append(append([]int{}, w.chain...), w.end)...) {
		p.Pegs = append(p.Pegs, s.f.Pegs[i].ID)
	}
	seq, out := s.sequence(w)
	p.Out = out
	for i := range seq {
		a, b, c := seq[i], seq[(i+1)%len(seq)], seq[(i+2)%len(seq)]
		in, leave := s.t.angle[s.t.at(a, b)], s.t.angle[s.t.at(b, c)]
		x1, y1 := s.t.point(a, in)
		x2, y2 := s.t.point(b, in)
		j := b.peg()
		p.Legs = append(p.Legs, Leg{
			X1: measure.CM(x1), Y1: measure.CM(y1), X2: measure.CM(x2), Y2: measure.CM(y2),
			Peg: s.f.Pegs[j].ID, CX: measure.CM(s.t.x[j]), CY: measure.CM(s.t.y[j]), R: measure.CM(s.t.r[j]),
			From:  in - b.side()*math.Pi/2,
			Sweep: b.side() * turn(b.side(), in, leave),
		})
	}
	return p
}

// sequence is the closed circuit of touches, beginning at the start peg, and
// how many of its legs lead outward.
func (s *search) sequence(w way) (seq []touch, out int) {
	e := s.entries[w.entry]
	start, c1, c2 := at(e.start, e.side), at(e.first, e.side), at(e.second, -e.side)
	if len(w.chain) == 0 {
		to := at(w.end, -e.side)
		there := s.t.taut([]touch{start, c1, c2, to})
		back := s.t.taut([]touch{to, c2, c1, start})
		return append(there, back[1:len(back)-1]...), len(there) - 1
	}
	chain := s.sides(w)
	end := s.end(chain[len(chain)-1], w.end)
	seq = s.t.taut([]touch{start, c1, c2, chain[0]})
	seq = append(append(seq, chain[1:]...), end)
	out = len(seq) - 1
	for i := len(chain) - 1; i > 0; i-- {
		seq = append(seq, chain[i].other())
	}
	back := s.t.taut([]touch{chain[0].other(), c2, c1, start})
	return append(seq, back[:len(back)-1]...), out
}

// sides settles the side of every peg of a chain.
func (s *search) sides(w way) []touch {
	n := s.t.n
	pegs := append(append([]int{s.entries[w.entry].second}, w.chain...), w.end)
	out := make([]touch, len(w.chain))
	for i := range w.chain {
		out[i] = at(pegs[i+1], int(s.t.sign[(pegs[i]*n+pegs[i+1])*n+pegs[i+2]]))
	}
	return out
}

// end is the touch on the turning peg that tail chose.
func (s *search) end(last touch, peg int) touch {
	want, _, _, _ := s.tail(last, peg)
	for _, t := range []touch{at(peg, 1), at(peg, -1)} {
		there, back := s.t.at(last, t), s.t.at(t, last.other())
		l := s.t.length[there] + s.t.length[back] + s.t.r[peg]*turn(t.side(), s.t.angle[there], s.t.angle[back])
		if !s.t.blocked[there] && !s.t.blocked[back] && l == want {
			return t
		}
	}
	return at(peg, 1)
}

// Measure gives the ways that go by the pegs in this order: the start peg, both
// cross pegs, the chain, and the turning peg. There are two, one for each side
// on which the first cross peg can be passed; a way that a peg blocks is left
// out, and so is one that is not a way of this frame. The frame must be valid.
func (f Frame) Measure(pegs []string) []Path {
	s := newSearch(f, 0)
	var out []Path
	if len(pegs) < 4 {
		return nil
	}
	index := make([]int, len(pegs))
	for i, id := range pegs {
		if index[i] = f.index(id); index[i] < 0 || slices.Contains(index[:i], index[i]) {
			return nil
		}
	}
	chain, end := index[3:len(index)-1], index[len(index)-1]
	if !slices.Contains(s.turns, end) || slices.ContainsFunc(chain, func(p int) bool { return !slices.Contains(s.free, p) }) {
		return nil
	}
	for e, en := range s.entries {
		if en.start != index[0] || en.first != index[1] || en.second != index[2] {
			continue
		}
		s.e = e
		if total, ok := s.total(chain, end); ok {
			s.chain = chain
			out = append(out, s.path(way{total, s.crossings(end), e, chain, end}, 0))
			s.chain = nil
		}
	}
	return out
}
