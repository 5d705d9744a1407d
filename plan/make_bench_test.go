package plan_test

import (
	"testing"

	"urdir/plan"
)

// A runner of 600 ends with a brocaded bird at both ends.
func BenchmarkMake(b *testing.B) {
	c := readCloth(b, "../examples/runner.yaml")
	c.Panels[0].Width = 25.4 // finished; nearly 600 ends at 22 per cm and 4 %
	for i := range c.Panels[0].Bands[0].Mirror {
		if band := c.Panels[0].Bands[0].Mirror[i].Band; band.Place.Count > 1 {
			band.Place.Count = 1
		}
	}
	for _, run := range []struct {
		name  string
		frame bool
	}{{"without a frame", false}, {"with a frame", true}} {
		b.Run(run.name, func(b *testing.B) {
			in := c
			if !run.frame {
				in.Frame = nil
			}
			b.ReportAllocs()
			for b.Loop() {
				p, ps := plan.Make(in)
				if ps.Failed() || p.Warps[0].Ends < 570 {
					b.Fatalf("%d ends: %v", p.Warps[0].Ends, ps)
				}
			}
		})
	}
}
