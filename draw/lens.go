package draw

import (
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// How many mm of paper a lens gives to a cm of cloth: so many where threads are
// to be seen one by one, fewer where a large figure is to be seen whole.
const (
	lensClose = 22.0
	lensFar   = 6.0
)

// Lens draws the part of a piece that shows most: its largest figure, or else
// the first part that was tied, its left edge at the first open band, or at its
// beginning.
func Lens(s surface.Surface, box surface.Box, p plan.Plan) {
	if d, ok := onFigure(box, p); ok {
		Part(s, box, p, d)
		return
	}
	if d, ok := onTie(box, p); ok {
		Part(s, box, p, d)
		return
	}
	d := Detail{PerCM: lensClose}
	for i, pan := range p.Panels {
		if tall(pan) > tall(p.Panels[d.Panel]) || pan.Width > p.Panels[d.Panel].Width {
			d.Panel = i
		}
	}
	high, at := measure.CM(float64(box.H)/d.PerCM), measure.CM(0)
	for _, b := range p.Panels[d.Panel].Bands {
		if b.Kind == plan.Open {
			d.FromCM = at - high*0.55
			break
		}
		at += b.Seen
	}
	d.FromCM = max(0, min(d.FromCM, tall(p.Panels[d.Panel])-high))
	Part(s, box, p, d)
}

// onFigure looks at the first of the piece's largest figure.
func onFigure(box surface.Box, p plan.Plan) (d Detail, ok bool) {
	most := 0
	for i, pan := range p.Panels {
		at := measure.CM(0)
		for _, b := range pan.Bands {
			if f := b.Figure; f != nil && f.Layout.Ends*f.Picks > most {
				most, ok = f.Layout.Ends*f.Picks, true
				d = on(box, p, i, b, at)
			}
			at += b.Seen
		}
	}
	return d, ok
}

// onTie looks at the first tie of the first bundle, with what is to its right.
func onTie(box surface.Box, p plan.Plan) (d Detail, ok bool) {
	for i := range p.Panels {
		pan := &p.Panels[i]
		if pan.Tied == nil {
			continue
		}
		b := &pan.Tied.Guide.Bundles[0]
		ends := p.Warp(pan.Warp).Ends
		d = Detail{Panel: i, PerCM: lensClose}
		across := int(float64(box.W) / d.PerCM * float64(ends) / float64(pan.Width))
		d.FirstEnd = max(0, min(b.First-1-across/8, ends-across))
		seen := measure.CM(float64(box.H) / d.PerCM)
		mid := pan.SeenAt((b.Ties[0].From.Drawn + b.Ties[0].To.Drawn) / 2)
		d.FromCM = max(0, min(mid-seen/2, tall(*pan)-seen))
		return d, true
	}
	return d, false
}

// on looks at the first figure of a band that begins at a height, and a little
// around it.
func on(box surface.Box, p plan.Plan, panel int, b plan.BandPlan, at measure.CM) Detail {
	const around = 1.12
	pan := p.Panels[panel]
	perEnd := float64(pan.Width) / float64(p.Warp(pan.Warp).Ends)
	perPick := float64(b.Seen) / float64(b.Picks)
	wide, high := float64(b.Figure.Layout.Ends)*perEnd, float64(b.Figure.Picks)*perPick
	d := Detail{Panel: panel}
	d.PerCM = max(lensFar, min(lensClose, float64(box.W)/(wide*around), float64(box.H)/(high*around)))
	middle := (float64(b.Figure.Layout.Firsts[0]-1) + float64(b.Figure.Layout.Ends)/2) * perEnd
	d.FirstEnd = max(0, int((middle-float64(box.W)/d.PerCM/2)/perEnd))
	mid := at + measure.CM((float64(b.Figure.Before)+float64(b.Figure.Picks)/2)*perPick)
	seen := measure.CM(float64(box.H) / d.PerCM)
	d.FromCM = max(0, min(mid-seen/2, tall(pan)-seen))
	return d
}
