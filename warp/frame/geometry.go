package frame

import "math"

// A touch is a peg with the side on which it lies: even numbers have the peg on
// the right hand of the traveller, odd ones on the left (Y runs down, so that
// right of the way along X is along Y).
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
//
// The wrap on a peg between two legs is the bend of the lines from centre to
// centre, and for either leg the angle between it and its line of centres,
// asin((r - s s' r')/D). So the thread of a whole way is a sum over its legs,
// each with these slants at both ends (reach), and over its bends.
type table struct {
	n       int
	x, y, r []float64
	length  []float64 // of the leg, by from*2n + to
	angle   []float64 // its direction
	slant   []float64 // its part of the wrap on the peg it leaves
	reach   []float64 // length + both slants x radius
	through []bool    // another peg stands in the leg's way
	blocked []bool    // or the leg brushes one
	line    []float64 // direction from centre to centre, by peg*n + peg
	sign    []int8    // the side on which b lies on the way a, b, c; 0 if straight on
	bend    []float64 // how far that way turns at b, 0 to pi
}

func (t *table) at(a, b touch) int { return int(a)*2*t.n + int(b) }

func newTable(f Frame) *table {
	n := len(f.Pegs)
	t := &table{n: n, x: make([]float64, n), y: make([]float64, n), r: make([]float64, n),
		length: make([]float64, 4*n*n), angle: make([]float64, 4*n*n), slant: make([]float64, 4*n*n), reach: make([]float64, 4*n*n),
		through: make([]bool, 4*n*n), blocked: make([]bool, 4*n*n),
		line: make([]float64, n*n), sign: make([]int8, n*n*n), bend: make([]float64, n*n*n)}
	for i, p := range f.Pegs {
		t.x[i], t.y[i], t.r[i] = float64(p.X), float64(p.Y), float64(p.Diameter)/2
	}
	for i := range n {
		for j := range n {
			if i == j {
				continue
			}
			t.line[i*n+j] = math.Atan2(t.y[j]-t.y[i], t.x[j]-t.x[i])
			for _, a := range []touch{at(i, 1), at(i, -1)} {
				for _, b := range []touch{at(j, 1), at(j, -1)} {
					t.tangent(a, b)
				}
			}
			for k := range n {
				t.sign[(i*n+j)*n+k], t.bend[(i*n+j)*n+k] = t.corner(i, j, k)
			}
		}
	}
	return t
}

// clearance is how far, in cm, a leg of a chain keeps from the pegs it passes:
// thread that brushes a peg is pushed aside by it and caught by the next round.
const clearance = 0.2

// tangent fills in one leg. With u the direction of travel and v at right angles
// to it, a peg on side s is touched at centre - s r v, so from centre to centre
// D = L u + k v with k = s_b r_b - s_a r_a: L = sqrt(D^2 - k^2). Equal sides
// give the open belt's leg, unequal ones the crossed belt's.
func (t *table) tangent(a, b touch) {
	i, j, e := a.peg(), b.peg(), t.at(a, b)
	d := math.Hypot(t.x[j]-t.x[i], t.y[j]-t.y[i])
	k := b.side()*t.r[j] - a.side()*t.r[i]
	l := math.Sqrt(math.Max(0, d*d-k*k))
	skew := math.Atan2(k, l)
	t.length[e] = l
	t.angle[e] = t.line[i*t.n+j] - skew
	t.slant[e] = -a.side() * skew
	t.reach[e] = l + k*skew
	x1, y1 := t.point(a, t.angle[e])
	x2, y2 := t.point(b, t.angle[e])
	for p := range t.n {
		if p == i || p == j {
			continue
		}
		room := distance(t.x[p], t.y[p], x1, y1, x2, y2) - t.r[p]
		t.through[e] = t.through[e] || room < -1e-7
		t.blocked[e] = t.blocked[e] || room < clearance
	}
}

// brushes says whether the way from one peg straight to another would brush a
// third: past the near peg of a cross to the far one, where the thread would lie
// among the ends it has to be told from.
func (t *table) brushes(from, to, other int) bool {
	room := t.r[other] + max(t.r[from], t.r[to])
	return distance(t.x[other], t.y[other], t.x[from], t.y[from], t.x[to], t.y[to]) < room
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

// corner is the side of peg j on the way from i over j to k, the outside of the
// turn, and how far the way turns there. Less than about two degrees is straight
// on.
func (t *table) corner(i, j, k int) (side int8, bend float64) {
	ax, ay := t.x[j]-t.x[i], t.y[j]-t.y[i]
	bx, by := t.x[k]-t.x[j], t.y[k]-t.y[j]
	cross, dot := ax*by-ay*bx, ax*bx+ay*by
	if math.Abs(cross) < 0.035*dot {
		return 0, 0
	}
	bend = math.Atan2(math.Abs(cross), dot)
	if cross < 0 {
		return -1, bend
	}
	return 1, bend // also straight back: round the peg either way is the same
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
		if t.through[e] {
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
