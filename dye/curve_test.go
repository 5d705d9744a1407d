package dye_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/measure"
)

// Worked by hand: from 20 °C to 60 °C at 2 °C/min takes 20 min; an hour there;
// down to 50 °C at the usual 1.5 °C/min takes 6 min 40 s; half an hour there.
func TestCurve(t *testing.T) {
	got := dye.Curve(20, []dye.Segment{{To: 60, Rate: 2, Hold: 60}, {To: 50, Hold: 30}})
	want := []dye.Point{{0, 20}, {20, 60}, {80, 60}, {80 + 20.0/3, 50}, {110 + 20.0/3, 50}}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("curve (-want +got):\n%s", d)
	}
	if got := dye.Curve(20, nil); len(got) != 1 {
		t.Errorf("no heat: %v, want one point", got)
	}
}

// It ends where Room.Warm ends, is nowhere hotter, and where nothing cools it
// takes as long as the fire burns.
func TestCurve_asWarm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(25, 95)
		var heat []dye.Segment
		for range rapid.IntRange(0, 5).Draw(t, "segments") {
			heat = append(heat, dye.Segment{From: measure.Celsius(at.Draw(t, "from")), To: measure.Celsius(at.Draw(t, "to")),
				Rate: measure.CPerMin(rapid.Float64Range(0.2, 5).Draw(t, "rate")), Hold: measure.Minute(rapid.Float64Range(0, 90).Draw(t, "hold"))})
		}
		room := dye.Room{Air: 15, Humidity: 0.6}
		w, c := room.Warm(30, 1000, dye.Cellulose, 20, heat), dye.Curve(20, heat)
		hottest, cools := c[0].Warm, false
		for i := 1; i < len(c); i++ {
			hottest = max(hottest, c[i].Warm)
			cools = cools || c[i].Warm < c[i-1].Warm
		}
		last := c[len(c)-1]
		if last.Warm != w.End || hottest != w.Hottest {
			t.Errorf("ends at %v, hottest %v; want %v, %v", last.Warm, hottest, w.End, w.Hottest)
		}
		if d := float64(last.At - w.Fire); !cools && (d > 1e-6 || d < -1e-6) {
			t.Errorf("takes %v, the fire burns %v", last.At, w.Fire)
		}
	})
}
