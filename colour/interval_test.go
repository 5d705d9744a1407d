package colour_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"urdir/colour"
	"urdir/measure"
)

// The two-sided 95 % points of Student's t, as every table has them (Abramowitz
// and Stegun 1964, table 26.10; from memory).
func TestStrength_Within_table(t *testing.T) {
	for freedom, want := range map[int]float64{1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 10: 2.228, 29: 2.045, 30: 2.042, 120: 1.980} {
		low, high, ok := colour.Strength{Amount: 50, Error: 1, Freedom: freedom}.Within(0.95)
		if !ok || math.Abs(float64(high)-50-want) > 0.0006 || math.Abs(50-want-float64(low)) > 0.0006 {
			t.Errorf("freedom %d: %v to %v, %v; want 50 ± %v", freedom, low, high, ok, want)
		}
	}
}

// The same as gonum's distribution at any level.
func TestStrength_Within_gonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		freedom, level := rapid.IntRange(1, 200).Draw(t, "freedom"), rapid.Float64Range(0.01, 0.999).Draw(t, "level")
		_, high, _ := colour.Strength{Error: 1, Freedom: freedom}.Within(measure.Ratio(level))
		want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile((1 + level) / 2)
		if math.Abs(float64(high)-want) > 1e-6*(1+want) {
			t.Errorf("t of %d, %v: %v, want %v", freedom, level, high, want)
		}
	})
}

func TestStrength_Within_unknown(t *testing.T) {
	for name, s := range map[string]struct {
		freedom int
		level   measure.Ratio
	}{"no freedom": {0, 0.95}, "never": {3, 0}, "always": {3, 1}, "no number": {3, measure.Ratio(math.NaN())}} {
		if low, high, ok := (colour.Strength{Amount: 0.1, Error: 0.01, Freedom: s.freedom}).Within(s.level); ok {
			t.Errorf("%s: %v to %v, want it not known", name, low, high)
		}
	}
	if low, _, _ := (colour.Strength{Amount: 0.1, Error: 0.1, Freedom: 1}).Within(0.95); low != 0 {
		t.Errorf("low end %v, want none below nothing", low)
	}
}
