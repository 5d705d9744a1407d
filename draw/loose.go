package draw

import (
	"math"

	"urdir/measure"
	"urdir/surface"
)

// open draws a band whose warp is left unwoven: the ends lie free, with air
// between them, and close up where weaving begins again.
func (f *face) open(s surface.Surface, box surface.Box, v view) {
	s.Rect(box, Paper.Mix(surface.Black, 0.06))
	if v.perEnd < s.Fine()*1.2 {
		// Ends too fine to see: bundles of a few, as wide as can be seen.
		f.bundles(s, box, v, openShare)
		return
	}
	for i, c := range f.colour {
		x := box.X + v.perEnd*measure.MM(i)
		if v.clip != nil && (x+v.perEnd < v.clip.X || x > v.clip.X+v.clip.W) {
			continue
		}
		w := v.perEnd * openShare
		s.Rect(surface.Box{X: x + (v.perEnd-w)/2, Y: box.Y, W: w, H: box.H}, c.Mix(surface.Black, 0.18))
		s.Rect(surface.Box{X: x + (v.perEnd-w)/2 + w*0.2, Y: box.Y, W: w * 0.5, H: box.H}, c)
	}
}

// openShare is how much of the width the ends fill.
const openShare = 0.55

// openGroup is how many ends too fine to see are drawn as one.
func openGroup(s surface.Surface, v view) int {
	return max(2, int(math.Ceil(float64(3*s.Fine()/v.perEnd))))
}

// bundles draws ends in groups about three fine widths apart.
func (f *face) bundles(s surface.Surface, box surface.Box, v view, share measure.MM) {
	group := openGroup(s, v)
	for i := 0; i < f.ends(); i += group {
		n := min(group, f.ends()-i)
		w := v.perEnd * measure.MM(n)
		x := box.X + v.perEnd*measure.MM(i)
		s.Rect(surface.Box{X: x, Y: box.Y, W: w * share, H: box.H}, mean(f.colour[i:i+n]))
	}
}

// mean is the colour of threads too fine to be told apart.
func mean(ends []surface.Colour) surface.Colour {
	out := ends[0]
	for i, c := range ends[1:] {
		out = out.Mix(c, 1/float64(i+2))
	}
	return out
}

// tassel is the number of ends knotted together at a fringe (common practice:
// about half a centimetre of warp).
const tassel = 12

// fringe draws tassels, knotted at the cloth. below says that the cloth lies
// under the fringe: the far end of the piece.
func (f *face) fringe(s surface.Surface, box surface.Box, v view, below bool) {
	knot, tip := box.Y, box.Y+box.H
	if below {
		knot, tip = box.Y+box.H, box.Y
	}
	for i := 0; i < f.ends(); i += tassel {
		f.tassel(s, box, v, i, knot, tip)
	}
}

// tassel draws the tassel of twelve ends from i: three strands and a knot.
// Strands too fine to be told apart are drawn as one, as wide as the three
// together.
func (f *face) tassel(s surface.Surface, box surface.Box, v view, i int, knot, tip measure.MM) {
	dir := measure.MM(1)
	if tip < knot {
		dir = -1
	}
	n := min(tassel, f.ends()-i)
	left, w := box.X+v.perEnd*measure.MM(i), v.perEnd*measure.MM(n)
	mid := left + w/2
	if v.clip != nil && (mid+w < v.clip.X || mid-w > v.clip.X+v.clip.W) {
		return
	}
	tie := knot + dir*min(box.H*0.15, w*0.9)
	strand := func(k int, x, width measure.MM, c surface.Colour) {
		sway := measure.MM(math.Sin(float64(i*7+k*3))) * w * 0.18
		p := new(surface.Path).MoveTo(x, knot).LineTo(mid+(x-mid)*0.35, tie)
		p.CurveTo(mid+(x-mid)*0.5, tie+(tip-tie)*0.3, x+sway, tie+(tip-tie)*0.6, mid+(x-mid)*0.8+sway, tip-dir*w*measure.MM(k)*0.08)
		s.Path(p, surface.Line(c.Mix(surface.Black, 0.06*float64(k)), max(width, s.Fine())))
	}
	if w < 3*s.Fine() {
		strand(1, mid, w*0.66, mean(f.colour[i:i+n]))
	} else {
		for k, at := range []int{i + n/6, i + n/2, i + 5*n/6} {
			at = min(at, f.ends()-1)
			strand(k, left+w*measure.MM(2*k+1)/6, w*0.22, mean(f.colour[at:min(at+2, f.ends())]))
		}
	}
	s.Path(surface.Circle(mid, tie, max(w*0.24, s.Fine())), surface.Fill(f.colour[i+n/2].Mix(surface.Black, 0.2)))
}
