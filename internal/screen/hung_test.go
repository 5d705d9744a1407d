package screen_test

import (
	"math"
	"testing"

	"urdir/internal/screen"
)

// The folds take up the whole cloth: what is seen goes from its one selvedge to
// the other without going back, and steps are nowhere shorter than a pixel laid
// flat (sqrt(1 + z'^2) is 1 at least).
func TestFolds(t *testing.T) {
	for _, tc := range []struct {
		flat   int
		gather float64
		waves  float64
	}{{200, 0.66, 4}, {901, 0.86, 9}, {33, 0.66, 2}, {1, 0.66, 2}} {
		from, light := screen.Folds(tc.flat, tc.gather, tc.waves)
		if n := max(1, int(float64(tc.flat)*tc.gather)); len(from) != n || len(light) != n {
			t.Fatalf("%v: %d columns, want %d", tc, len(from), n)
		}
		for i := range from {
			if from[i] < 0 || from[i] >= tc.flat || i > 0 && from[i] < from[i-1] {
				t.Fatalf("%v: column %d shows %d", tc, i, from[i])
			}
			if light[i] < 0.5 || light[i] > 1+1e-9 {
				t.Fatalf("%v: column %d has light %v", tc, i, light[i])
			}
		}
		if last := from[len(from)-1]; tc.flat > 10 && math.Abs(float64(tc.flat-last)) > 3 {
			t.Errorf("%v: ends at %d", tc, last)
		}
	}
}
