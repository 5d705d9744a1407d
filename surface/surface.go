package surface

import (
	"math"
	"slices"

	"urdir/measure"
)

// Surface is something to draw on. *PDF, *SVG and *PNG are surfaces.
type Surface interface {
	// Size is the size of the page.
	Size() (w, h measure.MM)
	// Rect fills an upright rectangle with an opaque colour. One without width
	// or height is not drawn.
	Rect(b Box, c Colour)
	// Path fills, strokes, or fills and strokes a path. What a path goes round
	// at least once is inside it; a hole runs the other way round.
	Path(p *Path, ink Ink)
	// Text writes one line; y is its base line.
	Text(x, y measure.MM, s string, f Font)
	// Clip limits drawing to a box until its Restore. Clips nest.
	Clip(b Box)
	// Restore ends the last Clip.
	Restore()
	// Lap is how far areas must reach under the neighbour drawn after them so
	// that no seam shows between the two.
	Lap() measure.MM
	// Fine is the smallest size, in millimetres, that is still seen: a pixel,
	// or on paper a tenth of a millimetre.
	Fine() measure.MM
}

// Bar is a rectangle's place across, and its colour.
type Bar struct {
	X, W   measure.MM
	Colour Colour
}

// Bars fills every bar at every top, as high as h: a Rect for each, one bar
// after the other, which a surface may have a faster way for.
func Bars(s Surface, bars []Bar, tops []measure.MM, h measure.MM) {
	if fast, ok := s.(interface {
		Bars(bars []Bar, tops []measure.MM, h measure.MM)
	}); ok {
		fast.Bars(bars, tops, h)
		return
	}
	for _, b := range bars {
		for _, y := range tops {
			s.Rect(Box{X: b.X, Y: y, W: b.W, H: h}, b.Colour)
		}
	}
}

// Box is an upright rectangle.
type Box struct{ X, Y, W, H measure.MM }

// Inset is the box made smaller on every side.
func (b Box) Inset(d measure.MM) Box { return Box{b.X + d, b.Y + d, b.W - 2*d, b.H - 2*d} }

// within is the part of a box that a page can have, empty if there is none.
func (b Box) within() Box {
	const far = 1e4
	x0, y0, x1, y1 := max(b.X, -far), max(b.Y, -far), min(b.X+b.W, far), min(b.Y+b.H, far)
	if !(x0 < x1 && y0 < y1) { // and not a number is nowhere
		return Box{}
	}
	return Box{x0, y0, x1 - x0, y1 - y0}
}

// Colour is an opaque sRGB colour.
type Colour struct{ R, G, B uint8 }

// RGBA makes a Colour a colour.Colour of the standard library.
func (c Colour) RGBA() (r, g, b, a uint32) {
	return uint32(c.R) * 0x101, uint32(c.G) * 0x101, uint32(c.B) * 0x101, 0xffff
}

// Black and White are ink and paper.
var (
	Black = Colour{0, 0, 0}
	White = Colour{255, 255, 255}
)

// ParseColour reads "#rrggbb"; anything else is black.
func ParseColour(s string) Colour {
	if len(s) != 7 || s[0] != '#' {
		return Black
	}
	digit := func(c byte) uint8 {
		switch {
		case c >= '0' && c <= '9':
			return c - '0'
		case c >= 'a' && c <= 'f':
			return c - 'a' + 10
		case c >= 'A' && c <= 'F':
			return c - 'A' + 10
		}
		return 0
	}
	pair := func(i int) uint8 { return digit(s[i])<<4 | digit(s[i+1]) }
	return Colour{pair(1), pair(3), pair(5)}
}

// Mix is a colour on the way from c to d: 0 is c, 1 is d.
func (c Colour) Mix(d Colour, t float64) Colour {
	m := func(a, b uint8) uint8 { return uint8(float64(a) + (float64(b)-float64(a))*t + 0.5) }
	return Colour{m(c.R, d.R), m(c.G, d.G), m(c.B, d.B)}
}

// Luminance is the relative luminance of WCAG 2.2, 0 to 1.
func (c Colour) Luminance() float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

// Contrast is the contrast ratio of WCAG 2.2, 1 to 21.
func Contrast(a, b Colour) float64 {
	x, y := a.Luminance(), b.Luminance()
	if x < y {
		x, y = y, x
	}
	return (x + 0.05) / (y + 0.05)
}

// InkOn is black or white, whichever reads better on a colour.
func InkOn(c Colour) Colour {
	if Contrast(c, White) > Contrast(c, Black) {
		return White
	}
	return Black
}

// Align says where a text stands from its point.
type Align int

const (
	Left Align = iota
	Centre
	Right
)

// Font is how a text is written. Size is the height of the em: a capital of
// this typeface is 0.73 of it, a small x 0.51.
type Font struct {
	Size   measure.MM
	Bold   bool
	Colour Colour
	Align  Align
	Up     bool // written upwards, turned a quarter to the left
}

// Ink is how a path is drawn: filled, stroked, or both. Strokes and dashes have
// round ends and joins.
type Ink struct {
	Fill        Colour
	Filled      bool
	Stroke      Colour
	StrokeWidth measure.MM // 0: no stroke
	Dash        measure.MM // 0: unbroken; else dash and gap are this long
}

// seen says whether there is anything to draw, and within a kilometre.
func (k Ink) seen(p *Path) bool {
	return len(p.segs) > 0 && (k.Filled || k.StrokeWidth > 0) && p.near()
}

// Fill and Line are the two usual inks.
func Fill(c Colour) Ink { return Ink{Fill: c, Filled: true} }

// Line is described with Fill.
func Line(c Colour, width measure.MM) Ink { return Ink{Stroke: c, StrokeWidth: width} }

// Path is a shape of straight lines and cubic curves. It begins with MoveTo; a
// LineTo or Arc in its place begins it too.
type Path struct{ segs []seg }

type seg struct {
	op byte // 'M', 'L', 'C', 'Z'
	p  [6]float64
}

// args is how many numbers of p are in use.
func (s seg) args() int {
	switch s.op {
	case 'Z':
		return 0
	case 'C':
		return 6
	}
	return 2
}

// MoveTo begins a part of the path.
func (p *Path) MoveTo(x, y measure.MM) *Path { return p.add('M', x, y) }

// LineTo draws a straight line.
func (p *Path) LineTo(x, y measure.MM) *Path { return p.add('L', x, y) }

// CurveTo draws a cubic curve.
func (p *Path) CurveTo(x1, y1, x2, y2, x, y measure.MM) *Path {
	return p.add('C', x1, y1, x2, y2, x, y)
}

// Close goes back to where the part began.
func (p *Path) Close() *Path { return p.add('Z') }

func (p *Path) add(op byte, v ...measure.MM) *Path {
	if len(p.segs) == 0 && op != 'M' {
		if op == 'Z' {
			return p
		}
		p.MoveTo(v[0], v[1])
	}
	if p.segs == nil {
		p.segs = make([]seg, 0, 4)
	}
	s := seg{op: op}
	for i := range v {
		s.p[i] = float64(v[i])
	}
	p.segs = append(p.segs, s)
	return p
}

// Arc continues the path along a circle from an angle by a sweep, in radians,
// with Y down. It draws a line to the arc's beginning if the path has begun.
func (p *Path) Arc(cx, cy, r measure.MM, from, sweep float64) *Path {
	n := int(math.Ceil(math.Abs(sweep) / (math.Pi / 4)))
	at := func(a float64) (x, y measure.MM) {
		return cx + r*measure.MM(math.Cos(a)), cy + r*measure.MM(math.Sin(a))
	}
	x, y := at(from)
	if len(p.segs) == 0 {
		p.MoveTo(x, y)
	} else {
		p.LineTo(x, y)
	}
	if n == 0 {
		return p
	}
	step := sweep / float64(n)
	k := r * measure.MM(4.0/3*math.Tan(step/4))
	for range n {
		to := from + step
		x1, y1 := at(from)
		x2, y2 := at(to)
		p.CurveTo(x1-k*measure.MM(math.Sin(from)), y1+k*measure.MM(math.Cos(from)),
			x2+k*measure.MM(math.Sin(to)), y2-k*measure.MM(math.Cos(to)), x2, y2)
		from = to
	}
	return p
}

// unit is the circle that Circle makes larger and puts in its place: cloths have
// hundreds of knots, and its sines are the same for all.
var unit = new(Path).Arc(0, 0, 1, 0, 2*math.Pi).Close()

// Circle is a closed circle.
func Circle(cx, cy, r measure.MM) *Path {
	p := &Path{segs: slices.Clone(unit.segs)}
	for i := range p.segs {
		s := &p.segs[i]
		for k := 0; k < s.args(); k += 2 {
			s.p[k] = float64(cx) + float64(r)*s.p[k]
			s.p[k+1] = float64(cy) + float64(r)*s.p[k+1]
		}
	}
	return p
}

// Polyline goes through points given as x, y, x, y ...
func Polyline(v ...measure.MM) *Path {
	p := &Path{}
	for i := 0; i+1 < len(v); i += 2 {
		if i == 0 {
			p.MoveTo(v[0], v[1])
		} else {
			p.LineTo(v[i], v[i+1])
		}
	}
	return p
}

// Outline is a box as a path.
func Outline(b Box) *Path {
	return Polyline(b.X, b.Y, b.X+b.W, b.Y, b.X+b.W, b.Y+b.H, b.X, b.Y+b.H).Close()
}
