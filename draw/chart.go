package draw

import (
	"urdir/figure"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Chart draws a figure's chart in the proportion of its cells: colours with
// hatches, every fifth line heavier, rows counted from the bottom at both
// sides, where the weft comes from in that row, and cells counted below.
func Chart(s surface.Surface, box surface.Box, p plan.Plan, c *plan.Chart, t *lang.Words) {
	const margin = 9
	cols, rows := measure.MM(c.Columns), measure.MM(c.Rows)
	ratio := float64(c.Height) / float64(c.Rows) / (float64(c.Width) / float64(c.Columns)) // a cell's height over its width
	w := min((box.W-2*margin)/cols, (box.H-2*margin/2)/rows/measure.MM(ratio), 7)
	h := w * measure.MM(ratio)
	at := surface.Box{X: box.X + (box.W-w*cols)/2, Y: box.Y + (box.H-margin-h*rows)/2, W: w * cols, H: h * rows}
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
	mark := surface.InkOn(colour)
	size := min(b.W, b.H)
	switch cx, cy := b.X+b.W/2, b.Y+b.H/2; (v - 1) % 4 { // a mark a colour, for grey prints
	case 0:
	case 1:
		s.Path(surface.Circle(cx, cy, size*0.16), surface.Fill(mark))
	case 2:
		s.Path(surface.Polyline(b.X+b.W*0.25, b.Y+b.H*0.75, b.X+b.W*0.75, b.Y+b.H*0.25), surface.Line(mark, size*0.1))
	default:
		s.Path(surface.Polyline(cx, b.Y+b.H*0.25, cx, b.Y+b.H*0.75), surface.Line(mark, size*0.1))
	}
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
