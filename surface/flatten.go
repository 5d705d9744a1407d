package surface

import "math"

type point struct{ x, y float64 }

func (a point) to(b point, t float64) point { return point{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }

// hypot is the length of a way on paper: no such number is large enough to need
// the care of math.Hypot.
func hypot(x, y float64) float64 { return math.Sqrt(x*x + y*y) }

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

// flatten turns a path into polylines that differ from it by less than fine,
// laid into to. A closed part ends where it began.
func (p *Path) flatten(to *polys, fine float64) {
	to.n = 0
	for _, s := range p.segs {
		if s.op == 'M' {
			to.add(append(to.next(), point{s.p[0], s.p[1]}))
			continue
		}
		line := &to.all[to.n-1]
		switch s.op {
		case 'L':
			*line = append(*line, point{s.p[0], s.p[1]})
		case 'C':
			a := (*line)[len(*line)-1]
			*line = curve(*line, a, point{s.p[0], s.p[1]}, point{s.p[2], s.p[3]}, point{s.p[4], s.p[5]}, fine)
		case 'Z':
			*line = append(*line, (*line)[0])
		}
	}
}

// polys is a list of polygons or lines that keeps its memory from one path to
// the next.
type polys struct {
	all [][]point
	n   int // in use
}

// next is memory for one more, empty.
func (p *polys) next() []point {
	if p.n < len(p.all) {
		return p.all[p.n][:0]
	}
	return nil
}

// add puts one more on the list, made from next.
func (p *polys) add(line []point) {
	if p.n < len(p.all) {
		p.all[p.n] = line
	} else {
		p.all = append(p.all, line)
	}
	p.n++
}

func (p *polys) list() [][]point { return p.all[:p.n] }

// curve appends a cubic curve in enough straight pieces: their number follows
// from how far the control points bend away.
func curve(to []point, a, b, c, d point, fine float64) []point {
	bend := math.Max(hypot(a.x-2*b.x+c.x, a.y-2*b.y+c.y), hypot(b.x-2*c.x+d.x, b.y-2*c.y+d.y))
	n := int(math.Ceil(math.Sqrt(0.75 * bend / math.Max(fine, 1e-9))))
	n = min(max(n, 1), 64)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		ab, bc, cd := a.to(b, t), b.to(c, t), c.to(d, t)
		to = append(to, ab.to(bc, t).to(bc.to(cd, t), t))
	}
	return to
}
