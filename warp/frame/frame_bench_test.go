package frame_test

import (
	"testing"
	"time"

	"urdir/measure"
)

// BenchmarkFind goes through forty needs from the shortest way to the longest on
// each kind of frame; max-ms is the slowest need.
func BenchmarkFind(b *testing.B) {
	for _, k := range kinds() {
		longest := k.frame.Longest().Path.Length
		shortest, _ := k.frame.Find(1)
		b.Run(k.name, func(b *testing.B) {
			var slowest time.Duration
			needs, excess, pegs, crossings := 0, 0, 0, 0
			for b.Loop() {
				for i := range 41 {
					began := time.Now()
					p, _ := k.frame.Find(shortest.Length + (longest-shortest.Length)*measure.CM(i)/40)
					slowest = max(slowest, time.Since(began))
					needs++
					for n, proven := range map[*int]bool{&excess: p.Proven.Excess, &pegs: p.Proven.Pegs, &crossings: p.Proven.Crossings} {
						if proven {
							*n++
						}
					}
				}
			}
			b.ReportMetric(float64(slowest.Microseconds())/1000, "max-ms")
			b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(needs), "mean-ms")
			b.ReportMetric(100*float64(excess)/float64(needs), "%excess")
			b.ReportMetric(100*float64(pegs)/float64(needs), "%pegs")
			b.ReportMetric(100*float64(crossings)/float64(needs), "%crossings")
		})
	}
}

func BenchmarkLongest(b *testing.B) {
	for _, k := range kinds() {
		b.Run(k.name, func(b *testing.B) {
			for b.Loop() {
				k.frame.Longest()
			}
		})
	}
}
