package colour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"urdir/colour"
	"urdir/measure"
)

// dyed makes a series without error: K/S = K/S(bare) + slope g, g = amount /
// (1 + amount / half).
func dyed(bare colour.Bands, slope []colour.KS, half measure.Ratio, amounts ...measure.Ratio) colour.Series {
	s := colour.Series{Substrate: colour.Reading{Bands: bare}}
	for _, a := range amounts {
		s.Samples = append(s.Samples, colour.Sample{Amount: a, Reading: colour.Reading{Bands: after(bare, slope, half, a)}})
	}
	return s
}

func after(bare colour.Bands, slope []colour.KS, half, amount measure.Ratio) colour.Bands {
	g := amount
	if half > 0 {
		g = amount / (1 + amount/half)
	}
	out := colour.Bands{}
	for b, r := range bare {
		out = append(out, (r.KS() + slope[b]*colour.KS(g)).Reflectance())
	}
	return out
}

// By hand: bare R 0.8 (K/S 0.025) and 1 % giving R 0.4 (0.45) make 0.425 for each
// per cent; 0.5 % is K/S 0.2375, R 0.5085238, and 2 % is 0.875, R 0.2889278.
func TestFit_oneBandByHand(t *testing.T) {
	sh, ps := colour.Series{
		Substrate: colour.Reading{Bands: colour.Bands{0.8}},
		Samples:   []colour.Sample{{0.01, colour.Reading{Bands: colour.Bands{0.4}}}},
	}.Fit()
	wantCodes(t, "one sample", ps, "samples shade-one-sample?")
	if math.Abs(float64(sh.Slope[0])-42.5) > 1e-9 || sh.Half != 0 || sh.Freedom != 0 || sh.Least != 0.01 || sh.Most != 0.01 || sh.Coloured {
		t.Errorf("%+v", sh)
	}
	for amount, want := range map[measure.Ratio]float64{0: 0.8, 0.005: 0.5085238, 0.01: 0.4} {
		b, more := sh.At(amount)
		if len(more) > 0 || math.Abs(float64(b[0])-want) > 1e-7 {
			t.Errorf("%v: %v, %v; want %v", amount, b, more, want)
		}
	}
	b, ps := sh.At(0.02)
	wantCodes(t, "beyond", ps, "amount shade-beyond?")
	if math.Abs(float64(b[0])-0.2889278) > 1e-7 {
		t.Errorf("2 %%: %v", b)
	}
	got, ps := sh.Strength(colour.Reading{Bands: colour.Bands{0.5085238}})
	if len(ps) > 0 || math.Abs(float64(got.Amount)-0.005) > 1e-7 || got.Error != 0 {
		t.Errorf("%+v, %v", got, ps)
	}
}

// The least squares worked apart: with samples of the same reflectance all
// weights are alike and the slope is sum(c (K - K0)) / sum(c^2). R 0.5 (0.25) at 1 %
// and at 2 % over R 1 (0): (0.0025 + 0.005) / 0.0005 = 15; residuals 0.1 and -0.05.
func TestFit_leastSquaresByHand(t *testing.T) {
	half := colour.Reading{Bands: colour.Bands{0.5}}
	sh, ps := colour.Series{Substrate: colour.Reading{Bands: colour.Bands{1}}, Samples: []colour.Sample{{0.01, half}, {0.02, half}}}.Fit()
	if len(ps) > 0 || math.Abs(float64(sh.Slope[0])-15) > 1e-9 || sh.Freedom != 1 {
		t.Fatalf("%+v, %v", sh, ps)
	}
	// dL/dK at R = 0.5: 116/3 x 0.5^(-2/3) x 2 x 0.25 / 0.75 = 40.92.
	scatter := 40.92 * math.Sqrt(0.1*0.1+0.05*0.05)
	r := sh.Residuals
	if math.Abs(float64(r[0].KS[0])-0.1) > 1e-9 || math.Abs(float64(r[1].KS[0])+0.05) > 1e-9 || math.Abs(sh.Scatter-scatter) > 0.01 {
		t.Errorf("%+v, scatter %v; want %v", r, sh.Scatter, scatter)
	}
}

var (
	bareWool = colour.Bands{0.72, 0.68, 0.55}
	crimson  = []colour.KS{9, 75, 60} // for 100 % WOF
)

// A series without error gives back what it was made of, straight or bent, and its
// strengths.
func TestFit_givesBack(t *testing.T) {
	for _, half := range []measure.Ratio{0, 0.03, 0.1} {
		sh, ps := dyed(bareWool, crimson, half, 0.005, 0.01, 0.02, 0.04, 0.08).Fit()
		if len(ps) > 0 || sh.Coloured || sh.Scatter > 1e-4 {
			t.Fatalf("half %v: %v, %+v", half, ps, sh)
		}
		if math.Abs(float64(sh.Half-half)) > 1e-5 {
			t.Errorf("half is %v; want %v", sh.Half, half)
		}
		for b, want := range crimson {
			if math.Abs(float64(sh.Slope[b]/want)-1) > 1e-4 {
				t.Errorf("half %v: slope %d is %v; want %v", half, b, sh.Slope[b], want)
			}
		}
		for _, amount := range []measure.Ratio{0.003, 0.01, 0.03, 0.08, 0.2} {
			got, _ := sh.Strength(colour.Reading{Bands: after(bareWool, crimson, half, amount)})
			if math.Abs(float64(got.Amount/amount)-1) > 1e-4 {
				t.Errorf("half %v: %v for %v", half, got.Amount, amount)
			}
		}
	}
}

// noisy moves every band on the scale of lightness: part of the error is common to
// the bands of a sample, part is a band's own.
func noisy(r *rand.Rand, b colour.Bands, scatter float64) colour.Bands {
	common := r.NormFloat64() * scatter * math.Sqrt(0.7)
	out := colour.Bands{}
	for _, v := range b {
		l := 116*math.Cbrt(float64(v)) - 16 + common + r.NormFloat64()*scatter*math.Sqrt(0.3)
		out = append(out, min(1, colour.ReflectanceOf(l)))
	}
	return out
}

// trial dyes a series with errors, then a new skein of a known amount, and asks
// for the strength of that skein.
func trial(r *rand.Rand, half, amount measure.Ratio, scatter float64) (colour.Strength, colour.Shade) {
	s := dyed(bareWool, crimson, half, 0.005, 0.01, 0.02, 0.03, 0.04, 0.06, 0.08)
	for i := range s.Samples {
		s.Samples[i].Bands = noisy(r, s.Samples[i].Bands, scatter)
	}
	sh, _ := s.Fit()
	got, _ := sh.Strength(colour.Reading{Bands: noisy(r, after(bareWool, crimson, half, amount), scatter)})
	return got, sh
}

// The standard error is what strengths scatter by, found by dyeing a thousand
// series with known errors (Monte Carlo: JCGM 101:2008).
func TestStrength_errorIsWhatStrengthsScatterBy(t *testing.T) {
	for _, test := range []struct{ half, amount measure.Ratio }{{0, 0.015}, {0, 0.07}, {0.05, 0.015}, {0.05, 0.06}} {
		r := rand.New(rand.NewPCG(7, 8))
		const n = 1000
		sum, squares, errs, kept := 0.0, 0.0, 0.0, 0
		for range n {
			got, sh := trial(r, test.half, test.amount, 1)
			if (sh.Half > 0) != (test.half > 0) { // the other model: not what is asked here
				continue
			}
			d := float64(got.Amount/test.amount) - 1
			sum, squares, kept = sum+d, squares+d*d, kept+1
			errs += math.Pow(float64(got.Error/test.amount), 2)
		}
		mean := sum / float64(kept)
		scatter := math.Sqrt(squares/float64(kept) - mean*mean)
		told := math.Sqrt(errs / float64(kept))
		t.Logf("half %v, amount %v: mean off by %.4f, scatter %.4f, told %.4f, of %d", test.half, test.amount, mean, scatter, told, kept)
		if told < 0.85*scatter || told > 1.2*scatter || math.Abs(mean) > 0.5*scatter || kept < n/2 {
			t.Errorf("half %v, amount %v: mean off by %v, scatter %v, told %v, of %d", test.half, test.amount, mean, scatter, told, kept)
		}
	}
}

// Where K/S is proportional, the bend is seldom taken for real; where it is
// strong, it is found.
func TestFit_saturationOnlyWhereAsked(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	const n = 500
	wrongly, found := 0, 0
	for range n {
		if _, sh := trial(r, 0, 0.02, 1); sh.Half > 0 {
			wrongly++
		}
		if _, sh := trial(r, 0.04, 0.02, 1); sh.Half > 0 {
			found++
		}
	}
	t.Logf("of %d: %d false, %d found", n, wrongly, found)
	if wrongly > n*3/100 || found < n*90/100 {
		t.Errorf("of %d: %d false, %d found", n, wrongly, found)
	}
}
