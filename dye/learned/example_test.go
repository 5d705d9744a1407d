package learned_test

import (
	"fmt"

	"urdir/dye/learned"
)

// Eight baths of one recipe, half of them in hard water. All of the four in hard
// water came out darker than the others: of the 70 ways to choose four baths of
// eight, 2 set them so far apart.
func ExampleStudy() {
	var baths []learned.Observation
	for i, lightness := range []float64{0.5, -4, 0.2, -3.1, -0.4, -3.6, 0.1, -4.4} {
		baths = append(baths, bath("madder", []string{"rain", "well"}[i%2], learned.Shift{L: lightness}))
	}
	report, _ := learned.Study(baths, learned.Water)
	water := report.Factors[0]
	for _, g := range water.Groups {
		fmt.Printf("%s: %d baths, lightness %+.1f\n", g.Name, g.Baths, g.Shift.L)
	}
	fmt.Printf("%s, P = %.4f of %d arrangements\n", water.Verdict, water.P, water.Tried)
	// Output:
	// rain: 4 baths, lightness +1.9
	// well: 4 baths, lightness -1.9
	// more-than-chance, P = 0.0286 of 70 arrangements
}
