package price

import (
	"fmt"
	"math/big"

	"urdir/check"
)

// Line is one line of a costing.
type Line struct {
	Kind    Kind
	Name    string // of the material, step, expense or overhead
	By      string // who works
	Minutes int64
	Amount  Money
}

// Costing is what an order costs, line by line; Lines add up to Total.
type Costing struct {
	Lines    []Line
	Minutes  int64
	Direct   Money // materials, work and expenses
	Overhead Money
	Total    Money
	Each     Money // a piece, rounded up
}

// Of is what all lines of a kind cost.
func (c Costing) Of(k Kind) Money {
	sum := Money{0, c.Total.Currency}
	for _, l := range c.Lines {
		if l.Kind == k {
			sum.Minor += l.Amount.Minor
		}
	}
	return sum
}

// Cost reckons an order:
//
//	material = cost of the lot x used / lot
//	work     = rate x hours, x pieces, or x 1
//	direct   = materials + work + expenses
//	overhead = rate x hours, rate x pieces, or a share of direct
//	total    = direct + overhead
//
// Direct materials, direct labour and overhead are what any text of managerial
// accounting builds a product's cost from. Each line is rounded up by itself, so
// that the lines shown are the lines added. Problems: those of Validate,
// currency-without-rate, amount-out-of-range.
func Cost(o Order) (Costing, check.Problems) {
	ps := o.Validate()
	if ps.Failed() {
		return Costing{}, ps
	}
	c := coster{order: o}
	for i, m := range o.Materials {
		c.line(fmt.Sprintf("materials[%d].cost", i), Line{Kind: Materials, Name: m.Name}, m.Cost, ratio(m.Used, m.Lot))
	}
	for i, w := range o.Work {
		c.line(fmt.Sprintf("work[%d].pay", i), Line{Kind: Labour, Name: w.Step, By: w.By, Minutes: w.Minutes}, w.Pay.Rate, w.units(o.Pieces))
		c.Minutes += w.Minutes
	}
	for i, e := range o.Expenses {
		c.line(fmt.Sprintf("expenses[%d].amount", i), Line{Kind: e.Kind, Name: e.Name}, e.Amount, whole(1))
	}
	c.Direct = c.sum(0)
	direct := len(c.Lines)
	for i, v := range o.Overhead {
		rate, units := v.Rate, ratio(c.Minutes, 60)
		switch v.Per {
		case PerPiece:
			units = whole(int64(o.Pieces))
		case PerCost:
			rate, units = c.Direct, v.Percent.of()
		}
		c.line(fmt.Sprintf("overhead[%d].rate", i), Line{Kind: Overheads, Name: v.Name}, rate, units)
	}
	c.Overhead = c.sum(direct)
	c.Total = c.Direct.plus(c.Overhead)
	if bounded(&c.ps, "", c.Total); c.ps.Failed() {
		return Costing{}, c.ps
	}
	c.Each = Money{round(ratio(c.Total.Minor, int64(o.Pieces)), up), o.Currency}
	return c.Costing, nil
}

// units is how many times a rate is paid for a step.
func (w Work) units(pieces int) *big.Rat {
	switch w.Pay.Per {
	case PerHour:
		return ratio(w.Minutes, 60)
	case PerPiece:
		return whole(int64(pieces))
	}
	return whole(1)
}

// coster gathers a costing.
type coster struct {
	Costing
	order Order
	ps    check.Problems
}

// line adds a line of so many times a rate.
func (c *coster) line(path string, l Line, rate Money, times *big.Rat) {
	in, ok := changed(rate, c.order.Currency, c.order.Rates)
	if !ok {
		c.ps.Wrong(path, "currency-without-rate", check.Args{"from": rate.Currency, "to": c.order.Currency})
		return
	}
	l.Amount = Money{round(mul(in, times), up), c.order.Currency}
	if bounded(&c.ps, path, l.Amount) {
		c.Lines = append(c.Lines, l)
	}
}

func (c *coster) sum(from int) Money {
	sum := Money{0, c.order.Currency}
	for _, l := range c.Lines[from:] {
		sum.Minor += l.Amount.Minor
	}
	return sum
}
