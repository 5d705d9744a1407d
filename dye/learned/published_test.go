package learned_test

import (
	"testing"

	"urdir/dye/learned"
)

// Darwin's maize: heights of crossed less self-fertilised plants in fifteen pairs,
// in eighths of an inch. Of the 32 768 ways to choose signs, 863 give a sum as
// large as theirs, 1726 as far from zero: P = 5.267 % (Fisher, The Design of
// Experiments, 1935, section 21).
func TestStudy_darwinsMaize(t *testing.T) {
	var obs []learned.Observation
	for _, d := range []float64{49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48} {
		obs = append(obs, bath("maize", "", learned.Shift{L: d / 2})) // the scale does not matter
	}
	c := study(t, obs).Recipes[0].Chance
	if c.Tried != 32768 || !c.Exact || c.P != 1726.0/32768 || c.Verdict != learned.NoMoreThanChance {
		t.Errorf("got %+v, want 1726 of 32768", c)
	}
}

// The lady who tastes tea: eight cups, four of each, told apart all right or but
// for one of each. Fisher 1935, chapter II: 1 in 70 all right by chance, 17 in 70
// three right or better; being as far off the other way counts here too.
func TestStudy_ladyTastingTea(t *testing.T) {
	for want, cups := range map[float64]map[string][]float64{
		2.0 / 70:  {"milk first": {1, 1, 1, 1}, "tea first": {0, 0, 0, 0}},
		34.0 / 70: {"milk first": {1, 1, 1, 0}, "tea first": {1, 0, 0, 0}},
	} {
		c := study(t, plain(cups), learned.Water).Factors[0].Chance
		if c.P != want || c.Tried != 70 || !c.Exact || !near(c.Least, 2.0/70, 1e-12) {
			t.Errorf("got %+v, want P %v of 70, at least 2/70", c, want)
		}
	}
}

// Student's sleep data (Biometrika 6, 1908, table I): hours gained with two drugs
// by ten people, the recipes here. The paired t is 4.06 (4.0621 in R's example of
// t.test), and F of two groups in blocks of two is its square. No one slept less
// with the second drug and one the same, so of 2^10 arrangements only four are as
// far apart: P = 4/1024.
func TestStudy_studentsSleep(t *testing.T) {
	first := []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2}
	second := []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	var obs, gains []learned.Observation
	for i := range first {
		who := string(rune('a' + i))
		obs = append(obs, bath(who, "1", learned.Shift{A: first[i]}), bath(who, "2", learned.Shift{A: second[i]}))
		gains = append(gains, bath("gain", "", learned.Shift{A: second[i] - first[i]}))
	}
	f := study(t, obs, learned.Water).Factors[0]
	value, ok := f.F()
	if !ok || !near(value, 4.0621*4.0621, 0.001) || f.Between != 1 || f.Left != 9 || f.P != 4.0/1024 || f.Tried != 1024 {
		t.Errorf("got F %v of %d and %d, %+v", value, f.Between, f.Left, f.Chance)
	}
	if c := study(t, gains).Recipes[0].Chance; c.P != f.P || c.Least != f.Least {
		t.Errorf("the signs of the gains give %+v, the arrangements %+v", c, f.Chance)
	}
}

// Weights of dried plants under a control and two treatments (Dobson, An
// Introduction to Statistical Modelling, 1983, table 7.1; PlantGrowth in R, whose
// analysis of variance gives F = 4.846 with 2 and 27 degrees of freedom and
// P = 0.01591, from the normal distribution).
func TestStudy_plantGrowth(t *testing.T) {
	f := study(t, plain(map[string][]float64{
		"control": {4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14},
		"first":   {4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69},
		"second":  {6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26},
	}), learned.Water).Factors[0]
	if value, ok := f.F(); !ok || !near(value, 4.846, 0.0005) || f.Between != 2 || f.Left != 27 {
		t.Errorf("F %v of %d and %d, want 4.846 of 2 and 27", value, f.Between, f.Left)
	}
	if f.Exact || f.Tried != 10000 || !near(f.P, 0.0159, 0.005) || f.Verdict != learned.MoreThanChance {
		t.Errorf("got %+v", f.Chance)
	}
	// Means 5.032, 4.661 and 5.526 (R), less 5.073 of all.
	for i, want := range []float64{-0.041, -0.412, 0.453} {
		if g := f.Groups[i]; !near(g.Shift.L, want, 0.0005) || g.Baths != 10 {
			t.Errorf("%s: %+v, want %v", g.Name, g, want)
		}
	}
}

// Lower jaws of ten male and ten female golden jackals, in millimetres (Manly,
// Randomization, Bootstrap and Monte Carlo Methods in Biology, 1991, section 1.1,
// from memory: the means differ by 4.8, t = 3.48, and 9 of 5000 random
// arrangements had so large a difference in favour of males, of 18 in 5000 either
// way).
func TestStudy_jackals(t *testing.T) {
	jaws := map[string][]float64{
		"male":   {120, 107, 110, 116, 114, 111, 113, 117, 114, 112},
		"female": {110, 111, 107, 108, 110, 105, 107, 106, 111, 111},
	}
	for _, s := range jaws {
		for i := range s {
			s[i] -= 110
		}
	}
	f := study(t, plain(jaws), learned.Water).Factors[0]
	if value, _ := f.F(); !near(value, 3.48*3.48, 0.05) || !near(f.P, 18.0/5000, 0.002) || f.Exact {
		t.Errorf("F %v, %+v", value, f.Chance)
	}
	if apart := f.Groups[1].Shift.L - f.Groups[0].Shift.L; !near(apart, 4.8, 1e-9) {
		t.Errorf("means %v apart, want 4.8", apart)
	}
}

// Holm's correction of 0.01, 0.04, 0.03 and 0.005 gives 0.03, 0.06, 0.06 and 0.02:
// 4 x 0.005, 3 x 0.01, 2 x 0.03, then 1 x 0.04 but no less than before (by hand;
// p.adjust of R gives the same).
func TestJudge_holm(t *testing.T) {
	p := []float64{0.01, 0.04, 0.03, 0.005}
	want := []float64{0.03, 0.06, 0.06, 0.02}
	family := make([]*learned.Chance, len(p))
	for i := range p {
		family[i] = &learned.Chance{P: p[i], Least: 0.0001}
	}
	learned.Judge(family)
	for i, c := range family {
		if !near(c.Adjusted, want[i], 1e-12) || (c.Verdict == learned.MoreThanChance) != (want[i] <= 0.05) {
			t.Errorf("%v: %+v, want %v", p[i], c, want[i])
		}
	}
}

// By hand, as Tarone 1990 does: of least P 0.001, 0.02, 0.04 and 1, three reach
// 0.05, two reach 0.025. So two questions are asked, and P of 0.02 counts twice
// at most. P of 0.05 twice is no more than chance, of 0.025 is more.
func TestJudge_tooFew(t *testing.T) {
	family := []*learned.Chance{{P: 0.04, Least: 0.04}, {P: 0.025, Least: 0.02}, {P: 1, Least: 1}, {P: 0.9, Least: 0.001}}
	learned.Judge(family)
	want := []learned.Verdict{learned.TooFew, learned.MoreThanChance, learned.TooFew, learned.NoMoreThanChance}
	for i, c := range family {
		if c.Verdict != want[i] {
			t.Errorf("%+v, want %s", c, want[i])
		}
	}
	learned.Judge(nil) // no question, no answer
}
