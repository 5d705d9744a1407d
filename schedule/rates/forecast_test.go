package rates_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/schedule/rates"
)

// The forecast is gonum's log-normal distribution with the same mu and sigma.
func TestForecast_isLogNormal(t *testing.T) {
	f := rates.Forecast{Median: 240, Workshop: 0.1, Member: math.Sqrt(0.08), Task: 0.4}
	d := distuv.LogNormal{Mu: math.Log(240), Sigma: 0.5}
	near(t, "sigma", f.Sigma(), d.Sigma, 1e-12)
	near(t, "the mean", float64(f.Mean()), d.Mean(), 1e-9)
	for _, p := range []float64{1e-6, 0.01, 0.1, 0.5, 0.8, 0.95, 0.9999} {
		near(t, fmt.Sprint("quantile ", p), float64(f.Quantile(p))/d.Quantile(p), 1, 1e-9)
		near(t, fmt.Sprint("what a quantile is enough for, ", p), d.CDF(float64(f.Quantile(p))), p, 1e-12)
	}
}

// Percentage points of the normal distribution: Abramowitz and Stegun, Handbook
// of Mathematical Functions, Table 26.5.
func TestNormal_table(t *testing.T) {
	for p, z := range map[float64]float64{0.5: 0, 0.75: 0.67449, 0.8: 0.84162, 0.9: 1.28155, 0.95: 1.64485, 0.975: 1.95996, 0.995: 2.57583} {
		near(t, fmt.Sprint("z of ", p), rates.Normal(p), z, 6e-6)
		near(t, fmt.Sprint("z of ", 1-p), rates.Normal(1-p), -z, 6e-6)
	}
}

func TestForecast_quantilesRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sd := rapid.Float64Range(0.01, 2)
		f := rates.Forecast{Median: measure.Minute(rapid.Float64Range(0.1, 1e5).Draw(t, "median")), Workshop: sd.Draw(t, "workshop"), Member: sd.Draw(t, "member"), Task: sd.Draw(t, "task")}
		p := rapid.Float64Range(0.001, 0.998).Draw(t, "p")
		q := rapid.Float64Range(p+0.001, 0.999).Draw(t, "q")
		if f.Quantile(p) >= f.Quantile(q) || f.Mean() <= f.Median {
			t.Errorf("%+v: %v at %v, %v at %v; mean %v", f, f.Quantile(p), p, f.Quantile(q), q, f.Mean())
		}
	})
}

// A task drawn with three chances has the same distribution as by its quantiles.
func TestForecast_at(t *testing.T) {
	f := rates.Forecast{Median: 60, Workshop: 0.2, Member: 0.1, Task: 0.3}
	chance := rand.New(rand.NewPCG(3, 4))
	under, n := 0, 100_000
	for range n {
		if f.At(chance.NormFloat64(), chance.NormFloat64(), chance.NormFloat64()) <= f.Quantile(0.8) {
			under++
		}
	}
	near(t, "the share within the 80 % quantile", float64(under)/float64(n), 0.8, 4*math.Sqrt(0.16/float64(n)))
}

// A random task, with a chance of one's own seed.
func ExampleForecast_Quantile() {
	f := rates.Forecast{Median: 120, Member: 0.15, Task: 0.2}
	chance := rand.New(rand.NewPCG(1, 2))
	fmt.Printf("%.0f min in the middle, %.0f on average, %.0f are enough four times of five\n", f.Median, f.Mean(), f.Quantile(0.8))
	fmt.Println(f.Quantile(chance.Float64()) > 0)
	// Output:
	// 120 min in the middle, 124 on average, 148 are enough four times of five
	// true
}
