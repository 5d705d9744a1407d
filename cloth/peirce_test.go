package cloth_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/cloth"
	"urdir/measure"
)

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// unit is a cloth whose diameters add up to 1 mm, so that spacings read as p/D.
func unit(p1, p2 float64) cloth.Peirce {
	return cloth.Peirce{D1: 0.5, D2: 0.5, P1: measure.MM(p1), P2: measure.MM(p2)}
}

// Peirce 1937, from memory; the rows are worked from his two equations.
func TestSpacingAndHeight_exactRows(t *testing.T) {
	for _, c := range []struct{ l, deg, p, h, crimp float64 }{
		{1.2, 30, 1.0857806435, 0.4721752084, 0.1051956094},
		{1.5, 30, 1.3455882646, 0.6221752084, 0.1147540741},
		{1.5, 20, 1.4235444707, 0.4539500420, 0.0537078618},
		{2.0, 25, 1.8397824628, 0.7545267328, 0.0870850443},
		// The square jam, theta 60 degrees and l = theta D: printed by
		// Balasubramanian as l/D 1.0472, p/D 0.866, crimp 0.2092.
		{math.Pi / 3, 60, 0.8660254038, 0.5, 0.2091995762},
	} {
		angle := c.deg * math.Pi / 180
		p, h := cloth.Spacing(c.l, 1, angle), cloth.Height(c.l, 1, angle)
		if !near(p, c.p, 1e-10) || !near(h, c.h, 1e-10) || !near(c.l/p-1, c.crimp, 1e-9) {
			t.Errorf("l %g, %g degrees: p %.10f h %.10f, want %.10f %.10f", c.l, c.deg, p, h, c.p, c.h)
		}
		// Both equations scale with the diameters.
		if got := cloth.Spacing(2*c.l, 2, angle); !near(got, 2*p, 1e-12) {
			t.Errorf("l %g, twice the size: p %g, want %g", c.l, got, 2*p)
		}
		// Worked backwards: the crimp leads to the same angle and height. Ends
		// three diameters apart leave the weft room.
		x, jam := unit(3, p).WithWarpCrimp(measure.Ratio(c.l/p - 1))
		if c.deg < 60 && (jam != cloth.JamNone || !near(x.Angle1, angle, 1e-8) || !near(float64(x.Height1), h, 1e-8)) {
			t.Errorf("l %g, %g degrees: back to %+v, %q", c.l, c.deg, x, jam)
		}
	}
}

// Balasubramanian, and GATE 2009 question 54 (21 %): equal yarns, both jammed.
func TestBalanced_squareJam(t *testing.T) {
	p := math.Sqrt(3) / 2
	x, jam := unit(p+1e-9, p+1e-9).Balanced()
	if jam != cloth.JamNone || !near(float64(x.Crimp1), 0.2091995762, 1e-4) || !near(float64(x.Crimp2), 0.2091995762, 1e-4) ||
		!near(float64(x.Height1), 0.5, 1e-6) || !near(x.Angle1, math.Pi/3, 1e-3) {
		t.Errorf("square jam: %+v, %q", x, jam)
	}
}

// The curve sqrt(1-(p1/D)^2) + sqrt(1-(p2/D)^2) = 1 (Peirce 1937, from memory;
// it follows from h1 + h2 = D): cloth just above it, none just below.
func TestRange_jamCurve(t *testing.T) {
	for _, c := range []struct{ p1, p2 float64 }{
		{0.50, 0.990985}, {0.60, 0.979796}, {0.70, 0.958272}, {0.75, 0.940944}, {0.80, 0.916515},
		{0.866025, 0.866026}, {0.90, 0.825700}, {0.95, 0.725948}, {0.99, 0.512089},
	} {
		if low, high, jam := unit(c.p1, c.p2+2e-5).Range(); jam != cloth.JamNone || high < low {
			t.Errorf("above the curve at %g, %g: %v to %v, %q", c.p1, c.p2, low, high, jam)
		}
		below := unit(c.p1, c.p2-2e-5)
		if low, high, jam := below.Range(); jam != cloth.JamBoth || high >= low {
			t.Errorf("below the curve at %g, %g: %v to %v, %q", c.p1, c.p2, low, high, jam)
		}
		if x, jam := below.Balanced(); jam != cloth.JamBoth || x != (cloth.Crossed{}) {
			t.Errorf("below the curve at %g, %g: %+v, %q", c.p1, c.p2, x, jam)
		}
	}
}

// Peirce's 4/3 rule against the exact heights; D = 1.
func TestHeightApprox_withinFivePerCent(t *testing.T) {
	for _, c := range []struct{ p, crimp, deg, exact, approx float64 }{
		{1.0, 0.05, 20.163, 0.30191, 0.29814},
		{1.0, 0.10, 29.837, 0.42075, 0.42164},
		{1.0, 0.20, 45.054, 0.58634, 0.59628},
		{1.25, 0.10, 28.280, 0.53695, 0.52705},
		{1.5, 0.05, 19.171, 0.46280, 0.44721},
		{1.5, 0.10, 27.456, 0.65245, 0.63246},
		{2.0, 0.10, 26.584, 0.88260, 0.84327},
	} {
		x, jam := unit(3, c.p).WithWarpCrimp(measure.Ratio(c.crimp))
		if jam != cloth.JamNone || !near(float64(x.Height1), c.exact, 5e-6) || !near(x.Angle1*180/math.Pi, c.deg, 5e-4) {
			t.Errorf("p %g, crimp %g: %+v, %q; want height %g at %g degrees", c.p, c.crimp, x, jam, c.exact, c.deg)
		}
		got := cloth.HeightApprox(c.p, measure.Ratio(c.crimp))
		if !near(got, c.approx, 5e-6) || math.Abs(got/float64(x.Height1)-1) > 0.05 {
			t.Errorf("p %g, crimp %g: approximately %g, exactly %g", c.p, c.crimp, got, x.Height1)
		}
	}
}

// checkCrossed puts a result back into Peirce's equations.
func checkCrossed(t *rapid.T, c cloth.Peirce, x cloth.Crossed) {
	t.Helper()
	d := float64(c.Sum())
	if !near(float64(x.Height1+x.Height2), d, 1e-9*d) {
		t.Fatalf("%+v: heights %v + %v are not D %v", c, x.Height1, x.Height2, d)
	}
	for _, s := range []struct {
		name  string
		p, h  measure.MM
		crimp measure.Ratio
		angle float64
	}{{"warp", c.P2, x.Height1, x.Crimp1, x.Angle1}, {"weft", c.P1, x.Height2, x.Crimp2, x.Angle2}} {
		l := float64(s.p) * (1 + float64(s.crimp))
		if p := cloth.Spacing(l, d, s.angle); !near(p, float64(s.p), 1e-6*d) {
			t.Fatalf("%+v %s: %+v spaces %v, want %v", c, s.name, x, p, s.p)
		}
		if h := cloth.Height(l, d, s.angle); !near(h, float64(s.h), 1e-6*d) {
			t.Fatalf("%+v %s: %+v rises %v, want %v", c, s.name, x, h, s.h)
		}
		if s.crimp < -1e-9 || l < d*s.angle-1e-6*d {
			t.Fatalf("%+v %s: %+v bends beyond its jam", c, s.name, x)
		}
	}
}

func anyPeirce(t *rapid.T) cloth.Peirce {
	f := func(name string, low, high float64) measure.MM {
		return measure.MM(rapid.Float64Range(low, high).Draw(t, name))
	}
	c := cloth.Peirce{D1: f("d1", 0.1, 2), D2: f("d2", 0.1, 2)}
	c.P1, c.P2 = c.Sum()*f("p1", 0.3, 4), c.Sum()*f("p2", 0.3, 4)
	return c
}

func TestPeirce_answersObeyTheEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyPeirce(t)
		want := measure.Ratio(rapid.Float64Range(0, 0.6).Draw(t, "crimp"))
		_, _, none := c.Range()
		x, jam := c.WithWarpCrimp(want)
		b, jamB := c.Balanced()
		if none == cloth.JamBoth {
			if jam != none || jamB != none {
				t.Fatalf("%+v has no cloth, but %q and %q", c, jam, jamB)
			}
			return
		}
		checkCrossed(t, c, x)
		checkCrossed(t, c, b)
		switch jam {
		case cloth.JamNone:
			if !near(float64(x.Crimp1), float64(want), 1e-6) {
				t.Fatalf("%+v: crimp %v, wanted %v", c, x.Crimp1, want)
			}
		case cloth.JamWarp:
			if x.Crimp1 >= want {
				t.Fatalf("%+v: the warp stopped at %v, past %v", c, x.Crimp1, want)
			}
		case cloth.JamWeft:
			if x.Crimp1 <= want {
				t.Fatalf("%+v: the weft stopped the warp at %v, short of %v", c, x.Crimp1, want)
			}
		}
		if jamB == cloth.JamNone && !near(float64(b.Crimp1), float64(b.Crimp2), 1e-6) {
			t.Fatalf("%+v: balanced at %v and %v", c, b.Crimp1, b.Crimp2)
		}
	})
}

// Peirce's geometry with no crimp in the weft (h2 = 0, h1 = D) is the closed form.
func TestStraightWeft_isPeirceWithStraightWeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		warp := measure.MM(rapid.Float64Range(0.1, 2).Draw(t, "warp"))
		weft := measure.MM(rapid.Float64Range(0.1, 2).Draw(t, "weft"))
		f := measure.Ratio(rapid.Float64Range(0.3, 1).Draw(t, "flatness"))
		share := rapid.Float64Range(0.05, 0.99).Draw(t, "share of the most picks")
		picks := cloth.MostPicks(warp, weft, f) * measure.PerCM(share)
		g, err := cloth.StraightWeft(cloth.Crossing{Warp: warp, Weft: weft, Picks: picks, Flatness: f})
		if err != nil {
			t.Fatal(err)
		}
		d := float64(g.Sum)
		if p := cloth.Spacing(float64(g.Length), d, g.Angle); !near(p, float64(g.Spacing), 1e-9) {
			t.Fatalf("%+v spaces %v", g, p)
		}
		if h := cloth.Height(float64(g.Length), d, g.Angle); !near(h, d, 1e-9) {
			t.Fatalf("%+v rises %v", g, h)
		}
		// The full model, pushed to its highest warp crimp, agrees.
		full := cloth.Peirce{D1: warp * measure.MM(f), D2: weft * measure.MM(f), P1: 5 * g.Sum, P2: g.Spacing}
		x, jam := full.WithWarpCrimp(g.TakeUp)
		if jam == cloth.JamWeft || !near(float64(x.Height1), d, 1e-5*d) || !near(float64(x.Crimp1), float64(g.TakeUp), 1e-6) {
			t.Fatalf("%+v: %+v, %q", full, x, jam)
		}
	})
}
