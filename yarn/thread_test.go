package yarn_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/measure"
	"urdir/yarn"
)

const (
	metresPerYard = 0.9144    // exact, agreement of 1959
	gramsPerPound = 453.59237 // exact
)

// Folded yarns: 1/R = sum of 1/N in indirect systems, so tex adds up.
func TestFold_handbookExamples(t *testing.T) {
	for _, c := range []struct {
		source string
		counts []float64
		want   float64
		within float64
	}{
		{"Taylor p. 239", []float64{60, 40}, 24, 1e-9},
		{"Brooks p. 91", []float64{40, 20}, 40.0 / 3, 1e-9},
		{"Brooks p. 91, printed 21.81", []float64{40, 80, 120}, 21.81, 0.01},
		{"Davis Ex. 30", []float64{64, 48, 32}, 14 + 10.0/13, 1e-9},
		{"Davis Ex. 39", []float64{48, 24}, 16, 1e-9},
		{"Davis Ex. 39, third thread 26 2/3 by his rule (derived)", []float64{16, 80.0 / 3}, 10, 1e-9},
		{"Davis Ex. 38: 70s brings 30s to 21s", []float64{30, 70}, 21, 1e-9},
		{"textilecalculation, September 2015, printed 5.21", []float64{20, 30, 30, 40, 40, 40}, 5.21, 0.01},
	} {
		var threads []measure.Tex
		for _, n := range c.counts {
			threads = append(threads, yarn.Count{System: yarn.Cotton, Number: n, Plies: 1}.Tex())
		}
		folded := yarn.Count{System: yarn.Tex, Number: float64(yarn.Fold(threads...)), Plies: 1}
		if got := folded.In(yarn.Cotton).Number; math.Abs(got-c.want) > c.within {
			t.Errorf("%s: %v fold to %.4f, want %.4f", c.source, c.counts, got, c.want)
		}
	}
}

func TestFold_isTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := measure.Tex(rapid.Float64Range(0.1, 1000).Draw(t, "tex"))
		n := rapid.IntRange(1, 24).Draw(t, "plies")
		threads := make([]measure.Tex, n)
		for i := range threads {
			threads[i] = one
		}
		plied := yarn.Count{System: yarn.Tex, Number: float64(one), Plies: n}
		if got := yarn.Fold(threads...); !near(float64(got), float64(plied.Tex()), 1e-12) {
			t.Fatalf("%d of %v fold to %v, count says %v", n, one, got, plied.Tex())
		}
	})
}

// Peirce, Journal of the Textile Institute 28, 1937, T45 (from memory):
// 1/(28 sqrt(Ne)) inch. His 28 is rounded: v = 1.1 gives 27.9291, so the exact
// diameters are 0.2539 % above his.
func TestDiameter_peirce(t *testing.T) {
	for ne, printed := range map[float64]float64{
		1: 0.90714, 4: 0.45357, 8: 0.32072, 10: 0.28686, 16: 0.22679, 20: 0.20284,
		30: 0.16562, 36: 0.15119, 40: 0.14343, 60: 0.11711, 100: 0.09071,
	} {
		tex := yarn.Count{System: yarn.Cotton, Number: ne, Plies: 1}.Tex()
		got := float64(yarn.Diameter(tex, yarn.DefaultVolume))
		if !near(got, printed*28/27.9291, 5e-5) {
			t.Errorf("Ne %g: %.5f mm, Peirce %.5f", ne, got, printed)
		}
		// The same in tex: 20 sqrt(1.1e-5/pi) = 0.0374241 (derived).
		if want := 0.0374241 * math.Sqrt(float64(tex)); !near(got, want, 1e-6) {
			t.Errorf("Ne %g: %.6f mm, want %.6f", ne, got, want)
		}
	}
}

// N. Balasubramanian, on yarn and cloth: d = 34.14 sqrt(v/C) mils.
func TestDiameter_bySpecificVolume(t *testing.T) {
	for _, v := range []float64{0.8, 1.1, 1.5, 2.2} {
		for _, ne := range []float64{4, 20, 60} {
			got := float64(yarn.Diameter(yarn.Count{System: yarn.Cotton, Number: ne, Plies: 1}.Tex(), measure.CM3G(v)))
			if want := 34.14 * math.Sqrt(v/ne) * 0.0254; !near(got, want, 1e-4) {
				t.Errorf("Ne %g at %g cm3/g: %.5f mm, want %.5f", ne, v, got, want)
			}
		}
	}
}

// J. T. Taylor, Cotton Weaving and Designing, 6th ed., p. 453: threads that lie
// side by side in an inch. He takes the root of yards per pound less 5 %; our
// 0.9637 of the root (27.9291/sqrt 840) is 1.43 % finer, and printed halves add 0.2 %.
func TestDiameter_taylorsTable(t *testing.T) {
	for ne, printed := range map[float64]float64{15: 106.5, 26: 140.5, 32: 156, 50: 195, 60: 213, 78: 243, 200: 390} {
		d := yarn.Diameter(yarn.Count{System: yarn.Cotton, Number: ne, Plies: 1}.Tex(), yarn.DefaultVolume)
		perInch := 25.4 / float64(d)
		if want := printed * 27.9291 / math.Sqrt(840) / 0.95; !near(perInch, want, 0.002) {
			t.Errorf("Ne %g: %.2f per inch, Taylor's rule with our diameter %.2f", ne, perInch, want)
		}
	}
}

// Yarn needed, from the handbooks: ends x yards / (hank x count) pounds.
func TestMass_handbookExamples(t *testing.T) {
	for _, c := range []struct {
		source, count string
		yards         float64
		pounds        float64
		within        float64
	}{
		{"Brooks, Weight of a Piece: 2280 ends of 38 yd, 3 lb 7 oz", "Ne 30", 2280 * 38, 3 + 7.0/16, 0.5 / 16},
		{"Brooks p. 96, Scotch: 2260 ends of 38 yd, printed 3.407", "Ne 30", 2260 * 38, 3.407, 0.001},
		{"Brooks: 9240 yd of 44s is a quarter pound", "Ne 44", 9240, 0.25, 1e-9},
		{"American Correspondence School of Textiles 1898: 8800 yd of 5.5 run, 16 oz", "run 5.5", 8800, 1, 1e-9},
		{"the same: 5250 yd of 3 run, 17.5 oz", "run 3", 5250, 17.5 / 16, 1e-9},
		{"the same: 4000 yd of 8 run, 5 oz", "run 8", 4000, 5.0 / 16, 1e-9},
		{"Taylor p. 245, 2100 ends of 95 yd (answer derived: 237.5 hanks)", "Ne 30", 2100 * 95, 237.5 / 30, 1e-9},
		{"measuredthreads, towels: 528 ends of 4 yd, almost 2/3 lb", "Ne 8/2", 528 * 4, 0.628571, 1e-6},
	} {
		th := settle(t, yarn.Spec{Count: mustParse(t, c.count), Strands: 1})
		got := float64(th.Mass(measure.M(c.yards*metresPerYard))) / gramsPerPound
		if math.Abs(got-c.pounds) > c.within {
			t.Errorf("%s: got %.5f lb, want %.5f", c.source, got, c.pounds)
		}
	}
}

func settle(t testing.TB, s yarn.Spec) yarn.Thread {
	t.Helper()
	th, ps := s.Thread()
	if ps.Failed() {
		t.Fatalf("%+v: %v", s, ps)
	}
	return th
}

func TestThread_strandsSkeinTwistAndWraps(t *testing.T) {
	// ISO 1139 (from memory): direct densities add up.
	doubled := settle(t, yarn.Spec{Count: mustParse(t, "20 tex x 2"), Strands: 2})
	if doubled.StrandTex != 40 || doubled.Tex != 80 {
		t.Errorf("two strands of 20 tex x 2: %+v", doubled)
	}
	// ISO 2060 (from memory): mass over length of a skein. 100 m of 5 g is 50 tex.
	if got := settle(t, yarn.Spec{SkeinLength: 100, SkeinMass: 5, Strands: 1}).Tex; got != 50 {
		t.Errorf("a skein of 100 m and 5 g: %v tex", got)
	}
	// By hand: plies that lose a twentieth of their length weigh 40/0.95 per km.
	for in, want := range map[string]float64{"20 tex x 2": 40 / 0.95, "R 40 tex/2": 40, "40 tex": 40} {
		got := settle(t, yarn.Spec{Count: mustParse(t, in), Strands: 1, Contraction: 0.05})
		if !near(float64(got.Tex), want, 1e-12) {
			t.Errorf("%s with 5 %% lost to twist: %v tex, want %v", in, got.Tex, want)
		}
	}
	// By hand: 20 wraps in a centimetre are half a millimetre each.
	wrapped := settle(t, yarn.Spec{Count: mustParse(t, "Ne 8/2"), Strands: 1, Wraps: 20})
	if wrapped.Diameter != 0.5 || !wrapped.Measured {
		t.Errorf("20 wraps: %+v", wrapped)
	}
}

func TestThread_problems(t *testing.T) {
	good := mustParse(t, "Ne 8/2") // 0.4547 mm by Peirce
	for _, c := range []struct {
		spec     yarn.Spec
		code     string
		severity check.Severity
	}{
		{yarn.Spec{Strands: 1}, "yarn-no-count", check.Error},
		{yarn.Spec{Count: good, SkeinLength: 1, SkeinMass: 1, Strands: 1}, "yarn-count-and-skein", check.Error},
		{yarn.Spec{SkeinLength: 100, Strands: 1}, "yarn-skein", check.Error},
		{yarn.Spec{Count: good, Strands: 1, Contraction: 0.5}, "yarn-twist", check.Error},
		{yarn.Spec{Count: good}, "yarn-strands", check.Error},
		{yarn.Spec{Count: good, Strands: 1, Volume: 9}, "yarn-volume", check.Error},
		{yarn.Spec{Count: good, Strands: 1, Wraps: -1}, "yarn-wraps", check.Error},
		{yarn.Spec{Count: good, Strands: 200}, "yarn-tex", check.Error},                         // 29.5 ktex
		{yarn.Spec{Count: good, Strands: 1, Wraps: 10}, "yarn-diameter-differs", check.Caution}, // 1 mm
		{yarn.Spec{Count: good, Strands: 1, Wraps: 40}, "yarn-diameter-differs", check.Caution}, // 0.25 mm
	} {
		_, ps := c.spec.Thread()
		if len(ps) != 1 || ps[0].Code != c.code || ps[0].Severity != c.severity {
			t.Errorf("%+v: %v, want only %s", c.spec, ps, c.code)
		}
	}
	if _, ps := (yarn.Spec{Volume: 9, Wraps: -1}).Thread(); len(ps) != 4 {
		t.Errorf("not every problem at once: %v", ps)
	}
}

func TestBuy_coversTheNeedWithLessThanASkeinOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := measure.Gram(rapid.Float64Range(0.01, 1e5).Draw(t, "need"))
		skein := measure.Gram(rapid.Float64Range(1, 2000).Draw(t, "skein"))
		p := yarn.Buy(need, skein)
		if rounding := skein * 2e-6; p.Buy < need-rounding || p.Left < 0 || p.Left >= skein {
			t.Fatalf("%v g by %v g: %+v", need, skein, p)
		}
		if p.Buy != skein*measure.Gram(p.Skeins) || p.Need != need {
			t.Fatalf("%v g by %v g: %+v", need, skein, p)
		}
	})
}

func TestBuy_rounding(t *testing.T) {
	// By hand; the last need is three skeins but for the last bits of a float.
	for _, c := range []struct {
		need, skein measure.Gram
		skeins      int
	}{{250, 100, 3}, {200, 100, 2}, {200.01, 100, 3}, {0, 100, 0}, {100 * 3.0000000001, 100, 3}} {
		if got := yarn.Buy(c.need, c.skein).Skeins; got != c.skeins {
			t.Errorf("%v g by %v g: %d skeins, want %d", c.need, c.skein, got, c.skeins)
		}
	}
}

func TestWind_partsSumToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		th := yarn.Thread{StrandTex: 50, Strands: rapid.IntRange(1, 6).Draw(t, "strands")}
		th.Tex = th.StrandTex * measure.Tex(th.Strands)
		end := measure.M(rapid.Float64Range(1, 1e5).Draw(t, "end"))
		balls := rapid.IntRange(1, 12).Draw(t, "balls")
		b := th.Wind(end, balls)
		n := float64(b.Balls)
		whole := float64(end) * float64(th.Strands)
		if b.Balls != balls || !near(float64(b.Length)*n, float64(end), 1e-12) || !near(float64(b.Strand)*n, whole, 1e-12) {
			t.Fatalf("%v m over %d: %+v", end, balls, b)
		}
		// 50 tex is 50 g in a kilometre of strand (ISO 1144).
		if !near(float64(b.Mass)*n, whole*50/1000, 1e-12) {
			t.Fatalf("%v m over %d weighs %v g a ball", end, balls, b.Mass)
		}
	})
}

func TestFibres(t *testing.T) {
	list := yarn.Fibres()
	for _, f := range list {
		if !yarn.KnownFibre(f) {
			t.Errorf("%s is listed but not known", f)
		}
	}
	first := list[0]
	list[0] = "changed"
	if yarn.KnownFibre("changed") || yarn.Fibres()[0] != first {
		t.Error("the caller can change the list")
	}
}
