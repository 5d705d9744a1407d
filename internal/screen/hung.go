package screen

import (
	"image"
	"math"

	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// How a piece hangs. A long narrow one lies about the neck, with both ends in
// front; another hangs over a rail, folded at its middle. A picture, not a
// reckoning: how many folds and how deep is our choice.
const (
	longFrom   = 2.5  // times as long as wide: about the neck
	gatherNeck = 0.66 // of the width, as it lies about the neck
	gatherRail = 0.86
	foldEvery  = 7.0 // cm of cloth in a fold
	gapNeck    = 0.2 // between both ends, of the gathered width
	roomAbove  = 0.05
)

// hung paints the piece as it is worn or hung into the picture.
func hung(to *image.RGBA, p plan.Plan, back bool) {
	_, wide, tall := flatly(p, 0, back)
	neck, gather := false, gatherRail
	if tall >= longFrom*wide {
		neck, gather = true, gatherNeck
	}
	across := wide * gather
	if neck {
		across *= 2 + gapNeck
	}
	w, h := float64(to.Rect.Dx()), float64(to.Rect.Dy())
	perCM := min(w*0.92/across, h*(1-2*roomAbove)/(tall/2))
	flat, wide, _ := flatly(p, perCM, back)
	x, y := (w-across*perCM)/2, h*roomAbove
	drop(to, flat, x, y, gather, wide, false)
	if neck {
		drop(to, flat, x+wide*gather*perCM*(1+gapNeck), y, gather, wide, true)
	}
}

// flatly draws the piece lying flat, so many pixels a cm, and tells its width
// and length in cm; only those with 0 pixels.
func flatly(p plan.Plan, perCM float64, back bool) (img *image.RGBA, wide, tall float64) {
	aspect := draw.Aspect(p)
	tall = float64(draw.Tall(p))
	wide = tall * aspect
	if perCM == 0 {
		return nil, wide, tall
	}
	px := max(1, int(math.Round(wide*perCM)))
	w := measure.MM(px) / pixelsPerMM
	s := surface.NewPNG(w, w/measure.MM(aspect), px)
	box := surface.Box{W: w, H: w / measure.MM(aspect)}
	s.Rect(box, draw.Paper)
	if back {
		draw.Back(s, box, p)
	} else {
		draw.Cloth(s, box, p)
	}
	return s.Image(), wide, tall
}

// drop paints the half of a piece that hangs down from y: the half where weaving
// began, or the other, which is then upside down.
func drop(to, flat *image.RGBA, x, y, gather, wideCM float64, other bool) {
	fw, fh := flat.Rect.Dx(), flat.Rect.Dy()
	columns, light := folds(fw, gather, max(2, math.Round(wideCM/foldEvery)))
	for i, from := range columns {
		dx := int(x) + i
		if dx < 0 || dx >= to.Rect.Dx() {
			continue
		}
		for j := range fh / 2 {
			dy := int(y) + j
			if dy < 0 || dy >= to.Rect.Dy() {
				continue
			}
			sx, sy := from, fh-fh/2+j
			if other {
				sx, sy = fw-1-from, fh/2-1-j
			}
			s, d := flat.PixOffset(sx, sy), to.PixOffset(dx, dy)
			for k := range 3 {
				to.Pix[d+k] = uint8(float64(flat.Pix[s+k]) * light[i])
			}
			to.Pix[d+3] = 255
		}
	}
}

// folds tells which column of the flat cloth is seen at each column of the
// gathered one, and how light it is. The cloth lies in waves z = a sin(t): its
// length along them is the integral of sqrt(1 + z'^2), and it is lit from the
// left.
func folds(flat int, gather, waves float64) (from []int, light []float64) {
	n := max(1, int(float64(flat)*gather))
	slope := func(m float64, i int) float64 { return m * math.Cos(2*math.Pi*waves*(float64(i)+0.5)/float64(n)) }
	length := func(m float64) (sum float64) {
		for i := range n {
			sum += math.Hypot(1, slope(m, i))
		}
		return sum
	}
	low, high := 0.0, 20.0
	for range 40 { // the steepness at which the waves take up all the cloth
		if m := (low + high) / 2; length(m) < float64(flat) {
			low = m
		} else {
			high = m
		}
	}
	at, brightest := 0.0, math.Hypot(0.45, 0.9)
	for i := range n {
		z := slope(low, i)
		l := math.Hypot(1, z)
		from = append(from, min(flat-1, int(at+l/2)))
		at += l
		light = append(light, 0.5+0.5*max(0, (-0.45*z+0.9)/l/brightest))
	}
	return from, light
}
