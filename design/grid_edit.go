package design

import (
	"slices"

	"urdir/check"
	"urdir/figure"
)

// Set makes a cell ground (0) or a colour.
//
// Codes of all that draw: design-cell-outside, design-colour-none.
func (g Grid) Set(row, column, value int) (Grid, check.Problems) {
	return g.Line(row, column, row, column, value)
}

// Line draws from one cell to another, by whole steps along the longer side
// and the nearest cell on the shorter (Bresenham 1965).
func (g Grid) Line(row, column, toRow, toColumn, value int) (Grid, check.Problems) {
	ps := append(g.drawable(row, column, value), g.drawable(toRow, toColumn, value)...)
	if ps.Failed() {
		return g, ps[:1]
	}
	var cells []cell
	down, across := abs(toRow-row), abs(toColumn-column)
	r, c, off := row, column, across-down
	for {
		cells = append(cells, cell{r, c})
		if r == toRow && c == toColumn {
			return g.painted(cells, value), ps
		}
		twice := 2 * off
		if twice > -down {
			off -= down
			c += sign(toColumn - column)
		}
		if twice < across {
			off += across
			r += sign(toRow - row)
		}
	}
}

type cell struct{ row, column int }

func sign(n int) int { return max(-1, min(n, 1)) }

// Fill makes a cell and all cells of its colour that join it at a side another
// colour.
func (g Grid) Fill(row, column, value int) (Grid, check.Problems) {
	if ps := g.drawable(row, column, value); ps.Failed() {
		return g, ps
	}
	was := g.At(row, column)
	seen := make([]bool, g.Rows()*g.Columns())
	cells := []cell{{row, column}}
	seen[row*g.Columns()+column] = true
	for k := 0; k < len(cells); k++ {
		at := cells[k]
		for _, n := range []cell{{at.row - 1, at.column}, {at.row + 1, at.column}, {at.row, at.column - 1}, {at.row, at.column + 1}} {
			if g.has(n.row, n.column) && g.At(n.row, n.column) == was && !seen[n.row*g.Columns()+n.column] {
				seen[n.row*g.Columns()+n.column] = true
				cells = append(cells, n)
			}
		}
	}
	return g.painted(cells, value), nil
}

// drawable checks a cell and a colour.
func (g Grid) drawable(row, column, value int) (ps check.Problems) {
	if !g.has(row, column) {
		ps.Wrong("chart", "design-cell-outside", check.Args{"row": row + 1, "column": column + 1, "rows": g.Rows(), "columns": g.Columns()})
	}
	if value < 0 || value > len(g.Colours()) {
		ps.Wrong("colours", "design-colour-none", check.Args{"colour": value, "colours": len(g.Colours())})
	}
	return ps
}

// painted is the grid with cells of one colour; only their rows are copied.
func (g Grid) painted(cells []cell, value int) Grid {
	was := g.cells
	g.cells = slices.Clone(was)
	for _, c := range cells {
		if &g.cells[c.row][0] == &was[c.row][0] {
			g.cells[c.row] = slices.Clone(was[c.row])
		}
		g.cells[c.row][c.column] = uint8(value)
	}
	return g
}

// Mirrored exchanges left and right, Inverted top and bottom; Turned does both.
func (g Grid) Mirrored() Grid { return g.as(figure.Chart.Mirrored) }

// Inverted is described with Mirrored.
func (g Grid) Inverted() Grid { return g.as(figure.Chart.Inverted) }

// Turned is described with Mirrored.
func (g Grid) Turned() Grid { return g.as(figure.Chart.Turned) }

func (g Grid) as(change func(figure.Chart) figure.Chart) Grid {
	c, ps := g.Chart()
	if ps.Failed() {
		return g // nothing is drawn
	}
	return GridOf(change(c))
}

// Repeated lays the grid so many times side by side and above itself.
//
// Codes: chart-repeat, chart-columns, chart-rows.
func (g Grid) Repeated(across, up int) (Grid, check.Problems) {
	c, ps := g.Chart()
	if ps.Failed() {
		return g, ps
	}
	if c, ps = c.Repeated(across, up); ps.Failed() {
		return g, ps
	}
	return GridOf(c), ps
}

// Copy is a part of the grid, itself a grid: it can be mirrored and turned
// before it is pasted.
//
// Codes: design-cell-outside.
func (g Grid) Copy(r Region) (Grid, check.Problems) {
	ps := append(g.drawable(r.Row, r.Column, 0), g.drawable(r.Row+r.Rows-1, r.Column+r.Columns-1, 0)...)
	if ps.Failed() || r.Rows < 1 || r.Columns < 1 {
		if !ps.Failed() {
			ps.Wrong("chart", "chart-empty", nil)
		}
		return Grid{}, ps[:1]
	}
	out := Grid{chart: g.chart, cells: make([][]uint8, r.Rows)}
	for i := range out.cells {
		out.cells[i] = slices.Clone(g.cells[r.Row+i][r.Column : r.Column+r.Columns])
	}
	return out, nil
}

// Paste lays a grid over this one, its top left corner in the given cell, which
// may lie outside; what reaches over the edges is cut off. Its ground covers
// what is below. Colours go by their yarn; one that is not here yet is added.
//
// Codes: colours-key, chart-colours, design-pick-up-colours.
func (g Grid) Paste(row, column int, part Grid) (Grid, check.Problems) {
	all := slices.Clone(g.Colours())
	as := []int{0}
	for i, s := range part.Colours() {
		n := slices.Index(all, s) // of two signs for one yarn each stays its own
		if n < 0 {
			n = slices.IndexFunc(all, func(o figure.Symbol) bool { return o.Yarn == s.Yarn })
		}
		if n < 0 && part.uses(i+1) {
			n = len(all)
			all = append(all, s)
		}
		as = append(as, n+1)
	}
	if ps := colourProblems(g.chart.Kind, all); ps.Failed() {
		return g, ps
	}
	if len(all) > len(g.Colours()) {
		g = g.coloured(all)
	}
	cells := make([][]cell, len(all)+1)
	for r := range part.Rows() {
		for c := range part.Columns() {
			if v := as[part.At(r, c)]; g.has(row+r, column+c) {
				cells[v] = append(cells[v], cell{row + r, column + c})
			}
		}
	}
	for v, list := range cells {
		g = g.painted(list, v)
	}
	return g, nil
}

func (g Grid) uses(value int) bool {
	return slices.ContainsFunc(g.cells, func(row []uint8) bool { return slices.Contains(row, uint8(value)) })
}

// Resize makes the grid larger, with ground, or smaller. The bottom left corner
// stays where it is: the bottom row is woven first.
//
// Codes: chart-empty, chart-rows, chart-columns.
func (g Grid) Resize(rows, columns int) (Grid, check.Problems) {
	out, ps := NewGrid(g.chart, rows, columns)
	if ps.Failed() {
		return g, ps
	}
	for up := 1; up <= min(rows, g.Rows()); up++ {
		copy(out.cells[rows-up], g.cells[g.Rows()-up])
	}
	return out, ps
}
