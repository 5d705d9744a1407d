package figure

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"urdir/check"
)

// Parse reads a drawing: one character a cell, a line for each row, the top of
// the finished figure first. Empty lines above and below it and spaces at the
// end of a line do not count; any other space is refused, because it could be
// ground or nothing.
//
// Problems have the paths "chart" and "colours". Those in the drawing give
// "row", the line of the drawing from 1, and "column", the character in it; a
// row is named once. When a problem is an error the chart is empty.
//
// Codes: colours-key, chart-colours, chart-empty, chart-rows, chart-columns,
// chart-ragged, chart-symbol, chart-unprintable.
func Parse(drawing string, symbols []Symbol) (Chart, check.Problems) {
	c := Chart{symbols: slices.Clone(symbols)}
	ps := legend(symbols)
	lines, first := drawn(drawing)
	switch {
	case len(lines) == 0:
		ps.Wrong("chart", "chart-empty", nil)
	case len(lines) > MaxRows:
		ps.Wrong("chart", "chart-rows", check.Args{"rows": len(lines), "most": MaxRows})
		lines = nil
	}
	width := -1
	for i, line := range lines {
		row, n := first+i, utf8.RuneCountInString(line)
		if width < 0 {
			width = n
		}
		switch {
		case n > MaxColumns:
			ps.Wrong("chart", "chart-columns", check.Args{"row": row, "columns": n, "most": MaxColumns})
			continue
		case n != width:
			ps.Wrong("chart", "chart-ragged", check.Args{"row": row, "columns": n, "first": width})
		}
		c.rows = append(c.rows, c.readRow(line, row, &ps))
	}
	if ps.Failed() {
		c.rows = nil
	}
	return c, ps
}

// drawn cuts a drawing into its lines, without the empty ones above and below,
// and tells which line is the first of them.
func drawn(drawing string) (lines []string, first int) {
	for i, line := range strings.Split(drawing, "\n") {
		line = strings.TrimRightFunc(line, unicode.IsSpace)
		if line == "" && len(lines) == 0 {
			continue
		}
		if len(lines) == 0 {
			first = i + 1
		}
		lines = append(lines, line)
	}
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	return lines, first
}

// legend checks that every colour has one sign, and a sign that can be seen.
func legend(symbols []Symbol) (ps check.Problems) {
	if len(symbols) > MaxColours {
		ps.Wrong("colours", "chart-colours", check.Args{"colours": len(symbols), "most": MaxColours})
		return ps
	}
	for i, s := range symbols {
		twice := slices.ContainsFunc(symbols[:i], func(o Symbol) bool { return o.Char == s.Char })
		if twice || s.Char == Ground || s.Char == ' ' || !prints(s.Char) {
			ps.Wrong("colours", "colours-key", check.Args{"key": name(s.Char)})
		}
	}
	return ps
}

func (c *Chart) readRow(line string, row int, ps *check.Problems) []uint8 {
	cells := make([]uint8, 0, len(line))
	told := false
	for _, ch := range line {
		n := slices.IndexFunc(c.symbols, func(s Symbol) bool { return s.Char == ch })
		if n < 0 && ch != Ground && !told {
			code := "chart-symbol"
			if !prints(ch) {
				code = "chart-unprintable"
			}
			ps.Wrong("chart", code, check.Args{"row": row, "column": len(cells) + 1, "symbol": name(ch)})
			told = true
		}
		cells = append(cells, uint8(n+1))
	}
	return cells
}

// prints reports whether a character stands by itself on paper.
func prints(ch rune) bool {
	return unicode.IsPrint(ch) && !unicode.IsMark(ch) && ch != utf8.RuneError
}

// name is a character as a message can show it.
func name(ch rune) string {
	if prints(ch) {
		return string(ch)
	}
	return fmt.Sprintf("%U", ch)
}

// String draws the chart; Parse reads it back.
func (c Chart) String() string {
	var b strings.Builder
	b.Grow(c.Rows() * (c.Columns() + 1))
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
