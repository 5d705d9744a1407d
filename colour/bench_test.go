package colour_test

import (
	"image"
	"testing"

	"urdir/colour"
)

func BenchmarkDifference(b *testing.B) {
	for b.Loop() {
		colour.Difference(sharma[24].a, sharma[24].b)
	}
}

func BenchmarkLab(b *testing.B) {
	c := colour.SRGB{R: 120, G: 30, B: 60}
	for b.Loop() {
		c.Lab()
	}
}

// A colour far outside what a screen shows.
func BenchmarkShow(b *testing.B) {
	c := colour.Lab{L: 50, A: 100, B: 60}
	for b.Loop() {
		c.Show()
	}
}

func BenchmarkNearest500(b *testing.B) {
	list := make([]colour.Lab, 500)
	for i := range list {
		list[i] = colour.SRGB{R: uint8(i * 7), G: uint8(i * 31), B: uint8(i * 13)}.Lab()
	}
	for b.Loop() {
		colour.Nearest(list[17], list)
	}
}

func BenchmarkFit(b *testing.B) {
	s := dyed(bareWool, crimson, 0.05, 0.005, 0.01, 0.02, 0.04, 0.08)
	for b.Loop() {
		if _, ps := s.Fit(); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

func BenchmarkStrength(b *testing.B) {
	sh, _ := roses().Fit()
	for b.Loop() {
		if _, ps := sh.Strength(lab(50, 38, 3)); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

// A card of 600 by 600 pixels, as a telephone gives it.
func BenchmarkCard(b *testing.B) {
	m := image.NewYCbCr(image.Rect(0, 0, 600, 600), image.YCbCrSubsampleRatio420)
	for i := range m.Y {
		m.Y[i] = uint8(116 + i%5)
	}
	for i := range m.Cb {
		m.Cb[i], m.Cr[i] = 128, 128
	}
	c := colour.Card{Regions: []image.Rectangle{m.Bounds()}}
	for b.Loop() {
		if _, ps := c.Read(m); ps.Failed() {
			b.Fatal(ps)
		}
	}
}
