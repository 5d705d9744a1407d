package draw

import (
	"urdir/figure"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Chart draws a figure's chart in the proportion of its cells: colours with
// their letters, every fifth line heavier, rows counted from the bottom at both
// sides, at the side from which that row is read, and cells counted below. It
// stands at the top of the box.
func Chart(s surface.Surface, box surface.Box, p plan.Plan, c *plan.Chart, t *lang.Words) {
	w, h := chartCell(box, c)
	cols, rows := measure.MM(c.Columns), measure.MM(c.Rows)
	at := surface.Box{X: box.X + (box.W-w*cols)/2, Y: box.Y + 1, W: w * cols, H: h * rows}
	s.Rect(at, surface.White)
	for r := range c.Rows {
		for col := range c.Columns {
			b := surface.Box{X: at.X + w*measure.MM(col), Y: at.Y + h*measure.MM(r), W: w, H: h}
			cell(s, b, p, c, r, col)
		}
	}
	lines(s, at, w, h, c)
	numbers(s, at, w, h, c, t)
}

// chartMargin is kept for the numbers.
const chartMargin measure.MM = 9

// chartCell is the size of a cell of a chart that fills a box.
func chartCell(box surface.Box, c *plan.Chart) (w, h measure.MM) {
	const largest = 7
	ratio := measure.MM(float64(c.Height) / float64(c.Rows) / (float64(c.Width) / float64(c.Columns)))
	w = min((box.W-2*chartMargin)/measure.MM(c.Columns), (box.H-chartMargin)/measure.MM(c.Rows)/ratio, largest)
	return w, w * ratio
}

// ChartHeight is how much of a box's height a chart takes.
func ChartHeight(box surface.Box, c *plan.Chart) measure.MM {
	_, h := chartCell(box, c)
	return h*measure.MM(c.Rows) + chartMargin
}

func cell(s surface.Surface, b surface.Box, p plan.Plan, c *plan.Chart, row, col int) {
	v := c.Chart.At(row, col)
	if v == 0 {
		if c.Kind == figure.PickUp {
			// The bars of the ground: which yarn the open shed shows.
			if y := p.Yarn(c.Chart.Symbols()[c.Chart.Up(row, col)].Yarn); y != nil {
				s.Rect(b, surface.ParseColour(y.Colour).Mix(surface.White, 0.72))
			}
		}
		return
	}
	y := p.Yarn(c.Chart.Symbols()[v-1].Yarn)
	if y == nil {
		return
	}
	colour := surface.ParseColour(y.Colour)
	s.Rect(b, colour)
	size := min(b.W, b.H)
	f := surface.Font{Size: size * 0.66, Colour: surface.InkOn(colour), Align: surface.Centre}
	s.Text(b.X+b.W/2, b.Y+b.H/2+f.Size*0.36, y.Letter, surface.Fit(y.Letter, f, b.W*0.9))
}

func lines(s surface.Surface, at surface.Box, w, h measure.MM, c *plan.Chart) {
	for col := range c.Columns + 1 {
		x := at.X + w*measure.MM(col)
		s.Path(surface.Polyline(x, at.Y, x, at.Y+at.H), surface.Line(Ink, weight(col)))
	}
	for r := range c.Rows + 1 {
		y := at.Y + h*measure.MM(c.Rows-r)
		s.Path(surface.Polyline(at.X, y, at.X+at.W, y), surface.Line(Ink, weight(r)))
	}
}

func weight(n int) measure.MM {
	if n%5 == 0 {
		return 0.3
	}
	return 0.08
}

func numbers(s surface.Surface, at surface.Box, w, h measure.MM, c *plan.Chart, t *lang.Words) {
	size := min(2.9, h*0.8)
	for r := range c.Rows {
		n := r + 1
		if size < 1.7 && n%5 != 0 && n != 1 {
			continue
		}
		f := surface.Font{Size: max(size, 1.8), Colour: Ink, Align: surface.Right}
		x := at.X - 1.2
		if n%2 == 0 { // this row's weft comes from the right
			f.Align, x = surface.Left, at.X+at.W+1.2
		}
		s.Text(x, at.Y+h*measure.MM(c.Rows-r)-h/2+f.Size*0.36, t.Int(n), f)
	}
	for col := 5; col <= c.Columns; col += 5 {
		s.Text(at.X+w*measure.MM(col), at.Y+at.H+3, t.Int(col), surface.Font{Size: 2.4, Colour: Ink, Align: surface.Right})
	}
}
