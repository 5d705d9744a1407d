package draw

import (
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp"
)

// Ruler draws a warp's stripes side by side, with letters and hatches, a scale
// of centimetres on the loom above and the running count of ends below.
func Ruler(s surface.Surface, box surface.Box, p plan.Plan, w *plan.WarpPlan, t *lang.Words) {
	const scale, count = 6, 6 // mm kept for each
	bar := surface.Box{X: box.X, Y: box.Y + scale, W: box.W, H: max(6, box.H-scale-count)}
	perEnd := bar.W / measure.MM(w.Ends)
	centimetres(s, bar, float64(w.LoomWidth), t)
	f := surface.Font{Size: 2.6, Colour: Ink, Align: surface.Right}
	const apart = 0.8 // mm between two counts
	free := bar.X     // where the next count may begin
	sum := bar.X + bar.W - surface.TextWidth(t.Int(w.Ends), f) - apart
	for _, st := range w.Stripes {
		b := surface.Box{X: bar.X + perEnd*measure.MM(st.First-1), Y: bar.Y, W: perEnd * measure.MM(st.Ends), H: bar.H}
		stripe(s, b, p, st)
		end := st.First + st.Ends - 1
		x := bar.X + perEnd*measure.MM(end)
		text := t.Int(end)
		s.Path(surface.Polyline(x, bar.Y+bar.H, x, bar.Y+bar.H+1), surface.Line(Ink, 0.15))
		if x-surface.TextWidth(text, f) >= free && x <= sum || end == w.Ends {
			s.Text(x, bar.Y+bar.H+4, text, f)
			free = x + apart
		}
	}
	s.Path(surface.Outline(bar), surface.Line(Ink, 0.3))
}

// stripe draws one stripe: a plain one in its colour and hatch, an alternation
// as a column of bars, the way it looks when woven.
func stripe(s surface.Surface, b surface.Box, p plan.Plan, st warp.Laid) {
	n := len(st.Yarns)
	if n == 1 {
		y := p.Yarn(st.Yarns[0].Yarn)
		c := surface.ParseColour(y.Colour)
		s.Rect(b, c)
		if b.W > 1.2 {
			surface.Hatch(s, b, y.Hatch, surface.InkOn(c).Mix(c, 0.4))
		}
		letter(s, b, y.Letter, 0)
		return
	}
	const bars = 8
	h := b.H / bars
	for i := range bars {
		y := p.Yarn(st.Yarns[i%n].Yarn)
		s.Rect(surface.Box{X: b.X, Y: b.Y + h*measure.MM(i), W: b.W, H: h}, surface.ParseColour(y.Colour))
	}
	for i, l := range st.Yarns {
		letter(s, b, p.Yarn(l.Yarn).Letter, i+1)
	}
}

// letter writes a yarn's letter on a stripe that is wide enough; slot 0 is the
// middle, others come one below the other.
func letter(s surface.Surface, b surface.Box, text string, slot int) {
	f := surface.Font{Size: min(3.6, b.W*0.9), Bold: true, Colour: surface.Black, Align: surface.Centre}
	if f.Size < 1.6 {
		return
	}
	y := b.Y + b.H/2
	if slot > 0 {
		y = b.Y + b.H*measure.MM(2*slot-1)/5
	}
	w := surface.TextWidth(text, f) + 0.8
	s.Rect(surface.Box{X: b.X + b.W/2 - w/2, Y: y - f.Size*0.55, W: w, H: f.Size * 1.1}, surface.White)
	s.Text(b.X+b.W/2, y+f.Size*0.36, text, f)
}

// centimetres draws a scale above a bar that is so many cm wide.
func centimetres(s surface.Surface, bar surface.Box, wide float64, t *lang.Words) {
	per := float64(bar.W) / wide
	step := 5
	if wide < 12 {
		step = 1
	}
	for cm := 0; float64(cm) <= wide; cm++ {
		x := bar.X + measure.MM(float64(cm)*per)
		h := measure.MM(0.9)
		if cm%step == 0 {
			h = 2
			text := t.Int(cm)
			if cm == 0 {
				text += " cm"
			}
			s.Text(x+0.4, bar.Y-2.2, text, small(Ink, 2.6))
		}
		s.Path(surface.Polyline(x, bar.Y, x, bar.Y-h), surface.Line(Ink, 0.15))
	}
}
