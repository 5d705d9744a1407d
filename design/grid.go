package design

import (
	"slices"
	"strings"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
)

// Grid is a figure as it is drawn, cell by cell. It is a value: every method
// gives a new one, and rows that did not change are shared. Row 0 is the top,
// as in figure.Chart; a cell is 0 for ground or n for colour n, from 1.
type Grid struct {
	chart figure.Chart // everything but the cells
	cells [][]uint8
}

// Region is a part of a grid.
type Region struct{ Row, Column, Rows, Columns int }

// NewGrid is a grid of ground. The chart gives kind, way, cell, limit and
// colours; its own cells do not count.
//
// Codes: chart-empty, chart-rows, chart-columns, those of colours, and
// design-pick-up-colours.
func NewGrid(like figure.Chart, rows, columns int) (Grid, check.Problems) {
	ps := sizeProblems(rows, columns)
	ps = append(ps, colourProblems(like.Kind, like.Symbols())...)
	if ps.Failed() {
		return Grid{}, ps
	}
	g := Grid{chart: like, cells: make([][]uint8, rows)}
	for r := range g.cells {
		g.cells[r] = make([]uint8, columns)
	}
	return g, ps
}

// GridOf is a chart laid out to be drawn on.
func GridOf(c figure.Chart) Grid {
	g := Grid{chart: c, cells: make([][]uint8, c.Rows())}
	for r := range g.cells {
		g.cells[r] = make([]uint8, c.Columns())
		for col := range g.cells[r] {
			g.cells[r][col] = uint8(c.At(r, col))
		}
	}
	return g
}

// Chart is the figure as drawn.
func (g Grid) Chart() (figure.Chart, check.Problems) {
	c, ps := figure.Parse(g.String(), g.chart.Symbols())
	c.Kind, c.Way, c.Cell, c.Limit = g.chart.Kind, g.chart.Way, g.chart.Cell, g.chart.Limit
	return c, ps
}

// String draws the grid as figure.Parse reads it.
func (g Grid) String() string {
	var b strings.Builder
	b.Grow(g.Rows() * (g.Columns() + 1))
	for _, row := range g.cells {
		for _, v := range row {
			if v == 0 {
				b.WriteRune(figure.Ground)
			} else {
				b.WriteRune(g.chart.Symbols()[v-1].Char)
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// Rows is the number of rows, Columns of cells across.
func (g Grid) Rows() int { return len(g.cells) }

// Columns is described with Rows.
func (g Grid) Columns() int {
	if len(g.cells) == 0 {
		return 0
	}
	return len(g.cells[0])
}

// At is the colour of a cell, 0 for ground and for what lies outside.
func (g Grid) At(row, column int) int {
	if !g.has(row, column) {
		return 0
	}
	return int(g.cells[row][column])
}

// Colours lists the colours; the list is not to be changed.
func (g Grid) Colours() []figure.Symbol { return g.chart.Symbols() }

func (g Grid) has(row, column int) bool {
	return row >= 0 && row < g.Rows() && column >= 0 && column < g.Columns()
}

// AddColour gives the grid one more colour.
//
// Codes: colours-key, chart-colours, design-pick-up-colours.
func (g Grid) AddColour(s figure.Symbol) (Grid, check.Problems) {
	all := append(slices.Clone(g.Colours()), s)
	ps := colourProblems(g.chart.Kind, all)
	if ps.Failed() {
		return g, ps
	}
	return g.coloured(all), ps
}

// coloured is the grid with other colours, which are known to be good.
func (g Grid) coloured(all []figure.Symbol) Grid {
	c, _ := figure.Parse(string(figure.Ground), all)
	c.Kind, c.Way, c.Cell, c.Limit = g.chart.Kind, g.chart.Way, g.chart.Cell, g.chart.Limit
	g.chart = c
	return g
}

// colourProblems finds what is wrong with the colours; figure.Parse knows.
func colourProblems(kind figure.Kind, all []figure.Symbol) check.Problems {
	_, ps := figure.Parse(string(figure.Ground), all)
	if kind == figure.PickUp && len(all) > 2 {
		ps.Wrong("colours", "design-pick-up-colours", check.Args{"colours": len(all)})
	}
	return ps
}

func sizeProblems(rows, columns int) (ps check.Problems) {
	switch {
	case rows < 1 || columns < 1:
		ps.Wrong("chart", "chart-empty", nil)
	case rows > figure.MaxRows:
		ps.Wrong("chart", "chart-rows", check.Args{"rows": rows, "most": figure.MaxRows})
	case columns > figure.MaxColumns:
		ps.Wrong("chart", "chart-columns", check.Args{"row": 1, "columns": columns, "most": figure.MaxColumns})
	}
	return ps
}

// Allowed lists what a cell may become, ground (0) among it, without a float
// longer than the limit where it is: in brocade in its row, in pick-up in its
// column. A float that is too long already may stay or become shorter.
//
// Within its row pick-up needs no rule: of each pair one end is up and one
// down, so no more than two neighbouring ends ever lie on the same side,
// whatever the pairs beside it do.
func (g Grid) Allowed(row, column int, sett, picks measure.PerCM) (values []int) {
	if !g.has(row, column) {
		return nil
	}
	line := Region{Row: row, Rows: 1, Columns: g.Columns()}
	if g.chart.Kind == figure.PickUp {
		line = Region{Column: column, Rows: g.Rows(), Columns: 1}
	}
	part, _ := g.Copy(line)
	now := part.longest(sett, picks)
	for v := range len(g.Colours()) + 1 {
		then, _ := part.Set(row-line.Row, column-line.Column, v)
		if l := then.longest(sett, picks); l == 0 || l <= now {
			values = append(values, v)
		}
	}
	return values
}

// longest is the longest float over the limit; 0 if none is.
func (g Grid) longest(sett, picks measure.PerCM) (l measure.MM) {
	c, _ := g.Chart()
	for _, p := range c.Check(sett, picks) {
		if length, ok := p.Args["length"].(measure.MM); ok {
			l = max(l, length)
		}
	}
	return l
}
