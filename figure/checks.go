package figure

import (
	"urdir/check"
	"urdir/measure"
)

// float is a stretch of thread that lies free, and where it begins.
type float struct {
	cells, row, column int
}

// Check finds what would not wear or weave well at a sett and picks/cm: floats
// over the limit on the face and on the back, and single cells standing alone.
// Only the longest float of each side is named, with the number of others.
// Rows are counted from the first one woven.
func (c Chart) Check(sett, picks measure.PerCM) check.Problems {
	var ps check.Problems
	cell := measure.CM(float64(c.Cell.Ends) / float64(sett)).MM()
	face, back := c.weftFloats()
	if c.Kind == PickUp {
		cell = measure.CM(float64(c.Cell.Picks) / float64(picks)).MM()
		face, back = c.warpFloats()
	}
	c.tooLong(&ps, "float-face", face, cell)
	c.tooLong(&ps, "float-back", back, cell)
	if n, at := c.islands(); n > 0 {
		ps.Look("chart", "figure-islands", check.Args{"cells": n, "row": at.row, "column": at.column})
	}
	return ps
}

func (c Chart) tooLong(ps *check.Problems, code string, all []float, cell measure.MM) {
	if c.Limit <= 0 {
		return
	}
	var longest float
	over := 0
	for _, f := range all {
		if measure.MM(f.cells)*cell > c.Limit+1e-9 {
			over++
			if f.cells > longest.cells {
				longest = f
			}
		}
	}
	if over > 0 {
		ps.Look("chart", code, check.Args{"length": measure.MM(longest.cells) * cell, "limit": c.Limit,
			"row": longest.row, "column": longest.column, "floats": over})
	}
}

// weftFloats are the runs of a colour on the face, and on the back the gaps
// between cells of one colour in a row, which its weft passes under.
func (c Chart) weftFloats() (face, back []float) {
	for r := range c.rows {
		for s := 1; s <= len(c.symbols); s++ {
			last := -1 // the colour's last cell in this row
			run := 0
			for col := 0; col <= c.Columns(); col++ {
				if col < c.Columns() && c.At(r, col) == s {
					if last >= 0 && col-last > 1 {
						back = append(back, float{col - last - 1, c.woven(r), last + 2})
					}
					run, last = run+1, col
					continue
				}
				if run > 0 {
					face = append(face, float{run, c.woven(r), col - run + 1})
				}
				run = 0
			}
		}
	}
	return face, back
}

// woven counts rows from the first woven, the bottom one, from 1.
func (c Chart) woven(row int) int { return c.Rows() - row }

// Up says whether the first or the second yarn of a pair is up on a row of a
// pick-up chart: 0 or 1. Rows are counted from the top, as with At.
func (c Chart) Up(row, column int) int {
	if v := c.At(row, column); v > 0 {
		return v - 1
	}
	return (c.woven(row) - 1) % 2 // odd picks open the first yarn's shed
}

// warpFloats are the runs of picks over which one end of a pair stays up; the
// other end floats on the back just as long, so the back has the same floats.
func (c Chart) warpFloats() (face, back []float) {
	for col := range c.Columns() {
		run := 1
		for r := c.Rows() - 1; r >= 0; r-- {
			if r > 0 && c.Up(r, col) == c.Up(r-1, col) {
				run++
				continue
			}
			if run > 1 {
				face = append(face, float{run, c.woven(r) - run + 1, col + 1})
			}
			run = 1
		}
	}
	return face, nil
}

// islands counts cells that touch no other cell of their colour, not even at a
// corner.
func (c Chart) islands() (n int, first float) {
	for r := c.Rows() - 1; r >= 0; r-- {
		for col := range c.Columns() {
			if c.At(r, col) != 0 && !c.touches(r, col) {
				if n == 0 {
					first = float{1, c.woven(r), col + 1}
				}
				n++
			}
		}
	}
	return n, first
}

func (c Chart) touches(row, col int) bool {
	for r := max(0, row-1); r <= min(c.Rows()-1, row+1); r++ {
		for k := max(0, col-1); k <= min(c.Columns()-1, col+1); k++ {
			if (r != row || k != col) && c.At(r, k) == c.At(row, col) {
				return true
			}
		}
	}
	return false
}
