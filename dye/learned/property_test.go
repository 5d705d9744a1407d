package learned_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/colour"
	"urdir/dye"
	"urdir/dye/learned"
	"urdir/measure"
)

var phases = []dye.Phase{dye.NewMoon, dye.WaxingCrescent, dye.FirstQuarter, dye.WaxingGibbous, dye.FullMoon, dye.WaningGibbous, dye.LastQuarter, dye.WaningCrescent}

// house draws the records of a small dye house, with ties and blanks among them.
func house(t *rapid.T) []learned.Observation {
	part := rapid.IntRange(0, 3)
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) learned.Observation {
		o := bath(rapid.SampledFrom([]string{"madder", "weld", ""}).Draw(t, "recipe"), rapid.SampledFrom([]string{"", "well", "rain"}).Draw(t, "water"),
			learned.Shift{L: float64(part.Draw(t, "l")), A: float64(part.Draw(t, "a")) / 3, B: float64(part.Draw(t, "b")) / 7})
		o.Plants = rapid.SliceOfN(rapid.SampledFrom([]string{"A", "B"}), 0, 3).Draw(t, "plants")
		o.Moon = rapid.SampledFrom(append(phases, "")).Draw(t, "moon")
		o.Strength = rapid.SampledFrom([]measure.Ratio{0, 0.1, 0.4}).Draw(t, "strength")
		o.Day = dye.Day{Year: 2031, Month: 5, Day: rapid.IntRange(1, 9).Draw(t, "day")}
		return o
	}), 0, 12).Draw(t, "baths")
}

var every = []learned.Factor{learned.PlantLots, learned.Water, learned.MoonPhase, learned.MoonHalf}

// Whatever is asked: the order of the input does not matter, nothing is NaN, no P
// is below the least, and verdicts go with the numbers.
func TestStudy_holds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := house(t)
		r, ps := learned.Study(obs, every...)
		if len(ps) > 0 {
			t.Fatal(ps)
		}
		mixed := rapid.Permutation(obs).Draw(t, "mixed")
		for i := range mixed {
			mixed[i].Plants = slices.Clone(mixed[i].Plants)
			slices.Reverse(mixed[i].Plants)
		}
		again, _ := learned.Study(mixed, append(every, learned.Water)...)
		if d := cmp.Diff(r, again); d != "" {
			t.Fatalf("another order, another report:\n%s", d)
		}
		baths := 0
		for _, x := range r.Recipes {
			baths += x.Baths
			checkChance(t, x.Chance)
			checkNumbers(t, float64(x.Mean), float64(x.Spread), x.Parts.L, x.Parts.C, x.Parts.H, x.Offset.L, x.Offset.A, x.Offset.B)
		}
		if baths != len(obs) {
			t.Fatalf("%d baths of %d", baths, len(obs))
		}
		for _, x := range r.Factors {
			checkChance(t, x.Chance)
			value, _ := x.F()
			checkNumbers(t, float64(x.Share), value)
			for _, g := range x.Groups {
				checkNumbers(t, g.Shift.L, g.Shift.A, g.Shift.B)
			}
		}
	})
}

func checkNumbers(t *rapid.T, numbers ...float64) {
	for _, v := range numbers {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("a number is %v", v)
		}
	}
}

func checkChance(t *rapid.T, c learned.Chance) {
	checkNumbers(t, c.P, c.Adjusted, c.Least)
	const slack = 1e-9
	if !(c.P > 0 && c.P <= 1 && c.P <= c.Adjusted+slack && c.Adjusted <= 1 && c.Least <= c.P+slack) {
		t.Fatalf("%+v", c)
	}
	few := c.Least > learned.DefaultLevel+slack
	if few && c.Verdict != learned.TooFew || (c.Verdict == learned.MoreThanChance) != (c.Adjusted <= learned.DefaultLevel+slack) {
		t.Fatalf("the verdict does not go with the numbers: %+v", c)
	}
}

// P and F of small dye houses against every order of the baths of each recipe, and
// against least squares written out another way.
func TestStudy_exhaustive(t *testing.T) {
	asked := 0
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.IntRange(-4, 4)
		draw := func(recipe string, waters ...string) (obs []learned.Observation) {
			for _, w := range waters {
				obs = append(obs, bath(recipe, w, learned.Shift{L: float64(part.Draw(t, "l")), A: float64(part.Draw(t, "a")), B: float64(part.Draw(t, "b"))}))
			}
			return obs
		}
		water := rapid.SampledFrom([]string{"rain", "river", "well"})
		first := draw("madder", append([]string{"rain", "river"}, rapid.SliceOfN(water, 1, 3).Draw(t, "first")...)...)
		second := draw("weld", append([]string{"rain", "rain"}, rapid.SliceOfN(water, 1, 2).Draw(t, "second")...)...)
		f := study(t, append(slices.Clone(first), second...), learned.Water).Factors[0]
		if f.Tried == 0 {
			return // no P reckoned: TestStudy_holds
		}
		asked++
		if same := !slices.ContainsFunc(second, func(o learned.Observation) bool { return o.Water != "rain" }); same {
			second = nil // dyed in one water only, it is not compared
		}
		left := squares(true, first, second)
		between := squares(false, first, second) - left
		all, far := 0, 0
		for _, a := range orders(first) {
			for _, b := range orders(second) {
				all++
				if squares(true, a, b) <= left+1e-6 {
					far++
				}
			}
		}
		if !near(f.P, float64(far)/float64(all), 1e-9) {
			t.Fatalf("P %v, want %d of %d", f.P, far, all)
		}
		if !near(float64(f.Share)*(between+left), between, 1e-6) {
			t.Fatalf("share %v, want %v of %v", f.Share, between, between+left)
		}
	})
	if asked < 5 {
		t.Errorf("only %d houses could be asked", asked)
	}
}

// orders is the baths with their colours in every order, waters staying.
func orders(obs []learned.Observation) [][]learned.Observation {
	if len(obs) == 0 {
		return [][]learned.Observation{nil}
	}
	var out [][]learned.Observation
	at := slices.Clone(obs)
	var swap func(i int)
	swap = func(i int) {
		if i == len(at) {
			out = append(out, slices.Clone(at))
			return
		}
		for k := i; k < len(at); k++ {
			at[i].Reached, at[k].Reached = at[k].Reached, at[i].Reached
			swap(i + 1)
			at[i].Reached, at[k].Reached = at[k].Reached, at[i].Reached
		}
	}
	swap(0)
	return out
}

// squares is what a linear model of recipes leaves, or of recipes and waters,
// solved one coordinate at a time (Gauss and Seidel).
func squares(waters bool, recipes ...[]learned.Observation) (sum float64) {
	for _, part := range []func(c colour.Lab) float64{
		func(c colour.Lab) float64 { return c.L }, func(c colour.Lab) float64 { return c.A }, func(c colour.Lab) float64 { return c.B }} {
		byRecipe, byWater := make([]float64, len(recipes)), map[string]float64{}
		rest := func(k int, o learned.Observation) float64 {
			return part(o.Reached) - part(o.Expected) - byRecipe[k] - byWater[o.Water]
		}
		for moved := 1.0; moved > 1e-9; {
			moved = 0
			for k := range recipes {
				mean := 0.0
				for _, o := range recipes[k] {
					mean += rest(k, o) / float64(len(recipes[k]))
				}
				byRecipe[k] += mean
				moved = max(moved, math.Abs(mean))
			}
			for _, w := range []string{"rain", "river", "well"} {
				mean, n := 0.0, 0.0
				for k := range recipes {
					for _, o := range recipes[k] {
						if o.Water == w {
							mean, n = mean+rest(k, o), n+1
						}
					}
				}
				if waters && n > 0 {
					byWater[w] += mean / n
					moved = max(moved, math.Abs(mean/n))
				}
			}
		}
		for k := range recipes {
			for _, o := range recipes[k] {
				sum += rest(k, o) * rest(k, o)
			}
		}
	}
	return sum
}

// noise is an error of a dyeing: lightness and strength err together, and now and
// then a bath goes far wrong.
func noise(r *rand.Rand) learned.Shift {
	far := 1.0
	if r.IntN(10) == 0 {
		far = 4
	}
	x, y, z := r.NormFloat64()*far, r.NormFloat64()*far, r.NormFloat64()*far
	return learned.Shift{L: 2 * x, A: -x + y, B: z}
}

// season is the baths of a dye house: three recipes, lots of plants of their own,
// three waters, any moon. The second lot of a recipe shifts its colour, and every
// recipe is off by a bias.
func season(r *rand.Rand, baths int, lot, bias learned.Shift) (obs []learned.Observation) {
	for i := range baths {
		recipe := []string{"madder", "weld", "walnut"}[i%3]
		off, plants := noise(r), r.IntN(2)
		for _, s := range []learned.Shift{bias, {L: lot.L * float64(plants), A: lot.A * float64(plants), B: lot.B * float64(plants)}} {
			off = learned.Shift{L: off.L + s.L, A: off.A + s.A, B: off.B + s.B}
		}
		o := bath(recipe, []string{"rain", "river", "well"}[r.IntN(3)], off)
		o.Plants = []string{recipe + []string{" 1", " 2"}[plants]}
		o.Moon = phases[r.IntN(8)]
		obs = append(obs, o)
	}
	return obs
}

// binomial is how probable it is that of n tries with chance p no more than k succeed.
func binomial(n, k int, p float64) (sum float64) {
	log := func(i int) float64 { v, _ := math.Lgamma(float64(i + 1)); return v }
	for i := 0; i <= k; i++ {
		sum += math.Exp(log(n) - log(i) - log(n-i) + float64(i)*math.Log(p) + float64(n-i)*math.Log(1-p))
	}
	return sum
}

// Where nothing is at work, no more than one dye house in twenty is told of
// anything, and where the lot of plants is, most are told of it and of nothing
// else. Counts are held to what a binomial gives but once in a thousand.
func TestStudy_calibrated(t *testing.T) {
	const houses = 300
	told, biased := 0, 0
	for seed := range uint64(houses) {
		r := study(t, season(rand.New(rand.NewPCG(seed, 1)), 27, learned.Shift{}, learned.Shift{}), learned.PlantLots, learned.Water, learned.MoonHalf)
		if slices.ContainsFunc(r.Factors, func(f learned.Factored) bool { return f.Verdict == learned.MoreThanChance }) {
			told++
		}
		if slices.ContainsFunc(r.Recipes, func(x learned.Recipe) bool { return x.Verdict == learned.MoreThanChance }) {
			biased++
		}
	}
	for what, n := range map[string]int{"a factor": told, "a recipe": biased} {
		if 1-binomial(houses, n-1, learned.DefaultLevel) < 0.001 {
			t.Errorf("%d of %d houses are told of %s where nothing is at work", n, houses, what)
		}
		if binomial(houses, n, learned.DefaultLevel) < 0.001 { // too shy
			t.Errorf("only %d of %d houses are told of %s", n, houses, what)
		}
	}
}

// A bias of the recipes must not look like a factor, nor plants like the moon.
func TestStudy_finds(t *testing.T) {
	const houses = 40
	found, biased, other := 0, 0, 0
	for seed := range uint64(houses) {
		r := study(t, season(rand.New(rand.NewPCG(seed, 2)), 36, learned.Shift{A: 8, B: -8}, learned.Shift{L: -6}), learned.PlantLots, learned.Water)
		if r.Factors[0].Verdict == learned.MoreThanChance {
			found++
		}
		if r.Factors[1].Verdict == learned.MoreThanChance {
			other++
		}
		if !slices.ContainsFunc(r.Recipes, func(x learned.Recipe) bool { return x.Verdict != learned.MoreThanChance }) {
			biased++
		}
	}
	if found < houses*9/10 || biased < houses*9/10 || 1-binomial(houses, other-1, learned.DefaultLevel) < 0.001 {
		t.Errorf("of %d houses %d are told of the plants, %d of all recipes, %d of the water", houses, found, biased, other)
	}
}
