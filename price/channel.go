package price

import (
	"math/big"

	"urdir/check"
)

// Channel is a way to sell, and what it keeps of a sale:
//
//	fee = percent x what the customer pays + fixed + stall x pieces / pieces expected
//
// For a shop that takes pieces on consignment, Percent is its commission; for a
// buyer who sells on, what is taken off the list price.
type Channel struct {
	Kind    ChannelKind
	Name    string
	Percent Percent
	Fixed   Money // of each sale
	Stall   Money // of a fair, shared by the pieces expected to be sold there
	Expect  int
}

// ChannelKind is what sort of channel it is.
type ChannelKind string

const (
	OwnShop     ChannelKind = "own-shop"
	Fair        ChannelKind = "fair"
	Wholesale   ChannelKind = "wholesale"
	Online      ChannelKind = "online"
	Consignment ChannelKind = "consignment"
)

// Tax is a tax on sales as the workshop has set it. Local rules decide whether
// there is one, how much it is and who owes it; nothing is assumed.
type Tax struct {
	Name     string
	Percent  Percent
	Included bool // in prices; otherwise it is put on top of them
}

// Terms are what stands between a price and what is left of it.
type Terms struct {
	Currency string
	Rates    []Exchange // for fixed fees in another currency
	Channel  Channel
	Tax      Tax
}

// Sale is what becomes of a price: Paid = Tax + Fee + Left.
type Sale struct {
	Price Money // of all pieces, as listed
	Tax   Money
	Paid  Money // by the customer
	Fee   Money // kept by the channel
	Left  Money // for the workshop
}

func (t Terms) validate() (ps check.Problems) {
	c := t.Channel
	switch c.Kind {
	case OwnShop, Fair, Wholesale, Online, Consignment:
	default:
		ps.Wrong("channel.kind", "channel-kind", check.Args{"text": string(c.Kind)})
	}
	if c.Percent.IsNeg() || c.Percent.Cmp(PerCent(100).Decimal) >= 0 {
		ps.Wrong("channel.percent", "fee-percent", check.Args{"value": c.Percent})
	}
	amount(&ps, "channel.fixed", c.Fixed)
	amount(&ps, "channel.stall", c.Stall)
	if c.Stall.Minor > 0 && c.Expect < 1 {
		ps.Wrong("channel.expect", "stall-expect", nil)
	}
	t.Tax.Percent.within(&ps, "tax.percent", 100, true)
	if t.Tax.Percent.IsPos() {
		ps.Look("tax", "tax-local", nil)
	}
	for _, m := range []Money{c.Fixed, c.Stall} {
		if _, ok := changed(m, t.Currency, t.Rates); !ok {
			ps.Wrong("channel", "currency-without-rate", check.Args{"from": m.Currency, "to": t.Currency})
		}
	}
	if !ps.Failed() && t.share().Cmp(leastShare()) < 0 {
		ps.Wrong("channel.percent", "fee-and-tax", nil)
	}
	return ps
}

// check is validate, and the rates too, which an order checks by itself.
func (t Terms) check() check.Problems {
	ps := t.validate()
	for i, e := range t.Rates {
		ps.Under(at("rates", i), e.validate())
	}
	return ps
}

// leastShare is what fees and tax must leave of a price; with less, a price that
// covers anything is no price.
func leastShare() *big.Rat { return ratio(1, 100) }

// taxed is the share of a listed price that is tax, and what the customer pays of it.
func (t Terms) taxed() (tax, paid *big.Rat) {
	if tax = t.Tax.Percent.of(); t.Tax.Included {
		return quo(tax, t.Tax.Percent.more()), whole(1)
	}
	return tax, t.Tax.Percent.more()
}

// share is what per cents leave of a listed price.
func (t Terms) share() *big.Rat {
	tax, paid := t.taxed()
	return sub(mul(paid, t.Channel.Percent.less()), tax)
}

// fixed is what the channel keeps whatever the price, in minor units.
func (t Terms) fixed(pieces int) int64 {
	of, _ := changed(t.Channel.Fixed, t.Currency, t.Rates)
	stall, _ := changed(t.Channel.Stall, t.Currency, t.Rates)
	if t.Channel.Expect > 0 {
		of = add(of, mul(stall, ratio(int64(pieces), int64(t.Channel.Expect))))
	}
	return round(of, up)
}

// Sell says what becomes of the price of some pieces sold at once. Problems: what is
// wrong with the terms, fee-percent, fee-and-tax and currency-without-rate among it;
// always the caution tax-local where a tax is set.
func (t Terms) Sell(each Money, pieces int) (Sale, check.Problems) {
	ps := t.check()
	ps.Under("price", t.priced(each, pieces))
	if ps.Failed() {
		return Sale{}, ps
	}
	return t.sell(each, pieces), ps
}

// priced checks a price of a number of pieces.
func (t Terms) priced(each Money, pieces int) (ps check.Problems) {
	amount(&ps, "", each)
	if each.Currency != t.Currency {
		ps.Wrong("", "currency-other", check.Args{"text": each.Currency, "want": t.Currency})
	}
	if pieces < 1 || pieces > maxPieces {
		ps.Wrong("pieces", "order-pieces", check.Args{"n": pieces, "most": maxPieces})
	}
	return ps
}

// sell is Sell for what has been checked.
func (t Terms) sell(each Money, pieces int) Sale {
	s := Sale{Price: each.times(pieces)}
	tax, _ := t.taxed()
	s.Tax = Money{round(mul(whole(s.Price.Minor), tax), half), t.Currency}
	if s.Paid = s.Price; !t.Tax.Included {
		s.Paid = s.Price.plus(s.Tax)
	}
	s.Fee = Money{round(mul(whole(s.Paid.Minor), t.Channel.Percent.of()), half) + t.fixed(pieces), t.Currency}
	s.Left = s.Paid.minus(s.Tax).minus(s.Fee)
	return s
}

// PriceFor is the lowest price of a piece, such that so much is left when some are
// sold at once:
//
//	price = (left + fixed fees) / (pieces (1 - per cents))
//
// and from there to the minor unit that does with fees and tax as they are rounded.
// Problems: those of Sell.
func (t Terms) PriceFor(left Money, pieces int) (each Money, ps check.Problems) {
	ps = t.check()
	ps.Under("left", t.priced(left, pieces))
	if ps.Failed() {
		return Money{}, ps
	}
	// Fee and tax are each at most half a unit from exact, so that no lower price
	// can do; the loop is short, since at least leastShare is left of a unit.
	target := whole(left.Minor + t.fixed(pieces) - 1)
	each = Money{max(0, round(quo(quo(target, t.share()), whole(int64(pieces))), up)), t.Currency}
	for bounded(&ps, "price", each) && t.sell(each, pieces).Left.Minor < left.Minor {
		each.Minor++
	}
	return each, ps
}
