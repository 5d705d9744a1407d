package price

import (
	"fmt"
	"math/big"

	"urdir/check"
)

// Floors are what an hour of work must be paid at least: what the workshop has
// agreed on, and what the law asks for where it applies. They are two settings,
// and one that is zero is not looked at. Local rules decide what counts as an hour
// and who is bound.
type Floors struct {
	Workshop, Legal Money
	// Allowance is put on top of the time a piece takes, so that one of ordinary
	// pace earns the floor. The United Kingdom's rule for work paid by the piece
	// asks for 20 % (National Minimum Wage Regulations 2015, regs. 41-43).
	Allowance Percent
}

// Earning is what a step pays.
type Earning struct {
	Step, By string
	Minutes  int64
	Pay      Money
	Hourly   Money // rounded down; zero if there are no hours
	Workshop Money // what the step must pay by the workshop's floor
	Legal    Money // and by the law's
	Below    bool  // either of them
}

func (f Floors) validate() (ps check.Problems) {
	amount(&ps, "workshop", f.Workshop)
	amount(&ps, "legal", f.Legal)
	f.Allowance.within(&ps, "allowance", maxPercent, true)
	return ps
}

// PieceRate is the least pay of so many pieces that takes so much time, rounded up:
//
//	rate = floor x (1 + allowance) x hours
//
// the piece rate from which one of ordinary pace earns the time wage (ILO Minimum
// Wage Policy Guide).
func PieceRate(floor Money, minutes int64, allowance Percent) Money {
	return Money{round(needed(whole(floor.Minor), minutes, allowance), up), floor.Currency}
}

func needed(floor *big.Rat, minutes int64, allowance Percent) *big.Rat {
	return mul(mul(floor, allowance.more()), ratio(minutes, 60))
}

// Hourly is what an amount comes to an hour, rounded down; zero without hours.
func Hourly(pay Money, minutes int64) Money {
	if minutes <= 0 {
		return Money{0, pay.Currency}
	}
	return Money{round(mul(whole(pay.Minor), ratio(60, minutes)), down), pay.Currency}
}

// Earnings holds the pay of every step of an order against the floors. Problems:
// those of Cost; the errors pay-below-legal, and the cautions pay-below-floor, which
// name the pay and the rate that would do; the cautions work-unpaid and
// work-no-hours, where nothing can be held against a floor.
func Earnings(o Order, f Floors) ([]Earning, check.Problems) {
	c, ps := Cost(o)
	ps.Under("floors", f.validate())
	if ps.Failed() {
		return nil, ps
	}
	legal, workshop := o.floor(&ps, "floors.legal", f.Legal), o.floor(&ps, "floors.workshop", f.Workshop)
	if ps.Failed() {
		return nil, ps
	}
	if legal.Sign() > 0 && workshop.Sign() > 0 && workshop.Cmp(legal) < 0 {
		ps.Look("floors.workshop", "floor-below-legal", check.Args{"floor": f.Workshop, "legal": f.Legal})
	}
	var out []Earning
	for _, l := range c.Lines {
		if l.Kind == Labour {
			out = append(out, Earning{Step: l.Name, By: l.By, Minutes: l.Minutes, Pay: l.Amount, Hourly: Hourly(l.Amount, l.Minutes)})
		}
	}
	for i := range out {
		e, path := &out[i], fmt.Sprintf("work[%d].pay", i)
		switch {
		case e.Minutes == 0 && e.Pay.Minor > 0:
			ps.Look(path, "work-no-hours", check.Args{"step": e.Step})
		case e.Minutes > 0 && e.Pay.Minor == 0:
			ps.Look(path, "work-unpaid", check.Args{"step": e.Step})
		}
		e.Legal = Money{round(needed(legal, e.Minutes, f.Allowance), up), o.Currency}
		e.Workshop = Money{round(needed(workshop, e.Minutes, f.Allowance), up), o.Currency}
		e.Below = e.Pay.Minor < max(e.Legal.Minor, e.Workshop.Minor)
		if e.Pay.Minor < e.Workshop.Minor {
			ps.Look(path, "pay-below-floor", check.Args{"step": e.Step, "pay": e.Pay, "hourly": e.Hourly, "floor": f.Workshop, "least": e.Workshop,
				"rate": o.Work[i].rate(e.Workshop, o.Pieces)})
		}
		if e.Pay.Minor < e.Legal.Minor {
			ps.Wrong(path, "pay-below-legal", check.Args{"step": e.Step, "pay": e.Pay, "hourly": e.Hourly, "floor": f.Legal, "least": e.Legal,
				"rate": o.Work[i].rate(e.Legal, o.Pieces)})
		}
	}
	return out, ps
}

// floor is an hour's floor in minor units of the order's currency.
func (o Order) floor(ps *check.Problems, path string, floor Money) *big.Rat {
	in, ok := changed(floor, o.Currency, o.Rates)
	if !ok {
		ps.Wrong(path, "currency-without-rate", check.Args{"from": floor.Currency, "to": o.Currency})
		return new(big.Rat)
	}
	return in
}

// rate is the rate at which a step pays so much, by the key it is paid by.
func (w Work) rate(pay Money, pieces int) Money {
	units := w.units(pieces)
	if units.Sign() == 0 {
		return pay
	}
	return Money{round(quo(whole(pay.Minor), units), up), pay.Currency}
}

// AtFloor is the order with every step that pays less than a floor paid by it.
func AtFloor(o Order, f Floors) (Order, check.Problems) {
	es, ps := Earnings(o, f)
	if es == nil {
		return o, ps
	}
	raised := o
	raised.Work = make([]Work, len(o.Work))
	for i, w := range o.Work {
		if e := es[i]; e.Below {
			w.Pay = Pay{w.Pay.Per, w.rate(Money{max(e.Legal.Minor, e.Workshop.Minor), o.Currency}, o.Pieces)}
		}
		raised.Work[i] = w
	}
	return raised, ps
}
