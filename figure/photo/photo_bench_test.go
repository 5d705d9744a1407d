package photo_test

import (
	"image"
	"testing"

	"urdir/figure/photo"
)

// A photo of 12 megapixels, as JPEG decodes it.
func BenchmarkChart(b *testing.B) {
	img := image.NewYCbCr(image.Rect(0, 0, 4000, 3000), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(i * i >> 7)
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = uint8(i>>9), uint8(i>>11)
	}
	o := photo.NewOptions(100)
	o.Colours = 6
	for b.Loop() {
		mustChart(b, img, o)
	}
}
