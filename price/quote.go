package price

import (
	"strings"

	"urdir/check"
)

// Asked is everything a quote is made from.
type Asked struct {
	Order   Order
	Floors  Floors
	Channel Channel
	Tax     Tax
	Aim     Aim   // how much is to be gained, where Price is not given
	Price   Money // of a piece, as listed; zero: reckoned from Aim
	Steps   []Step
	Off     Percent // wished discount, after the quantity's
	Custom  Customary
	Deposit Percent // of what the customer pays
	Issued  string  // dates
	Until   string  // the last day on which it can be accepted
}

// Aim is what is to be gained of what is left after tax and fees: over cost
// (markup), or of it (margin). One of the two is zero.
type Aim struct {
	Markup, Margin Percent
}

// Quote is an answer to Asked, and all the figures that were needed for it.
type Quote struct {
	Asked    Asked
	Costing  Costing
	Earnings []Earning
	Lowest   Money // of a piece: covers every cost and fee, pays what was agreed
	AtFloor  Money // of a piece: pays every step by the floors too
	Each     Money // of a piece, as listed, with what is off
	Outcome
	Deposit Money
	Balance Money // to pay on delivery
	Parts   []Part
}

// Outcome is what a price leaves.
type Outcome struct {
	Sale   Sale
	Gain   Money // left after all costs; below nothing if they are not covered
	Markup Percent
	Margin Percent
	// ForWork is what is left for work when everything else is paid, and Hourly what
	// that comes to an hour: pay from price.
	ForWork, Hourly Money
}

// Make makes a quote. Problems: those of Earnings and Terms.Sell; price-below-cost,
// an error, and price-below-floor, a caution, each with the price that would do;
// and what is wrong with aim, steps, rounding, deposit and dates.
func Make(a Asked) (Quote, check.Problems) {
	ps := a.validate()
	if ps.Failed() {
		return Quote{}, ps
	}
	q := Quote{Asked: a}
	var found check.Problems
	q.Costing, found = Cost(a.Order)
	if ps.Under("order", found); ps.Failed() {
		return Quote{}, ps
	}
	q.Earnings, found = Earnings(a.Order, a.Floors)
	for _, p := range found {
		if !strings.HasPrefix(p.Path, "floors") {
			p.Path = "order." + p.Path
		}
		ps = append(ps, p)
	}
	if ps.Failed() {
		return Quote{}, ps
	}
	if found = q.lowest(); found.Failed() {
		return Quote{}, append(ps, found...)
	}
	if found = q.price(); found.Failed() {
		return Quote{}, append(ps, found...)
	}
	q.Outcome = q.at(q.Each)
	q.judge(&ps)
	if ps.Failed() {
		return Quote{}, ps
	}
	q.Deposit = Money{round(mul(whole(q.Sale.Paid.Minor), a.Deposit.of()), half), a.Order.Currency}
	q.Balance = q.Sale.Paid.minus(q.Deposit)
	q.Parts = q.parts()
	return q, ps
}

func (a Asked) validate() (ps check.Problems) {
	ps = a.terms().validate()
	a.Aim.Markup.within(&ps, "aim.markup", maxPercent, true)
	a.Aim.Margin.within(&ps, "aim.margin", 100, false)
	if !a.Aim.Markup.IsZero() && !a.Aim.Margin.IsZero() {
		ps.Wrong("aim", "aim-two", nil)
	}
	if a.Price != (Money{}) {
		ps.Under("price", a.terms().priced(a.Price, max(1, min(a.Order.Pieces, maxPieces))))
	}
	ps.Under("custom", a.Custom.validate())
	ps = append(ps, validateSteps(a.Steps)...)
	a.Off.within(&ps, "off", 100, false)
	if a.Deposit.IsNeg() || a.Deposit.Cmp(PerCent(100).Decimal) > 0 {
		ps.Wrong("deposit", "deposit-over-price", nil)
	}
	before := len(ps)
	date(&ps, "issued", a.Issued)
	date(&ps, "until", a.Until)
	if len(ps) == before && a.Until < a.Issued {
		ps.Wrong("until", "quote-until", check.Args{"until": a.Until, "issued": a.Issued})
	}
	return ps
}

func (a Asked) terms() Terms {
	return Terms{Currency: a.Order.Currency, Rates: a.Order.Rates, Channel: a.Channel, Tax: a.Tax}
}

// lowest finds the lowest prices, as agreed and by the floors.
func (q *Quote) lowest() (ps check.Problems) {
	a := q.Asked
	if q.Lowest, ps = a.terms().PriceFor(q.Costing.Total, a.Order.Pieces); ps.Failed() {
		return ps
	}
	raised, ps := AtFloor(a.Order, a.Floors)
	if ps.Failed() {
		return ps
	}
	c, ps := Cost(raised)
	if ps.Failed() {
		return ps
	}
	q.AtFloor, ps = a.terms().PriceFor(c.Total, a.Order.Pieces)
	return ps
}

// price settles the price of a piece: given, with what is off; or reckoned from the
// aim, and customary.
func (q *Quote) price() (ps check.Problems) {
	a := q.Asked
	if a.Price != (Money{}) {
		q.Each = lessOff(lessOff(a.Price, offAt(a.Steps, a.Order.Pieces)), a.Off)
		return ps
	}
	left, ps := WithMarkup(q.Costing.Total, a.Aim.Markup)
	if !a.Aim.Margin.IsZero() {
		left, ps = WithMargin(q.Costing.Total, a.Aim.Margin)
	}
	if ps.Failed() {
		return ps
	}
	if q.Each, ps = a.terms().PriceFor(left, a.Order.Pieces); ps.Failed() {
		return ps
	}
	q.Each = a.Custom.Up(lessOff(q.Each, a.Off))
	return ps
}

// judge holds the price against what it must cover.
func (q *Quote) judge(ps *check.Problems) {
	bounded(ps, "price", q.Sale.Paid)
	switch {
	case q.Gain.Minor < 0:
		ps.Wrong("price", "price-below-cost", check.Args{"price": q.Each, "lowest": q.Asked.Custom.Up(q.Lowest), "short": Money{-q.Gain.Minor, q.Gain.Currency}})
	case q.Each.Minor < q.AtFloor.Minor:
		ps.Look("price", "price-below-floor", check.Args{"price": q.Each, "lowest": q.Asked.Custom.Up(q.AtFloor)})
	}
}

// at is what a price leaves, for a quote that is otherwise sound.
func (q *Quote) at(each Money) Outcome {
	o := q.Asked.Order
	s := q.Asked.terms().sell(each, o.Pieces)
	out := Outcome{Sale: s, Gain: s.Left.minus(q.Costing.Total), Markup: Markup(q.Costing.Total, s.Left), Margin: Margin(q.Costing.Total, s.Left)}
	out.ForWork = q.forWork(s.Left)
	out.Hourly = Hourly(out.ForWork, q.Costing.Minutes)
	return out
}

// forWork is what is left for work:
//
//	left = other direct costs + work + overhead by hour and piece + share (other + work)
//
// solved for work and rounded down.
func (q *Quote) forWork(left Money) Money {
	other := q.Costing.Direct.minus(q.Costing.Of(Labour))
	share := whole(1)
	rest := left
	for i, l := range q.Costing.Lines[len(q.Costing.Lines)-len(q.Asked.Order.Overhead):] {
		if v := q.Asked.Order.Overhead[i]; v.Per == PerCost {
			share = add(share, v.Percent.of())
		} else {
			rest = rest.minus(l.Amount)
		}
	}
	return Money{round(quo(whole(rest.Minor), share), down) - other.Minor, left.Currency}
}

// At asks what another price of a piece would leave. Problems: price-below-cost and
// price-below-floor as cautions, since it is only asked.
func (q Quote) At(each Money) (Outcome, check.Problems) {
	ps := q.Asked.terms().priced(each, q.Asked.Order.Pieces)
	if ps.Failed() {
		return Outcome{}, ps
	}
	q.Each, q.Outcome = each, q.at(each)
	q.judge(&ps)
	for i := range ps {
		ps[i].Severity = check.Caution
	}
	return q.Outcome, ps
}

// Discounted asks what so much off the quote's price would leave. Problems: those
// of At, and percent-out-of-range.
func (q Quote) Discounted(off Percent) (Outcome, check.Problems) {
	var ps check.Problems
	if off.within(&ps, "off", 100, false); ps.Failed() {
		return Outcome{}, ps
	}
	return q.At(lessOff(q.Each, off))
}

// Accept checks that a quote can be accepted on a day with a deposit. Problems:
// quote-past, deposit-over-price and currency-other; deposit-short is a caution.
func (q Quote) Accept(on string, deposit Money) (ps check.Problems) {
	date(&ps, "on", on)
	amount(&ps, "deposit", deposit)
	if ps.Failed() {
		return ps
	}
	if on > q.Asked.Until {
		ps.Wrong("on", "quote-past", check.Args{"until": q.Asked.Until, "on": on})
	}
	switch {
	case deposit.Minor > 0 && deposit.Currency != q.Deposit.Currency:
		ps.Wrong("deposit", "currency-other", check.Args{"text": deposit.Currency, "want": q.Deposit.Currency})
	case deposit.Minor > q.Sale.Paid.Minor:
		ps.Wrong("deposit", "deposit-over-price", check.Args{"price": q.Sale.Paid})
	case deposit.Minor < q.Deposit.Minor:
		ps.Look("deposit", "deposit-short", check.Args{"paid": deposit, "wanted": q.Deposit})
	}
	return ps
}
