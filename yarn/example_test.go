package yarn_test

import (
	"fmt"

	"urdir/yarn"
)

// Two plies of 8s weigh as much as single 4s: 4 hanks of 840 yards in a pound.
func ExampleParseCount() {
	c, _ := yarn.ParseCount("8/2 cotton")
	plied := yarn.Count{System: yarn.Tex, Number: float64(c.Tex()), Plies: 1}
	fmt.Printf("%s: %.2f tex, %.0f yards in a pound\n", c, c.Tex(), plied.In(yarn.YardsPerPound).Number)
	// Output: Ne 8/2: 147.64 tex, 3360 yards in a pound
}

// Taylor, Cotton Weaving and Designing: 60s and 40s twisted together make 24s.
func ExampleFold() {
	sixty := yarn.Count{System: yarn.Cotton, Number: 60, Plies: 1}
	forty := yarn.Count{System: yarn.Cotton, Number: 40, Plies: 1}
	both := yarn.Fold(sixty.Tex(), forty.Tex())
	fmt.Printf("%.0f\n", yarn.Count{System: yarn.Tex, Number: float64(both), Plies: 1}.In(yarn.Cotton).Number)
	// Output: 24
}

// 250 g from skeins of 100 g.
func ExampleBuy() {
	p := yarn.Buy(250, 100)
	fmt.Println(p.Skeins, "skeins,", p.Left, "g left")
	// Output: 3 skeins, 50 g left
}
