package price

import "urdir/check"

// Difference is what a line was to cost and what it did.
type Difference struct {
	Kind                        Kind
	Name, By                    string
	Planned, Took               Money
	More                        Money // Took less Planned
	PlannedMinutes, TookMinutes int64
}

// Comparison holds a costing against what an order really took.
type Comparison struct {
	Lines         []Difference
	Planned, Took Money
	More          Money
	Minutes       int64 // more than planned
	Gain          Money // what was really left of the quote
	Hourly        Money // what work really earned an hour
	PlannedHourly Money
}

// Compare holds a quote against what its order really took, line by line: lines of
// the same kind, name and person are one; those of only one side are there too, in
// the order of the plan, then of the work. Problems: those of Cost; and
// currency-other, if the work is told in another currency.
func Compare(q Quote, took Order) (Comparison, check.Problems) {
	c, ps := Cost(took)
	if took.Currency != q.Asked.Order.Currency {
		ps.Wrong("currency", "currency-other", check.Args{"text": took.Currency, "want": q.Asked.Order.Currency})
	}
	if ps.Failed() {
		return Comparison{}, ps
	}
	out := Comparison{Planned: q.Costing.Total, Took: c.Total, More: c.Total.minus(q.Costing.Total), Minutes: c.Minutes - q.Costing.Minutes,
		Gain: q.Sale.Left.minus(c.Total), Hourly: Hourly(c.Of(Labour), c.Minutes), PlannedHourly: Hourly(q.Costing.Of(Labour), q.Costing.Minutes)}
	zero := Money{0, took.Currency}
	row := func(l Line) *Difference {
		for i := range out.Lines {
			if d := &out.Lines[i]; d.Kind == l.Kind && d.Name == l.Name && d.By == l.By {
				return d
			}
		}
		out.Lines = append(out.Lines, Difference{Kind: l.Kind, Name: l.Name, By: l.By, Planned: zero, Took: zero})
		return &out.Lines[len(out.Lines)-1]
	}
	for _, l := range q.Costing.Lines {
		d := row(l)
		d.Planned, d.PlannedMinutes = d.Planned.plus(l.Amount), d.PlannedMinutes+l.Minutes
	}
	for _, l := range c.Lines {
		d := row(l)
		d.Took, d.TookMinutes = d.Took.plus(l.Amount), d.TookMinutes+l.Minutes
	}
	for i := range out.Lines {
		out.Lines[i].More = out.Lines[i].Took.minus(out.Lines[i].Planned)
	}
	return out, ps
}
