package warp_test

import (
	"testing"

	"urdir/warp"
)

// One circuit, out and back, lays two ends at the cross for each ball in hand
// (common practice, no source); the rest is counting.
func TestWind_byHand(t *testing.T) {
	type want struct {
		inHand, passes, last int
		circuits             float64
		together             bool
		from                 warp.Peg
	}
	for _, c := range []struct {
		name, text string
		balls      int
		want       []want
	}{
		{"one ball", "stripes: [12 red, 8 sand]", 1, []want{{1, 12, 1, 6, false, warp.AtStart}, {1, 8, 1, 4, false, warp.AtStart}}},
		{"two balls", "stripes: [12 red, 8 sand]", 2, []want{{2, 6, 2, 3, false, warp.AtStart}, {2, 4, 2, 2, false, warp.AtStart}}},
		{"odd stripes change at the turn", "stripes: [5 red, 3 sand, 2 red]", 1,
			[]want{{1, 5, 1, 2.5, false, warp.AtStart}, {1, 3, 1, 1.5, false, warp.AtTurn}, {1, 2, 1, 1, false, warp.AtStart}}},
		{"a last pass with fewer balls", "stripes: [10 red]", 4, []want{{4, 3, 2, 1.5, false, warp.AtStart}}},
		{"one and one is held together, whatever the balls", "stripes: [{alternate: [1 red, 1 sand], over: 12}]", 1,
			[]want{{2, 6, 2, 3, true, warp.AtStart}}},
		{"two and two is a circuit of each", "stripes: [{alternate: [2 red, 2 sand], over: 12}]", 1, []want{{1, 12, 1, 6, false, warp.AtStart}}},
		{"two and two with two balls is held together", "stripes: [{alternate: [2 red, 2 sand], over: 12}]", 2, []want{{4, 3, 4, 1.5, true, warp.AtStart}}},
		{"a pattern cut short", "stripes: [{alternate: [2 red, 1 sand], over: 7}]", 1, []want{{3, 3, 1, 1.5, true, warp.AtStart}}},
	} {
		_, f := fit(t, order(t, c.text), warp.Room{Sett: 10})
		got := warp.Wind(f, c.balls)
		for i, w := range got {
			if g := (want{w.InHand, w.Passes, w.Last, w.Circuits(), w.Together, w.From}); g != c.want[i] {
				t.Errorf("%s, stripe %d: %+v, want %+v", c.name, i, g, c.want[i])
			}
		}
		running(t, f, c.balls)
	}
}

// running checks the running counts a weaver stops at: they never fall, each
// pass lays the threads in hand, and the last counts are the whole warp.
func running(t interface{ Fatalf(string, ...any) }, f warp.Fitted, balls int) {
	ends, passes := 0, 0
	for i, w := range warp.Wind(f, balls) {
		laid := (w.Passes-1)*w.InHand + w.Last
		if w.Stripe != i || laid != w.Ends || w.Last < 1 || w.Last > w.InHand || w.Ends != f.Stripes[i].Ends {
			t.Fatalf("stripe %d of %d ends: %+v", i, f.Stripes[i].Ends, w)
		}
		if from := map[bool]warp.Peg{false: warp.AtStart, true: warp.AtTurn}[passes%2 == 1]; w.From != from {
			t.Fatalf("stripe %d after %d passes starts at the %s", i, passes, w.From)
		}
		ends, passes = ends+laid, passes+w.Passes
		if w.SumEnds != ends || w.SumPasses != passes || w.SumCircuits() != float64(passes)/2 {
			t.Fatalf("stripe %d: %d ends and %d passes so far, stated %d and %d", i, ends, passes, w.SumEnds, w.SumPasses)
		}
		if w.Half != (w.Circuits() != float64(int(w.Circuits()))) {
			t.Fatalf("stripe %d: %v circuits, half %v", i, w.Circuits(), w.Half)
		}
		if !w.Together && w.Circuits() != float64((w.Ends+balls-1)/balls)/2 {
			t.Fatalf("stripe %d: %d ends, %d balls, %v circuits", i, w.Ends, balls, w.Circuits())
		}
	}
	if ends != f.Ends {
		t.Fatalf("%d ends wound of %d", ends, f.Ends)
	}
}

// The cross puts odd ends on the shed rod and even ends in heddles (common
// practice, no source). String by hand: a loop of 8 cm takes 2 x 8 + 2 = 18 cm,
// and 40 cm are knots: 5 heddles take 5 x 18 + 40 = 130 cm.
func TestShed(t *testing.T) {
	for _, c := range []struct{ ends, rod, heddles int }{{0, 0, 0}, {1, 1, 0}, {2, 1, 1}, {10, 5, 5}, {11, 6, 5}} {
		got := warp.Shed(c.ends, warp.DefaultHeddleHeight)
		odd := 0
		for end := 1; end <= c.ends; end += 2 {
			odd++
		}
		if got.Rod != c.rod || got.Rod != odd || got.Heddles != c.heddles || got.Rod+got.Heddles != c.ends {
			t.Errorf("%d ends: %d on the rod, %d heddles, want %d and %d", c.ends, got.Rod, got.Heddles, c.rod, c.heddles)
		}
	}
	if got := warp.Shed(11, 8); got.StringEach != 18 || got.String != 1.3 {
		t.Errorf("string %v cm a heddle, %v m; want 18 and 1.3", got.StringEach, got.String)
	}
}
