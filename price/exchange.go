package price

import (
	"math/big"
	"time"

	"github.com/govalues/decimal"

	"urdir/check"
)

// Exchange is a rate that is kept with a quote: one of From is Rate of To, on a
// day, by whom it was told.
type Exchange struct {
	From, To string
	Rate     decimal.Decimal
	On       string // date
	Source   string
}

// maxRate is above any rate there is (some ten thousands are).
const maxRate = 10_000_000

func (e Exchange) validate() (ps check.Problems) {
	for _, code := range []string{e.From, e.To} {
		if !Known(code) {
			ps.Wrong("currency", "currency-unknown", check.Args{"text": code})
		}
	}
	if !e.Rate.IsPos() || e.Rate.Cmp(PerCent(maxRate).Decimal) > 0 {
		ps.Wrong("rate", "exchange-rate", check.Args{"from": e.From, "to": e.To})
	}
	if e.On != "" {
		date(&ps, "on", e.On)
	}
	return ps
}

// date checks a date: year, month and day.
func date(ps *check.Problems, path, text string) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		ps.Wrong(path, "date-unread", check.Args{"text": text})
	}
}

// Change is an amount in another currency, at the first rate that says how much
// one is of the other, either way round; rounded up, since it is a cost. Problem:
// currency-without-rate.
func Change(m Money, to string, rates []Exchange) (Money, check.Problems) {
	var ps check.Problems
	r, ok := changed(m, to, rates)
	if !ok {
		ps.Wrong("currency", "currency-without-rate", check.Args{"from": m.Currency, "to": to})
		return Money{}, ps
	}
	out := Money{round(r, up), to}
	bounded(&ps, "amount", out)
	return out, ps
}

// changed is an amount in minor units of another currency, not rounded.
func changed(m Money, to string, rates []Exchange) (*big.Rat, bool) {
	if m.Currency == to || m.Minor == 0 {
		return whole(m.Minor), true
	}
	from, _ := Digits(m.Currency)
	into, _ := Digits(to)
	scale := new(big.Rat).SetFrac(tenTo(into), tenTo(from))
	for _, e := range rates {
		switch {
		case !e.Rate.IsPos():
		case e.From == m.Currency && e.To == to:
			return mul(mul(whole(m.Minor), scale), fraction(e.Rate)), true
		case e.From == to && e.To == m.Currency:
			return quo(mul(whole(m.Minor), scale), fraction(e.Rate)), true
		}
	}
	return nil, false
}
