package price_test

import (
	"math/big"
	"testing"

	"github.com/govalues/decimal"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

// shawls is an order reckoned by hand:
//
//	yarn      1.2 of 5 kg that cost 90.00        21.60
//	laying    3 h at 4.00                        12.00
//	weaving   2 pieces at 45.00, 20 h            90.00
//	meeting   the step at 5.00, 1 h               5.00
//	firewood                                      3.50
//	bus                                           2.00
//	direct                                      134.10
//	rent      0.25 an hour of 24 h                6.00
//	upkeep    1.50 a piece                        3.00
//	office    5 % of direct, 6.705                6.71
//	total                                       149.81, 74.905 a piece: 74.91
func shawls() price.Order {
	return price.Order{Currency: "USD", Pieces: 2,
		Materials: []price.Material{{Name: "cotton", Used: 1_200_000, Lot: 5_000_000, Cost: usd(90_00)}},
		Work: []price.Work{
			{Step: "lay", By: "Ana", Minutes: 180, Pay: price.Pay{Per: price.PerHour, Rate: usd(4_00)}},
			{Step: "weave", By: "Ana", Minutes: 1200, Pay: price.Pay{Per: price.PerPiece, Rate: usd(45_00)}},
			{Step: "meet", Minutes: 60, Pay: price.Pay{Per: price.PerStep, Rate: usd(5_00)}},
		},
		Expenses: []price.Expense{{Kind: price.Fuel, Name: "firewood", Amount: usd(3_50)}, {Kind: price.Transport, Name: "bus", Amount: usd(2_00)}},
		Overhead: []price.Overhead{{Name: "rent", Per: price.PerHour, Rate: usd(25)}, {Name: "upkeep", Per: price.PerPiece, Rate: usd(1_50)},
			{Name: "office", Per: price.PerCost, Percent: percent("5")}},
	}
}

func TestCost_byHand(t *testing.T) {
	c := sound(price.Cost(shawls()))
	for i, want := range []int64{21_60, 12_00, 90_00, 5_00, 3_50, 2_00, 6_00, 3_00, 6_71} {
		if c.Lines[i].Amount != usd(want) {
			t.Errorf("%s is %v, want %d", c.Lines[i].Name, c.Lines[i].Amount, want)
		}
	}
	if c.Direct != usd(134_10) || c.Overhead != usd(15_71) || c.Total != usd(149_81) || c.Each != usd(74_91) || c.Minutes != 1440 || c.Of(price.Labour) != usd(107_00) {
		t.Errorf("%+v", c)
	}
}

// 29 CFR 778.111, a week paid by the piece: 491.00 for 46 hours and 4 hours of
// waiting at 8.00 come to 523.00 for 50 hours, 10.46 an hour.
func TestHourly_regularRate(t *testing.T) {
	o := price.Order{Currency: "USD", Pieces: 1, Work: []price.Work{
		{Step: "pieces", Minutes: 46 * 60, Pay: price.Pay{Per: price.PerStep, Rate: usd(491_00)}},
		{Step: "wait", Minutes: 4 * 60, Pay: price.Pay{Per: price.PerHour, Rate: usd(8_00)}},
	}}
	c := sound(price.Cost(o))
	if c.Total != usd(523_00) || price.Hourly(c.Total, c.Minutes) != usd(10_46) {
		t.Errorf("%v for %d minutes, %v an hour", c.Total, c.Minutes, price.Hourly(c.Total, c.Minutes))
	}
}

// HM Revenue and Customs, National Minimum Wage Manual NMWM03140: at 5.05 an hour and
// ten pieces an hour on average, the fair rate is 0.606 a piece, with 1.2 times the
// average's time; at 4.85, before the factor, 0.485. Thousand pieces show the third
// decimal. gov.uk's example: 12 shirts an hour count as 10.
func TestPieceRate_workedExamples(t *testing.T) {
	gbp := func(minor int64) price.Money { return price.Money{Minor: minor, Currency: "GBP"} }
	for _, test := range []struct {
		floor     price.Money
		minutes   int64
		allowance string
		want      price.Money
	}{
		{gbp(5_05), 1000 * 6, "20", gbp(606_00)},
		{gbp(4_85), 1000 * 6, "0", gbp(485_00)},
		{gbp(5_05), 6, "20", gbp(61)}, // one piece: up
		{gbp(10_00), 12 * 5, "20", gbp(12_00)},
	} {
		if got := price.PieceRate(test.floor, test.minutes, percent(test.allowance)); got != test.want {
			t.Errorf("%v, %d min, %s %%: %v, want %v", test.floor, test.minutes, test.allowance, got, test.want)
		}
	}
}

// By hand: 20 h of weaving at 45.00 a piece are 4.50 an hour. A floor of 5.00 asks for
// 100.00, 50.00 a piece; the meeting's 5.00 does.
func TestEarnings_belowTheFloor(t *testing.T) {
	es, ps := price.Earnings(shawls(), price.Floors{Workshop: usd(5_00), Legal: usd(3_00)})
	if ps.Failed() || len(es) != 3 || es[1].Hourly != usd(4_50) || es[1].Workshop != usd(100_00) || es[1].Legal != usd(60_00) || !es[1].Below || es[2].Below {
		t.Fatalf("%+v, %v", es, ps)
	}
	var flagged []any
	for _, p := range ps {
		flagged = append(flagged, p.Path, p.Code, p.Args["rate"])
	}
	if want := []any{"work[0].pay", "pay-below-floor", usd(5_00), "work[1].pay", "pay-below-floor", usd(50_00)}; len(flagged) != len(want) || flagged[2] != want[2] || flagged[3] != want[3] || flagged[5] != want[5] {
		t.Errorf("flagged %v, want %v", flagged, want)
	}
	if _, ps = price.Earnings(shawls(), price.Floors{Legal: usd(4_51)}); !has(ps, check.Error, "pay-below-legal") {
		t.Errorf("below the law's floor: %v", ps)
	}
	if _, ps = price.Earnings(shawls(), price.Floors{Workshop: usd(2_00), Legal: usd(3_00)}); !has(ps, check.Caution, "floor-below-legal") {
		t.Errorf("the workshop's floor is below the law's: %v", ps)
	}
	raised, _ := price.AtFloor(shawls(), price.Floors{Workshop: usd(5_00)})
	if _, ps = price.Earnings(raised, price.Floors{Workshop: usd(5_00)}); len(ps) > 0 {
		t.Errorf("raised, and still: %v", ps)
	}
	odd := shawls()
	odd.Work[0].Minutes, odd.Work[1].Pay.Rate = 0, usd(0)
	odd.Work[0].Pay = price.Pay{Per: price.PerStep, Rate: usd(1)}
	if _, ps = price.Earnings(odd, price.Floors{}); !has(ps, check.Caution, "work-no-hours") || !has(ps, check.Caution, "work-unpaid") {
		t.Errorf("paid without hours, hours without pay: %v", ps)
	}
}

// Whatever the rates, an order raised to the floors pays them, step by step.
func TestAtFloor_paysEveryStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := shawls()
		o.Pieces = rapid.IntRange(1, 9).Draw(t, "pieces")
		for i := range o.Work {
			o.Work[i].Minutes = rapid.Int64Range(0, 3000).Draw(t, "minutes")
			o.Work[i].Pay = price.Pay{Per: rapid.SampledFrom([]price.Per{price.PerHour, price.PerPiece, price.PerStep}).Draw(t, "per"), Rate: usd(rapid.Int64Range(0, 50_00).Draw(t, "rate"))}
		}
		f := price.Floors{Workshop: usd(rapid.Int64Range(0, 9_00).Draw(t, "workshop")), Legal: usd(rapid.Int64Range(0, 9_00).Draw(t, "legal")), Allowance: percentOf(t, 30_00, "allowance")}
		raised, _ := price.AtFloor(o, f)
		es, ps := price.Earnings(raised, f)
		if ps.Failed() || has(ps, check.Caution, "pay-below-floor") {
			t.Fatalf("%+v: %v", raised.Work, ps)
		}
		for i, e := range es {
			if floor := max(f.Workshop.Minor, f.Legal.Minor); e.Hourly.Minor < floor && e.Minutes > 0 {
				t.Fatalf("step %d earns %v an hour, floor %d", i, e.Hourly, floor)
			}
		}
	})
}

// Lines add up to the total, each line is its exact amount rounded up, and a piece's
// cost times the pieces covers it.
func TestCost_linesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := shawls()
		o.Pieces = rapid.IntRange(1, 50).Draw(t, "pieces")
		o.Materials[0].Used = rapid.Int64Range(0, 5_000_000).Draw(t, "used")
		o.Work[0].Minutes = rapid.Int64Range(0, 5000).Draw(t, "minutes")
		c := sound(price.Cost(o))
		sum := int64(0)
		for _, l := range c.Lines {
			sum += l.Amount.Minor
		}
		if sum != c.Total.Minor || c.Each.Minor*int64(o.Pieces) < sum || (c.Each.Minor-1)*int64(o.Pieces) >= sum {
			t.Fatalf("lines %d, %+v", sum, c)
		}
		exact := big.NewRat(90_00*o.Materials[0].Used, 5_000_000)
		if got := new(big.Rat).SetInt64(c.Lines[0].Amount.Minor); got.Cmp(exact) < 0 || got.Cmp(exact.Add(exact, big.NewRat(1, 1))) >= 0 {
			t.Fatalf("yarn %v", c.Lines[0].Amount)
		}
	})
}

// By hand: 90.00 USD at 7.8125 are 703.125, of which 24 % are 168.75; back from a rate
// the other way round, 100 JPY at 150 JPY for a dollar are 0.6667 USD.
func TestCost_exchange(t *testing.T) {
	o := shawls()
	o.Currency = "GTQ"
	if _, ps := price.Cost(o); !has(ps, check.Error, "currency-without-rate") {
		t.Errorf("no rate: %v", ps)
	}
	o.Rates = []price.Exchange{{From: "USD", To: "GTQ", Rate: decimal.MustParse("7.8125"), On: "2026-11-20", Source: "the bank"}}
	if c := sound(price.Cost(o)); c.Lines[0].Amount != (price.Money{Minor: 168_75, Currency: "GTQ"}) {
		t.Errorf("yarn: %v", c.Lines[0].Amount)
	}
	rates := []price.Exchange{{From: "USD", To: "JPY", Rate: decimal.MustParse("150")}}
	if got, ps := price.Change(price.Money{Minor: 100, Currency: "JPY"}, "USD", rates); got != usd(67) || ps != nil {
		t.Errorf("back: %v, %v", got, ps)
	}
	if got, ps := price.Change(usd(1_00), "JPY", rates); got != (price.Money{Minor: 150, Currency: "JPY"}) || ps != nil {
		t.Errorf("there: %v, %v", got, ps)
	}
	if _, ps := price.Change(usd(1), "EUR", rates); !has(ps, check.Error, "currency-without-rate") {
		t.Errorf("no rate: %v", ps)
	}
	if _, ps := price.Earnings(shawls(), price.Floors{Workshop: price.Money{Minor: 1, Currency: "EUR"}}); !has(ps, check.Error, "currency-without-rate") {
		t.Errorf("a floor without rate: %v", ps)
	}
}

func TestCost_problems(t *testing.T) {
	for _, test := range []struct {
		path, code string
		edit       func(*price.Order)
	}{
		{"currency", "currency-unknown", func(o *price.Order) { o.Currency = "shells" }},
		{"pieces", "order-pieces", func(o *price.Order) { o.Pieces = 0 }},
		{"", "order-lines", func(o *price.Order) { o.Expenses = make([]price.Expense, 10_001) }},
		{"materials[0].used", "material-used", func(o *price.Order) { o.Materials[0].Used = 5_000_001 }},
		{"materials[0].used", "material-used", func(o *price.Order) { o.Materials[0] = price.Material{} }},
		{"materials[0].cost", "amount-out-of-range", func(o *price.Order) { o.Materials[0].Cost = usd(-1) }},
		{"work[1].minutes", "hours-negative", func(o *price.Order) { o.Work[1].Minutes = -1 }},
		{"work[1].minutes", "hours-too-many", func(o *price.Order) { o.Work[1].Minutes = 1_000_001 }},
		{"work[1].pay", "pay-key", func(o *price.Order) { o.Work[1].Pay.Per = price.PerCost }},
		{"work[1].pay", "currency-unknown", func(o *price.Order) { o.Work[1].Pay.Rate.Currency = "shells" }},
		{"work[1].pay", "amount-out-of-range", func(o *price.Order) { o.Work[1].Pay.Rate.Minor = price.MaxMinor; o.Pieces = 100 }},
		{"expenses[0].kind", "expense-kind", func(o *price.Order) { o.Expenses[0].Kind = price.Gain }},
		{"overhead[0].per", "overhead-key", func(o *price.Order) { o.Overhead[0].Per = price.PerStep }},
		{"overhead[2].percent", "percent-out-of-range", func(o *price.Order) { o.Overhead[2].Percent = percent("-1") }},
		{"rates[0].rate", "exchange-rate", func(o *price.Order) { o.Rates = []price.Exchange{{From: "USD", To: "EUR"}} }},
		{"rates[0].currency", "currency-unknown", func(o *price.Order) { o.Rates = []price.Exchange{{From: "USD", To: "x", Rate: decimal.MustNew(1, 0)}} }},
		{"rates[0].on", "date-unread", func(o *price.Order) {
			o.Rates = []price.Exchange{{From: "USD", To: "EUR", Rate: decimal.MustNew(1, 0), On: "today"}}
		}},
	} {
		o := shawls()
		test.edit(&o)
		_, ps := price.Cost(o)
		found := false
		for _, p := range ps {
			found = found || p.Path == test.path && p.Code == test.code
		}
		if !found {
			t.Errorf("want %s at %s: %v", test.code, test.path, ps)
		}
	}
}
