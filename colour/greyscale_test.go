package colour_test

import (
	"math"
	"testing"

	"urdir/colour"
)

var grades = []string{"5", "4-5", "4", "3-4", "3", "2-3", "2", "1-2", "1"}

// ISO 105-A02, Table 1: the CIELAB differences of the grey scale's pairs. They are
// greys, so the whole difference is lightness.
func TestRateChange_greyScale(t *testing.T) {
	for i, step := range []float64{0, 0.8, 1.7, 2.5, 3.4, 4.8, 6.8, 9.6, 13.6} {
		for _, l := range []float64{step, -step} {
			r := colour.RateChange(colour.Lab{L: 50}, colour.Lab{L: 50 + l})
			want := 5 - float64(i)/2
			if math.Abs(r.Value-want) > 0.03 || r.Grade.String() != grades[i] || math.Abs(float64(r.Difference)-step) > 1e-12 {
				t.Errorf("lightness %+v: %+v; want %v", l, r, grades[i])
			}
		}
	}
}

// The bounds of half grades in ISO 105-A05 (from memory); they are the middles of
// the steps above. At the bound itself the lower grade holds.
func TestRateChange_bounds(t *testing.T) {
	for i, bound := range []float64{0.40, 1.25, 2.10, 2.95, 4.10, 5.80, 8.20, 11.60} {
		below := colour.RateChange(colour.Lab{}, colour.Lab{L: bound - 0.001})
		above := colour.RateChange(colour.Lab{}, colour.Lab{L: bound + 0.001})
		if below.Grade.String() != grades[i] || above.Grade.String() != grades[i+1] {
			t.Errorf("%v: %v and %v; want %v and %v", bound, below.Grade, above.Grade, grades[i], grades[i+1])
		}
	}
	if r := colour.RateChange(colour.Lab{L: 90}, colour.Lab{}); r.Grade != colour.Worst || r.Value != 1 {
		t.Errorf("white to black: %+v", r)
	}
}

// Worked apart from the program by the formula of ISO 105-A05 (from memory). The
// last lies where the blues are corrected: exp(-x) is 0.64 there.
func TestRateChange_colours(t *testing.T) {
	for _, test := range []struct {
		before, after colour.Lab
		e, value      float64
	}{
		{colour.Lab{L: 50}, colour.Lab{L: 53.4}, 3.4, 3},
		{colour.Lab{L: 40, A: 50, B: 20}, colour.Lab{L: 45, A: 44, B: 18}, 5.89800, 2.20531},
		{colour.Lab{L: 75, A: 5, B: 70}, colour.Lab{L: 78, A: 4, B: 62}, 4.20290, 2.69415},
		{colour.Lab{L: 35, A: 5, B: -35}, colour.Lab{L: 40, A: 4, B: -30}, 5.67812, 2.26012},
	} {
		r := colour.RateChange(test.before, test.after)
		if math.Abs(float64(r.Difference)-test.e) > 1e-5 || math.Abs(r.Value-test.value) > 1e-5 {
			t.Errorf("%v to %v: %+v; want %v, %v", test.before, test.after, r, test.e, test.value)
		}
	}
}

// ISO 105-A03: the CIELAB differences of the scale for staining (from memory). Its
// pairs are a white and greys.
func TestRateStaining_greyScale(t *testing.T) {
	for i, step := range []float64{0, 2.2, 4.3, 6.0, 8.5, 12.0, 16.9, 24.0, 34.1} {
		r := colour.RateStaining(colour.Lab{L: 95}, colour.Lab{L: 95 - step})
		if want := 5 - float64(i)/2; math.Abs(r.Value-want) > 0.02 || r.Grade.String() != grades[i] {
			t.Errorf("%v: %+v; want %v", step, r, grades[i])
		}
	}
	// By hand: a stain of colour alone weighs 1 - 0.4 of its difference, 10 as 6.
	if r := colour.RateStaining(colour.Lab{L: 95}, colour.Lab{L: 95, A: 6, B: -8}); math.Abs(float64(r.Difference)-6) > 1e-12 || r.Grade.String() != "3-4" {
		t.Errorf("a blue stain: %+v", r)
	}
	if r := colour.RateStaining(colour.Lab{L: 95}, colour.Lab{L: 5}); r.Grade != colour.Worst {
		t.Errorf("white to black: %+v", r)
	}
}

func TestParseGrade(t *testing.T) {
	for g, name := range grades {
		for _, in := range []string{name, " " + name + " "} {
			got, err := colour.ParseGrade(in)
			if err != nil || got != colour.Best-colour.Grade(g) || got.String() != name {
				t.Errorf("%q: %v, %v", in, got, err)
			}
		}
		text, err := (colour.Best - colour.Grade(g)).MarshalText()
		var back colour.Grade
		if err != nil || back.UnmarshalText(text) != nil || back != colour.Best-colour.Grade(g) {
			t.Errorf("%s comes back as %v", text, back)
		}
	}
	for in, want := range map[string]string{"4/5": "4-5", "4 – 5": "4-5", "1-2": "1-2"} {
		if g, err := colour.ParseGrade(in); err != nil || g.String() != want {
			t.Errorf("%q: %v, %v", in, g, err)
		}
	}
	for _, in := range []string{"", "0", "6", "5-6", "0-1", "4-4", "3-5", "4.5", "x"} {
		_, err := colour.ParseGrade(in)
		wantCode(t, in, "grade-value", err)
	}
	var g colour.Grade
	if text, _ := g.MarshalText(); len(text) > 0 || g.UnmarshalText(text) != nil || g != 0 || g.UnmarshalText([]byte("9")) == nil {
		t.Error("a grade that was not given")
	}
}

func FuzzParseGrade(f *testing.F) {
	for _, s := range []string{"4-5", "4", "4/5", "", "–"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		g, err := colour.ParseGrade(s)
		if err == nil && (g < colour.Worst || g > colour.Best) {
			t.Errorf("%q is %d", s, g)
		}
	})
}
