package workshop

import (
	"context"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// Papers lists invoices, receipts and counter-documents, the last first.
func (h *House) Papers(ctx context.Context, p Person, page Page) (Listed[Paper], error) {
	return many(ctx, h, p, "Papers", papers, page, true)
}

// PaperView is an invoice or receipt, and what its order still owes.
type PaperView struct {
	Kept[Paper]
	Open  Money
	Other string // record of its counter-document, or of the paper it undoes
}

// Paper gives an invoice, a receipt or a counter-document.
func (h *House) Paper(ctx context.Context, p Person, id string) (out PaperView, _ error) {
	err := h.view(ctx, p, "Paper", func(tx *store.Tx) (err error) {
		if out.Kept, err = papers.get(tx, id); err != nil {
			return err
		}
		if out.Open, err = owed(tx, out.Value.Order, out.Value.Total.Currency); err != nil {
			return err
		}
		number := out.Value.Undone + out.Value.Cancels // one of them is empty
		same, err := papers.list(tx, Page{Parent: out.Value.Order}, false)
		for _, k := range same.Items {
			if number != "" && k.Value.Number == number {
				out.Other = k.ID
			}
		}
		return err
	})
	return out, err
}

// owed is what a customer owes for an order; below nothing if she paid too much.
func owed(tx *store.Tx, order, currency string) (Money, error) {
	m := Money{Currency: currency}
	open, err := tx.OpenItems(books.Customers, order)
	for _, i := range open {
		if i.Currency == currency {
			m.Minor = i.Minor
		}
	}
	return m, err
}

// openInvoice is the number of an order's invoice that was not undone.
func openInvoice(tx *store.Tx, order string) (number string, _ error) {
	all, err := papers.list(tx, Page{Parent: order, State: string(InvoicePaper)}, false)
	for _, k := range all.Items {
		if k.Value.Undone == "" {
			number = k.Value.Number
		}
	}
	return number, err
}

// MakeInvoice writes the invoice of an order by its accepted quote, and books the
// sale: what the customer owes, tax, and what the channel keeps. The deposit is part
// of the payment. An order has one invoice; another needs the first undone.
func (h *House) MakeInvoice(ctx context.Context, p Person, quote string) (out Kept[Paper], _ error) {
	err := h.update(ctx, p, "MakeInvoice", func(tx *store.Tx) error {
		q, err := quotes.get(tx, quote)
		if err != nil {
			return err
		}
		if q.Value.Accepted == nil {
			return wrong("", "quote-not-accepted", check.Args{"number": q.Value.Number})
		}
		o, err := h.order(tx, q.Value.Order)
		if err != nil {
			return err
		}
		was, err := openInvoice(tx, o.ID)
		if err != nil {
			return err
		}
		if was != "" {
			return wrong("", "invoice-exists", check.Args{"number": was})
		}
		out = Kept[Paper]{ID: newID(), Value: invoiceOf(q.Value, o)}
		if out.Value.Deposit, err = bookedDeposit(tx, o.ID, out.Value.Total); err != nil {
			return err
		}
		out.Value.On, out.Value.By = h.today(), p.Name
		if out.Value.Number, err = h.numbered(tx, paperSeries[InvoicePaper], papers.name, out.ID); err != nil {
			return err
		}
		if out, err = papers.put(tx, out); err != nil {
			return err
		}
		return h.bookSale(tx, out, q.Value)
	})
	return out, err
}

// invoiceOf is a quote as an invoice; its lines are the order's, at the quote's price.
func invoiceOf(q Quote, o OrderView) Paper {
	s, asked := q.Made.Sale, q.Made.Asked
	v := Paper{Kind: InvoicePaper, Order: o.ID, OrderNo: o.Value.Number, Customer: o.Customer.Value.Name, Language: q.Language,
		Net: Money{Minor: s.Paid.Minor - s.Tax.Minor, Currency: s.Paid.Currency}, Tax: s.Tax, TaxName: asked.Tax.Name, TaxRate: asked.Tax.Percent, Total: s.Paid,
		Channel: asked.Channel.Name}
	for _, l := range o.Lines {
		v.Lines = append(v.Lines, PaperLine{Name: l.Cloth.Value.Name, Quantity: l.Quantity, Each: q.Made.Each,
			Amount: Money{Minor: q.Made.Each.Minor * int64(l.Quantity), Currency: q.Made.Each.Currency}})
	}
	return v
}

// bookedDeposit is what the books hold of an order's deposit, at most what it costs: one
// that was noted before there were books is not in them.
func bookedDeposit(tx *store.Tx, order string, most Money) (Money, error) {
	m := Money{Currency: most.Currency}
	held, err := tx.OpenItems(books.Deposits, order)
	for _, i := range held {
		if i.Currency == m.Currency {
			m.Minor = min(-i.Minor, most.Minor)
		}
	}
	return m, err
}

// bookSale books an invoice.
func (h *House) bookSale(tx *store.Tx, k Kept[Paper], q Quote) error {
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	v, s := k.Value, q.Made.Sale
	tags := map[string]string{"season": set.Value.Money.season(v.On), "product": q.Product, "channel": v.Channel, "order": v.Order}
	lines := []books.Line{of(v.Order, debit(books.Customers, v.Total, nil)), credit(books.Sales, v.Net, tags), credit(books.TaxDue, v.Tax, nil),
		debit(books.SellingFees, s.Fee, tags), of(v.Order, credit(books.Customers, s.Fee, nil)),
		of(v.Order, debit(books.Deposits, v.Deposit, nil)), of(v.Order, credit(books.Customers, v.Deposit, nil))}
	// The fund's share is rounded down, and comes out of the savings.
	share := price.Agreement{Owed: s.Left, Share: set.Value.Money.Fund}.Repayment(s.Left)
	lines = append(lines, debit(books.Savings, share, nil), credit(books.SocialFund, share, nil))
	return h.postAs(tx, "paper:"+k.ID, books.Entry{Text: number(v.OrderNo) + " " + v.Customer, Document: v.Number, Settles: "invoice " + v.Order, Lines: lines})
}

// TakePayment writes a receipt for what a customer paid of an invoice.
func (h *House) TakePayment(ctx context.Context, p Person, invoice string, paid Money, into, note string) (out Kept[Paper], _ error) {
	if err := allowed(p, "TakePayment"); err != nil {
		return out, err
	}
	trim(&note)
	var ps check.Problems
	short(&ps, "note", note, 2000)
	if money(&ps, "paid", paid); paid.Minor <= 0 {
		ps.Wrong("paid", "amount-out-of-range", nil)
	}
	if err := invalid(ps); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "TakePayment", func(tx *store.Tx) error {
		k, err := papers.get(tx, invoice)
		if err != nil {
			return err
		}
		v := k.Value
		if v.Kind != InvoicePaper || v.Undone != "" {
			return wrong("", "invoice-undone", check.Args{"number": v.Number})
		}
		open, err := owed(tx, v.Order, paid.Currency)
		if err != nil {
			return err
		}
		if paid.Minor > open.Minor {
			return wrong("paid", "payment-over-due", check.Args{"paid": paid, "open": open})
		}
		if err = cashBox(tx, "into", &into); err != nil {
			return err
		}
		out = Kept[Paper]{ID: newID(), Value: Paper{Kind: ReceiptPaper, Order: v.Order, OrderNo: v.OrderNo, Customer: v.Customer, Language: v.Language,
			On: h.today(), By: p.Name, Net: paid, Total: paid, Account: into, Channel: v.Channel, Note: note}}
		if out.Value.Number, err = h.numbered(tx, paperSeries[ReceiptPaper], papers.name, out.ID); err != nil {
			return err
		}
		if out, err = papers.put(tx, out); err != nil {
			return err
		}
		return h.postAs(tx, "paper:"+out.ID, books.Entry{Text: number(v.OrderNo) + " " + v.Customer, Document: out.Value.Number,
			Lines: []books.Line{debit(into, paid, nil), of(v.Order, credit(books.Customers, paid, nil))}})
	})
	return out, err
}

// UndoPaper undoes an invoice or a receipt with a counter-document, which has a
// number of its own. Both stay.
func (h *House) UndoPaper(ctx context.Context, p Person, id string, revision int64, why string) (out Kept[Paper], _ error) {
	if err := allowed(p, "UndoPaper"); err != nil {
		return out, err
	}
	trim(&why)
	var ps check.Problems
	if short(&ps, "why", why, 2000); why == "" {
		ps.Wrong("why", "field-empty", nil)
	}
	if err := invalid(ps); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "UndoPaper", func(tx *store.Tx) error {
		k, err := papers.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Undone != "" || k.Value.Kind == CounterPaper {
			return wrong("", "paper-undone", check.Args{"number": k.Value.Number})
		}
		v := k.Value
		v.Kind, v.Cancels, v.Note, v.On, v.By = CounterPaper, v.Number, why, h.today(), p.Name
		v.Lines = slices.Clone(v.Lines)
		out = Kept[Paper]{ID: newID(), Value: v}
		if out.Value.Number, err = h.numbered(tx, paperSeries[CounterPaper], papers.name, out.ID); err != nil {
			return err
		}
		if out, err = papers.put(tx, out); err != nil {
			return err
		}
		k.Revision, k.Value.Undone = revision, out.Value.Number
		if _, err = papers.put(tx, k); err != nil {
			return err
		}
		return h.unpost(tx, "paper:"+id)
	})
	return out, err
}
