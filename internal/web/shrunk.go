package web

import (
	"image"
	"image/color"

	"urdir/colour"
)

// laidSide is the longer side of a photograph laid ready, in pixels: as wide as
// pages show it, and a card that takes a thirtieth of it still has enough.
const laidSide = 800

// shrunk makes a picture smaller by whole steps, until no side is longer than
// most. Each pixel has the mean light of those it stands for: a mean of their
// numbers would come out darker where yarn lies beside its shadow. A channel that
// is full in half of them stays full, so that it is still seen to be clipped.
func shrunk(img image.Image, most int) *image.RGBA {
	b := img.Bounds()
	step := max(1, (max(b.Dx(), b.Dy())+most-1)/most)
	out := image.NewRGBA(image.Rect(0, 0, max(1, b.Dx()/step), max(1, b.Dy()/step)))
	var light [256]float64
	for i := range light {
		light[i] = colour.SRGB{R: uint8(i)}.Linear().R
	}
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			at := image.Pt(b.Min.X+x*step, b.Min.Y+y*step)
			part := image.Rectangle{at, at.Add(image.Pt(step, step))}.Intersect(b)
			out.SetRGBA(x, y, meanOf(img, part, &light))
		}
	}
	return out
}

func meanOf(img image.Image, part image.Rectangle, light *[256]float64) color.RGBA {
	var sum colour.Linear
	var full [3]int
	fast, _ := img.(image.RGBA64Image) // all of the standard library are; a colour need not be made of each pixel
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			var r, g, b uint32
			if fast != nil {
				c := fast.RGBA64At(x, y)
				r, g, b = uint32(c.R), uint32(c.G), uint32(c.B)
			} else {
				r, g, b, _ = img.At(x, y).RGBA()
			}
			sum.R, sum.G, sum.B = sum.R+light[r>>8], sum.G+light[g>>8], sum.B+light[b>>8]
			for i, c := range [3]uint32{r, g, b} {
				if c>>8 == 255 {
					full[i]++
				}
			}
		}
	}
	n := part.Dx() * part.Dy()
	by := 1 / float64(n)
	c := colour.Linear{R: sum.R * by, G: sum.G * by, B: sum.B * by}.SRGB()
	for i, to := range []*uint8{&c.R, &c.G, &c.B} {
		if 2*full[i] >= n {
			*to = 255
		}
	}
	return color.RGBA{c.R, c.G, c.B, 255}
}
