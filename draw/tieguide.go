package draw

import (
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Ties draws a tied panel's warp as it lies stretched, one line a bundle, what
// is tied in black: in centimetres of thread from where weaving begins. Panels
// on the warp are shaded and numbered.
func Ties(s surface.Surface, box surface.Box, pan plan.PanelPlan, t *lang.Words) {
	if pan.Tied == nil {
		return
	}
	const names, scale, heads = 8, 6, 5 // mm kept for each
	g := &pan.Tied.Guide
	bar := surface.Box{X: box.X + names, Y: box.Y + scale + heads, W: box.W - names, H: box.H - scale - heads}
	per := bar.W / measure.MM(g.Length)
	x := func(cm measure.CM) measure.MM { return bar.X + per*measure.MM(cm) }
	for i, r := range g.Repeats {
		b := surface.Box{X: x(r.From.Middle), Y: bar.Y - heads, W: x(r.To.Middle) - x(r.From.Middle), H: bar.H + heads}
		s.Rect(b, Paper.Mix(surface.Black, 0.07))
		s.Text(b.X+1, bar.Y-1.2, t.T("tying-panel", map[string]any{"n": i + 1}), surface.Font{Size: 3, Bold: true, Colour: Ink})
	}
	threadScale(s, bar, heads, float64(g.Length), t)
	row := bar.H / measure.MM(len(g.Bundles))
	every := 1
	for row*measure.MM(every) < 3.2 {
		every++
	}
	for i, b := range g.Bundles {
		y := bar.Y + row*(measure.MM(i)+0.5)
		s.Path(surface.Polyline(bar.X, y, bar.X+bar.W, y), surface.Line(Faint, 0.15))
		if i%every == 0 {
			s.Text(bar.X-1.5, y+1, t.Int(i+1), surface.Font{Size: 2.8, Colour: Ink, Align: surface.Right})
		}
		h := row * 0.7
		for _, m := range b.Ties {
			s.Rect(surface.Box{X: x(m.From.At.Middle), Y: y - h/2, W: per * measure.MM(m.Length), H: h}, Ink)
		}
	}
	s.Path(surface.Outline(bar), surface.Line(Ink, 0.3))
}

// threadScale draws centimetres above a bar that is so many long.
func threadScale(s surface.Surface, bar surface.Box, above measure.MM, long float64, t *lang.Words) {
	step := 10
	for long/float64(step) > 16 {
		step *= 2
	}
	y := bar.Y - above
	s.Path(surface.Polyline(bar.X, y, bar.X+bar.W, y), surface.Line(Ink, 0.25))
	for cm := 0; float64(cm) <= long; cm += step {
		at := bar.X + bar.W*measure.MM(float64(cm)/long)
		text := t.Int(cm)
		if cm == 0 {
			text += " cm"
		}
		s.Path(surface.Polyline(at, y-1.4, at, y), surface.Line(Ink, 0.25))
		if f := small(Ink, 2.8); at+surface.TextWidth(text, f) < bar.X+bar.W+1 {
			s.Text(at, y-2, text, f)
		}
	}
}
