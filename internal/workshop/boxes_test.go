package workshop

import (
	"slices"
	"testing"

	"urdir/price/books"
)

// Money goes out of the account that was named, and of no account that holds none:
// materials are not paid with.
func TestBoxes(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *testing.T, address string) {
		s := moneyShop(t, address)
		k := MoneyOf(must(s.h.Settings(ctx, s.head)))
		k.Value.Accounts = append(k.Value.Accounts, AccountOf("assets:tin"), AccountOf("equity:roof"))
		saved, _, err := s.h.SaveMoneyHouse(ctx, s.keeper, k)
		house := must(saved, err).Value
		if boxes := house.Boxes(); !slices.Equal(boxes, []string{books.Cash, books.Bank, "assets:tin"}) {
			t.Errorf("money is in %q", boxes)
		}
		lot := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Hilo", Colour: "#d0c4a8", Fibre: "cotton", Count: "Ne 8/2"}})).ID
		for _, from := range []string{books.MaterialStock, books.Advances, books.Sales, "equity:roof", "assets:none"} {
			wantProblem(t, "yarn paid from "+from, s.h.Receive(ctx, s.dyer, lot, 500, usd(900), from), "paid-from", "account-unknown")
		}
		must(0, s.h.Receive(ctx, s.dyer, lot, 500, usd(900), books.Bank))
		must(s.h.Buy(ctx, s.dyer, Kept[Supply]{Value: Supply{What: "alum"}}, Purchase{Mass: 100, Cost: usd(250), Paid: "assets:tin"}))
		s.wantHolds("yarn and alum bought", map[string]int64{books.MaterialStock: 1150, books.Bank: -900, "assets:tin": -250})
	})
}
