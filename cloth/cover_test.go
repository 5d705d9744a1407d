package cloth_test

import (
	"math"
	"testing"

	"urdir/cloth"
	"urdir/measure"
	"urdir/yarn"
)

// Peirce 1937, from memory: fractional cover is K/28, K = threads per inch over
// sqrt(Ne). Our diameter has his exact 27.9291 (v = 1.1) for the rounded 28.
func TestCover_peirce(t *testing.T) {
	for _, c := range []struct{ ne, perInch, k, fraction float64 }{
		{20, 60, 13.4164, 0.479157},
		{30, 64, 11.6847, 0.417312},
		{36, 64, 10.6667, 0.380952},
		{40, 80, 12.6491, 0.451754},
	} {
		tex := yarn.Count{System: yarn.Cotton, Number: c.ne, Plies: 1}.Tex()
		d := yarn.Diameter(tex, yarn.DefaultVolume)
		sett := measure.PerCM(c.perInch / cmPerInch)
		got := float64(cloth.Cover(sett, d))
		if !near(got, c.fraction*28/27.9291, 5e-6) || !near(got*27.9291, c.k, 5e-4) {
			t.Errorf("%g of %gs: cover %.6f, want %.6f", c.perInch, c.ne, got, c.fraction)
		}
		if back := cloth.SettFor(measure.Ratio(got), d); !near(float64(back), float64(sett), 1e-9) {
			t.Errorf("%g of %gs: sett comes back as %v, want %v", c.perInch, c.ne, back, sett)
		}
	}
}

// T. R. Ashenhurst's rule, with the handbooks' diameters per inch.
func TestAshenhurst(t *testing.T) {
	eightTwo := 0.9 * math.Sqrt(3360) // 52 for firm yarn
	for _, c := range []struct {
		source              string
		diameters           float64
		ends, intersections int
		want, tolerance     float64
	}{
		{"medieval textiles, on Ashenhurst: 8/2 cotton, plain, 26", eightTwo, 2, 2, 26, 0.5},
		{"the same, derived", eightTwo, 2, 2, 26.084, 1e-3},
		{"the same, 2/2 twill, printed 34 (cut off)", eightTwo, 4, 2, 34.779, 1e-3},
		{"Taylor p. 453: 32s, 156 diameters, plain", 156, 2, 2, 78, 1e-9},
		{"Taylor p. 436: 32s, 2/2 twill, about 102", 156, 4, 2, 102, 2.5},
		{"Taylor p. 464: plain 103 is 2/2 twill 137 1/3", 206, 4, 2, 137 + 1.0/3, 1e-9},
		{"Taylor p. 464, inputs: 137 to a twill of 40 ends, 16 intersections (derived)", 137 * 1.5, 40, 16, 146.786, 1e-3},
	} {
		got := float64(cloth.Ashenhurst(measure.PerCM(c.diameters), c.ends, c.intersections))
		if math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: %.4f, want %g", c.source, got, c.want)
		}
	}
}

func TestKindOf(t *testing.T) {
	// Common practice, no source: ends touch at 1, the weft hides from 1.3,
	// beyond 1.6 the ends are crowded.
	for k, want := range map[measure.Ratio]cloth.Kind{
		0.5: cloth.Balanced, 0.999: cloth.Balanced, 1: cloth.Nearly, 1.299: cloth.Nearly,
		1.3: cloth.WarpFaced, 1.6: cloth.WarpFaced, 1.601: cloth.Crowded,
	} {
		if got := cloth.KindOf(k); got != want {
			t.Errorf("cover %v is %s, want %s", k, got, want)
		}
	}
}
