package bench_test

import (
	"fmt"
	"runtime"
	"testing"
	"time"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// Workshops of the aims: the first answer, and what two seconds reach of what a
// minute does. Four, as how soon a search is done differs with how full the pots are.
func BenchmarkWorkshop(b *testing.B) {
	for seed := uint64(1); seed <= 4; seed++ {
		b.Run(fmt.Sprint(seed), func(b *testing.B) {
			for b.Loop() {
				anytime(b, bench.Workshop(bench.Size{Orders: 300, People: 80, Pots: 6, Days: 180}, seed))
			}
		})
	}
}

func anytime(b *testing.B, p schedule.Problem) {
	begin := time.Now()
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		b.Fatal(ps)
	}
	b.ReportMetric(float64(time.Since(begin).Milliseconds()), "ms-to-first")
	b.Logf("at once: %+v", s.Score())
	for _, until := range []time.Duration{2 * time.Second, 10 * time.Second, time.Minute} {
		for time.Since(begin) < until {
			s.Run(20)
		}
		b.ReportMetric(float64(s.Score().Late), fmt.Sprintf("late-after-%v", until))
		b.Logf("after %v, %d schedules: %+v", until, s.Schedules(), s.Score())
	}
	b.Logf("bound %+v", s.Bound())
	var mem runtime.MemStats
	runtime.ReadMemStats(&mem)
	b.ReportMetric(float64(mem.Sys>>20), "MB")
}

// How the first answer grows.
func BenchmarkWorkshop_growth(b *testing.B) {
	for _, size := range []bench.Size{{300, 80, 6, 180}, {1000, 250, 20, 180}, {5000, 1000, 100, 180}} {
		b.Run(fmt.Sprint(size.Orders, " orders ", size.People, " people"), func(b *testing.B) {
			p := bench.Workshop(size, 1)
			for b.Loop() {
				if _, ps := schedule.New(p, 1); ps.Failed() {
					b.Fatal(ps)
				}
			}
		})
	}
}
