package design_test

import (
	"testing"

	"urdir/design"
)

// A drag calls WidenAt on every move of the hand.
func BenchmarkWidenAt(b *testing.B) {
	c := example(b, "blanket")
	for b.Loop() {
		if _, _, ps := design.WidenAt(c, c.Warps[0].Key, 40, 3); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

func BenchmarkPropose(b *testing.B) {
	w := wish()
	for _, yarn := range []string{"mist", "moss", "wine", "indigo"} {
		w.Lots = append(w.Lots, design.Lot{Yarn: yarn, Have: 20, Tex: 100})
	}
	for b.Loop() {
		if _, ps := design.Propose(w); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

func BenchmarkAllowed(b *testing.B) {
	g := grid(b, "xx.x.o/x..x.o/......")
	g, ps := g.Repeated(60, 100)
	if ps.Failed() {
		b.Fatal(ps)
	}
	for b.Loop() {
		g.Allowed(150, 180, 20, 6)
	}
}
