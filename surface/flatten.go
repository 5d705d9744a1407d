package surface

import "math"

type point struct{ x, y float64 }

func (a point) to(b point, t float64) point { return point{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }

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

// outlines gives polygons that together cover a stroke with round joins and
// ends. All run the same way round, so that overlaps add up to full cover.
func outlines(lines [][]point, width, dash, fine float64) [][]point {
	var out [][]point
	r := width / 2
	for _, line := range dashed(lines, dash) {
		for i, q := range line {
			out = append(out, disc(q, r, fine))
			if i == 0 {
				continue
			}
			a := line[i-1]
			l := math.Hypot(q.x-a.x, q.y-a.y)
			if l == 0 {
				continue
			}
			nx, ny := (q.y-a.y)/l*r, -(q.x-a.x)/l*r
			out = append(out, []point{{a.x + nx, a.y + ny}, {q.x + nx, q.y + ny}, {q.x - nx, q.y - ny}, {a.x - nx, a.y - ny}})
		}
	}
	return out
}

func disc(c point, r, fine float64) []point {
	n := int(math.Ceil(math.Pi / math.Acos(math.Max(0, 1-fine/math.Max(r, fine)))))
	n = min(max(n, 6), 48)
	out := make([]point, n)
	for i := range out {
		a := 2 * math.Pi * float64(i) / float64(n)
		out[i] = point{c.x + r*math.Cos(a), c.y + r*math.Sin(a)}
	}
	return out
}

// dashed cuts lines into dashes with gaps as long.
func dashed(lines [][]point, dash float64) [][]point {
	if dash <= 0 {
		return lines
	}
	var out [][]point
	for _, line := range lines {
		left, on := dash, true
		cur := line[:1:1]
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			l := math.Hypot(b.x-a.x, b.y-a.y)
			for at := 0.0; at < l; {
				step := math.Min(left, l-at)
				at += step
				left -= step
				q := a.to(b, at/l)
				if on {
					cur = append(cur, q)
				}
				if left <= 1e-9 {
					if on {
						out = append(out, cur)
					}
					on, left, cur = !on, dash, []point{q}
				}
			}
		}
		if on && len(cur) > 1 {
			out = append(out, cur)
		}
	}
	return out
}
