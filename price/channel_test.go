package price_test

import (
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

var shop = price.Terms{Currency: "USD", Channel: price.Channel{Kind: price.OwnShop}}

// By hand. Online at 10 % and 0.30 a sale, 80.00 wanted: 80.30 / 0.9 = 89.2222, so
// 89.23, of which 8.92 and 0.30 go and 80.01 are left; of 89.22, 8.92 and 0.30 go too
// and 80.00 are left, since the fee is rounded. Consignment at 40 %: 60 / 0.6 = 100.
// A fair's stall of 50.00 over 20 pieces is 2.50 each.
func TestPriceFor_byHand(t *testing.T) {
	for _, test := range []struct {
		c          price.Channel
		left, want int64
		fee        int64
	}{
		{price.Channel{Kind: price.OwnShop}, 80_00, 80_00, 0},
		{price.Channel{Kind: price.Online, Percent: percent("10"), Fixed: usd(30)}, 80_00, 89_22, 9_22},
		{price.Channel{Kind: price.Consignment, Percent: percent("40")}, 60_00, 100_00, 40_00},
		{price.Channel{Kind: price.Fair, Stall: usd(50_00), Expect: 20}, 80_00, 82_50, 2_50},
		{price.Channel{Kind: price.Wholesale, Percent: percent("50")}, 40_00, 80_00, 40_00},
	} {
		terms := shop
		terms.Channel = test.c
		got := sound(terms.PriceFor(usd(test.left), 1))
		sale := sound(terms.Sell(got, 1))
		if got != usd(test.want) || sale.Fee != usd(test.fee) || sale.Left != usd(test.want-test.fee) {
			t.Errorf("%s: price %v, fee %v, left %v; want %d, %d", test.c.Kind, got, sale.Fee, sale.Left, test.want, test.fee)
		}
	}
}

// By hand: 12 % of tax on 100.00 is 12.00 on top; within 100.00 it is 100 x 12/112 =
// 10.714, and 89.29 are left.
func TestSell_tax(t *testing.T) {
	terms := shop
	terms.Tax.Percent = percent("12")
	s, ps := terms.Sell(usd(100_00), 1)
	if s.Tax != usd(12_00) || s.Paid != usd(112_00) || s.Left != usd(100_00) {
		t.Errorf("on top: %+v", s)
	}
	if !has(ps, check.Caution, "tax-local") {
		t.Errorf("nothing says that local rules decide: %v", ps)
	}
	terms.Tax.Included = true
	if s = sound(terms.Sell(usd(100_00), 1)); s.Tax != usd(10_71) || s.Paid != usd(100_00) || s.Left != usd(89_29) {
		t.Errorf("included: %+v", s)
	}
}

// The price leaves at least what is wanted, whatever fees and taxes, and a unit less
// does not.
func TestPriceFor_isTheLowest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := price.Terms{Currency: "USD",
			Channel: price.Channel{Kind: price.Online, Percent: percentOf(t, 90_00, "fee"), Fixed: usd(rapid.Int64Range(0, 5_00).Draw(t, "fixed")),
				Stall: usd(rapid.Int64Range(0, 50_00).Draw(t, "stall")), Expect: rapid.IntRange(1, 40).Draw(t, "expect")},
			Tax: price.Tax{Percent: percentOf(t, 8_00, "tax"), Included: rapid.Bool().Draw(t, "included")}}
		pieces := rapid.IntRange(1, 7).Draw(t, "pieces")
		left := rapid.Int64Range(0, 100_00).Draw(t, "left")
		each := sound(terms.PriceFor(usd(left), pieces))
		at := func(each int64) int64 { return sound(terms.Sell(usd(each), pieces)).Left.Minor }
		if at(each.Minor) < left {
			t.Fatalf("%v leaves %d, wanted %d", each, at(each.Minor), left)
		}
		for less := int64(1); less <= 4 && each.Minor-less >= 0; less++ { // rounding may leave more of a little less
			if at(each.Minor-less) >= left {
				t.Fatalf("%v leaves %d, but %d less leaves %d", each, at(each.Minor), less, at(each.Minor-less))
			}
		}
		s := sound(terms.Sell(each, pieces))
		if s.Tax.Minor+s.Fee.Minor+s.Left.Minor != s.Paid.Minor {
			t.Fatalf("%+v does not add up", s)
		}
	})
}

func percentOf(t *rapid.T, most int64, name string) price.Percent {
	return percent(usd(rapid.Int64Range(0, most).Draw(t, name)).Plain())
}

func TestSell_problems(t *testing.T) {
	for _, test := range []struct {
		code string
		edit func(*price.Terms)
	}{
		{"fee-percent", func(v *price.Terms) { v.Channel.Percent = percent("100") }},
		{"fee-percent", func(v *price.Terms) { v.Channel.Percent = percent("130") }},
		{"fee-percent", func(v *price.Terms) { v.Channel.Percent = percent("-1") }},
		{"fee-and-tax", func(v *price.Terms) { v.Channel.Percent = percent("99.5") }},
		{"fee-and-tax", func(v *price.Terms) {
			v.Channel.Percent, v.Tax = percent("50"), price.Tax{Percent: percent("100"), Included: true}
		}},
		{"channel-kind", func(v *price.Terms) { v.Channel.Kind = "street" }},
		{"stall-expect", func(v *price.Terms) { v.Channel.Stall = usd(1) }},
		{"amount-out-of-range", func(v *price.Terms) { v.Channel.Fixed = usd(-1) }},
		{"currency-without-rate", func(v *price.Terms) { v.Channel.Fixed = price.Money{Minor: 30, Currency: "EUR"} }},
		{"exchange-rate", func(v *price.Terms) { v.Rates = []price.Exchange{{From: "EUR", To: "USD"}} }},
		{"percent-out-of-range", func(v *price.Terms) { v.Tax.Percent = percent("101") }},
	} {
		terms := shop
		test.edit(&terms)
		if _, ps := terms.Sell(usd(100), 1); !has(ps, check.Error, test.code) {
			t.Errorf("want %s: %v", test.code, ps)
		}
		if _, ps := terms.PriceFor(usd(100), 1); !has(ps, check.Error, test.code) {
			t.Errorf("want %s: %v", test.code, ps)
		}
	}
	if _, ps := shop.Sell(price.Money{Minor: 1, Currency: "EUR"}, 1); !has(ps, check.Error, "currency-other") {
		t.Errorf("another currency: %v", ps)
	}
	if _, ps := shop.Sell(usd(1), 0); !has(ps, check.Error, "order-pieces") {
		t.Errorf("no pieces: %v", ps)
	}
	online := shop
	online.Channel = price.Channel{Kind: price.Online, Percent: percent("90")}
	if _, ps := online.PriceFor(usd(price.MaxMinor), 1); !has(ps, check.Error, "amount-out-of-range") {
		t.Errorf("a price beyond all bounds: %v", ps)
	}
}

func TestList(t *testing.T) {
	consignment, bad := shop, shop
	consignment.Channel = price.Channel{Kind: price.Consignment, Name: "a shop in town", Percent: percent("35")}
	bad.Channel.Percent = percent("100")
	rows, ps := price.List(usd(61_00), []price.Terms{shop, bad, consignment}, price.Customary{Step: 5_00})
	if len(rows) != 2 || rows[0].Each != usd(65_00) || rows[1].Each != usd(95_00) || rows[1].Sale.Left != usd(61_75) { // 61 / 0.65 = 93.85
		t.Errorf("%+v", rows)
	}
	if !has(ps, check.Error, "fee-percent") || ps[0].Path != "channels[1].channel.percent" {
		t.Errorf("%v", ps)
	}
}
