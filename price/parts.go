package price

import "urdir/check"

// Part is a part of what the customer pays.
type Part struct {
	Kind    Kind
	Name    string // of the step, for work; otherwise empty
	Amount  Money
	Percent int // whole, by largest remainder: all parts together are 100
}

// partOrder is the order in which parts are told: people first.
var partOrder = []Kind{Labour, Materials, Fuel, Transport, Fees, Other, Overheads, Selling, Taxes, Gain}

// parts says where the money goes. Nothing is left out and nothing is below
// nothing, since a quote that does not cover its cost is not made.
func (q *Quote) parts() []Part {
	var out []Part
	put := func(k Kind, name string, m Money) {
		for i := range out {
			if out[i].Kind == k && out[i].Name == name {
				out[i].Amount = out[i].Amount.plus(m)
				return
			}
		}
		if m.Minor > 0 {
			out = append(out, Part{Kind: k, Name: name, Amount: m})
		}
	}
	for _, k := range partOrder {
		for _, l := range q.Costing.Lines {
			if l.Kind == k && k == Labour {
				put(k, l.Name, l.Amount)
			} else if l.Kind == k {
				put(k, "", l.Amount)
			}
		}
		switch k {
		case Selling:
			put(k, "", q.Sale.Fee)
		case Taxes:
			put(k, "", q.Sale.Tax)
		case Gain:
			put(k, "", q.Gain)
		}
	}
	weights := make([]int64, len(out))
	for i, p := range out {
		weights[i] = p.Amount.Minor
	}
	shares, ps := Split(Money{Minor: 100}, weights)
	if ps.Failed() { // a quote of nothing has no parts
		return nil
	}
	for i := range out {
		out[i].Percent = int(shares[i].Minor)
	}
	return out
}

// PartsEach shares parts of a whole out to one piece, or to another amount: the
// same shares, adding up to it.
func PartsEach(each Money, parts []Part) ([]Part, check.Problems) {
	weights := make([]int64, len(parts))
	for i, p := range parts {
		weights[i] = p.Amount.Minor
	}
	amounts, ps := Split(each, weights)
	if ps.Failed() {
		return nil, ps
	}
	out := make([]Part, len(parts))
	for i, p := range parts {
		p.Amount = amounts[i]
		out[i] = p
	}
	return out, nil
}
