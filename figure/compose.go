package figure

import (
	"slices"

	"urdir/check"
)

// Repeated is the chart laid so many times side by side and above itself. Too
// many, or fewer than one, is a problem (chart-repeat, chart-columns,
// chart-rows) and gives an empty chart.
//
// Pick-up with an odd number of rows meets the other shed in every second
// repeat, so its cells of ground change with it; named cells do not.
func (c Chart) Repeated(across, up int) (Chart, check.Problems) {
	var ps check.Problems
	if across < 1 || up < 1 {
		ps.Wrong("chart", "chart-repeat", check.Args{"across": across, "up": up})
	}
	if n := c.Columns(); n > 0 && across > MaxColumns/n {
		ps.Wrong("chart", "chart-columns", check.Args{"row": 1, "columns": across * n, "most": MaxColumns})
	}
	if n := c.Rows(); n > 0 && up > MaxRows/n {
		ps.Wrong("chart", "chart-rows", check.Args{"rows": up * n, "most": MaxRows})
	}
	rows := c.rows
	c.rows = nil
	if ps.Failed() {
		return c, ps
	}
	for range up {
		for _, r := range rows {
			c.rows = append(c.rows, slices.Repeat(r, across))
		}
	}
	return c, ps
}

// Joined is the chart with another at its right, so many cells of ground
// between. Both stand on the same row; the lower one has ground above it. The
// way, cell and limit are the left chart's, and colours of the same yarn become
// one. Problems: chart-join when kinds or cells differ, chart-join-colour when
// a sign stands for two yarns, chart-columns, chart-colours.
func (c Chart) Joined(right Chart, between int) (Chart, check.Problems) {
	var ps check.Problems
	between = max(0, between)
	if c.Kind != right.Kind || c.Cell != right.Cell {
		ps.Wrong("chart", "chart-join", check.Args{"ends": c.Cell.Ends, "picks": c.Cell.Picks,
			"otherEnds": right.Cell.Ends, "otherPicks": right.Cell.Picks})
	}
	if between > MaxColumns || c.Columns()+between+right.Columns() > MaxColumns {
		ps.Wrong("chart", "chart-columns", check.Args{"row": 1, "columns": c.Columns() + between + right.Columns(), "most": MaxColumns})
	}
	out := c
	out.symbols = slices.Clone(c.symbols)
	as := out.adopt(right.symbols, &ps)
	out.rows = nil
	if ps.Failed() {
		return out, ps
	}
	for woven := max(c.Rows(), right.Rows()); woven >= 1; woven-- {
		row := make([]uint8, 0, c.Columns()+between+right.Columns())
		row = append(row, c.standing(woven)...)
		row = append(row, make([]uint8, between)...)
		for _, v := range right.standing(woven) {
			row = append(row, as[v])
		}
		out.rows = append(out.rows, row)
	}
	return out, ps
}

// adopt adds the colours of another chart and tells what each becomes here.
func (c *Chart) adopt(symbols []Symbol, ps *check.Problems) []uint8 {
	as := make([]uint8, 1, len(symbols)+1) // ground stays ground
	for _, s := range symbols {
		n := slices.IndexFunc(c.symbols, func(o Symbol) bool { return o.Yarn == s.Yarn })
		if n < 0 {
			n = len(c.symbols)
			if k := slices.IndexFunc(c.symbols, func(o Symbol) bool { return o.Char == s.Char }); k >= 0 {
				ps.Wrong("colours", "chart-join-colour", check.Args{"symbol": string(s.Char), "yarn": c.symbols[k].Yarn, "other": s.Yarn})
			}
			c.symbols = append(c.symbols, s)
		}
		as = append(as, uint8(n+1))
	}
	if len(c.symbols) > MaxColours {
		ps.Wrong("colours", "chart-colours", check.Args{"colours": len(c.symbols), "most": MaxColours})
	}
	return as
}

// standing is a woven row, all ground above the figure.
func (c Chart) standing(woven int) []uint8 {
	if woven > c.Rows() {
		return make([]uint8, c.Columns())
	}
	return c.rows[c.Rows()-woven]
}
