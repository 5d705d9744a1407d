package price

import (
	"fmt"
	"math/big"
	"strings"

	"github.com/govalues/decimal"

	"urdir/check"
)

// Percent is per cents as people write them: 12.5 is 12.5 %. The zero value is 0 %.
type Percent struct{ decimal.Decimal }

// percentDecimals is how fine per cents are read and written: basis points.
const percentDecimals = 2

// ParsePercent reads per cents as digits with at most one point, and a sign for
// less than nothing: "12.5". The error is ErrAmount for anything else, more than
// two decimals among it.
func ParsePercent(text string) (Percent, error) {
	d, err := decimal.Parse(text)
	if err != nil || d.Scale() > percentDecimals || strings.Trim(text, "-0123456789.") != "" {
		return Percent{}, fmt.Errorf("%q per cent: %w", text, ErrAmount)
	}
	return Percent{d}, nil
}

// PerCent is a whole number of per cents.
func PerCent(n int64) Percent {
	d, err := decimal.New(n, 0)
	if err != nil { // no int64 is too large for 19 digits
		return Percent{}
	}
	return Percent{d}
}

// In is the per cents as a language writes them, by CLDR: "12.5 %" for "en", with a
// thin space that does not break.
func (p Percent) In(tag string) string { return number(p.Decimal, tag) + "\u202f%" }

// of is so many per cents as a share of one.
func (p Percent) of() *big.Rat { return quo(fraction(p.Decimal), whole(100)) }

// more is one and so many per cents.
func (p Percent) more() *big.Rat { return add(whole(1), p.of()) }

// less is one less so many per cents.
func (p Percent) less() *big.Rat { return sub(whole(1), p.of()) }

// percentOf is how many per cents an amount is of another, to two decimals, halves
// up; zero if the other is nothing.
func percentOf(part, base int64) Percent {
	if base == 0 {
		return Percent{}
	}
	n := round(mul(ratio(part, base), whole(100*100)), half)
	d, err := decimal.New(n, percentDecimals)
	if err != nil {
		return Percent{}
	}
	return Percent{d}
}

// within checks per cents: from nothing to below a bound, or to the bound itself.
func (p Percent) within(ps *check.Problems, path string, most int64, itself bool) {
	c := p.Cmp(PerCent(most).Decimal)
	if p.IsNeg() || c > 0 || c == 0 && !itself || p.Trim(0).Scale() > percentDecimals {
		ps.Wrong(path, "percent-out-of-range", check.Args{"value": p, "most": PerCent(most)})
	}
}

// WithMarkup is the price of a cost with so much gained over cost, rounded up:
//
//	price = cost (1 + markup)
//
// as any text of managerial accounting has it. Problem: percent-out-of-range for a
// markup below nothing or above 1000 %.
func WithMarkup(cost Money, markup Percent) (price Money, ps check.Problems) {
	amount(&ps, "cost", cost)
	if markup.within(&ps, "markup", maxPercent, true); ps.Failed() {
		return Money{}, ps
	}
	price = Money{round(mul(whole(cost.Minor), markup.more()), up), cost.Currency}
	return price, ps
}

// WithMargin is the price of a cost with so much of the price gained, rounded up:
//
//	price = cost / (1 - margin)
//
// Problem: percent-out-of-range for a margin below nothing, or of 100 % or more.
func WithMargin(cost Money, margin Percent) (price Money, ps check.Problems) {
	amount(&ps, "cost", cost)
	if margin.within(&ps, "margin", 100, false); ps.Failed() {
		return Money{}, ps
	}
	price = Money{round(quo(whole(cost.Minor), margin.less()), up), cost.Currency}
	return price, ps
}

// maxPercent bounds markup, overhead and the like.
const maxPercent = 1000

// Markup is what a price gains over a cost, in per cents of the cost; zero for a
// cost of nothing.
func Markup(cost, price Money) Percent { return percentOf(price.Minor-cost.Minor, cost.Minor) }

// Margin is what a price gains over a cost, in per cents of the price; zero for a
// price of nothing.
func Margin(cost, price Money) Percent { return percentOf(price.Minor-cost.Minor, price.Minor) }
