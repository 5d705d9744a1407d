package screen

import (
	"slices"

	"urdir/design"
	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp"
)

// Spotted is what lies under a point of the picture.
type Spotted struct {
	Panel  string     `json:"panel"`
	Warp   string     `json:"warp"`
	End    int        `json:"end"` // counted from 0
	CM     measure.CM `json:"cm"`  // from the lower edge of the panel, as seen
	Nth    int        `json:"nth"` // of the panels
	Stripe design.At  `json:"stripe"`
	Band   design.At  `json:"band"`
}

// Spot says what lies under a point of the picture, as JSON; nothing beside the
// cloth.
func (d *Desk) Spot(x, y, width, height int, v View) string {
	if len(d.made.Panels) == 0 || v.Hung {
		return ""
	}
	w, h := measure.MM(width)/pixelsPerMM, measure.MM(height)/pixelsPerMM
	box := surface.Box{W: w, H: h}
	var at draw.Spot
	var ok bool
	if v.Zoom > 0 {
		at, ok = draw.SpotOn(box, d.made, draw.Detail{Panel: v.Panel, FirstEnd: v.End, FromCM: v.From, PerCM: v.Zoom / pixelsPerMM, Back: v.Back},
			measure.MM(x)/pixelsPerMM, measure.MM(y)/pixelsPerMM)
	} else {
		at, ok = draw.SpotIn(box.Inset(2), d.made, measure.MM(x)/pixelsPerMM, measure.MM(y)/pixelsPerMM, v.Back)
	}
	if !ok {
		return ""
	}
	pan := d.made.Panels[at.Panel]
	out := Spotted{Panel: pan.Key, Warp: pan.Warp, End: at.End, CM: at.CM, Nth: at.Panel}
	out.Stripe, out.Band = d.stripeUnder(pan.Warp, at.End), d.bandUnder(pan, at.CM)
	return written(out)
}

// stripeUnder is the address of the stripe that has an end.
func (d *Desk) stripeUnder(key string, end int) design.At {
	places := design.Written(d.steps.Now(), design.Stripes, key)
	stripes := d.made.Warp(key).Stripes
	i := slices.IndexFunc(stripes, func(s warp.Laid) bool { return end+1 >= s.First && end+1 < s.First+s.Ends })
	if i < 0 || i >= len(places) || len(places) != len(stripes) {
		return design.At{}
	}
	return places[i]
}

// bandUnder is the address of the band so far from the lower edge of a panel.
func (d *Desk) bandUnder(pan plan.PanelPlan, cm measure.CM) design.At {
	places, i := design.Written(d.steps.Now(), design.Bands, pan.Key), 0
	for _, b := range pan.Bands {
		if b.Kind != plan.SeamBand {
			if cm < b.Seen && i < len(places) {
				return places[i]
			}
			i++
		}
		cm -= b.Seen
	}
	return design.At{}
}
