package colour_test

import (
	"math"
	"testing"

	"urdir/colour"
	"urdir/measure"
)

func lab(l, a, b float64) colour.Reading {
	return colour.Reading{Colour: colour.Lab{L: l, A: a, B: b}}
}

// roses is a made-up series on wool, as a phone would give it.
func roses() colour.Series {
	return colour.Series{Substrate: lab(84, 1, 12), Samples: []colour.Sample{
		{0.01, lab(63.5, 27, 3)}, {0.02, lab(55, 35, 2.5)}, {0.04, lab(46, 41, 3.5)}, {0.08, lab(37.5, 43, 7)},
	}}
}

func TestFit_colours(t *testing.T) {
	sh, ps := roses().Fit()
	if len(ps) > 0 || !sh.Coloured || sh.Least != 0.01 || sh.Most != 0.08 || len(sh.Residuals) != 4 {
		t.Fatalf("%v, %+v", ps, sh)
	}
	for i, x := range roses().Samples {
		b, _ := sh.At(x.Amount)
		c, ok := b.Colour()
		d := colour.Difference(c, x.Colour)
		if !ok || d > 4 || math.Abs(float64(d-sh.Residuals[i].Difference)) > 1e-12 {
			t.Errorf("%v: %v for %v, %v off; told %v", x.Amount, c, x.Colour, d, sh.Residuals[i].Difference)
		}
	}
	// More dye is darker, and a colour on the curve is found again.
	last := 100.0
	for a := measure.Ratio(0.002); a <= 0.08; a *= 1.3 {
		b, _ := sh.At(a)
		c, _ := b.Colour()
		if c.L >= last {
			t.Errorf("%v is no darker than a weaker bath", a)
		}
		last = c.L
		got, ps := sh.Strength(colour.Reading{Colour: c})
		if len(ps) > 0 || math.Abs(float64(got.Amount/a)-1) > 1e-4 || got.Away > 0.01 || got.Freedom < 2 || !(got.Error > 0 && got.Error < got.Amount) {
			t.Errorf("%v: %+v, %v", a, got, ps)
		}
	}
}

func TestFit_problems(t *testing.T) {
	change := func(f func(*colour.Series)) colour.Series { s := roses(); f(&s); return s }
	nan := math.NaN()
	for _, test := range []struct {
		name string
		s    colour.Series
		want []string
	}{
		{"no samples", colour.Series{}, []string{"substrate.colour shade-outside-screen?", "samples shade-no-samples"}},
		{"amounts", change(func(s *colour.Series) {
			s.Samples[0].Amount, s.Samples[1].Amount, s.Samples[2].Amount, s.Samples[3].Amount = 0, -1, measure.Ratio(nan), 11
		}), []string{"samples[0].amount shade-amount", "samples[1].amount shade-amount", "samples[2].amount shade-amount", "samples[3].amount shade-amount"}},
		{"bands", change(func(s *colour.Series) {
			s.Samples[1].Bands = colour.Bands{0.5, 0.5}
			s.Samples[2].Bands = colour.Bands{0, 1.1, colour.Reflectance(nan)}
		}), []string{"samples[1].bands shade-bands", "samples[2].bands[0] shade-reflectance", "samples[2].bands[1] shade-reflectance", "samples[2].bands[2] shade-reflectance"}},
		{"too many bands", colour.Series{Substrate: colour.Reading{Bands: make(colour.Bands, 401)}, Samples: roses().Samples}, nil},
		{"too many samples", change(func(s *colour.Series) { s.Samples = make([]colour.Sample, 101) }), []string{"samples shade-many-samples"}},
		{"no dye", change(func(s *colour.Series) {
			for i := range s.Samples {
				s.Samples[i].Colour = colour.Lab{L: 90, A: 1, B: 10}
			}
		}), []string{"samples shade-flat"}},
		{"one far off", change(func(s *colour.Series) { s.Samples[1].Colour = colour.Lab{L: 55, A: 28, B: 14} }), []string{"samples[1] shade-sample-off?"}},
		{"outside sRGB", change(func(s *colour.Series) { s.Samples[3].Colour = colour.Lab{L: 37.5, A: 75, B: 20} }),
			[]string{"samples[3].colour shade-outside-screen?", "samples[2] shade-sample-off?", "samples[3] shade-sample-off?"}},
	} {
		_, ps := test.s.Fit()
		if test.want == nil { // each band is 0 as well
			if got := codes(ps); got[len(got)-1] != "substrate.bands shade-bands" || len(got) != 402 {
				t.Errorf("%s: %d problems, the last %q", test.name, len(got), got[len(got)-1])
			}
			continue
		}
		wantCodes(t, test.name, ps, test.want...)
	}
}

func TestStrength_problems(t *testing.T) {
	sh, _ := roses().Fit()
	for _, test := range []struct {
		name string
		wish colour.Reading
		want []string
	}{
		{"paler than the bare wool", lab(95, 0, 2), []string{"wish shade-too-pale"}},
		{"nearly black", lab(8, 5, 2), []string{"wish shade-too-strong"}},
		{"beyond the samples", lab(30, 43, 10), []string{"amount shade-beyond?"}},
		{"blue", lab(45, -5, -30), []string{"wish shade-other-hue?"}},
		{"a blue no screen shows", lab(45, -20, -60), []string{"wish.colour shade-outside-screen?", "wish shade-other-hue?"}},
		{"other bands", colour.Reading{Bands: colour.Bands{0.5}}, []string{"wish shade-bands"}},
		{"bands for colours", colour.Reading{Bands: colour.Bands{0.5, 0.5, 0.5}}, []string{"wish shade-bands"}},
		{"no reflectance", colour.Reading{Bands: colour.Bands{0, 0.5, 0.5}}, []string{"wish.bands[0] shade-reflectance", "wish shade-bands"}},
	} {
		got, ps := sh.Strength(test.wish)
		wantCodes(t, test.name, ps, test.want...)
		if ps.Failed() != (got.Amount == 0) {
			t.Errorf("%s: %+v", test.name, got)
		}
	}
	for _, a := range []measure.Ratio{-0.01, 11, measure.Ratio(math.NaN())} {
		_, ps := sh.At(a)
		wantCodes(t, "amount", ps, "amount shade-amount")
	}
}

// A spectrum of 31 bands is fitted as three are.
func TestFit_spectrum(t *testing.T) {
	bare, slope := colour.Bands{}, []colour.KS{}
	for i := range 31 {
		bare = append(bare, 0.5+colour.Reflectance(i)*0.01)
		slope = append(slope, colour.KS(60*math.Exp(-math.Pow(float64(i-13)/5, 2))))
	}
	sh, ps := dyed(bare, slope, 0.05, 0.01, 0.02, 0.03, 0.05, 0.1).Fit()
	if len(ps) > 0 || math.Abs(float64(sh.Half)-0.05) > 1e-5 {
		t.Fatalf("%v, half %v", ps, sh.Half)
	}
	for b := range slope {
		if math.Abs(float64(sh.Slope[b]-slope[b])) > 1e-3 {
			t.Errorf("slope %d is %v; want %v", b, sh.Slope[b], slope[b])
		}
	}
	got, ps := sh.Strength(colour.Reading{Bands: after(bare, slope, 0.05, 0.04)})
	if len(ps) > 0 || math.Abs(float64(got.Amount)-0.04) > 1e-6 || got.Away != 0 {
		t.Errorf("%+v, %v", got, ps)
	}
}
