package photo

import "urdir/check"

const (
	maxPixels = 40_000_000
	maxSide   = 30_000 // of width and height; a strip of single pixels is no picture
)

// roomFor refuses pictures of no or too many pixels, and endless strips.
func roomFor(width, height, most int, ps *check.Problems) {
	switch {
	case width <= 0 || height <= 0:
		ps.Wrong("", "photo-empty", nil)
	case max(width, height) > maxSide || width*height > most:
		ps.Wrong("", "photo-large", check.Args{
			"width": width, "height": height, "megapixels": float64(most) / 1e6, "side": maxSide})
	}
}
