package draw

import (
	"slices"

	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Paper is the colour behind cloth.
var Paper = surface.Colour{R: 250, G: 247, B: 240}

// Cloth draws a whole finished piece, its panels as they are sewn, the start of
// weaving at the bottom.
func Cloth(s surface.Surface, box surface.Box, p plan.Plan) { whole(s, box, p, false) }

// Back draws the same piece turned over, left for right.
func Back(s surface.Surface, box surface.Box, p plan.Plan) { whole(s, box, p, true) }

func whole(s surface.Surface, box surface.Box, p plan.Plan, back bool) {
	places, w, h := arrange(p)
	scale := min(float64(box.W)/float64(w), float64(box.H)/float64(h)) // mm of paper a cm
	x0 := box.X + (box.W-measure.MM(float64(w)*scale))/2
	y0 := box.Y + (box.H-measure.MM(float64(h)*scale))/2
	for _, at := range places {
		f := newFace(p, at.panel)
		if back {
			f.turnOver()
			at.x = w - at.x - f.panel.Width
		}
		f.draw(s, view{
			x: x0 + measure.MM(float64(at.x)*scale), y: y0 + measure.MM(float64(at.y)*scale),
			perEnd: measure.MM(float64(f.panel.Width) * scale / float64(f.ends())), perCM: scale,
		})
	}
}

// Aspect is the width of a piece over its height, as Cloth draws it.
func Aspect(p plan.Plan) float64 {
	_, w, h := arrange(p)
	return float64(w) / float64(h)
}

// placed is a panel in the outline of a piece; its top left corner in cm.
type placed struct {
	panel int
	x, y  measure.CM
}

// arrange lays the panels of a piece out.
func arrange(p plan.Plan) (out []placed, w, h measure.CM) {
	const apart = 6
	for _, pan := range p.Panels {
		h = max(h, tall(pan))
	}
	if p.Piece.Join == plan.JoinEnd {
		w, h = 0, 0
		for i, pan := range p.Panels {
			for range pan.Count {
				out = append(out, placed{i, 0, h})
				w, h = max(w, pan.Width), h+tall(pan)
			}
		}
		for i := range out {
			out[i].x = (w - p.Panels[out[i].panel].Width) / 2
		}
		return out, w, h
	}
	for i, pan := range p.Panels {
		for n := range pan.Count {
			if p.Piece.Join == plan.JoinApart && (i > 0 || n > 0) {
				w += apart
			}
			out = append(out, placed{i, w, (h - tall(pan)) / 2})
			w += pan.Width
		}
	}
	return out, w, h
}

// tall is the length of a panel with its fringes.
func tall(pan plan.PanelPlan) measure.CM {
	l := measure.CM(0)
	for _, b := range pan.Bands {
		l += b.Seen
	}
	return l
}

// Detail draws a part of a panel, ends wide from its left, at so many mm of
// paper a cm: true threads, as under a lens.
type Detail struct {
	Panel    int
	FirstEnd int        // counted from 0
	FromCM   measure.CM // from the start of weaving, fringe included, as seen
	PerCM    float64    // mm of paper for a cm of cloth
	Back     bool       // of the piece turned over; FirstEnd counts from what is left then
}

// Part fills the box with a detail of a panel.
func Part(s surface.Surface, box surface.Box, p plan.Plan, d Detail) {
	f := newFace(p, d.Panel)
	if d.Back {
		f.turnOver()
	}
	perEnd := measure.MM(float64(f.panel.Width) * d.PerCM / float64(f.ends()))
	s.Clip(box)
	defer s.Restore()
	s.Rect(box, Paper)
	f.draw(s, view{
		x:      box.X - perEnd*measure.MM(d.FirstEnd),
		y:      box.Y + box.H + measure.MM(float64(d.FromCM-tall(f.panel))*d.PerCM),
		perEnd: perEnd, perCM: d.PerCM, clip: &box,
	})
}

// view says where the top left corner of a panel lies and how large it is.
type view struct {
	x, y   measure.MM
	perEnd measure.MM
	perCM  float64
	under  measure.MM   // how far a band reaches under the one drawn next
	clip   *surface.Box // what may be seen; nil for all
}

// hidden says whether a stretch from top to bottom is out of sight.
func (v view) hidden(top, bottom measure.MM) bool {
	return v.clip != nil && (bottom < v.clip.Y || top > v.clip.Y+v.clip.H)
}

// face is the seen side of a panel.
type face struct {
	plan   plan.Plan
	panel  plan.PanelPlan
	warp   *plan.WarpPlan
	colour []surface.Colour // of each end, left to right
	cover  float64          // share of the face an end covers on its pick, 0 to 1
	back   bool             // turned over
	ties   *ties            // of its ends; nil: nothing is tied
}

func newFace(p plan.Plan, panel int) *face {
	f := &face{plan: p, panel: p.Panels[panel]}
	f.warp = p.Warp(f.panel.Warp)
	f.colour = EndColours(p, f.warp)
	// An end covers the face for two ends' width when the cloth is warp-faced;
	// thinner ones leave weft in sight.
	f.cover = min(1, float64(f.warp.Cover)/1.3)
	f.ties = newTies(f.panel.Tied, f.ends())
	return f
}

// turnOver shows the other side of a panel: its ends lie right to left, and on
// every pick those are seen that lie below on the face.
func (f *face) turnOver() {
	f.back = true
	f.colour = slices.Clone(f.colour)
	slices.Reverse(f.colour)
	f.ties.turnOver()
}

// EndColours is the colour of each end of a warp, left to right.
func EndColours(p plan.Plan, w *plan.WarpPlan) []surface.Colour {
	of := map[string]surface.Colour{}
	for _, y := range p.Yarns {
		of[y.Key] = surface.ParseColour(y.Colour)
	}
	ends, names := w.EndYarns()
	out := make([]surface.Colour, len(ends))
	for i, e := range ends {
		out[i] = of[names[e]]
	}
	return out
}

func (f *face) ends() int { return len(f.colour) }

// draw draws the bands from the top, which is the end of weaving, downwards.
func (f *face) draw(s surface.Surface, v view) {
	y := v.y
	before := 0 // picks below the band: sheds turn from band to band
	if f.back {
		before = f.ends() // the other shed, counted from the other side
	}
	for _, b := range f.panel.Bands {
		before += b.Picks
	}
	for i := len(f.panel.Bands) - 1; i >= 0; i-- {
		b := &f.panel.Bands[i]
		before -= b.Picks
		h := measure.MM(float64(b.Seen) * v.perCM)
		box := surface.Box{X: v.x, Y: y, W: v.perEnd * measure.MM(f.ends()), H: h}
		y += h
		if h <= 0 || v.hidden(box.Y, box.Y+box.H) {
			continue
		}
		v.under = 0
		if i > 0 {
			v.under = s.Lap()
		}
		switch b.Kind {
		case plan.Fringe:
			dyed := f.colour
			f.colour = f.fringeColours(b)
			f.fringe(s, box, v, i > 0)
			f.colour = dyed
		case plan.Open:
			f.open(s, box, v)
			f.tiedOpen(s, box, v, b, openShare)
		default:
			f.woven(s, box, v, b, before)
		}
	}
}

// Tall is the length of a piece as Cloth draws it, fringes included.
func Tall(p plan.Plan) measure.CM {
	_, _, h := arrange(p)
	return h
}
