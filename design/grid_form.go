package design

import (
	"slices"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
)

// Reformed is the grid with another kind, way, cell or limit for floats: what is
// changed of the form given. The cells stay. A pick-up cell is always a pair of
// ends and one pick.
//
// Codes: design-pick-up-colours, out-of-range.
func (g Grid) Reformed(change func(*Form)) (Grid, check.Problems) {
	f := g.Form()
	change(&f)
	if f.Kind == figure.PickUp {
		f.Cell = figure.Cell{Ends: 2, Picks: 1}
	}
	ps := colourProblems(f.Kind, g.Colours())
	bounded(&ps, "cell.ends", float64(f.Cell.Ends), 1, 60)
	bounded(&ps, "cell.picks", float64(f.Cell.Picks), 1, 60)
	bounded(&ps, "float", float64(f.Limit), 0, 500)
	if ps.Failed() {
		return g, ps
	}
	g.chart.Kind, g.chart.Way, g.chart.Cell, g.chart.Limit = f.Kind, f.Way, f.Cell, f.Limit
	return g, ps
}

// Form is how a grid is woven.
type Form struct {
	Kind  figure.Kind
	Way   figure.Way
	Cell  figure.Cell
	Limit measure.MM
}

// Form is how the grid is woven.
func (g Grid) Form() Form {
	return Form{g.chart.Kind, g.chart.Way, g.chart.Cell, g.chart.Limit}
}

// bounded holds a number to the bounds of a cloth file.
func bounded(ps *check.Problems, path string, value, low, high float64) {
	if !(value >= low && value <= high) {
		ps.Wrong(path, "out-of-range", check.Args{"value": value, "low": low, "high": high})
	}
}

// SetColour gives a colour of the grid, from 1, another sign and yarn.
//
// Codes: design-colour-none, colours-key.
func (g Grid) SetColour(colour int, s figure.Symbol) (Grid, check.Problems) {
	if ps := g.hasColour(colour); ps.Failed() {
		return g, ps
	}
	all := slices.Clone(g.Colours())
	all[colour-1] = s
	if ps := colourProblems(g.chart.Kind, all); ps.Failed() {
		return g, ps
	}
	return g.coloured(all), nil
}

// RemoveColour takes a colour, from 1, out of the grid; its cells become ground.
//
// Codes: design-colour-none.
func (g Grid) RemoveColour(colour int) (Grid, check.Problems) {
	if ps := g.hasColour(colour); ps.Failed() {
		return g, ps
	}
	g = g.coloured(slices.Delete(slices.Clone(g.Colours()), colour-1, colour))
	rows := g.cells
	g.cells = make([][]uint8, len(rows))
	for r, row := range rows {
		g.cells[r] = slices.Clone(row)
		for i, v := range row {
			switch {
			case int(v) == colour:
				g.cells[r][i] = 0
			case int(v) > colour:
				g.cells[r][i]--
			}
		}
	}
	return g, nil
}

func (g Grid) hasColour(colour int) (ps check.Problems) {
	if colour < 1 || colour > len(g.Colours()) {
		ps.Wrong("colours", "design-colour-none", check.Args{"colour": colour, "colours": len(g.Colours())})
	}
	return ps
}

// Uses counts the cells of a colour; 0 is ground.
func (g Grid) Uses(colour int) (n int) {
	for _, row := range g.cells {
		for _, v := range row {
			if int(v) == colour {
				n++
			}
		}
	}
	return n
}
