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
		Length: w.length(), Circuit: measure.CM(w.total),
		Excess: max(0, w.length()-need), Crossings: w.crossings, Proven: s.proven,
	}
	start, c1, c2 := e.touches()
	for _, t := range append([]touch{start, c1, c2}, s.sides(w)...) {
		p.Pegs = append(p.Pegs, s.f.Pegs[t.peg()].ID)
		p.LeftHand = append(p.LeftHand, t.side() < 0)
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
	for i, l := range p.Legs {
		if i < p.Out {
			p.Outward += l.Length()
		}
	}
	p.Outward += (p.Legs[len(p.Legs)-1].arc() - p.Legs[p.Out-1].arc()) / 2
	p.Homeward = p.Circuit - p.Outward
	return p
}

// sequence is the closed circuit of touches, beginning at the start peg, and
// how many of its legs lead outward.
func (s *search) sequence(w way) (seq []touch, out int) {
	start, c1, c2 := s.entries[w.entry].touches()
	sides := s.sides(w)
	there := append(s.t.taut([]touch{start, c1, c2, sides[0]}), sides[1:]...)
	last := len(sides) - 1
	back := []touch{}
	for i := last - 1; i > 0; i-- {
		back = append(back, sides[i].other())
	}
	home := s.t.taut([]touch{sides[0].other(), c2, c1, start})
	if last == 0 {
		home = s.t.taut([]touch{sides[0], c2, c1, start})[1:]
	}
	return append(append(there, back...), home[:len(home)-1]...), len(there) - 1
}

// sides are the touches of the chain and of the turning peg, outward.
func (s *search) sides(w way) []touch {
	n, e := s.t.n, s.entries[w.entry]
	pegs := append(append([]int{e.second}, w.chain...), w.end)
	var out []touch
	for i := range w.chain {
		out = append(out, at(pegs[i+1], int(s.t.sign[(pegs[i]*n+pegs[i+1])*n+pegs[i+2]])))
	}
	if len(w.chain) == 0 {
		return append(out, at(w.end, -e.side))
	}
	return append(out, at(w.end, 1)) // as long either way round
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
			out = append(out, s.path(way{total, s.cross.count(index), e, chain, end}, 0))
		}
	}
	return out
}
