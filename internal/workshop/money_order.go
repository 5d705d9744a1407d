package workshop

import (
	"context"
	"errors"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
)

// OrderMoney is what an order costs and could be sold for, and the quotes and papers
// made of it.
type OrderMoney struct {
	Order    OrderView
	Channels []price.Channel
	Currency string // the workshop's
	Costing  price.Costing
	Made     *price.Quote   // nil if it was refused
	Problems check.Problems // what is wrong with what was asked, and cautions
	Offs     []Discount     // of usual discounts and the one that was asked for
	Steps    []Discount     // of the workshop's steps for quantities
	List     []price.Listed // of the workshop's usual aim, in each channel
	Quotes   []Kept[Quote]  // the last first
	Papers   []Kept[Paper]
	Invoice  string // record of the one that holds
	Owed     Money  // of it
	Deposit  Money  // as it is kept with the order
}

// Discount is what a price with so much off leaves.
type Discount struct {
	Off     price.Percent
	From    int // pieces, of a step for quantities
	Each    Money
	Outcome price.Outcome
	// Short is price-below-cost or price-below-floor, or empty if it will do.
	Short string
}

// usualOffs are the discounts that are asked for at a fair. Common practice, no
// source.
var usualOffs = []int64{5, 10, 15, 20}

// OrderMoney reckons an order as asked, and gathers its quotes and papers. What is
// wrong with what was asked is in Problems; costs are there nevertheless, unless
// the order has no plan.
func (h *House) OrderMoney(ctx context.Context, p Person, order string, a Asking) (out OrderMoney, _ error) {
	err := h.view(ctx, p, "OrderMoney", func(tx *store.Tx) (err error) {
		if out.Order, err = h.order(tx, order); err != nil {
			return err
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		m := set.Value.Money
		out.Currency, out.Deposit = set.Value.Currency, out.Order.Value.Deposit
		out.Channels = append(out.Channels, m.channels()...)
		if err = h.papersOf(tx, &out); err != nil {
			return err
		}
		costed, ps, err := h.askedFor(tx, out.Order, a)
		if out.Problems, err = kept(ps, err); err != nil || out.Problems.Failed() {
			return err
		}
		var found check.Problems
		if out.Costing, found = price.Cost(costed.Order); found.Failed() {
			out.Problems = append(out.Problems, found...)
			return nil
		}
		made, found := price.Make(costed)
		out.Problems = append(out.Problems, found...)
		if !found.Failed() {
			out.Made = &made
			out.discounts(made, m.Steps, a.Off)
		}
		left, found := m.aimed(out.Costing.Each)
		if found.Failed() {
			return nil
		}
		out.List, _ = price.List(left, m.terms(costed.Order), m.Custom)
		return nil
	})
	return out, err
}

// kept gives the problems of a refusal beside those that were found, so that a page
// can show them; any other error stays one.
func kept(ps check.Problems, err error) (check.Problems, error) {
	if e, ok := errors.AsType[*Error](err); ok && e.Code == Invalid {
		return append(ps, e.Problems...), nil
	}
	return ps, err
}

// discounts asks what each discount would leave.
func (o *OrderMoney) discounts(q price.Quote, steps []price.Step, wished price.Percent) {
	seen := map[string]bool{}
	add := func(off price.Percent) {
		if d, ok := discounted(q, off); ok && !seen[off.String()] {
			seen[off.String()] = true
			o.Offs = append(o.Offs, d)
		}
	}
	if wished.IsZero() { // else it is off the price already
		for _, n := range usualOffs {
			add(price.PerCent(n))
		}
	}
	for _, s := range steps {
		if d, ok := discounted(q, s.Off); ok {
			d.From = s.From
			o.Steps = append(o.Steps, d)
		}
	}
}

func discounted(q price.Quote, off price.Percent) (d Discount, ok bool) {
	out, ps := q.Discounted(off)
	if out.Sale.Price.Currency == "" {
		return d, false
	}
	d = Discount{Off: off, Outcome: out, Each: Money{Minor: out.Sale.Price.Minor / int64(q.Asked.Order.Pieces), Currency: out.Sale.Price.Currency}}
	for _, p := range ps {
		if p.Code == "price-below-cost" || p.Code == "price-below-floor" && d.Short == "" {
			d.Short = p.Code
		}
	}
	return d, true
}

// papersOf gathers what was made of an order.
func (h *House) papersOf(tx *store.Tx, out *OrderMoney) error {
	made, err := quotes.list(tx, Page{Parent: out.Order.ID}, true)
	if err != nil {
		return err
	}
	written, err := papers.list(tx, Page{Parent: out.Order.ID}, true)
	if err != nil {
		return err
	}
	out.Quotes, out.Papers = made.Items, written.Items
	for _, k := range out.Papers {
		if k.Value.Kind == InvoicePaper && k.Value.Undone == "" {
			out.Invoice = k.ID
			out.Owed, err = owed(tx, out.Order.ID, k.Value.Total.Currency)
		}
	}
	return err
}

// TakeDeposit adds to an accepted quote what was paid beforehand, and to the order's
// deposit.
func (h *House) TakeDeposit(ctx context.Context, p Person, id string, revision int64, paid Money, into string) (out Kept[Quote], ps check.Problems, _ error) {
	if err := allowed(p, "TakeDeposit"); err != nil {
		return out, nil, err
	}
	err := h.update(ctx, p, "TakeDeposit", func(tx *store.Tx) error {
		k, err := quotes.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Accepted == nil {
			return wrong("", "quote-not-accepted", check.Args{"number": k.Value.Number})
		}
		if money(&ps, "deposit", paid); paid.Minor <= 0 {
			ps.Wrong("deposit", "amount-out-of-range", nil)
		}
		a := *k.Value.Accepted
		if had := a.Deposit; had.Minor == 0 || had.Currency == paid.Currency {
			a.Deposit = Money{Minor: had.Minor + paid.Minor, Currency: paid.Currency}
		} else {
			ps.Wrong("deposit", "currency-other", check.Args{"text": paid.Currency, "want": had.Currency})
		}
		ps = append(ps, k.Value.Made.Accept(a.On, a.Deposit)...)
		if err = invalid(ps); err != nil {
			return err
		}
		k.Revision, k.Value.Accepted = revision, &a
		if out, err = quotes.put(tx, k); err != nil {
			return err
		}
		return h.acceptDeposit(tx, k.Value, paid, into)
	})
	return out, ps, err
}
