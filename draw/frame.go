package draw

import (
	"math"
	"slices"

	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/frame"
)

// Frame draws a warping frame with the way round it: out as a heavy line with
// arrows, back as a dashed one; pegs in use carry their letter, and beside them
// the number of their turn.
func Frame(s surface.Surface, box surface.Box, w *plan.WarpPlan, t *lang.Words) {
	if w.Frame == nil || w.Path == nil {
		return
	}
	m := fit(box.Inset(frameMargin), w.Frame)
	m.board(s)
	path := w.Path
	legs := func(from, to int, ink surface.Ink, heads bool) {
		line := &surface.Path{}
		for i := from; i < to; i++ {
			m.leg(line, path.Legs[i], i == from)
		}
		s.Path(line, ink)
		for i := from; i < to && heads; i++ {
			m.head(s, path.Legs[i], ink.Stroke)
		}
	}
	thread := surface.Colour{R: 176, G: 58, B: 46}
	legs(0, path.Out, surface.Line(thread, 0.9), true)
	legs(path.Out, len(path.Legs), surface.Ink{Stroke: Ink, StrokeWidth: 0.45, Dash: 1.6}, false)
	for _, p := range w.Frame.Pegs {
		m.peg(s, p, slices.Index(path.Pegs, p.ID), w.Frame, len(path.Pegs), t)
	}
}

// frameMargin is kept around the outermost pegs.
const frameMargin measure.MM = 9

// OnFrame is the place on a frame, across and down, of a point of its drawing
// in the box.
func OnFrame(box surface.Box, f *frame.Frame, x, y measure.MM) (across, down measure.CM) {
	m := fit(box.Inset(frameMargin), f)
	return measure.CM((x - m.x) / m.scale), measure.CM((y - m.y) / m.scale)
}

// mapping places a frame on paper.
type mapping struct {
	x, y   measure.MM // of the frame's origin
	scale  measure.MM // a cm
	extent surface.Box
}

func fit(box surface.Box, f *frame.Frame) mapping {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range f.Pegs {
		r := float64(p.Diameter) / 2
		x0, x1 = math.Min(x0, float64(p.X)-r), math.Max(x1, float64(p.X)+r)
		y0, y1 = math.Min(y0, float64(p.Y)-r), math.Max(y1, float64(p.Y)+r)
	}
	scale := min(box.W/measure.MM(x1-x0), box.H/measure.MM(y1-y0))
	m := mapping{scale: scale}
	m.x = box.X + (box.W-scale*measure.MM(x1-x0))/2 - scale*measure.MM(x0)
	m.y = box.Y + (box.H-scale*measure.MM(y1-y0))/2 - scale*measure.MM(y0)
	m.extent = surface.Box{X: m.x + scale*measure.MM(x0), Y: m.y + scale*measure.MM(y0), W: scale * measure.MM(x1-x0), H: scale * measure.MM(y1-y0)}
	return m
}

func (m mapping) at(x, y measure.CM) (measure.MM, measure.MM) {
	return m.x + m.scale*measure.MM(x), m.y + m.scale*measure.MM(y)
}

func (m mapping) board(s surface.Surface) {
	b := m.extent.Inset(-7)
	s.Rect(b, surface.Colour{R: 244, G: 238, B: 226})
	s.Path(surface.Outline(b), surface.Line(Hair, 0.4))
}

func (m mapping) leg(p *surface.Path, l frame.Leg, first bool) {
	x1, y1 := m.at(l.X1, l.Y1)
	x2, y2 := m.at(l.X2, l.Y2)
	if first {
		p.MoveTo(x1, y1)
	}
	p.LineTo(x2, y2)
	if l.Sweep != 0 {
		cx, cy := m.at(l.CX, l.CY)
		p.Arc(cx, cy, m.scale*measure.MM(l.R), l.From, l.Sweep)
	}
}

// head puts an arrow in the middle of a leg that is long enough.
func (m mapping) head(s surface.Surface, l frame.Leg, c surface.Colour) {
	x1, y1 := m.at(l.X1, l.Y1)
	x2, y2 := m.at(l.X2, l.Y2)
	if math.Hypot(float64(x2-x1), float64(y2-y1)) < 9 {
		return
	}
	arrow(s, x1+(x2-x1)*0.55, y1+(y2-y1)*0.55, math.Atan2(float64(y2-y1), float64(x2-x1)), 1.9, c)
}

// peg draws a peg with its name, and the number of its turn on the way out.
func (m mapping) peg(s surface.Surface, p frame.Peg, turn int, f *frame.Frame, of int, t *lang.Words) {
	x, y := m.at(p.X, p.Y)
	r := max(2.1, m.scale*measure.MM(p.Diameter)/2)
	fill, ink := surface.White, Ink
	if turn < 0 {
		ink = Faint
	}
	if slices.Contains(f.Cross[:], p.ID) {
		fill = surface.Colour{R: 246, G: 226, B: 160}
	}
	disc(s, x, y, r, p.ID, fill, ink)
	if turn < 0 {
		return
	}
	// Above pegs of the upper half, below those of the lower, out of the way of
	// most of the thread.
	ny := y - r - 2.6
	if y > m.extent.Y+m.extent.H/2 {
		ny = y + r + 2.6
	}
	back := surface.Colour{R: 176, G: 58, B: 46}
	if turn == of-1 {
		back = Ink
	}
	disc(s, x, ny, 2, t.Int(turn+1), back, surface.White)
}
