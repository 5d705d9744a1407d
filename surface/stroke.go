package surface

import (
	"math"
	"slices"
)

// outlines lays polygons into to that together cover a stroke with round joins
// and ends. All wind the same way, so that where they overlap they add up and
// never cancel.
func outlines(to *polys, lines [][]point, width, dash, fine float64) {
	to.n = 0
	b := brush{r: width / 2, step: arcStep(width/2, fine)}
	for _, line := range dashed(lines, dash, fine) {
		line = distinct(line)
		last := len(line) - 1
		switch {
		case last == 0:
			to.add(b.arc(to.next(), line[0], 0, 2*math.Pi))
		case last > 2 && line[0] == line[last]:
			to.add(b.side(to.next(), line, true))
			slices.Reverse(line)
			to.add(b.side(to.next(), line, true))
		default:
			there := b.side(to.next(), line, false)
			slices.Reverse(line)
			to.add(b.side(there, line, false))
		}
	}
}

// brush is a round pen.
type brush struct {
	r    float64
	step float64 // the angle whose chord strays from its arc by no more than wanted
}

func arcStep(r, fine float64) float64 {
	if r <= fine {
		return math.Pi / 3
	}
	return math.Max(math.Pi/24, 2*math.Acos(1-fine/r))
}

// side appends the left side of a line, with the turn at each corner and, for an
// open line, the half circle at its end. At the inner side of a corner the
// outline goes by the corner itself, which keeps it within the stroke however
// short the pieces are.
func (b brush) side(to []point, line []point, closed bool) []point {
	n := len(line) - 1 // straight pieces
	straight := b.r * b.r * math.Cos(b.step)
	for i := range n {
		at := b.normal(line[i], line[i+1])
		to = append(to, line[i].plus(at), line[i+1].plus(at))
		next := point{-at.x, -at.y} // a half turn: the end
		if i+1 < n {
			next = b.normal(line[i+1], line[i+2])
		} else if closed {
			next = b.normal(line[0], line[1])
		}
		cross, dot := at.x*next.y-at.y*next.x, at.x*next.x+at.y*next.y
		if dot > straight {
			continue // a turn by less than a step
		}
		turn := math.Atan2(cross, dot)
		if math.Abs(turn) > math.Pi-1e-9 {
			turn = math.Pi // straight back: round it whichever way it was worked out
		}
		switch {
		case turn > b.step:
			to = b.arc(to, line[i+1], math.Atan2(at.y, at.x), turn)
		case turn < -b.step:
			to = append(to, line[i+1])
		}
	}
	return to
}

// normal points to the left of the way from a to c, a pen's radius long.
func (b brush) normal(a, c point) point {
	k := b.r / hypot(c.x-a.x, c.y-a.y)
	return point{(c.y - a.y) * k, -(c.x - a.x) * k}
}

// arc appends the points within an arc, without its two ends.
func (b brush) arc(to []point, c point, from, sweep float64) []point {
	n := int(math.Ceil(sweep / b.step))
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(from + sweep*float64(i)/float64(n))
		to = append(to, point{c.x + b.r*cos, c.y + b.r*sin})
	}
	if len(to) < n { // a dot has no ends: close the circle
		sin, cos := math.Sincos(from)
		to = append(to, point{c.x + b.r*cos, c.y + b.r*sin})
	}
	return to
}

func (a point) plus(b point) point { return point{a.x + b.x, a.y + b.y} }

func length(line []point) (l float64) {
	for i := 1; i < len(line); i++ {
		l += hypot(line[i].x-line[i-1].x, line[i].y-line[i-1].y)
	}
	return l
}

// distinct takes out, in place, what stands twice one after the other.
func distinct(line []point) []point { return slices.Compact(line) }

// dashed cuts lines into dashes with gaps as long. None is shorter than can be
// seen, and a line has no more than ten thousand.
func dashed(lines [][]point, dash, fine float64) [][]point {
	if dash <= 0 {
		return lines
	}
	var out [][]point
	for _, line := range lines {
		each := max(dash, fine, length(line)/20000)
		left, on := each, true
		cur := line[:1:1]
		for i := 1; i < len(line); i++ {
			a, b := line[i-1], line[i]
			l := hypot(b.x-a.x, b.y-a.y)
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
					on, left, cur = !on, each, []point{q}
				}
			}
		}
		if on && len(cur) > 1 {
			out = append(out, cur)
		}
	}
	return out
}
