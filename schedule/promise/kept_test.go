package promise_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/schedule/promise"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, within)
	}
}

// Newcombe (Statistics in Medicine 17, 1998, 857-872), Table I, method 3.
func TestWilson_newcombe(t *testing.T) {
	for _, test := range []struct {
		k, n      int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}} {
		low, high := promise.Wilson(test.k, test.n, 0.95)
		near(t, fmt.Sprint(test.k, " of ", test.n, ", low"), low, test.low, 0.00005)
		near(t, fmt.Sprint(test.k, " of ", test.n, ", high"), high, test.high, 0.00005)
	}
}

// The example in the documentation of the library sktime for its PinballLoss, by
// quantile and on average.
func TestPinball_sktime(t *testing.T) {
	y := []float64{3, -0.5, 2, 7, 2}
	all := 0.0
	for _, test := range []struct {
		p, want float64
		q       []float64
	}{
		{0.05, 0.16625, []float64{1.25, 0, 1, 4, 0.625}},
		{0.5, 0.275, []float64{2.5, 0, 2, 8, 1.25}},
		{0.95, 0.09625, []float64{3.75, 0, 3, 12, 1.875}},
	} {
		sum := 0.0
		for i := range y {
			sum += promise.Pinball(y[i], test.q[i], test.p) / 5
		}
		near(t, fmt.Sprint("the loss at ", test.p), sum, test.want, 1e-9)
		all += sum / 3
	}
	near(t, "the loss", all, 0.179167, 1e-6)
}

// past is promises with 80 %, each late by so many days.
func past(late ...int) (out []promise.Past) {
	for _, l := range late {
		out = append(out, promise.Past{Probability: 0.8, Late: l})
	}
	return out
}

// times is n promises late by so many days.
func times(n, late int) (out []promise.Past) {
	for range n {
		out = append(out, past(late)...)
	}
	return out
}

// By hand: five promises, kept four; loss (0.2 x (3+2+1+0) + 0.8 x 4) / 5 = 0.88.
// A day earlier it is (0.2 x (2+1+0) + 0.8 x (1+5)) / 5 = 1.08, a day later
// (0.2 x (4+3+2+1) + 0.8 x 3) / 5 = 0.88: no better, so they stay.
func TestCalibrate_byHand(t *testing.T) {
	c, ps := promise.Calibrate(past(-3, -2, -1, 0, 4))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	if c.All.Kept != 4 || c.All.Promises != 5 || c.All.Shift != 0 || c.All.Verdict != promise.TooFew {
		t.Errorf("%+v", c.All)
	}
	near(t, "the share", float64(c.All.Share), 0.8, 1e-12)
	near(t, "the loss", c.All.Loss, 0.88, 1e-12)
	near(t, "the loss when shifted", c.All.Shifted, 0.88, 1e-12)
	if diff := cmp.Diff([]promise.Record{c.All}, c.Rows); diff != "" {
		t.Errorf("the one row (-all +row):\n%s", diff)
	}
}

func TestCalibrate_verdicts(t *testing.T) {
	for _, test := range []struct {
		name       string
		kept, late int
		want       string
	}{
		{"none", 0, 0, promise.TooFew},
		{"four of five", 4, 1, promise.TooFew},
		{"none of five", 0, 5, promise.Bold},
		{"five of five", 5, 0, promise.TooFew},
		{"twenty of twenty", 20, 0, promise.Cautious},
		{"eighty of a hundred", 80, 20, promise.Agrees},
		{"ninety of a hundred", 90, 10, promise.Cautious},
		{"seventy of a hundred", 70, 30, promise.Bold},
	} {
		t.Run(test.name, func(t *testing.T) {
			c, _ := promise.Calibrate(append(times(test.kept, -1), times(test.late, 2)...))
			if c.All.Verdict != test.want {
				t.Errorf("%+v, want %s", c.All, test.want)
			}
		})
	}
}

func TestCalibrate_problems(t *testing.T) {
	_, ps := promise.Calibrate([]promise.Past{{Probability: 1}, {Probability: 0.5}, {Probability: 0}, {Probability: 80}})
	var got []string
	for _, p := range ps {
		got = append(got, p.Path+" "+p.Code)
	}
	want := []string{"past[0].probability promise-probability", "past[2].probability promise-probability", "past[3].probability promise-probability"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("problems (-want +got):\n%s", diff)
	}
}

// The shift is the best of all shifts, and rows hold every promise once.
func TestCalibrate_shift(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ps []promise.Past
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			ps = append(ps, promise.Past{Probability: rapid.SampledFrom([]measure.Ratio{0.5, 0.8, 0.9}).Draw(t, "p"), Late: rapid.IntRange(-20, 20).Draw(t, "late")})
		}
		c, _ := promise.Calibrate(ps)
		for shift := -21; shift <= 21; shift++ {
			sum := 0.0
			for _, p := range ps {
				sum += promise.Pinball(float64(p.Late), float64(shift), float64(p.Probability)) / float64(len(ps))
			}
			if sum < c.All.Shifted-1e-9 {
				t.Errorf("%d days later lose %v, %d lose %v", shift, sum, c.All.Shift, c.All.Shifted)
			}
		}
		n, kept := 0, 0
		for _, r := range c.Rows {
			n, kept = n+r.Promises, kept+r.Kept
		}
		if n != len(ps) || kept != c.All.Kept || c.All.Low > c.All.Share || c.All.High < c.All.Share {
			t.Errorf("%+v: rows have %d, kept %d", c.All, n, kept)
		}
	})
}

// Right promises are called wrong a few times in a hundred: five, if the interval
// were exact.
func TestCalibrate_falseAlarms(t *testing.T) {
	chance := rand.New(rand.NewPCG(8, 8))
	const rounds = 4000
	for _, n := range []int{10, 50, 400} {
		wrong := 0
		for range rounds {
			kept := 0
			for range n {
				if chance.Float64() < 0.8 {
					kept++
				}
			}
			c, _ := promise.Calibrate(append(times(kept, 0), times(n-kept, 1)...))
			if c.All.Verdict == promise.Bold || c.All.Verdict == promise.Cautious {
				wrong++
			}
		}
		if share := float64(wrong) / rounds; share > 0.075 {
			t.Errorf("of %d promises: %v called wrong", n, share)
		}
	}
}
