package learned

import (
	"math"

	"urdir/chance"
	"urdir/colour"
	"urdir/dye"
	"urdir/measure"
)

// Recipe is how a recipe keeps its word. Whether its mean offset is more than
// chance is in Chance.
type Recipe struct {
	Key         string
	Baths       int
	First, Last dye.Day
	Weakest     measure.Ratio // strengths dyed; 0: not said
	Strongest   measure.Ratio
	Mean        colour.DeltaE // of the CIEDE2000 between expected and reached
	Spread      colour.DeltaE // their standard deviation; 0 for one bath
	Offset      Shift         // mean of reached less expected
	Parts       colour.Parts  // the same taken apart, from the mean colour expected
	Ways        []colour.Way  // the same in words, the largest part first
	Chance
}

// recipe tells of the observations of one recipe.
func recipe(obs []Observation) Recipe {
	n := float64(len(obs))
	r := Recipe{Key: obs[0].Recipe, Baths: len(obs), First: obs[0].Day, Last: obs[len(obs)-1].Day}
	var expected, sum Shift
	offsets := make([]Shift, len(obs))
	for i := range obs {
		o := &obs[i]
		offsets[i] = o.offset()
		sum, expected = sum.plus(offsets[i]), expected.plus(Shift(o.Expected))
		r.Mean += colour.Difference(o.Expected, o.Reached) / colour.DeltaE(n)
		if o.Strength > 0 {
			if r.Weakest == 0 || o.Strength < r.Weakest {
				r.Weakest = o.Strength
			}
			r.Strongest = max(r.Strongest, o.Strength)
		}
	}
	if n > 1 {
		squares := 0.0
		for i := range obs {
			d := float64(colour.Difference(obs[i].Expected, obs[i].Reached) - r.Mean)
			squares += d * d
		}
		r.Spread = colour.DeltaE(math.Sqrt(squares / (n - 1)))
	}
	r.Offset = sum.times(1 / n)
	meant := expected.times(1 / n)
	came := meant.plus(r.Offset)
	r.Parts = colour.PartsOf(colour.Lab(meant), colour.Lab(came))
	r.Ways = colour.WaysOf(colour.Lab(meant), colour.Lab(came))
	r.Chance = signs(offsets)
	return r
}

// signs is whether offsets have a direction: all signs are tried, or many drawn.
// The length of their sum is as good a measure as Student's t or Hotelling's T2 of
// scatter alike in all directions, since the sum of squares is the same for all
// signs.
func signs(offsets []Shift) Chance {
	n := len(offsets)
	least := math.Ldexp(1, 1-n) // these signs, and all of them turned round
	if !atLevel(least) {
		return unasked(least)
	}
	var sum Shift
	scale := 0.0
	for _, o := range offsets {
		sum = sum.plus(o)
		scale += o.square()
	}
	t := newTally(sum.square(), float64(n)*scale)
	if math.Ldexp(1, n) > mostExact {
		random := chance.Stream(seed)
		for range shuffles {
			t.see(drawSigns(&random, offsets).square())
		}
		return t.drawn(least)
	}
	for mask := range 1 << n {
		var s Shift
		for i, o := range offsets {
			s = s.plus(o.times(float64(1 - 2*(mask>>i&1))))
		}
		t.see(s.square())
	}
	return t.all(least)
}

// drawSigns is the sum of offsets with signs by chance.
func drawSigns(random *chance.Stream, offsets []Shift) (sum Shift) {
	var coins uint64
	for i, o := range offsets {
		if i%64 == 0 {
			coins = random.Next()
		}
		sum = sum.plus(o.times(float64(1 - 2*int(coins&1))))
		coins >>= 1
	}
	return sum
}
