package frame

import "math"

// A touch is a peg with the side on which it lies: even numbers have the peg on
// the left of the direction of travel, odd ones on the right.
type touch int

func at(peg, side int) touch {
	if side < 0 {
		return touch(2*peg + 1)
	}
	return touch(2 * peg)
}

func (t touch) peg() int { return int(t) / 2 }

func (t touch) side() float64 { return float64(1 - 2*(int(t)&1)) }

// other is the same peg on the other side: what a touch becomes on the way back.
func (t touch) other() touch { return t ^ 1 }

// table holds every tangent between two touches.
type table struct {
	n       int
	x, y, r []float64
	length  []float64 // by from*2n + to
	angle   []float64
	blocked []bool
	sign    []int8 // the side on which b lies on the way a, b, c; 0 if straight on
}

func (t *table) at(a, b touch) int { return int(a)*2*t.n + int(b) }

func newTable(f Frame) *table {
	n := len(f.Pegs)
	t := &table{n: n, x: make([]float64, n), y: make([]float64, n), r: make([]float64, n),
		length: make([]float64, 4*n*n), angle: make([]float64, 4*n*n), blocked: make([]bool, 4*n*n),
		sign: make([]int8, n*n*n)}
	for i, p := range f.Pegs {
		t.x[i], t.y[i], t.r[i] = float64(p.X), float64(p.Y), float64(p.Diameter)/2
	}
	for i := range n {
		for j := range n {
			if i == j {
				continue
			}
			for _, a := range []touch{at(i, 1), at(i, -1)} {
				for _, b := range []touch{at(j, 1), at(j, -1)} {
					t.tangent(a, b)
				}
			}
			for k := range n {
				t.sign[(i*n+j)*n+k] = t.bend(i, j, k)
			}
		}
	}
	return t
}

// tangent fills in one leg. With u the direction of travel and v its left
// normal, a peg on side s touches at centre - s r v, so from peg to peg
// D = L u + k v with k = s_b r_b - s_a r_a: L = sqrt(D^2 - k^2). Equal sides
// give the open belt's leg, unequal ones the crossed belt's.
func (t *table) tangent(a, b touch) {
	i, j, e := a.peg(), b.peg(), t.at(a, b)
	dx, dy := t.x[j]-t.x[i], t.y[j]-t.y[i]
	k := b.side()*t.r[j] - a.side()*t.r[i]
	l := math.Sqrt(math.Max(0, dx*dx+dy*dy-k*k))
	t.length[e] = l
	t.angle[e] = math.Atan2(dy, dx) - math.Atan2(k, l)
	x1, y1 := t.point(a, t.angle[e])
	x2, y2 := t.point(b, t.angle[e])
	for p := range t.n {
		if p != i && p != j && distance(t.x[p], t.y[p], x1, y1, x2, y2) < t.r[p]-1e-7 {
			t.blocked[e] = true
			return
		}
	}
}

// point is where thread going in a direction touches.
func (t *table) point(a touch, angle float64) (x, y float64) {
	i := a.peg()
	return t.x[i] + a.side()*t.r[i]*math.Sin(angle), t.y[i] - a.side()*t.r[i]*math.Cos(angle)
}

// distance is that of a point from a stretch.
func distance(px, py, x1, y1, x2, y2 float64) float64 {
	dx, dy := x2-x1, y2-y1
	s := 0.0
	if q := dx*dx + dy*dy; q > 0 {
		s = math.Min(1, math.Max(0, ((px-x1)*dx+(py-y1)*dy)/q))
	}
	return math.Hypot(px-x1-s*dx, py-y1-s*dy)
}

// bend is the side of peg j on the way from i over j to k: the outside of the
// turn. Less than about two degrees is straight on.
func (t *table) bend(i, j, k int) int8 {
	ax, ay := t.x[j]-t.x[i], t.y[j]-t.y[i]
	bx, by := t.x[k]-t.x[j], t.y[k]-t.y[j]
	cross, dot := ax*by-ay*bx, ax*bx+ay*by
	if math.Abs(cross) < 0.035*dot {
		return 0
	}
	if cross < 0 {
		return -1
	}
	return 1 // also straight back: round the peg either way is the same
}

// turn is the angle thread wraps on a touch between two directions, 0 to 2 pi.
func turn(side, in, out float64) float64 {
	a := side * (out - in)
	for a < 0 {
		a += 2 * math.Pi
	}
	for a > 2*math.Pi-1e-9 {
		a -= 2 * math.Pi
	}
	return math.Max(a, 0)
}

// maxWrap is the most a thread wraps on a peg of a chain. More would mean that
// it goes all the way round because it came by on the wrong side.
const maxWrap = 1.4 * math.Pi

// taut drops from a sequence the inner touches that the thread does not reach,
// because it goes straight past on the right side. first and last stay.
func (t *table) taut(seq []touch) []touch {
	for {
		dropped := false
		for i := 1; i+1 < len(seq); i++ {
			in, out := t.angle[t.at(seq[i-1], seq[i])], t.angle[t.at(seq[i], seq[i+1])]
			if turn(seq[i].side(), in, out) > math.Pi {
				seq = append(append([]touch{}, seq[:i]...), seq[i+1:]...)
				dropped = true
				break
			}
		}
		if !dropped {
			return seq
		}
	}
}

// measure is the length of an open sequence: its legs and the arcs between.
// ok is false where a peg stands in the way of a leg.
func (t *table) measure(seq []touch) (length, in, out float64, ok bool) {
	for i := 1; i < len(seq); i++ {
		e := t.at(seq[i-1], seq[i])
		if t.blocked[e] {
			return 0, 0, 0, false
		}
		length += t.length[e]
		if i == 1 {
			in = t.angle[e]
		} else {
			length += t.r[seq[i-1].peg()] * turn(seq[i-1].side(), out, t.angle[e])
		}
		out = t.angle[e]
	}
	return length, in, out, true
}
