package figure

import (
	"urdir/check"
	"urdir/measure"
)

// float is a stretch of thread that lies free: over how many threads, the woven
// row and the cell where it begins, and over how many cells of the chart; 0 cells
// where it leaves the chart.
type float struct {
	threads, row, column, cells int
}

// Stretch is a float over the limit and the cells of the chart it lies on: as
// many columns for weft that lies free, as many rows for warp. Row 0 is the top,
// as with At.
type Stretch struct {
	Row     int        `json:"row"`
	Column  int        `json:"column"`
	Rows    int        `json:"rows"`
	Columns int        `json:"columns"`
	Back    bool       `json:"back"`
	Length  measure.MM `json:"length_mm"`
}

// TooLong lists the floats that Check finds over the limit, from the first row
// woven on.
func (c Chart) TooLong(sett, picks measure.PerCM) (out []Stretch) {
	add := func(all []float, density measure.PerCM, back bool) {
		for _, f := range c.over(all, density) {
			s := Stretch{Row: c.Rows() - f.row, Column: f.column - 1, Rows: 1, Columns: f.cells, Back: back, Length: length(f.threads, density).MM()}
			if c.Kind == PickUp {
				s.Row, s.Rows, s.Columns = s.Row-f.cells+1, f.cells, 1
			}
			out = append(out, s)
		}
	}
	if c.Kind == PickUp {
		add(c.warpFloats(), picks, false)
		return out
	}
	face, back := c.weftFloats()
	add(face, sett, false)
	add(back, sett, true)
	return out
}

// over picks out the floats that are longer than the limit.
func (c Chart) over(all []float, density measure.PerCM) (out []float) {
	for _, f := range all {
		if c.Limit > 0 && length(f.threads, density).MM() > c.Limit+slack {
			out = append(out, f)
		}
	}
	return out
}

// Check finds what would not wear or weave well at a sett and picks/cm: floats
// over the limit on the face and on the back, and single cells standing alone.
// All are cautions. Of each kind the longest (the first of the longest) is
// named, with how many are too long. Rows are counted from the first one woven,
// columns from the left.
//
// A float over n threads is n/density long (common practice). What lies between
// figures of a band is checked by Place.
//
// Codes: float-face, float-back, figure-islands.
func (c Chart) Check(sett, picks measure.PerCM) check.Problems {
	var ps check.Problems
	if c.Kind == PickUp {
		// The other end of the pair lies on the back just as long.
		c.tooLong(&ps, "float-face", c.warpFloats(), picks)
	} else {
		face, back := c.weftFloats()
		c.tooLong(&ps, "float-face", face, sett)
		c.tooLong(&ps, "float-back", back, sett)
	}
	if n, at := c.islands(); n > 0 {
		ps.Look("chart", "figure-islands", check.Args{"cells": n, "row": at.row, "column": at.column})
	}
	return ps
}

// slack keeps a float of exactly the limit from being too long by the last bit.
const slack measure.MM = 1e-6

func (c Chart) tooLong(ps *check.Problems, code string, all []float, density measure.PerCM) {
	var longest float
	over := c.over(all, density)
	for _, f := range over {
		if f.threads > longest.threads {
			longest = f
		}
	}
	if len(over) > 0 {
		ps.Look("chart", code, check.Args{"length": length(longest.threads, density).MM(), "limit": c.Limit,
			"threads": longest.threads, "row": longest.row, "column": longest.column, "floats": len(over)})
	}
}

// weftFloats are the runs of a colour on the face and, woven across, the gaps
// between cells of one colour in a row, which its weft passes under. A butterfly
// is not carried over a long gap, see Yarn.
func (c Chart) weftFloats() (face, back []float) {
	var last [MaxColours + 1]int // the column after each colour's last cell in this row
	for r := c.Rows() - 1; r >= 0; r-- {
		clear(last[:])
		cells := c.rows[r]
		for from := 0; from < len(cells); {
			to := runEnd(cells, from)
			if s := cells[from]; s > 0 {
				face = append(face, float{(to - from) * c.Cell.Ends, c.woven(r), from + 1, to - from})
				if gap := from - last[s]; c.Way == Across && last[s] > 0 {
					back = append(back, float{gap * c.Cell.Ends, c.woven(r), last[s] + 1, gap})
				}
				last[s] = to
			}
			from = to
		}
	}
	return face, back
}

// runEnd is the column after a run of cells alike.
func runEnd(cells []uint8, from int) int {
	to := from + 1
	for to < len(cells) && cells[to] == cells[from] {
		to++
	}
	return to
}

// warpFloats are the stretches of two picks and more over which one end of a
// pair stays up, counting the ground below and above the figure. One that
// begins in the ground below is given row 1.
func (c Chart) warpFloats() (face []float) {
	for col := range c.Columns() {
		up, from := open(0)-1, 0 // the ground before the first row
		for woven := 1; woven <= c.Rows()+1; woven++ {
			now := open(woven) - 1
			if woven <= c.Rows() {
				now = c.Up(c.Rows()-woven, col)
			}
			if now == up {
				continue
			}
			if n := woven - from; n > 1 {
				face = append(face, c.warpFloat(n, from, col))
			}
			up, from = now, woven
		}
		if n := c.Rows() + 2 - from; n > 1 {
			face = append(face, c.warpFloat(n, from, col))
		}
	}
	return face
}

// warpFloat is a float over n picks from a woven row, 0 for the ground below.
func (c Chart) warpFloat(n, from, col int) float {
	first, last := max(1, from), min(c.Rows(), from+n-1)
	return float{n, first, col + 1, last - first + 1}
}

// islands counts cells that touch no other cell of their colour, not even at a
// corner, and gives the first of them.
func (c Chart) islands() (n int, first float) {
	for r := c.Rows() - 1; r >= 0; r-- {
		for col := range c.Columns() {
			if c.At(r, col) != 0 && !c.touches(r, col) {
				if n == 0 {
					first = float{1, c.woven(r), col + 1, 1}
				}
				n++
			}
		}
	}
	return n, first
}

func (c Chart) touches(row, col int) bool {
	reach := 1
	if c.Kind == PickUp {
		reach = 2 // a yarn's own shed comes round every second pick
	}
	for r := max(0, row-reach); r <= min(c.Rows()-1, row+reach); r++ {
		for k := max(0, col-1); k <= min(c.Columns()-1, col+1); k++ {
			if (r != row || k != col) && c.At(r, k) == c.At(row, col) {
				return true
			}
		}
	}
	return false
}
