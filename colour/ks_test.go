package colour_test

import (
	"math"
	"testing"

	"urdir/colour"
)

// By hand from (1 - R)^2 / (2 R), Kubelka and Munk 1931.
func TestKS(t *testing.T) {
	for r, want := range map[colour.Reflectance]float64{0.90: 0.005555556, 0.75: 0.041666667, 0.50: 0.25, 0.25: 1.125, 0.10: 4.05, 0.05: 9.025, 1: 0} {
		if got := float64(r.KS()); math.Abs(got-want) > 1e-9 {
			t.Errorf("K/S of %v is %v; want %v", r, got, want)
		}
	}
	for r := colour.Reflectance(1e-6); r <= 1; r *= 1.1 {
		if back := r.KS().Reflectance(); math.Abs(float64(back/r)-1) > 1e-9 {
			t.Errorf("%v comes back as %v", r, back)
		}
	}
}

func TestBands(t *testing.T) {
	// Grey of L 50 has the reflectance ((50 + 16) / 116)^3 = 0.18419 in each channel.
	b, moved := colour.Lab{L: 50}.Bands()
	if moved || len(b) != 3 {
		t.Fatalf("%v, %v", b, moved)
	}
	for _, r := range b {
		if math.Abs(float64(r)-0.18419) > 0.00001 {
			t.Errorf("%v", b)
		}
	}
	if c, ok := b.Colour(); !ok || !near(c, colour.Lab{L: 50}, 1e-6) {
		t.Errorf("comes back as %v, %v", c, ok)
	}
	if c, ok := (colour.Bands{0.5, 0.5}).Colour(); ok {
		t.Errorf("two bands are the colour %v", c)
	}
	// Bluer than any screen: the red channel is below nothing.
	if b, moved := (colour.Lab{L: 40, A: -10, B: -70}).Bands(); !moved || b[0] != 0.002 {
		t.Errorf("%v, %v", b, moved)
	}
	for _, c := range []colour.Lab{{L: 100}, {}} {
		b, moved := c.Bands()
		if want := c.L == 0; moved != want { // black is raised
			t.Errorf("%v: %v, %v", c, b, moved)
		}
	}
}

// Bands that K/S adds up in by hand: bare R 0.8 (K/S 0.025); one bath gives 0.4
// (0.45) in every band, so two give 0.875 and R 0.2889278.
func TestOverdye(t *testing.T) {
	grey := func(r colour.Reflectance) colour.Lab { c, _ := colour.Bands{r, r, r}.Colour(); return c }
	if got, want := colour.Overdye(grey(0.8), grey(0.4), grey(0.4)), grey(0.2889278); !near(got, want, 1e-4) {
		t.Errorf("two baths: %v; want %v", got, want)
	}
	// Properties: bare yarn adds nothing, the order does not matter, no bath gives
	// the bare yarn, and a bath that bleaches does not go below white.
	bare, blue, yellow := colour.Lab{L: 85, A: 1, B: 9}, colour.Lab{L: 40, A: -3, B: -25}, colour.Lab{L: 75, A: 5, B: 55}
	if got := colour.Overdye(bare, blue, bare); !near(got, blue, 1e-6) {
		t.Errorf("a bath without dye changes %v to %v", blue, got)
	}
	green := colour.Overdye(bare, blue, yellow)
	if !near(green, colour.Overdye(bare, yellow, blue), 1e-9) || !near(colour.Overdye(bare), bare, 1e-6) {
		t.Error("the order matters, or no bath does")
	}
	// Blue over yellow is green and darker than either (common practice, no source).
	if h := green.LCh(); h.H < 110 || h.H > 200 || green.L > blue.L || green.L > yellow.L {
		t.Errorf("blue over yellow is %v, %+v", green, h)
	}
	if got := colour.Overdye(grey(0.5), grey(0.9), grey(0.9)); !near(got, colour.Lab{L: 100}, 1e-3) {
		t.Errorf("bleached twice: %v", got)
	}
}
