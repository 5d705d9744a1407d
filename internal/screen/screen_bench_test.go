package screen_test

import (
	"os"
	"testing"

	"urdir/internal/screen"
)

// large is a cloth of 900 ends in 64 stripes, with figures.
func large(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("testdata/large.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// lay puts a cloth file on the table.
func lay(t testing.TB, text, language string) *screen.Desk {
	t.Helper()
	d, err := screen.Open(text, language, screen.Bench{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// An edge between two stripes is moved to and fro, as when it is dragged: the
// plan is made and everything a page shows is written.
func BenchmarkDesk_widen(b *testing.B) {
	d := lay(b, large(b), "es")
	b.ReportAllocs()
	for b.Loop() {
		d.Ask(`{"do":"widen","at":{"in":"stripes","key":"body","path":[]},"which":320,"count":2}`)
		d.Ask(`{"do":"widen","at":{"in":"stripes","key":"body","path":[]},"which":322,"count":-2}`)
	}
}

// The numbers of the whole plan, the way round the frame among them, with every
// yarn on the shelf.
func BenchmarkDesk_settle(b *testing.B) {
	d := lay(b, large(b), "es")
	var bench screen.Bench
	for _, y := range d.Cloth().Yarns {
		bench.Lots = append(bench.Lots, screen.Lot{ID: y.Key, Label: y.Label, Colour: y.Colour, Fibre: y.Fibre, Count: "Ne 8/2", Grams: 900})
	}
	d, err := screen.Open(large(b), "es", bench)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		d.Settle()
	}
}

// The pictures of the desk's and the telephone's canvas.
func BenchmarkDesk_picture(b *testing.B) {
	for _, at := range []struct {
		name string
		w, h int
		view screen.View
	}{
		{"whole", 800, 600, screen.View{}},
		{"back", 800, 600, screen.View{Back: true}},
		{"near", 800, 600, screen.View{Zoom: 60, End: 100, From: 20}},
		{"threads", 800, 600, screen.View{Zoom: 200, End: 100, From: 20}},
		{"telephone", 708, 944, screen.View{}},
	} {
		b.Run(at.name, func(b *testing.B) {
			d := lay(b, large(b), "es")
			b.ReportAllocs()
			for b.Loop() {
				if len(d.Picture(at.w, at.h, at.view)) != at.w*at.h*4 {
					b.Fatal("no picture")
				}
			}
		})
	}
}
