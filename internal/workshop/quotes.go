package workshop

import (
	"context"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// state is what lists of quotes filter by.
func (q Quote) state() string {
	if q.Accepted != nil {
		return "accepted"
	}
	return "open"
}

// Asking is what is asked for in a quote. What is empty is the workshop's usual.
type Asking struct {
	Channel  string
	Price    Money // of a piece; nothing: reckoned from the aim
	Hourly   Money // paid for an hour of every step; nothing: what was agreed for each
	Aim      *price.Aim
	Off      price.Percent
	Until    string // date
	Expenses []price.Expense
	Rates    []price.Exchange // of the day, before the workshop's
	Currency string           // of the quote
	Terms    string
	Parts    bool
}

// Quotes lists quotes, the last first.
func (h *House) Quotes(ctx context.Context, p Person, page Page) (Listed[Quote], error) {
	return many(ctx, h, p, "Quotes", quotes, page, true)
}

// QuoteView is a quote beside what its order took up to now.
type QuoteView struct {
	Kept[Quote]
	Past     bool // it can no longer be accepted
	Finished bool // every piece of the order is finished
	Took     price.Comparison
	Problems check.Problems // why there is no comparison
}

// Quote gives a quote.
func (h *House) Quote(ctx context.Context, p Person, id string) (out QuoteView, _ error) {
	err := h.view(ctx, p, "Quote", func(tx *store.Tx) (err error) {
		if out.Kept, err = quotes.get(tx, id); err != nil {
			return err
		}
		out.Past = out.Value.Accepted == nil && out.Value.Made.Asked.Until < h.today()
		o, err := h.order(tx, out.Value.Order)
		if err != nil {
			return err
		}
		out.Finished = o.Thread.done("finished")
		took, err := h.tookOrder(tx, o, out.Value.Made.Asked.Order)
		if err != nil {
			return err
		}
		out.Took, out.Problems = price.Compare(out.Value.Made, took)
		return nil
	})
	return out, err
}

// TryQuote reckons a quote and keeps nothing.
func (h *House) TryQuote(ctx context.Context, p Person, order string, a Asking) (out price.Quote, ps check.Problems, _ error) {
	err := h.view(ctx, p, "TryQuote", func(tx *store.Tx) error {
		o, err := h.order(tx, order)
		if err != nil {
			return err
		}
		out, ps, err = h.tryQuote(tx, o, a)
		return err
	})
	return out, ps, err
}

func (h *House) tryQuote(tx *store.Tx, o OrderView, a Asking) (price.Quote, check.Problems, error) {
	asked, ps, err := h.askedFor(tx, o, a)
	if err != nil {
		return price.Quote{}, ps, err
	}
	made, found := price.Make(asked)
	ps = append(ps, found...)
	return made, ps, invalid(found)
}

// askedFor is what a quote of an order is made from: its costs, what the workshop goes
// by, and what is asked for now.
func (h *House) askedFor(tx *store.Tx, o OrderView, a Asking) (out price.Asked, ps check.Problems, _ error) {
	k, err := readSettings(tx)
	if err != nil {
		return out, nil, err
	}
	m := k.Value.Money
	costed, ps, err := h.costOrder(tx, o)
	if err != nil {
		return out, ps, err
	}
	costed.Expenses = append(costed.Expenses, a.Expenses...)
	costed.Rates = append(append([]price.Exchange{}, a.Rates...), costed.Rates...)
	if a.Currency = strings.TrimSpace(a.Currency); a.Currency != "" {
		costed.Currency = a.Currency
	}
	if a.Hourly.Minor > 0 {
		for i := range costed.Work {
			costed.Work[i].Pay = price.Pay{Per: price.PerHour, Rate: a.Hourly}
		}
	}
	channel, known := m.channel(a.Channel)
	if !known {
		return out, ps, wrong("channel", "channel-unknown", check.Args{"name": a.Channel})
	}
	out = price.Asked{Order: costed, Floors: m.Floors, Channel: channel, Tax: m.Tax, Aim: m.Aim, Price: a.Price, Steps: m.Steps, Off: a.Off,
		Custom: m.Custom, Deposit: m.Deposit, Issued: h.today(), Until: strings.TrimSpace(a.Until)}
	if a.Aim != nil {
		out.Aim = *a.Aim
	}
	if out.Until == "" {
		days := m.Valid
		if days == 0 {
			days = DefaultValid
		}
		out.Until = h.now().AddDate(0, 0, days).Format(time.DateOnly)
	}
	return out, ps, nil
}

// MakeQuote keeps a quote for an order, as costs, rates and floors are now.
func (h *House) MakeQuote(ctx context.Context, p Person, order string, a Asking) (out Kept[Quote], ps check.Problems, _ error) {
	if err := allowed(p, "MakeQuote"); err != nil {
		return out, nil, err
	}
	trim(&a.Terms)
	var long check.Problems
	if short(&long, "terms", a.Terms, 4000); long.Failed() {
		return out, nil, invalid(long)
	}
	err := h.update(ctx, p, "MakeQuote", func(tx *store.Tx) error {
		o, err := h.order(tx, order)
		if err != nil {
			return err
		}
		if o.Value.Cancelled != "" {
			return wrong("", "order-cancelled", nil)
		}
		var made price.Quote
		if made, ps, err = h.tryQuote(tx, o, a); err != nil {
			return err
		}
		out = Kept[Quote]{ID: newID(), Value: Quote{Order: o.ID, OrderNo: o.Value.Number, Customer: o.Customer.Value.Name, Language: o.Customer.Value.Language,
			Product: product(o), By: p.Name, Made: made, Terms: a.Terms, Parts: a.Parts}}
		if out.Value.Number, err = h.numbered(tx, quoteSeries, "quote", out.ID); err != nil {
			return err
		}
		out, err = quotes.put(tx, out)
		return err
	})
	if err != nil {
		return Kept[Quote]{}, ps, err
	}
	return out, ps, nil
}

// product is the cloth of an order, or the first of several.
func product(o OrderView) string {
	if len(o.Lines) == 0 {
		return ""
	}
	return o.Lines[0].Cloth.Value.Name
}

// AcceptQuote tells that a quote was accepted, by whom, and what was paid
// beforehand, which becomes the order's deposit. Cautions come back beside it.
func (h *House) AcceptQuote(ctx context.Context, p Person, id string, revision int64, a Acceptance, into string) (out Kept[Quote], ps check.Problems, _ error) {
	if err := allowed(p, "AcceptQuote"); err != nil {
		return out, nil, err
	}
	trim(&a.By, &a.On)
	err := h.update(ctx, p, "AcceptQuote", func(tx *store.Tx) error {
		k, err := quotes.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Accepted != nil {
			return wrong("", "quote-accepted", check.Args{"number": k.Value.Number})
		}
		if a.On == "" {
			a.On = h.today()
		}
		ps = k.Value.Made.Accept(a.On, a.Deposit)
		named(&ps, "by", a.By)
		if a.On > h.today() {
			ps.Wrong("on", "date-ahead", check.Args{"date": a.On})
		}
		if err = invalid(ps); err != nil {
			return err
		}
		a.Told = p.Name
		k.Revision, k.Value.Accepted = revision, &a
		if out, err = quotes.put(tx, k); err != nil {
			return err
		}
		return h.acceptDeposit(tx, k.Value, a.Deposit, into)
	})
	return out, ps, err
}

// acceptDeposit adds what was paid beforehand to the order's deposit.
func (h *House) acceptDeposit(tx *store.Tx, q Quote, deposit Money, into string) error {
	if deposit.Minor == 0 {
		return nil
	}
	o, err := orders.get(tx, q.Order)
	if err != nil {
		return err
	}
	was := o.Value.Deposit
	if was.Minor > 0 && was.Currency != deposit.Currency {
		return wrong("deposit", "currency-other", check.Args{"text": deposit.Currency, "want": was.Currency})
	}
	o.Value.Deposit = Money{Minor: was.Minor + deposit.Minor, Currency: deposit.Currency}
	if err = h.bookDeposit(tx, o, into); err != nil {
		return err
	}
	_, err = orders.put(tx, o)
	return err
}

// UndoAccept takes back that a quote was accepted, and its deposit.
func (h *House) UndoAccept(ctx context.Context, p Person, id string, revision int64) (out Kept[Quote], _ error) {
	err := h.update(ctx, p, "UndoAccept", func(tx *store.Tx) error {
		k, err := quotes.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Accepted == nil {
			return wrong("", "nothing-to-undo", nil)
		}
		back := k.Value.Accepted.Deposit
		k.Revision, k.Value.Accepted = revision, nil
		if out, err = quotes.put(tx, k); err != nil || back.Minor == 0 {
			return err
		}
		o, err := orders.get(tx, k.Value.Order)
		if err != nil {
			return err
		}
		o.Value.Deposit.Minor = max(0, o.Value.Deposit.Minor-back.Minor)
		if o.Value.Deposit.Minor == 0 {
			o.Value.Deposit = Money{}
		}
		if err = h.bookDeposit(tx, o, ""); err != nil {
			return err
		}
		_, err = orders.put(tx, o)
		return err
	})
	return out, err
}

// bookDeposit books an order's deposit as it is now, instead of what was booked
// before. Once the order has an invoice, the deposit is in it and stays.
func (h *House) bookDeposit(tx *store.Tx, o Kept[Order], into string) error {
	source := "order:" + o.ID + ":deposit"
	found, err := tx.PostedFor(source, false)
	if err != nil {
		return err
	}
	now := o.Value.Deposit
	if len(found) > 0 {
		l := found[len(found)-1].Lines[0]
		if l.Minor == now.Minor && l.Currency == now.Currency {
			return nil
		}
	} else if now.Minor == 0 {
		return nil
	}
	invoice, err := openInvoice(tx, o.ID)
	if err != nil {
		return err
	}
	if invoice != "" {
		return wrong("deposit", "deposit-invoiced", check.Args{"number": invoice})
	}
	if err = cashBox(tx, "into", &into); err != nil {
		return err
	}
	if err = h.unpost(tx, source); err != nil {
		return err
	}
	return h.postAs(tx, source, books.Entry{Text: number(o.Value.Number), Lines: []books.Line{debit(into, now, nil), of(o.ID, credit(books.Deposits, now, nil))}})
}
