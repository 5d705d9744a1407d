package rates_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"urdir/schedule/rates"
)

// alone is no belief at all: the records speak alone.
var alone = rates.Prior{Doubt: math.Inf(1)}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, within)
	}
}

func square(x float64) float64 { return x * x }

// hits is the worked example of Efron and Morris: hits of 18 batters in their
// first 45 times at bat of 1970 (J. Amer. Statist. Assoc. 70, 1975, 311-319,
// Table 1), with the estimates of that table, and those on the plain scale of
// Scientific American 236, no. 5, 1977, 119-127 (there 0.265 and a factor of
// 0.212; the column follows from these).
var hits = []struct{ n, plain, arcsine float64 }{
	{18, .294, .290}, {17, .289, .286}, {16, .285, .281}, {15, .280, .277}, {14, .275, .273}, {14, .275, .273},
	{13, .270, .268}, {12, .266, .264}, {11, .261, .259}, {11, .261, .259}, {10, .256, .254}, {10, .256, .254},
	{10, .256, .254}, {10, .256, .254}, {10, .256, .254}, {9, .252, .249}, {8, .247, .244}, {7, .242, .239},
}

func TestShrink_efronMorris1977(t *testing.T) {
	var groups []rates.Group
	sum := 0.0
	for _, h := range hits {
		groups = append(groups, rates.Group{N: 45, Mean: h.n / 45})
		sum += h.n / 45 / 18
	}
	p := rates.Shrink(groups, sum*(1-sum), alone) // of one time at bat: binomial
	near(t, "the grand mean", p.Mean, .265, .0005)
	for i, h := range hits {
		near(t, "what is left of the distance", 1-p.Members[i].Pull, .212, .0005)
		near(t, "the estimate", p.Members[i].Mean, h.plain, .0006)
	}
}

// The same on the scale on which the variance is 1 for all, where the paper has
// the factor 1 - 15/18.96 = 0.209.
func TestShrink_efronMorris1975(t *testing.T) {
	var groups []rates.Group
	for _, h := range hits {
		groups = append(groups, rates.Group{N: 1, Mean: math.Sqrt(45) * math.Asin(2*h.n/45-1)})
	}
	p := rates.Shrink(groups, 1, alone)
	for i, h := range hits {
		near(t, "what is left of the distance", 1-p.Members[i].Pull, .209, .0005)
		near(t, "the estimate", (math.Sin(p.Members[i].Mean/math.Sqrt(45))+1)/2, h.arcsine, .0006)
	}
}

// Thirteen trials of a vaccine with very unequal variances: the data of Colditz
// et al. (J. Amer. Medical Assoc. 271, 1994, 698-702), cases and others among the
// vaccinated, then among the rest. The log risk ratios have by DerSimonian and
// Laird the variance 0.3088 between trials and the mean -0.7141 with standard
// error 0.1787, as published with the R package metafor (Viechtbauer, J.
// Statistical Software 36(3), 2010).
func TestShrink_derSimonianLaird(t *testing.T) {
	var y, v, w []float64
	for _, d := range [][4]float64{
		{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
		{180, 1361, 372, 1079}, {8, 2537, 10, 619}, {505, 87886, 499, 87892}, {29, 7470, 45, 7232}, {17, 1699, 65, 1600},
		{186, 50448, 141, 27197}, {5, 2493, 3, 2338}, {27, 16886, 29, 17825},
	} {
		a, b := d[0]+d[1], d[2]+d[3]
		y, v = append(y, math.Log(d[0]/a/(d[2]/b))), append(v, 1/d[0]-1/a+1/d[2]-1/b)
	}
	t2 := rates.DerSimonianLaird(y, v)
	near(t, "the variance between trials", t2, .3088, .00005)
	for _, x := range v {
		w = append(w, 1/(x+t2))
	}
	near(t, "the mean", stat.Mean(y, w), -.7141, .00005)
}

// Eight schools (Rubin, J. Educational Statistics 6, 1981, 377-401; Gelman et
// al., Bayesian Data Analysis, Table 5.2): the pooled effect is 7.7 with standard
// error 4.1, and by moments there is nothing between schools.
func TestDerSimonianLaird_eightSchools(t *testing.T) {
	y := []float64{28, 8, -3, 7, -1, 1, 18, 12}
	var v, w []float64
	precision := 0.0
	for _, se := range []float64{15, 10, 16, 11, 9, 11, 10, 18} {
		v, w = append(v, se*se), append(w, 1/(se*se))
		precision += 1 / (se * se)
	}
	if t2 := rates.DerSimonianLaird(y, v); t2 >= 0 {
		t.Errorf("between schools %v, want less than chance has", t2)
	}
	near(t, "the pooled effect", stat.Mean(y, w), 7.7, .05)
	near(t, "its standard error", 1/math.Sqrt(precision), 4.1, .05)
}

// By hand: one member, two records with mean ln 2, within 0.18, before them ln 1
// with doubt 0.4 and a spread of 0.07 that counts for five.
//
//	v = 0.09, v + t2 = 0.16; mean = ln 2 x (1/0.16) / (1/0.16 + 1/0.16) = ln 2 / 2
//	pull = 3/5 x 0.09/0.16 = 0.3375; mean' = ln 2 (1 - 0.16875) = 0.83125 ln 2
//	var = 0.09 x 0.6625 + 0.3375^2 (0.08 + 2/3 (ln 2 / 2)^2)
func TestShrink_byHand(t *testing.T) {
	p := rates.Shrink([]rates.Group{{N: 2, Mean: math.Ln2}}, 0.18, rates.Prior{Doubt: 0.4, Between: 0.07, Members: 5})
	near(t, "the mean", p.Mean, math.Ln2/2, 1e-12)
	near(t, "its variance", p.MeanVar, 0.08, 1e-12)
	near(t, "the member", p.Members[0].Mean, 0.83125*math.Ln2, 1e-12)
	near(t, "the member's variance", p.Members[0].Var, 0.0596250+0.11390625*(0.08+0.080075502), 1e-9)
}

// Whatever the records, a member ends between her own mean and the workshop's,
// and the more records she has the nearer to her own.
func TestShrink_between(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) rates.Group {
			return rates.Group{N: rapid.IntRange(1, 40).Draw(t, "n"), Mean: rapid.Float64Range(-3, 3).Draw(t, "mean")}
		}), 1, 12).Draw(t, "groups")
		within := rapid.Float64Range(0.001, 2).Draw(t, "within")
		p := rates.Shrink(groups, within, rates.Prior{Mean: 0.3, Doubt: rapid.Float64Range(0.01, 3).Draw(t, "doubt"),
			Between: rapid.Float64Range(0, 1).Draw(t, "between"), Members: rapid.IntRange(0, 9).Draw(t, "members")})
		for i, g := range groups {
			m := p.Members[i]
			if low, high := min(g.Mean, p.Mean)-1e-9, max(g.Mean, p.Mean)+1e-9; !(m.Mean >= low && m.Mean <= high) {
				t.Errorf("%+v goes to %v, the workshop's mean is %v", g, m.Mean, p.Mean)
			}
			if !(m.Var > 0) || !(m.Pull >= 0 && m.Pull <= 1) {
				t.Errorf("%+v: %+v", g, m)
			}
			for k, o := range groups {
				if o.N > g.N && p.Members[k].Pull > m.Pull+1e-9 {
					t.Errorf("%d records are drawn by %v, %d by %v", o.N, p.Members[k].Pull, g.N, m.Pull)
				}
			}
		}
	})
}

// Members made up by the model, eight with 1 to 7 records each: drawn, they are
// nearer to the truth than alone and than all taken for the same, and the
// interval of 80 % holds it about 80 times in a hundred.
func TestShrink_simulated(t *testing.T) {
	const s2, rounds = 0.09, 4000
	prior := rates.Prior{Mean: 0, Doubt: 0.5, Between: 0.0625, Members: 6}
	for _, t2 := range []float64{0.0225, 0.0625, 0.25} {
		chance := rand.New(rand.NewPCG(1, uint64(t2*1e4)))
		var own, same, drawn float64
		inside := 0
		for range rounds {
			groups := make([]rates.Group, 8)
			truth := make([]float64, 8)
			for i := range groups {
				n := 1 + i*6/7
				truth[i] = 0.5 + math.Sqrt(t2)*chance.NormFloat64()
				groups[i] = rates.Group{N: n, Mean: truth[i] + math.Sqrt(s2/float64(n))*chance.NormFloat64()}
			}
			p := rates.Shrink(groups, s2, prior)
			for i, m := range p.Members {
				own += square(groups[i].Mean - truth[i])
				same += square(p.Mean - truth[i])
				drawn += square(m.Mean - truth[i])
				if math.Abs(m.Mean-truth[i]) < rates.Normal(0.9)*math.Sqrt(m.Var) {
					inside++
				}
			}
		}
		if drawn > own || drawn > same {
			t.Errorf("spread %v: drawn %v, alone %v, all the same %v", t2, drawn, own, same)
		}
		held := float64(inside) / (8 * rounds)
		t.Logf("spread %v: squared errors alone %.4f, same %.4f, drawn %.4f; 80 %% holds %.3f", t2, own/8/rounds, same/8/rounds, drawn/8/rounds, held)
		if t2 == prior.Between {
			near(t, "held", held, 0.80, 0.02)
		}
		near(t, "held by a start that is far off", held, 0.80, 0.06)
	}
}
