package draw

import (
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Spot is a place on a piece: the panel, its end counted from 0 at the left of
// the face, and how far it is from the panel's lower edge, as seen.
type Spot struct {
	Panel int
	End   int
	CM    measure.CM
}

// SpotIn is what of a piece, drawn by Cloth or Back into the box, lies at a
// point; ok is false beside the cloth.
func SpotIn(box surface.Box, p plan.Plan, x, y measure.MM, back bool) (at Spot, ok bool) {
	places, w, h := arrange(p)
	scale := min(float64(box.W)/float64(w), float64(box.H)/float64(h))
	cmX := measure.CM(float64(x-box.X-(box.W-measure.MM(float64(w)*scale))/2) / scale)
	cmY := measure.CM(float64(y-box.Y-(box.H-measure.MM(float64(h)*scale))/2) / scale)
	for _, pl := range places {
		pan := p.Panels[pl.panel]
		if back {
			pl.x = w - pl.x - pan.Width
		}
		inX, inY := cmX-pl.x, cmY-pl.y
		if inX >= 0 && inX < pan.Width && inY >= 0 && inY < tall(pan) {
			return spotOf(p, pl.panel, inX, tall(pan)-inY, back), true
		}
	}
	return at, false
}

// SpotOn is the same for a detail.
func SpotOn(box surface.Box, p plan.Plan, d Detail, x, y measure.MM) (at Spot, ok bool) {
	pan := p.Panels[d.Panel]
	perEnd := pan.Width / measure.CM(p.Warp(pan.Warp).Ends)
	cmX := perEnd*measure.CM(d.FirstEnd) + measure.CM(float64(x-box.X)/d.PerCM)
	cmY := d.FromCM + measure.CM(float64(box.Y+box.H-y)/d.PerCM)
	if cmX < 0 || cmX >= pan.Width || cmY < 0 || cmY >= tall(pan) {
		return at, false
	}
	return spotOf(p, d.Panel, cmX, cmY, d.Back), true
}

func spotOf(p plan.Plan, panel int, across, up measure.CM, back bool) Spot {
	pan := p.Panels[panel]
	n := p.Warp(pan.Warp).Ends
	end := min(n-1, int(float64(across/pan.Width)*float64(n)))
	if back {
		end = n - 1 - end
	}
	return Spot{panel, end, up}
}
