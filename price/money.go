package price

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/bojanz/currency"
	"github.com/govalues/decimal"

	"urdir/check"
)

// MaxMinor is the largest amount that is taken in, in minor units: ten milliards
// of a currency with cents. Sums of many such amounts still are whole numbers.
const MaxMinor = 1_000_000_000_000

// Money is an amount of a currency.
type Money struct {
	Minor    int64  // smallest units, as cents
	Currency string // ISO 4217
}

// ErrAmount is the error of a text that is not an amount.
var ErrAmount = errors.New("not an amount")

// Known reports whether a code is a currency of ISO 4217.
func Known(code string) bool { return code != "" && currency.IsValid(code) }

// Digits is how many decimals the minor unit of a currency is, by ISO 4217: 2 for
// most, 0 and 3 for some, 4 for a few units of account. ok is false if the code
// is unknown.
func Digits(code string) (digits int, ok bool) {
	d, ok := currency.GetDigits(code)
	return int(d), ok && code != ""
}

// Parse reads an amount as digits with at most one point: "1250.50". The error is
// ErrAmount for anything else, more decimals than the currency has among it.
func Parse(text, code string) (Money, error) {
	digits, ok := Digits(code)
	if !ok {
		return Money{}, fmt.Errorf("currency %q: %w", code, ErrAmount)
	}
	bad := fmt.Errorf("%q in %s: %w", text, code, ErrAmount)
	if strings.Trim(text, "0123456789.") != "" || strings.Trim(text, ".") != text {
		return Money{}, bad
	}
	d, err := decimal.ParseExact(text, digits)
	if err != nil || d.Scale() != digits || d.Coef() > MaxMinor {
		return Money{}, bad
	}
	return Money{int64(d.Coef()), code}, nil
}

// Plain is the amount without its currency as exports write it: "1250.50".
func (m Money) Plain() string {
	digits, _ := Digits(m.Currency)
	d, err := decimal.New(m.Minor, digits)
	if err != nil { // no currency has so many decimals
		return fmt.Sprint(m.Minor)
	}
	return d.String()
}

// String is the amount for exports and logs: "USD 1250.50".
func (m Money) String() string { return m.Currency + " " + m.Plain() }

// In is the amount as a language writes it, by CLDR: "USD 1,250.50" for "en",
// "1250,50 USD" for "es". It has the code and not the sign: $ is a dollar here and
// a peso there, and a quote may name both.
func (m Money) In(tag string) string {
	a, err := currency.NewAmountFromInt64(m.Minor, m.Currency)
	if err != nil {
		return m.String()
	}
	f := currency.NewFormatter(currency.NewLocale(tag))
	f.CurrencyDisplay = currency.DisplayCode
	return f.Format(a)
}

// number is a decimal as a language writes it.
func number(d decimal.Decimal, tag string) string {
	a, err := currency.NewAmount(d.Trim(0).String(), "USD") // any: it is not shown
	if err != nil {
		return d.String()
	}
	f := currency.NewFormatter(currency.NewLocale(tag))
	f.CurrencyDisplay, f.MinDigits = currency.DisplayNone, 0
	return f.Format(a)
}

// Sum adds amounts of one currency. ok is false if there are several currencies or
// the sum is too large.
func Sum(of ...Money) (sum Money, ok bool) {
	for i, m := range of {
		if i == 0 {
			sum.Currency = m.Currency
		}
		if m.Currency != sum.Currency || m.Minor > 0 && sum.Minor > math.MaxInt64-m.Minor || m.Minor < 0 && sum.Minor < math.MinInt64-m.Minor {
			return Money{}, false
		}
		sum.Minor += m.Minor
	}
	return sum, true
}

// plus, minus and times are for amounts whose bounds and currency were checked.
func (m Money) plus(o Money) Money     { return Money{m.Minor + o.Minor, m.Currency} }
func (m Money) minus(o Money) Money    { return Money{m.Minor - o.Minor, m.Currency} }
func (m Money) times(pieces int) Money { return Money{m.Minor * int64(pieces), m.Currency} }

// amount checks an amount of what a person wrote. One that is left out has no
// currency either.
func amount(ps *check.Problems, path string, m Money) {
	if m.Minor < 0 || m.Minor > MaxMinor {
		ps.Wrong(path, "amount-out-of-range", nil)
	}
	if m != (Money{}) && !Known(m.Currency) {
		ps.Wrong(path, "currency-unknown", check.Args{"text": m.Currency})
	}
}

// bounded reports a result that is too large to go on with.
func bounded(ps *check.Problems, path string, m Money) bool {
	if m.Minor > MaxMinor || m.Minor < -MaxMinor {
		ps.Wrong(path, "amount-out-of-range", nil)
		return false
	}
	return true
}
