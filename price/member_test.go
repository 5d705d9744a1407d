package price_test

import (
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

// By hand: 90.00 for 20 h and 12.00 for 3 h are 102.00, 4.43 an hour; 15.00 more were
// earned at the market, without hours. An advance of 40.00, a fifth of each pay: 23.40.
func TestSettle_byHand(t *testing.T) {
	work := []price.Piecework{{"shawls 12 and 13", "weave", 1200, usd(90_00)}, {"warp 12", "lay", 180, usd(12_00)}, {"market", "sell", 0, usd(15_00)}}
	s, ps := price.Settle(work, "USD", price.Agreement{Owed: usd(40_00), Share: percent("20")}, price.Floors{Workshop: usd(5_00), Legal: usd(4_00)})
	if s.Earned != usd(117_00) || s.Minutes != 1380 || s.Hourly != usd(4_43) || s.Withheld != usd(23_40) || s.Due != usd(93_60) || s.Owed != usd(16_60) {
		t.Errorf("%+v", s)
	}
	if len(ps) != 1 || !has(ps, check.Caution, "member-below-floor") || ps[0].Args["short"] != usd(13_00) { // 115.00 - 102.00
		t.Errorf("%v", ps)
	}
	if _, ps = price.Settle(work, "USD", price.Agreement{}, price.Floors{Legal: usd(4_44)}); !has(ps, check.Caution, "member-below-legal") {
		t.Errorf("below the law's floor: %v", ps)
	}
}

// A repayment is never more than the agreed share or than is owed; a unit more is
// refused.
func TestRepayment_byAgreedShareOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hundredths := rapid.Int64Range(0, 100_00).Draw(t, "share")
		a := price.Agreement{Owed: usd(rapid.Int64Range(0, 500_00).Draw(t, "owed")), Share: percent(usd(hundredths).Plain())}
		pay := usd(rapid.Int64Range(0, 500_00).Draw(t, "pay"))
		got := a.Repayment(pay)
		if got.Minor > a.Owed.Minor || got.Minor*10_000 > pay.Minor*hundredths {
			t.Fatalf("%+v: %v of %v", a, got, pay)
		}
		if ps := a.CheckRepayment(pay, got); ps != nil {
			t.Fatalf("%+v: %v of %v: %v", a, got, pay, ps)
		}
		if ps := a.CheckRepayment(pay, usd(got.Minor+1)); !has(ps, check.Error, "repayment-over-share") {
			t.Fatalf("%+v: more than %v of %v: %v", a, got, pay, ps)
		}
	})
}

func TestSettle_problems(t *testing.T) {
	eur := price.Money{Minor: 1, Currency: "EUR"}
	for _, test := range []struct {
		code string
		work price.Piecework
		a    price.Agreement
		f    price.Floors
	}{
		{"hours-negative", price.Piecework{Minutes: -1, Pay: usd(1)}, price.Agreement{}, price.Floors{}},
		{"hours-too-many", price.Piecework{Minutes: 2_000_000, Pay: usd(1)}, price.Agreement{}, price.Floors{}},
		{"currency-other", price.Piecework{Pay: eur}, price.Agreement{}, price.Floors{}},
		{"currency-other", price.Piecework{}, price.Agreement{Owed: eur}, price.Floors{}},
		{"currency-other", price.Piecework{}, price.Agreement{}, price.Floors{Legal: eur}},
		{"repayment-share", price.Piecework{}, price.Agreement{Share: percent("101")}, price.Floors{}},
		{"amount-out-of-range", price.Piecework{Pay: usd(-1)}, price.Agreement{}, price.Floors{}},
	} {
		if _, ps := price.Settle([]price.Piecework{test.work}, "USD", test.a, test.f); !has(ps, check.Error, test.code) {
			t.Errorf("want %s: %v", test.code, ps)
		}
	}
}
