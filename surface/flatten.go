package surface

import "math"

type point struct{ x, y float64 }

func (a point) to(b point, t float64) point { return point{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }

// near says that no point of a path is a kilometre off, or not a number.
func (p *Path) near() bool {
	for _, s := range p.segs {
		for _, v := range s.p {
			if !(math.Abs(v) < 1e6) {
				return false
			}
		}
	}
	return true
}

// flatten turns a path into polylines that differ from it by less than fine.
// A closed part ends where it began.
func (p *Path) flatten(fine float64) [][]point {
	var out [][]point
	for _, s := range p.segs {
		last := len(out) - 1
		switch s.op {
		case 'M':
			out = append(out, []point{{s.p[0], s.p[1]}})
		case 'L':
			out[last] = append(out[last], point{s.p[0], s.p[1]})
		case 'C':
			a := out[last][len(out[last])-1]
			out[last] = curve(out[last], a, point{s.p[0], s.p[1]}, point{s.p[2], s.p[3]}, point{s.p[4], s.p[5]}, fine)
		case 'Z':
			out[last] = append(out[last], out[last][0])
		}
	}
	return out
}

// curve appends a cubic curve in enough straight pieces: their number follows
// from how far the control points bend away.
func curve(to []point, a, b, c, d point, fine float64) []point {
	bend := math.Max(math.Hypot(a.x-2*b.x+c.x, a.y-2*b.y+c.y), math.Hypot(b.x-2*c.x+d.x, b.y-2*c.y+d.y))
	n := int(math.Ceil(math.Sqrt(0.75 * bend / math.Max(fine, 1e-9))))
	n = min(max(n, 1), 64)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		ab, bc, cd := a.to(b, t), b.to(c, t), c.to(d, t)
		to = append(to, ab.to(bc, t).to(bc.to(cd, t), t))
	}
	return to
}
