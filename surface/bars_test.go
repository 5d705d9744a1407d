package surface_test

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/surface"
)

// Bars and columns are the rectangles they stand for, over what is there already.
func TestBars(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-3, 23)
		draw := func(v *rapid.Generator[float64], name string) measure.MM { return measure.MM(v.Draw(t, name)) }
		var bars []surface.Bar
		for range rapid.IntRange(0, 6).Draw(t, "bars") {
			bars = append(bars, surface.Bar{X: draw(at, "x"), W: draw(rapid.Float64Range(-0.2, 6), "w"), Colour: rapid.SampledFrom([]surface.Colour{red, blue, black}).Draw(t, "colour")})
		}
		var tops []measure.MM
		for range rapid.IntRange(0, 6).Draw(t, "tops") {
			tops = append(tops, draw(at, "y"))
		}
		h := draw(rapid.Float64Range(-0.1, 5), "h")
		a, b := surface.NewPNG(20, 20, 67), surface.NewPNG(20, 20, 67)
		clip := box(1.3, 2.7, 15, draw(rapid.Float64Range(0, 17), "clip"))
		a.Clip(clip)
		b.Clip(clip)
		surface.Bars(a, bars, tops, h)
		for _, bar := range bars {
			for _, y := range tops {
				b.Rect(surface.Box{X: bar.X, Y: y, W: bar.W, H: h}, bar.Colour)
			}
		}
		if !bytes.Equal(a.Image().Pix, b.Image().Pix) {
			t.Fatal("bars: not the same pixels")
		}
		y := draw(at, "top")
		surface.Columns(a, bars, y, 3*h)
		for _, bar := range bars {
			b.Rect(surface.Box{X: bar.X, Y: y, W: bar.W, H: 3 * h}, bar.Colour)
		}
		if !bytes.Equal(a.Image().Pix, b.Image().Pix) {
			t.Fatal("columns: not the same pixels")
		}
	})
}
