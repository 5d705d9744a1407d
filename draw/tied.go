package draw

import (
	"math"
	"slices"

	"urdir/chance"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/tie"
)

// ties is where the ends of a panel are tied, as it will look.
type ties struct {
	undyed surface.Colour
	ends   [][]stretch // of each end, from the left of the face, along it
	runs   []tiedRun
}

// stretch is a part of an end, along the opened-out panel.
type stretch struct{ from, to measure.CM }

// tiedRun is neighbouring ends that are tied alike; from 0.
type tiedRun struct{ first, last int }

// newTies moves every tie of every end as ends slide past each other: by the
// standard deviations of the guide. It is nil where nothing is tied.
func newTies(t *plan.TiedPlan, ends int) *ties {
	if t == nil {
		return nil
	}
	out := &ties{undyed: surface.ParseColour(t.Undyed), ends: make([][]stretch, ends)}
	var before *tie.Bundle
	for i := range t.Guide.Bundles {
		b := &t.Guide.Bundles[i]
		marks := panelTies(b)
		for e := b.First - 1; e < b.Last; e++ {
			out.ends[e] = slid(marks, e)
		}
		if before != nil && before.Last+1 == b.First && &before.Ties[0] == &b.Ties[0] {
			out.runs[len(out.runs)-1].last = b.Last - 1
		} else {
			out.runs = append(out.runs, tiedRun{b.First - 1, b.Last - 1})
		}
		before = b
	}
	return out
}

// panelTies is a bundle's ties on one panel; every other is tied alike.
func panelTies(b *tie.Bundle) []tie.Tie {
	n := slices.IndexFunc(b.Ties, func(t tie.Tie) bool { return t.Repeat > 1 })
	if n < 0 {
		return b.Ties
	}
	return b.Ties[:n]
}

func slid(marks []tie.Tie, end int) []stretch {
	out := make([]stretch, len(marks))
	for k, m := range marks {
		z := measure.CM(deviate(end, k))
		out[k] = stretch{m.From.Drawn + z*m.From.Blur, m.To.Drawn + z*m.To.Blur}
	}
	return out
}

// slideMost is where the tail of the normal distribution is cut, in standard
// deviations.
const slideMost = 4

// deviate is a standard normal deviate that is the same at every drawing (Box
// and Muller 1958).
func deviate(end, nth int) float64 {
	x := uint64(end)<<20 ^ uint64(nth)
	u := float64(chance.Mix(x+chance.Step)>>11+1) / (1 << 53) // above 0
	v := float64(chance.Mix(^x+chance.Step)>>11) / (1 << 53)
	z := math.Sqrt(-2*math.Log(u)) * math.Cos(2*math.Pi*v)
	return max(-slideMost, min(slideMost, z))
}

// turnOver lays the ends right to left.
func (t *ties) turnOver() {
	if t == nil {
		return
	}
	slices.Reverse(t.ends)
	slices.Reverse(t.runs)
	n := len(t.ends)
	for i, r := range t.runs {
		t.runs[i].first, t.runs[i].last = n-1-r.last, n-1-r.first
	}
}

// tiedBand is what is tied of a band as it lies on paper; nil for nothing.
type tiedBand struct {
	*ties
	shown stretch // of the opened-out panel
	shade [3]surface.Colour
}

func (f *face) tiedIn(b *plan.BandPlan) *tiedBand {
	if f.ties == nil {
		return nil
	}
	from, to := f.panel.Shown(b)
	if !(from < to) {
		return nil
	}
	return &tiedBand{f.ties, stretch{from, to}, shades(f.ties.undyed)}
}

// shades is a thread's shadow, body and light.
func shades(c surface.Colour) [3]surface.Colour {
	return [3]surface.Colour{c.Mix(surface.Black, 0.28), c, c.Mix(surface.White, 0.14)}
}

// at says whether an end is tied on a pick of so many, counted from the bottom.
func (t *tiedBand) at(end, pick, picks int) bool {
	if t == nil || end >= len(t.ends) {
		return false
	}
	x := t.shown.from + (t.shown.to-t.shown.from)*(measure.CM(pick)+0.5)/measure.CM(picks)
	return slices.ContainsFunc(t.ends[end], func(s stretch) bool { return s.from <= x && x < s.to })
}

// strip is a part of an end on paper, if the band shows any of it.
func (t *tiedBand) strip(box surface.Box, x, w measure.MM, s stretch) surface.Box {
	from, to := max(s.from, t.shown.from), min(s.to, t.shown.to)
	if !(from < to) {
		return surface.Box{}
	}
	per := box.H / measure.MM(t.shown.to-t.shown.from)
	return surface.Box{X: x, Y: box.Y + per*measure.MM(t.shown.to-to), W: w, H: per * measure.MM(to-from)}
}

// stripes draws what is tied over a woven band: of ends that are tied alike the
// part that all share as one area, and what each has beyond it.
func (t *tiedBand) stripes(g grid, weft surface.Colour, cover float64) {
	if t == nil {
		return
	}
	c, lap := weft.Mix(t.undyed, cover), g.s.Lap()
	var before tiedRun
	var beside []stretch // what the run before shares
	for _, r := range t.runs {
		left := g.halfEnd(2 * r.first)
		width := g.halfEnd(2*r.last+2) - left
		cores := t.cores(r)
		for _, a := range beside {
			for _, b := range cores {
				if before.last+1 == r.first {
					t.draw(g, left-lap/2, lap, a.and(b), c) // no seam between the two
				}
			}
		}
		before, beside = r, cores
		if k := g.v.clip; k != nil && (left > k.X+k.W || left+width < k.X) {
			continue
		}
		for k, core := range cores {
			t.draw(g, left, width, core, c)
			for e := r.first; e <= r.last; e++ {
				x, s := g.halfEnd(2*e), t.ends[e][k]
				t.draw(g, x, g.v.perEnd, stretch{s.from, min(core.from, s.to)}, c)
				t.draw(g, x, g.v.perEnd, stretch{max(core.to, s.from), s.to}, c)
			}
		}
	}
}

// draw fills a part of an end, if the band shows any of it.
func (t *tiedBand) draw(g grid, x, w measure.MM, s stretch, c surface.Colour) {
	if at := t.strip(g.box, x, w, s); at.H > 0 {
		g.s.Rect(at, c)
	}
}

// cores is what all ends of a run share of each tie.
func (t *ties) cores(r tiedRun) []stretch {
	out := slices.Clone(t.ends[r.first])
	for e := r.first + 1; e <= r.last; e++ {
		for k := range out {
			out[k] = out[k].and(t.ends[e][k])
		}
	}
	for k := range out {
		out[k].to = max(out[k].from, out[k].to)
	}
	return out
}

// and is what two stretches share.
func (s stretch) and(o stretch) stretch { return stretch{max(s.from, o.from), min(s.to, o.to)} }

// tiedPickUp draws what is tied over figures picked up from the warp, unless
// they were drawn thread by thread: where both ends of a pair are tied, one looks
// like the other.
func (f *face) tiedPickUp(g grid) {
	if g.v.perEnd < 3*g.fine || g.pick < 3*g.fine {
		g.tied.stripes(g, surface.Black, 1)
	}
}

// tiedOpen draws what is tied over an open band: ends lie alone there, or in
// groups of which the middle one stands for all.
func (f *face) tiedOpen(s surface.Surface, box surface.Box, v view, b *plan.BandPlan, share measure.MM) {
	t := f.tiedIn(b)
	if t == nil {
		return
	}
	group, lead := 1, (1-share)/2
	if v.perEnd < s.Fine()*1.2 {
		group, lead = openGroup(s, v), 0
	}
	for i := 0; i < f.ends(); i += group {
		n := min(group, f.ends()-i)
		wide := v.perEnd * measure.MM(n)
		for _, m := range t.ends[i+n/2] {
			at := t.strip(box, box.X+v.perEnd*measure.MM(i)+wide*lead, wide*share, m)
			if at.H <= 0 {
				continue
			}
			if group > 1 {
				s.Rect(at, t.undyed)
				continue
			}
			s.Rect(at, t.undyed.Mix(surface.Black, 0.18))
			s.Rect(surface.Box{X: at.X + at.W*0.2, Y: at.Y, W: at.W * 0.5, H: at.H}, t.undyed)
		}
	}
}

// fringeColours is the colour of each end half way along a fringe.
func (f *face) fringeColours(b *plan.BandPlan) []surface.Colour {
	t := f.tiedIn(b)
	if t == nil {
		return f.colour
	}
	out := slices.Clone(f.colour)
	for i := range out {
		if t.at(i, 0, 1) {
			out[i] = t.undyed
		}
	}
	return out
}
