package figure

import (
	"math"

	"urdir/check"
	"urdir/measure"
)

// Band is the part of the warp figures are placed on.
type Band struct {
	First   int // the band's first end, counted from 1
	Ends    int
	Sett    measure.PerCM // without it, spacing, margin and widths are 0
	Count   int           // figures wanted; 0 for as many as fit
	Spacing measure.CM    // between figures, on the loom
	Margin  measure.CM    // least ground at each side, on the loom
	Mirror  bool          // every other figure mirrored
	Step    int           // ends a figure may be moved by: 2 keeps pairs whole
}

// Layout is where figures stand in a band. Left + figures + spaces + Right are
// the ends of the band.
type Layout struct {
	Count   int   `json:"figures"`
	Firsts  []int `json:"first_ends"` // the first end of each, from 1 at the left selvedge
	Mirror  bool  `json:"alternately_mirrored"`
	Ends    int   `json:"ends_each"`
	Between int   `json:"ends_between"`
	Left    int   `json:"ends_left"` // ground at the left of the first
	Right   int   `json:"ends_right"`

	Width      measure.CM `json:"width_each_cm"`
	LeftWidth  measure.CM `json:"left_cm"`
	RightWidth measure.CM `json:"right_cm"`
}

// Place centres figures on the ends of a band. The spacing is rounded to the
// nearest end, and up to whole steps; what is over goes to the two sides,
// evenly or one step apart, the odd one at the right.
//
// Brocade woven across is also checked for what lies on the back between the
// figures and at the sides (float-back), and for figures that touch
// (float-face). When the figures wanted do not fit, or none does, the problem
// is figure-wider.
func Place(c Chart, b Band) (Layout, check.Problems) {
	var ps check.Problems
	step := max(1, b.Step)
	each, between, margin := c.Ends(), Threads(b.Spacing, b.Sett, step), Threads(b.Margin, b.Sett, step)
	fits := 0
	if room := b.Ends - 2*margin; each > 0 && room >= each {
		fits = (room + between) / (each + between)
	}
	n := b.Count
	if n == 0 {
		n = fits
	}
	if n < 1 || n > fits {
		n = max(1, n)
		needed := n*each + (n-1)*between + 2*margin
		ps.Wrong("", "figure-wider", check.Args{"count": n, "needed": needed, "ends": b.Ends, "fits": fits,
			"width": length(needed, b.Sett), "band": length(b.Ends, b.Sett)})
		return Layout{}, ps
	}
	used := n*each + (n-1)*between
	left := (b.Ends - used) / 2 / step * step
	right := b.Ends - used - left
	l := Layout{Count: n, Mirror: b.Mirror, Ends: each, Between: between, Left: left, Right: right,
		Width: length(each, b.Sett), LeftWidth: length(left, b.Sett), RightWidth: length(right, b.Sett)}
	l.Firsts = make([]int, n)
	for i := range l.Firsts {
		l.Firsts[i] = max(1, b.First) + left + i*(each+between)
	}
	if c.Kind == Brocade && c.Way == Across {
		face, back := c.bandFloats(l)
		c.tooLong(&ps, "float-face", face, b.Sett)
		c.tooLong(&ps, "float-back", back, b.Sett)
	}
	return l, ps
}

// Threads is a length in ends, rounded up to whole steps.
func Threads(l measure.CM, sett measure.PerCM, step int) int {
	n := math.Round(float64(l) * float64(sett))
	if !(n > 0) {
		return 0
	}
	n = min(n, 1e6) // more than any warp; keeps sums of it in range
	return (int(n) + step - 1) / step * step
}

// bandFloats are the floats of weft woven across that a single figure does not
// show: on the back at the sides and between figures, on the face where two
// figures touch. They are given the cell beside them.
func (c Chart) bandFloats(l Layout) (face, back []float) {
	for r := c.Rows() - 1; r >= 0; r-- {
		cells, w := c.rows[r], c.woven(r)
		for s := 1; s <= len(c.symbols); s++ {
			lead, tail := edges(cells, uint8(s))
			if lead < 0 {
				continue
			}
			first, last := float{lead, w, lead + 1, 0}, float{tail, w, len(cells) - tail, 0}
			join := func(a, b float) {
				if n := (a.threads+b.threads)*c.Cell.Ends + l.Between; n > 0 {
					back = append(back, float{n, a.row, a.column, 0})
					return
				}
				n := run(cells, a.column-1) + run(cells, b.column-1)
				face = append(face, float{n * c.Cell.Ends, a.row, a.column, 0})
			}
			if l.Count > 1 && l.Mirror {
				join(last, last)
			} else if l.Count > 1 {
				join(last, first)
			}
			if l.Count > 2 && l.Mirror {
				join(first, first)
			}
			end := tail
			if l.Mirror && l.Count%2 == 0 {
				end = lead
			}
			back = append(back, float{l.Left + lead*c.Cell.Ends, w, first.column, 0}, float{l.Right + end*c.Cell.Ends, w, last.column, 0})
		}
	}
	return face, back
}

// edges are the cells of a row before the first and after the last of a colour;
// -1 when it has none.
func edges(cells []uint8, s uint8) (lead, tail int) {
	lead, tail = -1, -1
	for i, v := range cells {
		if v == s {
			if lead < 0 {
				lead = i
			}
			tail = len(cells) - 1 - i
		}
	}
	return lead, tail
}

// run is how many neighbouring cells are alike, counting one in the chart.
func run(cells []uint8, at int) int {
	from := at
	for from > 0 && cells[from-1] == cells[at] {
		from--
	}
	return runEnd(cells, from) - from
}

// Course is how one row of a figure is said for a whole band: so many ends
// before, the figure so many times with so many ends between, and what is left.
type Course struct {
	Before  int `json:"ends_before"`
	Times   int `json:"times"`
	Between int `json:"ends_between"`
	After   int `json:"ends_after"`
	// Alternate says that every other figure is mirrored: its row is read
	// backwards. Backwards says that the first one read already is.
	Alternate bool `json:"alternate"`
	Backwards bool `json:"first_backwards"`
}

// Course gives the course of a row read from the left, or leftward from the
// right.
func (l Layout) Course(leftward bool) Course {
	c := Course{Before: l.Left, Times: l.Count, Between: l.Between, After: l.Right, Alternate: l.Mirror}
	if leftward {
		c.Before, c.After = l.Right, l.Left
		c.Backwards = l.Mirror && l.Count%2 == 0
	}
	return c
}
