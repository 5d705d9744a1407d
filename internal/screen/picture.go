package screen

import (
	"urdir/draw"
	"urdir/measure"
	"urdir/surface"
)

// View says what of the cloth is looked at. Zoom 0 shows the whole piece; more
// shows a part of a panel, so many pixels a centimetre.
type View struct {
	Zoom  float64    `json:"zoom"`
	Panel int        `json:"panel"`
	End   int        `json:"end"`  // first end from the left
	From  measure.CM `json:"from"` // of the panel, at the lower edge
	Back  bool       `json:"back"`
	Hung  bool       `json:"hung"` // as worn; then there is no zoom
}

// pixelsPerMM is how fine pictures on a screen are drawn.
const pixelsPerMM = 4

// Picture draws the cloth into pixels, red, green, blue and alpha of each, row
// by row from the top. They are the desk's own, and good until the next picture.
func (d *Desk) Picture(width, height int, v View) []byte {
	if width < 1 || height < 1 || width > 8192 || height > 8192 || len(d.made.Panels) == 0 {
		return nil
	}
	w, h := measure.MM(width)/pixelsPerMM, measure.MM(height)/pixelsPerMM
	s := d.paper(w, h, width)
	box := surface.Box{W: w, H: h}
	s.Rect(box, draw.Paper)
	switch {
	case v.Hung:
		hung(s.Image(), d.made, v.Back)
	case v.Zoom > 0:
		v.Panel = min(max(0, v.Panel), len(d.made.Panels)-1)
		draw.Part(s, box, d.made, draw.Detail{Panel: v.Panel, FirstEnd: v.End, FromCM: v.From, PerCM: v.Zoom / pixelsPerMM, Back: v.Back})
	case v.Back:
		draw.Back(s, box.Inset(2), d.made)
	default:
		draw.Cloth(s, box.Inset(2), d.made)
	}
	return s.Image().Pix
}

// paper is what the next picture is drawn on: that of the last one if it has the
// same size, since a picture covers it whole.
func (d *Desk) paper(w, h measure.MM, pixels int) *surface.PNG {
	if d.drawn != nil {
		if x, y := d.drawn.Size(); x == w && y == h {
			return d.drawn
		}
	}
	d.drawn = surface.NewPNG(w, h, pixels)
	return d.drawn
}

// ChipPixels is the chip of a yarn, its colour and hatch, so many pixels wide
// and high; the letter stands beside it.
func ChipPixels(colour string, hatch, size int) []byte {
	if size < 1 || size > 256 || hatch < 0 {
		return nil
	}
	const mm = 7 // as on a sheet
	s := surface.NewPNG(mm, mm, size)
	c, box := surface.ParseColour(colour), surface.Box{W: mm, H: mm}
	s.Rect(box, c)
	surface.Hatch(s, box, hatch, surface.InkOn(c).Mix(c, 0.4))
	return s.Image().Pix
}
