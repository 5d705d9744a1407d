package figure_test

import (
	"strings"
	"testing"

	"urdir/figure"
)

// sixty is a chart of 60 x 60 cells, rings in two colours, 12 runs a row.
func sixty(b *testing.B) figure.Chart {
	b.Helper()
	var s strings.Builder
	for y := range 60 {
		for x := range 60 {
			s.WriteByte(".xo."[(max(abs(2*x-59), abs(2*y-59))/10)%4])
		}
		s.WriteByte('\n')
	}
	return chart(b, s.String())
}

func abs(n int) int { return max(n, -n) }

func BenchmarkRead(b *testing.B) {
	c := sixty(b)
	b.ReportAllocs()
	for b.Loop() {
		figure.Read(c)
	}
}

func BenchmarkYarn(b *testing.B) {
	c := sixty(b)
	l := figure.Layout{Count: 3}
	b.ReportAllocs()
	for b.Loop() {
		figure.Yarn(c, l, 20, 800)
	}
}

func BenchmarkCheck(b *testing.B) {
	c := sixty(b)
	c.Limit = 25
	b.ReportAllocs()
	for b.Loop() {
		c.Check(20, 6)
	}
}
