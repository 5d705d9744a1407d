package figure

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"urdir/check"
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
	Each   Way = "each"   // a butterfly for each figure and colour
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
// drawing. The zero Chart has no rows.
type Chart struct {
	Kind    Kind
	Way     Way
	Cell    Cell
	Limit   measure.MM // longest float; 0 for no limit
	symbols []Symbol
	rows    [][]uint8 // 0 is ground, n is symbol n-1
}

// Parse reads a drawing. Problems have the paths "chart" and "colours"; those
// in the drawing give "row", counted from its first line.
func Parse(drawing string, symbols []Symbol) (Chart, check.Problems) {
	var ps check.Problems
	c := Chart{symbols: symbols}
	if len(symbols) > MaxColours {
		ps.Wrong("colours", "chart-colours", check.Args{"colours": len(symbols), "most": MaxColours})
	}
	lines := strings.Split(strings.Trim(drawing, "\n"), "\n")
	if strings.TrimSpace(drawing) == "" {
		ps.Wrong("chart", "chart-empty", nil)
		return c, ps
	}
	if len(lines) > MaxRows {
		ps.Wrong("chart", "chart-rows", check.Args{"rows": len(lines), "most": MaxRows})
		return c, ps
	}
	width := -1
	for i, line := range lines {
		line = strings.TrimRightFunc(line, unicode.IsSpace)
		n := utf8.RuneCountInString(line)
		switch {
		case n > MaxColumns:
			ps.Wrong("chart", "chart-columns", check.Args{"row": i + 1, "columns": n, "most": MaxColumns})
			return c, ps
		case width < 0:
			width = n
		case n != width:
			ps.Wrong("chart", "chart-ragged", check.Args{"row": i + 1, "columns": n, "first": width})
		}
		c.rows = append(c.rows, c.readRow(line, i+1, &ps))
	}
	return c, ps
}

func (c *Chart) readRow(line string, row int, ps *check.Problems) []uint8 {
	cells := make([]uint8, 0, len(line))
	for _, ch := range line {
		n := slices.IndexFunc(c.symbols, func(s Symbol) bool { return s.Char == ch })
		if n < 0 && ch != Ground {
			ps.Wrong("chart", "chart-symbol", check.Args{"row": row, "column": len(cells) + 1, "symbol": string(ch)})
		}
		cells = append(cells, uint8(n+1))
	}
	return cells
}

// String draws the chart; Parse reads it back.
func (c Chart) String() string {
	var b strings.Builder
	for _, row := range c.rows {
		for _, v := range row {
			if v == 0 {
				b.WriteRune(Ground)
			} else {
				b.WriteRune(c.symbols[v-1].Char)
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
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

// Symbols lists the colours of the chart.
func (c Chart) Symbols() []Symbol { return c.symbols }

// At is the colour of a cell: 0 for ground, n for symbol n-1. Row 0 is the top.
func (c Chart) At(row, column int) int { return int(c.rows[row][column]) }

// Ends is the width of the chart in ends, Picks its height in picks.
func (c Chart) Ends() int { return c.Columns() * c.Cell.Ends }

// Picks is described with Ends.
func (c Chart) Picks() int { return c.Rows() * c.Cell.Picks }

// Mirrored is the chart with left and right exchanged.
func (c Chart) Mirrored() Chart {
	return c.with(func(rows [][]uint8) {
		for _, r := range rows {
			slices.Reverse(r)
		}
	})
}

// Inverted is the chart upside down.
func (c Chart) Inverted() Chart {
	return c.with(func(rows [][]uint8) { slices.Reverse(rows) })
}

// Turned is the chart turned half round: mirrored and inverted.
func (c Chart) Turned() Chart { return c.Mirrored().Inverted() }

// Repeated is the chart laid side by side and above itself.
func (c Chart) Repeated(across, up int) Chart {
	out := c
	out.rows = nil
	for range up {
		for _, r := range c.rows {
			out.rows = append(out.rows, slices.Repeat(r, across))
		}
	}
	return out
}

// with works on a copy of the rows.
func (c Chart) with(change func([][]uint8)) Chart {
	rows := make([][]uint8, len(c.rows))
	for i, r := range c.rows {
		rows[i] = slices.Clone(r)
	}
	change(rows)
	c.rows = rows
	return c
}
