package screen

import (
	"encoding/json"

	"urdir/draw"
	"urdir/measure"
	"urdir/surface"
)

func gram(g float64) measure.Gram { return measure.Gram(g) }

// View says what of the cloth is looked at. Zoom 0 shows the whole piece; more
// shows a part of a panel, so many pixels a centimetre.
type View struct {
	Zoom  float64    `json:"zoom"`
	Panel int        `json:"panel"`
	End   int        `json:"end"`  // first end from the left
	From  measure.CM `json:"from"` // of the panel, at the lower edge
	Back  bool       `json:"back"`
}

// pixelsPerMM is how fine pictures on a screen are drawn.
const pixelsPerMM = 4

// Picture draws the cloth into pixels, red, green, blue and alpha of each, row
// by row from the top.
func (d *Desk) Picture(width, height int, v View) []byte {
	if width < 1 || height < 1 || width > 8192 || height > 8192 || len(d.made.Panels) == 0 {
		return nil
	}
	w, h := measure.MM(width)/pixelsPerMM, measure.MM(height)/pixelsPerMM
	s := surface.NewPNG(w, h, width)
	box := surface.Box{W: w, H: h}
	s.Rect(box, draw.Paper)
	switch {
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

// Spot says what lies under a point of the picture, as JSON: the panel, its
// warp, and the end counted from 0; nothing beside the cloth.
func (d *Desk) Spot(x, y, width, height int, v View) string {
	if len(d.made.Panels) == 0 {
		return ""
	}
	w, h := measure.MM(width)/pixelsPerMM, measure.MM(height)/pixelsPerMM
	box := surface.Box{W: w, H: h}
	at := draw.Spot{}
	ok := false
	if v.Zoom > 0 {
		at, ok = draw.SpotOn(box, d.made, draw.Detail{Panel: v.Panel, FirstEnd: v.End, FromCM: v.From, PerCM: v.Zoom / pixelsPerMM, Back: v.Back},
			measure.MM(x)/pixelsPerMM, measure.MM(y)/pixelsPerMM)
	} else {
		at, ok = draw.SpotIn(box.Inset(2), d.made, measure.MM(x)/pixelsPerMM, measure.MM(y)/pixelsPerMM, v.Back)
	}
	if !ok {
		return ""
	}
	b, err := json.Marshal(map[string]any{"panel": at.Panel, "warp": d.made.Panels[at.Panel].Warp, "end": at.End, "cm": float64(at.CM)})
	if err != nil {
		return ""
	}
	return string(b)
}
