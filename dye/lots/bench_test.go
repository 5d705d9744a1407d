package lots_test

import (
	"testing"
	"time"

	"urdir/dye/lots"
)

// The first answer for 300 wants, 12 recipes and 4 pots; the aim is 50 ms.
func BenchmarkNew(b *testing.B) {
	w := season(300, 1)
	for b.Loop() {
		if _, ps := lots.New(w, 1); ps.Failed() {
			b.Fatal(ps)
		}
	}
}

// The gap to the bound at once and after a second of steps, in steps of a tenth.
func BenchmarkImprove(b *testing.B) {
	for b.Loop() {
		var first, second, steps, late float64
		const seasons = 5
		for seed := range uint64(seasons) {
			s, ps := lots.New(season(300, seed), 1)
			if ps.Failed() {
				b.Fatal(ps)
			}
			first += float64(s.Plan().Gap)
			for begin := time.Now(); time.Since(begin) < time.Second; {
				s.Improve(100)
			}
			p := s.Plan()
			second += float64(p.Gap)
			steps += float64(p.Steps)
			late += float64(p.Over)
			b.Logf("season %d: %+v, bound %+v, gap %.3f after %d steps", seed, p.Score, p.Bound, float64(p.Gap), p.Steps)
		}
		b.ReportMetric(100*first/seasons, "%gap-at-once")
		b.ReportMetric(100*second/seasons, "%gap-after-1s")
		b.ReportMetric(late/seasons, "days-late-over-bound")
		b.ReportMetric(steps/seasons, "steps/s")
	}
}
