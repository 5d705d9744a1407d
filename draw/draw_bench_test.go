package draw_test

import (
	"bytes"
	"image"
	"image/png"
	"io"
	"strings"
	"testing"

	"urdir/draw"
	"urdir/surface"
)

// benchScarf is the scarf at 24 ends/cm: 24 cm / 0.95 x 24 is about 606 ends.
func benchScarf(b *testing.B) string {
	text := exampleText(b, "scarf")
	out := strings.Replace(text, "sett: 36 /cm", "sett: 24 /cm", 1)
	if out == text {
		b.Fatal("the scarf has another sett")
	}
	return out
}

// A picture of a scarf, 1600 by 1200 pixels, drawn and written.
func BenchmarkCloth_png(b *testing.B) {
	p := planOf(b, benchScarf(b))
	if n := p.Warps[0].Ends; n < 550 || n > 650 {
		b.Fatalf("%d ends", n)
	}
	b.ReportAllocs()
	for b.Loop() {
		s := surface.NewPNG(160, 120, 1600)
		draw.Cloth(s, surface.Box{W: 160, H: 120}, p)
		if _, err := s.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// As large, its threads one by one.
func BenchmarkLens_png(b *testing.B) {
	p := planOf(b, benchScarf(b))
	b.ReportAllocs()
	for b.Loop() {
		s := surface.NewPNG(160, 120, 1600)
		draw.Lens(s, surface.Box{W: 160, H: 120}, p)
		if _, err := s.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// The limit: the same pixels put one by one into a new picture, and written.
func BenchmarkPixels_png(b *testing.B) {
	drawn := surface.NewPNG(160, 120, 1600)
	draw.Cloth(drawn, surface.Box{W: 160, H: 120}, planOf(b, benchScarf(b)))
	var file bytes.Buffer
	if _, err := drawn.WriteTo(&file); err != nil {
		b.Fatal(err)
	}
	from, err := png.Decode(&file)
	if err != nil {
		b.Fatal(err)
	}
	box := from.Bounds()
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	for b.Loop() {
		to := image.NewNRGBA(box)
		for y := box.Min.Y; y < box.Max.Y; y++ {
			for x := box.Min.X; x < box.Max.X; x++ {
				to.Set(x, y, from.At(x, y))
			}
		}
		if err := encoder.Encode(io.Discard, to); err != nil {
			b.Fatal(err)
		}
	}
}
