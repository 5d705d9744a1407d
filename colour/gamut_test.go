package colour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"urdir/colour"
)

// Beyond the chroma that is kept, nothing up to the wish can be shown, looked over
// in finer steps; at lightness 97 and hue 103.5 the ray leaves sRGB and enters it
// again.
func TestShow_mostChroma(t *testing.T) {
	const least = -0.5 / 255 / 12.92 // light of half a step of eight bits below 0
	most := math.Pow((1+0.5/255+0.055)/1.055, 2.4)
	try := func(l, h float64) {
		wish := colour.LCh{L: l, C: 130, H: degrees(h)}
		kept := wish.Lab().Show().Lab.LCh().C
		for c := kept + 0.01; c < wish.C; c += 0.02 {
			light := colour.LCh{L: l, C: c, H: wish.H}.Lab().Linear()
			if min(light.R, light.G, light.B) >= least && max(light.R, light.G, light.B) <= most {
				t.Fatalf("%+v keeps a chroma of %v; %v can be shown", wish, kept, c)
			}
		}
	}
	try(97, 103.5)
	for l := 2.0; l < 100; l += 9.7 {
		for h := 0.0; h < 360; h += 7 {
			try(l, h)
		}
	}
}

// What is shown keeps lightness and hue, gives up no more chroma than it must, and
// is told as it is.
func TestShow_outside(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	seen := 0
	for range 3000 {
		c := colour.LCh{L: 2 + 96*r.Float64(), C: 150 * r.Float64(), H: degrees(360 * r.Float64())}
		s := c.Lab().Show()
		if s.Inside {
			continue
		}
		seen++
		got := s.Lab.LCh()
		turn := math.Abs(float64(got.H - c.H))
		if math.Abs(got.L-c.L) > 1e-9 || min(turn, 360-turn)*got.C > 1e-5 || math.Abs(got.C+s.Given-c.C) > 1e-9 || s.Given <= 0 {
			t.Fatalf("%+v is shown as %+v, %+v", c, got, s)
		}
		more := colour.LCh{L: got.L, C: got.C + 0.001, H: c.H}.Lab().Show()
		if more.Inside || s.Beyond <= 0 || math.Abs(float64(s.Away-colour.Difference(c.Lab(), s.Lab))) > 1e-12 {
			t.Fatalf("%+v: chroma %v would do: %+v", c, got.C+0.001, more)
		}
		if d := colour.Difference(s.SRGB.Lab(), s.Lab); d > 1.5 { // eight bits
			t.Fatalf("%+v: %v is %v from %v", c, s.SRGB, d, s.Lab)
		}
	}
	if seen < 500 {
		t.Errorf("only %d colours lay outside", seen)
	}
}

// Lightness beyond white and black is cut off.
func TestShow_beyondWhite(t *testing.T) {
	if s := (colour.Lab{L: 104, A: 3}).Show(); s.Inside || s.SRGB != (colour.SRGB{R: 255, G: 255, B: 255}) || s.Beyond < 0.1 {
		t.Errorf("%+v", s)
	}
	if s := (colour.Lab{L: -3}).Show(); s.Inside || s.SRGB != (colour.SRGB{}) || s.Beyond <= 0 {
		t.Errorf("%+v", s)
	}
}
