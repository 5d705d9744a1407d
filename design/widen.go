package design

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// Fit settles the stripes of a warp in whole ends, as plan.Make does, without
// planning the rest: it is quick enough for every move of a dragged edge. The
// room is the width of the warp's panels with their seams.
func Fit(c plan.Cloth, key string) (warp.Fitted, warp.Room, check.Problems) {
	var ps check.Problems
	i := warpOf(c, key)
	if i < 0 {
		ps.Wrong("warps."+key, "design-not-there", nil)
		return warp.Fitted{}, warp.Room{}, ps
	}
	w := c.Warps[i]
	room := warp.Room{Shrink: c.Shrink.Width, Sett: w.Sett, Scale: w.Scale}
	if p := slices.IndexFunc(c.Panels, func(p plan.Panel) bool { return p.Warp == key }); p >= 0 && c.Panels[p].Width > 0 {
		room.Width = c.Panels[p].Width + c.Panels[p].Seam.Left + c.Panels[p].Seam.Right
	}
	// Bounds as in package plan; a fit outside them has no meaning.
	if !(w.Sett > 0) || !(room.Shrink >= 0 && room.Shrink < 1) || !within(float64(room.Width), float64(3*mostWidth)) {
		ps.Wrong("warps."+key, "design-unfitted", nil)
		return warp.Fitted{}, room, ps
	}
	flat, ps := w.Order.Expand()
	if ps.Failed() {
		return warp.Fitted{}, room, ps
	}
	fit, ps := warp.Fit(flat, room)
	return fit, room, ps
}

// fittedAt is a stripe as it is first laid, and all stripes of its warp; ok is
// false if they do not fit.
func fittedAt(c plan.Cloth, at At) (here warp.Laid, all []warp.Laid, ok bool) {
	if at.In == Bands {
		return here, nil, false
	}
	fit, _, ps := Fit(c, at.Key)
	i := indexOf(Written(c, at.In, at.Key), at)
	if ps.Failed() || i < 0 {
		return here, nil, false
	}
	return fit.Stripes[i], fit.Stripes, true
}

// WidenAt drags the edge of a stripe. The edge is the one nearest to that many
// ends from the left selvedge, and it goes delta ends to the right: the stripe
// at its left becomes so much wider (that at its right, for the left selvedge
// itself, narrower), and with it every copy of the stripe. A stripe in ends
// stays in ends, a share becomes ends, and a width in cm stays in cm, to a
// tenth of a millimetre. A stripe keeps one end at least, shares two ends each,
// and the warp has warp.MaxEnds at most. WidenAt tells which stripe it was.
//
// Codes: design-unfitted and what is wrong with the stripes; design-no-share is
// a caution.
func WidenAt(c plan.Cloth, key string, ends, delta int) (plan.Cloth, At, check.Problems) {
	fit, room, ps := Fit(c, key)
	if ps.Failed() {
		return c, At{}, ps
	}
	ps = nil // what is said of the fit now is no longer so after it
	ends = max(0, min(ends, fit.Ends))
	edge, i := fit.Ends+1, 0
	for k, s := range fit.Stripes {
		if off := abs(s.First - 1 + s.Ends - ends); off < edge {
			edge, i = off, k
		}
	}
	if ends < edge {
		i, delta = 0, -delta
	}
	places := Written(c, Stripes, key)
	d := drag{at: places[i], room: room}
	d.read(fit, places)
	size := d.to(fit.Stripes[i], SizeOf(*stripeAt(c, d.at)), max(-warp.MaxEnds, min(delta, warp.MaxEnds)))
	out, more := SetSize(c, d.at, size)
	ps = append(ps, more...)
	if sharing := fit.Stripes[i].Share > 0 && d.sharing == 0; sharing && !ps.Failed() {
		ps.Look(d.at.list(), "design-no-share", nil)
	}
	return out, d.at, ps
}

func abs(n int) int { return max(n, -n) }

func stripeAt(c plan.Cloth, at At) *warp.Stripe {
	root, _ := load(c, at)
	list, _, i := find(&root, at.Path)
	return (*list)[i].stripe
}

// drag is what a stripe may become beside the others.
type drag struct {
	at      At
	room    warp.Room
	copies  int     // of the stripe in the warp
	others  float64 // ends of all other stripes that do not share
	sharing int     // other stripes that share
	wanted  float64
}

func (d *drag) read(fit warp.Fitted, places []At) {
	d.wanted = fit.Wanted
	for k, s := range fit.Stripes {
		switch {
		case places[k].same(d.at):
			d.copies++
		case s.Share > 0:
			d.sharing++
		default:
			d.others += float64(s.Ideal)
		}
	}
}

// to is the size of a stripe that becomes so many ends wider.
func (d *drag) to(s warp.Laid, size Size, delta int) Size {
	most := (warp.MaxEnds - d.others) / float64(d.copies)
	if d.sharing > 0 {
		most = (d.wanted - d.others - 2*float64(d.sharing)) / float64(d.copies)
	}
	if size.Width > 0 {
		ends := max(1, min(float64(s.Ideal)+float64(delta), most))
		w := math.Round(float64(d.room.WidthOf(ends))*100) / 100
		return Size{Width: measure.CM(max(0.01, w))}
	}
	return Size{Ends: max(1, min(s.Ends+delta, int(most)))}
}

// FitTo makes the panels of a warp so wide, and lets the stripe at the address
// take up what the other stripes leave. Beside other shares it gets a share as
// wide as it is now.
//
// Codes: design-not-a-stripe, size-out-of-range.
func FitTo(c plan.Cloth, at At, width measure.CM) (plan.Cloth, check.Problems) {
	share := shareAt(c, at)
	out, ps := SetSize(c, at, Size{Share: share})
	if ps.Failed() {
		return c, ps
	}
	if !(width > 0 && width <= mostWidth) {
		ps.Wrong("warps."+at.Key, "size-out-of-range", check.Args{"value": width, "low": measure.CM(0), "high": mostWidth})
		return c, ps
	}
	out.Panels = slices.Clone(out.Panels)
	for i := range out.Panels {
		if p := &out.Panels[i]; p.Warp == at.Key {
			p.Width = width
		}
	}
	return out, ps
}

// shareAt is the share a stripe gets: its own if it has one, one among stripes
// that do not share, else so much that it is beside them as wide as it is.
func shareAt(c plan.Cloth, at At) float64 {
	here, all, ok := fittedAt(c, at)
	if !ok {
		return 1
	}
	if here.Share > 0 {
		return float64(here.Share)
	}
	for _, s := range all {
		if s.Share > 0 {
			share := float64(s.Share) * float64(here.Ends) / float64(s.Ideal)
			return max(0.01, math.Round(share*100)/100)
		}
	}
	return 1
}
