package draw

import (
	"math"

	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Ink and its lighter shades are what everything but cloth is drawn in.
var (
	Ink   = surface.Colour{R: 34, G: 32, B: 30}
	Faint = surface.Colour{R: 150, G: 145, B: 138}
	Hair  = surface.Colour{R: 205, G: 200, B: 192}
)

func small(c surface.Colour, size measure.MM) surface.Font {
	return surface.Font{Size: size, Colour: c}
}

// chip draws a yarn's chip.
func chip(s surface.Surface, b surface.Box, y *plan.YarnNeed) {
	if y != nil {
		surface.Chip(s, b, surface.ParseColour(y.Colour), y.Hatch, y.Letter)
	}
}

// arrow draws a head at a point, in a direction.
func arrow(s surface.Surface, x, y measure.MM, angle float64, size measure.MM, c surface.Colour) {
	p := &surface.Path{}
	for i, a := range []float64{0, 2.6, -2.6} {
		px := x + size*measure.MM(math.Cos(angle+a))
		py := y + size*measure.MM(math.Sin(angle+a))
		if i == 0 {
			p.MoveTo(px, py)
		} else {
			p.LineTo(px, py)
		}
	}
	s.Path(p.Close(), surface.Fill(c))
}

// disc draws a number in a circle.
func disc(s surface.Surface, x, y, r measure.MM, text string, fill, ink surface.Colour) {
	s.Path(surface.Circle(x, y, r), surface.Ink{Fill: fill, Filled: true, Stroke: ink, StrokeWidth: 0.25})
	f := surface.Fit(text, surface.Font{Size: r * 1.25, Bold: true, Colour: ink, Align: surface.Centre}, r*1.7)
	s.Text(x, y+f.Size*0.36, text, f)
}
