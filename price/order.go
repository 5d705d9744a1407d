package price

import (
	"fmt"

	"urdir/check"
)

// Order is what an order takes, as planned or as it really was. Amounts may be in
// any currency that Rates has a rate for.
type Order struct {
	Currency  string // of the costing and the price
	Pieces    int
	Rates     []Exchange
	Materials []Material
	Work      []Work
	Expenses  []Expense
	Overhead  []Overhead
}

// Material is what is used of a lot, at what the lot cost with its freight. Used
// and Lot are in one unit, such as milligrams.
type Material struct {
	Name      string
	Used, Lot int64
	Cost      Money // of the whole lot
}

// Work is a step for all pieces: laying, weaving, dyeing, finishing, and teaching,
// carrying and meetings too, which are work like any other.
type Work struct {
	Step    string // key, as weave
	By      string // who; may be empty
	Minutes int64
	Pay     Pay
}

// Pay is how a step is paid: an hour, a piece, or the step as a whole.
type Pay struct {
	Per  Per
	Rate Money
}

// Per is what an amount is for.
type Per string

const (
	PerHour  Per = "hour"
	PerPiece Per = "piece"
	PerStep  Per = "step"
	PerCost  Per = "cost" // overhead: per cents of the direct cost
)

// Expense is money that goes out for the order: firewood, a bus, a market fee.
type Expense struct {
	Kind   Kind // Fuel, Transport, Fees or Other
	Name   string
	Amount Money
}

// Overhead is a share of what the workshop costs whether or not there is work:
// rent, light, upkeep of looms. Its key is Per: an hour of work, a piece, or the
// direct cost.
type Overhead struct {
	Name    string
	Per     Per
	Rate    Money   // an hour or a piece
	Percent Percent // of the direct cost
}

// Kind is what a part of the cost, or of the price, is for.
type Kind string

const (
	Materials Kind = "materials"
	Labour    Kind = "work"
	Fuel      Kind = "fuel"
	Transport Kind = "transport"
	Fees      Kind = "fees"
	Other     Kind = "other"
	Overheads Kind = "overhead"
	Selling   Kind = "selling" // what the channel keeps
	Taxes     Kind = "tax"
	Gain      Kind = "gain" // what is left for the workshop
)

const (
	maxPieces  = 100_000
	maxMinutes = 1_000_000 // of a step: some eight years of one person's work
	maxLines   = 10_000
)

// Validate is everything that is wrong with an order; a currency without a rate is
// found by Cost.
func (o Order) Validate() (ps check.Problems) {
	if !Known(o.Currency) {
		ps.Wrong("currency", "currency-unknown", check.Args{"text": o.Currency})
	}
	if o.Pieces < 1 || o.Pieces > maxPieces {
		ps.Wrong("pieces", "order-pieces", check.Args{"n": o.Pieces, "most": maxPieces})
	}
	if len(o.Materials)+len(o.Work)+len(o.Expenses)+len(o.Overhead) > maxLines {
		ps.Wrong("", "order-lines", check.Args{"most": maxLines})
	}
	for i, e := range o.Rates {
		ps.Under(fmt.Sprintf("rates[%d]", i), e.validate())
	}
	for i, m := range o.Materials {
		ps.Under(fmt.Sprintf("materials[%d]", i), m.validate())
	}
	for i, w := range o.Work {
		ps.Under(fmt.Sprintf("work[%d]", i), w.validate())
	}
	for i, e := range o.Expenses {
		ps.Under(fmt.Sprintf("expenses[%d]", i), e.validate())
	}
	for i, v := range o.Overhead {
		ps.Under(fmt.Sprintf("overhead[%d]", i), v.validate())
	}
	return ps
}

func (m Material) validate() (ps check.Problems) {
	amount(&ps, "cost", m.Cost)
	if m.Used < 0 || m.Lot <= 0 || m.Used > m.Lot {
		ps.Wrong("used", "material-used", check.Args{"name": m.Name})
	}
	return ps
}

func (w Work) validate() (ps check.Problems) {
	amount(&ps, "pay", w.Pay.Rate)
	switch {
	case w.Minutes < 0:
		ps.Wrong("minutes", "hours-negative", check.Args{"step": w.Step})
	case w.Minutes > maxMinutes:
		ps.Wrong("minutes", "hours-too-many", check.Args{"step": w.Step, "most": maxMinutes / 60})
	}
	if w.Pay.Per != PerHour && w.Pay.Per != PerPiece && w.Pay.Per != PerStep {
		ps.Wrong("pay", "pay-key", check.Args{"step": w.Step, "text": string(w.Pay.Per)})
	}
	return ps
}

func (e Expense) validate() (ps check.Problems) {
	amount(&ps, "amount", e.Amount)
	switch e.Kind {
	case Fuel, Transport, Fees, Other:
	default:
		ps.Wrong("kind", "expense-kind", check.Args{"text": string(e.Kind)})
	}
	return ps
}

func (v Overhead) validate() (ps check.Problems) {
	switch v.Per {
	case PerHour, PerPiece:
		amount(&ps, "rate", v.Rate)
	case PerCost:
		v.Percent.within(&ps, "percent", maxPercent, true)
	default:
		ps.Wrong("per", "overhead-key", check.Args{"name": v.Name, "text": string(v.Per)})
	}
	return ps
}
