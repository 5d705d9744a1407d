package draw

import (
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Length draws a panel's bands from the start of weaving at the bottom to its
// end: a strip of the cloth to scale, and beside each band its box to tick, its
// kind and length on the loom, its picks and weft, and how far the weaver then
// is from the start.
func Length(s surface.Surface, box surface.Box, p plan.Plan, panel int, t *lang.Words) {
	pan := p.Panels[panel]
	total := measure.CM(0)
	for _, b := range pan.Bands {
		total += b.Loom
	}
	strip := surface.Box{X: box.X + 12, Y: box.Y + 2, W: 24, H: box.H - 4}
	f := newFace(p, panel)
	v := view{x: strip.X, y: strip.Y, perEnd: strip.W / measure.MM(f.ends()), perCM: float64(strip.H) / float64(total)}
	f.onLoom(s, strip, v)
	rows := labelRows(pan, strip, total)
	for i, b := range pan.Bands {
		y := rows[i]
		mid := bandMiddle(pan, i, strip, total)
		s.Path(surface.Polyline(strip.X+strip.W, mid, strip.X+strip.W+4, mid, strip.X+strip.W+8, y, strip.X+strip.W+10, y), surface.Line(Faint, 0.2))
		bandLabel(s, strip.X+strip.W+11, y, box.X+box.W, p, b, t)
	}
	bandScale(s, strip, pan, total, t)
}

// onLoom draws the strip with the bands at their length on the loom.
func (f *face) onLoom(s surface.Surface, strip surface.Box, v view) {
	bands := f.panel.Bands
	f.panel.Bands = make([]plan.BandPlan, len(bands))
	for i, b := range bands {
		b.Seen = b.Loom
		f.panel.Bands[i] = b
	}
	f.draw(s, v)
	s.Path(surface.Outline(strip), surface.Line(Ink, 0.25))
}

// bandMiddle is the height of a band's middle on the strip.
func bandMiddle(pan plan.PanelPlan, i int, strip surface.Box, total measure.CM) measure.MM {
	below := measure.CM(0)
	for _, b := range pan.Bands[:i] {
		below += b.Loom
	}
	return strip.Y + strip.H*measure.MM(1-(below+pan.Bands[i].Loom/2)/total)
}

// labelRows spreads the labels so that none covers another: each as near its
// band as the ones above and below let it.
func labelRows(pan plan.PanelPlan, strip surface.Box, total measure.CM) []measure.MM {
	n := len(pan.Bands)
	rows := make([]measure.MM, n)
	gap := min(8.4, strip.H/measure.MM(n))
	for i := range rows { // from the bottom up
		rows[i] = bandMiddle(pan, i, strip, total)
		if i == 0 {
			rows[i] = min(rows[i], strip.Y+strip.H-gap/2)
		} else {
			rows[i] = min(rows[i], rows[i-1]-gap)
		}
	}
	if top := strip.Y + gap/2; n > 0 && rows[n-1] < top {
		rows[n-1] = top
		for i := n - 2; i >= 0; i-- {
			rows[i] = max(rows[i], rows[i+1]+gap)
		}
	}
	return rows
}

func bandLabel(s surface.Surface, x, y, right measure.MM, p plan.Plan, b plan.BandPlan, t *lang.Words) {
	s.Path(surface.Outline(surface.Box{X: x, Y: y - 2, W: 4, H: 4}), surface.Line(Ink, 0.35))
	x += 6
	bold := surface.Font{Size: 4.2, Bold: true, Colour: Ink}
	plainFont := small(Ink, 3.4)
	name := t.T("band-"+string(b.Kind), nil)
	size := t.S(b.Loom)
	s.Text(x, y+1.5, size, bold)
	x += max(22, surface.TextWidth(size, bold)+3)
	if b.Weft != "" {
		chip(s, surface.Box{X: x, Y: y - 2.4, W: 7, H: 4.8}, p.Yarn(b.Weft))
	}
	x += 9
	if b.Picks > 0 {
		name += " · " + t.N("picks", b.Picks, nil)
	}
	if b.Figure != nil {
		name += " · " + b.Figure.Key
		if b.Figure.Turned {
			name += " (" + t.T("turned", nil) + ")"
		}
	}
	to := ""
	if b.Kind != plan.Fringe {
		to = t.T("mark-at", map[string]any{"at": b.To})
	}
	tf := surface.Font{Size: 3.4, Bold: true, Colour: Ink, Align: surface.Right}
	width := right - x - surface.TextWidth(to, tf) - 3
	s.Text(x, y+1.3, name, surface.Fit(name, plainFont, width))
	if to != "" {
		s.Text(right, y+1.3, to, tf)
	}
}

// bandScale writes the distance from the start of weaving beside the strip.
func bandScale(s surface.Surface, strip surface.Box, pan plan.PanelPlan, total measure.CM, t *lang.Words) {
	start := measure.CM(0)
	if pan.Bands[0].Kind == plan.Fringe {
		start = pan.Bands[0].Loom
	}
	step := measure.CM(10)
	for pan.LoomLength/step > 25 {
		step *= 2
	}
	for cm := measure.CM(0); cm <= pan.LoomLength; cm += step {
		y := strip.Y + strip.H*measure.MM(1-(start+cm)/total)
		s.Path(surface.Polyline(strip.X-2, y, strip.X, y), surface.Line(Ink, 0.25))
		s.Text(strip.X-2.6, y+1, t.Int(int(cm)), surface.Font{Size: 2.8, Colour: Ink, Align: surface.Right})
	}
}
