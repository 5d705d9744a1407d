//go:build !js

package surface

import (
	"image"
	"math"

	"golang.org/x/image/draw"
)

// Picture lays a picture of pixels into a box.
func (p *PNG) Picture(b Box, picture *PNG) {
	b = b.within()
	at := func(v float64) int { return int(math.Round(v * p.scale)) }
	to := image.Rect(at(float64(b.X)), at(float64(b.Y)), at(float64(b.X+b.W)), at(float64(b.Y+b.H)))
	draw.ApproxBiLinear.Scale(p.img, to, picture.img, picture.img.Bounds(), draw.Src, nil)
}
