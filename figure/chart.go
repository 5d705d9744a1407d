package figure

import (
	"slices"

	"urdir/measure"
)

// Kind is how a figure is woven.
type Kind string

const (
	Brocade Kind = "brocade"
	PickUp  Kind = "pick-up"
)

// Way is how brocade weft travels.
type Way string

const (
	Each   Way = "each"   // discontinuous: a butterfly for each figure and colour
	Across Way = "across" // from edge to edge of the band
)

// Limits of a chart.
const (
	MaxColumns = 400
	MaxRows    = 400
	MaxColours = 12
)

// Ground is the character of a cell without figure.
const Ground = '.'

// Cell is the cloth one character stands for.
type Cell struct {
	Ends  int `json:"ends"`
	Picks int `json:"picks"`
}

// Symbol is a character of the drawing and the yarn it stands for. For pick-up
// the first symbol's yarn is the one on odd ends.
type Symbol struct {
	Char rune   `json:"-"`
	Yarn string `json:"yarn"`
}

// Chart is a figure. Its cells are read with At; row 0 is the top of the
// drawing. The zero Chart has no rows. A chart is a value: no method changes
// it.
type Chart struct {
	Kind    Kind
	Way     Way
	Cell    Cell
	Limit   measure.MM // longest float; 0 for no limit
	symbols []Symbol
	rows    [][]uint8 // 0 is ground, n is symbol n-1
}

// Rows is the number of rows, Columns of cells across.
func (c Chart) Rows() int { return len(c.rows) }

// Columns is described with Rows.
func (c Chart) Columns() int {
	if len(c.rows) == 0 {
		return 0
	}
	return len(c.rows[0])
}

// Symbols lists the colours of the chart; the list is not to be changed.
func (c Chart) Symbols() []Symbol { return c.symbols }

// At is the colour of a cell: 0 for ground, n for symbol n-1. Row 0 is the top.
// Row and column must lie in the chart.
func (c Chart) At(row, column int) int { return int(c.rows[row][column]) }

// Up says whether the first or the second yarn of a pair is up in a cell of a
// pick-up chart: 0 or 1. Row 0 is the top, as with At.
func (c Chart) Up(row, column int) int {
	if v := c.At(row, column); v > 0 {
		return v - 1
	}
	return open(c.woven(row)) - 1
}

// open is the symbol whose shed is open in a woven row of pick-up: the first
// in odd rows, the second in even ones.
func open(woven int) int { return 2 - woven&1 }

// woven counts rows from the first woven, the bottom one, from 1.
func (c Chart) woven(row int) int { return c.Rows() - row }

// Ends is the width of the chart in ends, Picks its height in picks.
func (c Chart) Ends() int { return c.Columns() * c.Cell.Ends }

// Picks is described with Ends.
func (c Chart) Picks() int { return c.Rows() * c.Cell.Picks }

// Width is how wide the figure is on the loom: ends over sett. It is 0 without
// a sett.
func (c Chart) Width(sett measure.PerCM) measure.CM { return length(c.Ends(), sett) }

// Height is how high the figure is on the loom: picks over picks/cm. It is 0
// without picks/cm.
func (c Chart) Height(picks measure.PerCM) measure.CM { return length(c.Picks(), picks) }

// length is the room of so many threads at a density.
func length(threads int, density measure.PerCM) measure.CM {
	if !(density > 0) {
		return 0
	}
	return measure.CM(float64(threads) / float64(density))
}

// Mirrored is the chart with left and right exchanged.
func (c Chart) Mirrored() Chart {
	rows := make([][]uint8, len(c.rows))
	for i, r := range c.rows {
		rows[i] = slices.Clone(r)
		slices.Reverse(rows[i])
	}
	c.rows = rows
	return c
}

// Inverted is the chart upside down.
func (c Chart) Inverted() Chart {
	c.rows = slices.Clone(c.rows) // rows are never written to, so charts may share them
	slices.Reverse(c.rows)
	return c
}

// Turned is the chart turned half round: mirrored and inverted.
func (c Chart) Turned() Chart { return c.Mirrored().Inverted() }
