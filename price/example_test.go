package price_test

import (
	"fmt"

	"urdir/price"
)

// A shawl of 20.00 of yarn and 16 hours, half of whose price a shop would keep.
func ExampleMake() {
	q, ps := price.Make(price.Asked{
		Order: price.Order{Currency: "USD", Pieces: 1,
			Materials: []price.Material{{Name: "cotton", Used: 1, Lot: 1, Cost: usd(20_00)}},
			Work:      []price.Work{{Step: "weave", Minutes: 16 * 60, Pay: price.Pay{Per: price.PerPiece, Rate: usd(72_00)}}}},
		Floors:  price.Floors{Workshop: usd(5_00)},
		Channel: price.Channel{Kind: price.Consignment, Percent: price.PerCent(50)},
		Custom:  price.Customary{Step: 5_00},
		Issued:  "2026-11-20", Until: "2026-12-20",
	})
	fmt.Println(q.Each, "of which", q.Sale.Left, "are left")
	for _, p := range q.Parts {
		fmt.Printf("%s %s %v, %d %%\n", p.Kind, p.Name, p.Amount, p.Percent)
	}
	for _, p := range ps {
		fmt.Println(p)
	}
	// Output:
	// USD 185.00 of which USD 92.50 are left
	// work weave USD 72.00, 39 %
	// materials  USD 20.00, 11 %
	// selling  USD 92.50, 50 %
	// gain  USD 0.50, 0 %
	// order.work[0].pay: pay-below-floor floor=USD 5.00 hourly=USD 4.50 least=USD 80.00 pay=USD 72.00 rate=USD 80.00 step=weave
	// price: price-below-floor lowest=USD 200.00 price=USD 185.00
}
