package draw

import (
	"math"

	"urdir/measure"
	"urdir/surface"
)

// Bath is what a picture of a step at the bath shows.
type Bath struct {
	Flame  bool
	Warm   string // temperature, written on the pot; "" is cold
	Skeins bool   // in the bath
	Drops  bool   // running water: rinsing
}

// water is the colour of a bath in a picture; it is told from paper by its waves
// too.
var water = surface.Colour{R: 201, G: 219, B: 228}

// unitBox is where pictures of the dye house are thought out: 24 wide, 22 high.
type unitBox struct {
	s    surface.Surface
	x, y measure.MM
	k    measure.MM // size of a unit
}

func inUnits(s surface.Surface, b surface.Box) unitBox {
	k := min(b.W/24, b.H/22)
	return unitBox{s, b.X + (b.W-24*k)/2, b.Y + (b.H-22*k)/2, k}
}

func (u unitBox) line(wide measure.MM, v ...measure.MM) {
	at := make([]measure.MM, len(v))
	for i := range v {
		at[i] = u.k * v[i]
		if i%2 == 0 {
			at[i] += u.x
		} else {
			at[i] += u.y
		}
	}
	u.s.Path(surface.Polyline(at...), surface.Line(Ink, wide*u.k))
}

func (u unitBox) box(x, y, w, h measure.MM) surface.Box {
	return surface.Box{X: u.x + x*u.k, Y: u.y + y*u.k, W: w * u.k, H: h * u.k}
}

// Pot draws a pot or, without a flame, a tub, with its bath.
func Pot(s surface.Surface, at surface.Box, b Bath) {
	u := inUnits(s, at)
	s.Rect(u.box(4, 7, 16, 9), water)
	u.line(0.5, 4, 4.5, 4, 16, 20, 16, 20, 4.5)
	u.wave(7)
	if b.Flame {
		u.line(0.4, 2.5, 6, 4, 6)
		u.line(0.4, 20, 6, 21.5, 6)
		for _, x := range []measure.MM{7, 12, 17} {
			u.flame(x)
		}
		u.steam()
	}
	if b.Drops {
		for _, x := range []measure.MM{9, 12, 15} {
			u.line(0.5, x, 0.8, x, 2)
			u.line(0.5, x, 3.2, x, 4.4)
		}
	}
	skeins := []measure.MM{8, 12, 16}
	if b.Warm != "" { // the number has the right side for itself
		skeins = skeins[:0]
		if b.Skeins {
			skeins = append(skeins, 6.4)
		}
		f := surface.Fit(b.Warm, surface.Font{Size: 4.6 * u.k, Bold: true, Colour: Ink, Align: surface.Centre}, 10.6*u.k)
		s.Text(u.x+14*u.k, u.y+13.4*u.k, b.Warm, f)
	}
	for _, x := range skeins {
		if b.Skeins {
			u.skein(x, 8.6, 6.4)
		}
	}
}

// wave is the face of the water.
func (u unitBox) wave(y measure.MM) {
	p := (&surface.Path{}).MoveTo(u.x+4*u.k, u.y+y*u.k)
	for i := range 4 {
		x := measure.MM(4 + 4*i)
		p.CurveTo(u.x+(x+1.3)*u.k, u.y+(y-0.9)*u.k, u.x+(x+2.7)*u.k, u.y+(y+0.9)*u.k, u.x+(x+4)*u.k, u.y+y*u.k)
	}
	u.s.Path(p, surface.Line(Ink, 0.3*u.k))
}

func (u unitBox) flame(x measure.MM) {
	at := func(dx, dy measure.MM) (measure.MM, measure.MM) { return u.x + (x+dx)*u.k, u.y + (21.4+dy)*u.k }
	mx, my := at(0, 0)
	tx, ty := at(0, -4.4)
	lx, ly := at(-2.2, -1.4)
	rx, ry := at(2.2, -1.4)
	p := (&surface.Path{}).MoveTo(mx, my).CurveTo(lx, ly, mx-0.3*u.k, my-2.4*u.k, tx, ty).CurveTo(mx+0.6*u.k, my-2.4*u.k, rx, ry, mx, my).Close()
	u.s.Path(p, surface.Line(Ink, 0.4*u.k))
}

func (u unitBox) steam() {
	for _, x := range []measure.MM{9, 15} {
		p := (&surface.Path{}).MoveTo(u.x+x*u.k, u.y+4.6*u.k)
		p.CurveTo(u.x+(x-1.2)*u.k, u.y+3.4*u.k, u.x+(x+1.2)*u.k, u.y+2.2*u.k, u.x+x*u.k, u.y+0.8*u.k)
		u.s.Path(p, surface.Line(Ink, 0.3*u.k))
	}
}

// skein is a skein hanging from a point.
func (u unitBox) skein(x, y, long measure.MM) {
	for _, wide := range []measure.MM{1.5, 0.8} {
		cx, top, end := u.x+x*u.k, u.y+(y+wide)*u.k, u.y+(y+long-wide)*u.k
		r := wide * u.k
		p := (&surface.Path{}).MoveTo(cx-r, end).LineTo(cx-r, top).Arc(cx, top, r, math.Pi, math.Pi).LineTo(cx+r, end).Arc(cx, end, r, 0, math.Pi).Close()
		ink := surface.Line(Ink, 0.3*u.k)
		if wide > 1 {
			ink.Fill, ink.Filled = surface.White, true
		}
		u.s.Path(p, ink)
	}
}

// Line draws skeins on a line in the shade.
func Line(s surface.Surface, at surface.Box) {
	u := inUnits(s, at)
	u.line(0.4, 1, 6, 12, 1.5, 23, 6) // a roof
	u.line(0.4, 3, 5.2, 3, 21)
	u.line(0.4, 21, 5.2, 21, 21)
	u.line(0.3, 3, 9, 21, 9)
	for _, x := range []measure.MM{7, 12, 17} {
		u.skein(x, 9, 9)
	}
}

// Airing draws a skein held in the air over the vat.
func Airing(s surface.Surface, at surface.Box) {
	u := inUnits(s, at)
	s.Rect(u.box(5, 17, 14, 4), water)
	u.line(0.5, 5, 15, 5, 21, 19, 21, 19, 15)
	u.line(0.6, 3, 2, 21, 2)
	u.skein(9.5, 2, 9.5)
	u.skein(14.5, 2, 9.5)
	for _, y := range []measure.MM{5, 8} { // air
		for _, x := range []measure.MM{1, 18.4} {
			p := (&surface.Path{}).MoveTo(u.x+x*u.k, u.y+y*u.k)
			p.CurveTo(u.x+(x+1.5)*u.k, u.y+(y-1.4)*u.k, u.x+(x+3)*u.k, u.y+(y+1.4)*u.k, u.x+(x+4.4)*u.k, u.y+y*u.k)
			u.s.Path(p, surface.Line(Ink, 0.3*u.k))
		}
	}
}
