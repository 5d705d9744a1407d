package surface_test

import (
	"io"
	"testing"

	"urdir/measure"
	"urdir/surface"
)

// cloth draws 600 ends by 500 picks, every end on every pick by itself, in
// stripes that shift by an end from pick to pick.
func cloth(p *surface.PNG) {
	colours := make([]surface.Colour, 600)
	for i := range colours {
		colours[i] = [4]surface.Colour{red, blue, black, {R: 230, G: 190, B: 90}}[i/7%4]
	}
	const end, pick = 400.0 / 600, 300.0 / 500
	lap := p.Lap()
	for y := range 500 {
		for x := range 600 {
			c := colours[max(0, x-(x+y)%2)]
			p.Rect(box(measure.MM(x)*end, measure.MM(y)*pick, end+lap, pick+lap), c)
		}
	}
}

func BenchmarkPNG_cloth300000Rects1600x1200(b *testing.B) {
	for b.Loop() {
		p := surface.NewPNG(400, 300, 1600)
		cloth(p)
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPNG_clothWithoutFile(b *testing.B) {
	for b.Loop() {
		cloth(surface.NewPNG(400, 300, 1600))
	}
}

func sheetLike(s surface.Surface) {
	for i := range 60 {
		y := measure.MM(15 + 4.5*float64(i))
		s.Text(15, y, "12 vueltas de rojo, 4 de blanco: ñandú 32.5 cm", surface.Font{Size: 3.5})
		s.Text(195, y, "1 234", surface.Font{Size: 3.5, Bold: true, Align: surface.Right})
		surface.Chip(s, box(150, y-3, 8, 3.5), red, i, "K")
	}
}

func BenchmarkPDF_sixPages(b *testing.B) {
	for b.Loop() {
		p := surface.NewPDF(surface.Meta{Title: "Orden"})
		for range 6 {
			p.AddPage(210, 297)
			sheetLike(p)
		}
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// A document with a word in both weights is the loading and cutting of the
// fonts and little else.
func BenchmarkPDF_fonts(b *testing.B) {
	for b.Loop() {
		p := surface.NewPDF(surface.Meta{})
		p.AddPage(210, 297)
		p.Text(10, 10, "a", surface.Font{Size: 4})
		p.Text(10, 20, "b", surface.Font{Size: 4, Bold: true})
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPNG_sheet(b *testing.B) {
	for b.Loop() {
		p := surface.NewPNG(210, 297, 1260)
		sheetLike(p)
		if _, err := p.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSVG_300000Rects(b *testing.B) {
	for b.Loop() {
		s := surface.NewSVG(400, 300, "")
		for i := range 300_000 {
			s.Rect(box(measure.MM(i%600)*0.66, measure.MM(i/600)*0.6, 0.8, 0.7), [2]surface.Colour{red, blue}[i/7%2])
		}
		if _, err := s.WriteTo(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
