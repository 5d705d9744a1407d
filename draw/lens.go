package draw

import (
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Lens draws the part of a piece that shows most: where its first figure
// begins, or else its left edge at the first open band, or at its beginning;
// ten threads or so to a centimetre of paper.
func Lens(s surface.Surface, box surface.Box, p plan.Plan) {
	d := Detail{PerCM: 22}
	for i, pan := range p.Panels {
		if tall(pan) > tall(p.Panels[d.Panel]) || pan.Width > p.Panels[d.Panel].Width {
			d.Panel = i
		}
	}
	pan := p.Panels[d.Panel]
	w := p.Warp(pan.Warp)
	seenHigh := measure.CM(float64(box.H) / d.PerCM)
	at := measure.CM(0)
	found := false
	for _, b := range pan.Bands {
		if b.Figure != nil && len(b.Figure.Layout.Firsts) > 0 {
			d.FromCM = at + b.Seen/2 - seenHigh/2
			perEnd := float64(pan.Width) / float64(w.Ends)
			middle := float64(b.Figure.Layout.Firsts[0]-1) + float64(b.Figure.Layout.Ends)/2
			d.FirstEnd = max(0, int(middle-float64(box.W)/d.PerCM/perEnd/2))
			found = true
			break
		}
		at += b.Seen
	}
	if !found {
		at = 0
		for _, b := range pan.Bands {
			if b.Kind == plan.Open {
				d.FromCM = at - seenHigh*0.55
				break
			}
			at += b.Seen
		}
	}
	d.FromCM = max(0, min(d.FromCM, tall(pan)-seenHigh))
	DrawDetail(s, box, p, d)
}
