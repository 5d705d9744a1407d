package web

import (
	"io"

	"urdir/internal/workshop"
	"urdir/sheet"
)

// quoteList and paperList are everything that was quoted and written.
func quoteList(v *visit) error {
	l, err := v.s.house.Quotes(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("quotes", v.T("quotes"), l)
}

// quoteView is a quote with what its forms need.
type quoteView struct {
	workshop.QuoteView
	Invoice string // record of the order's invoice
	Today   string
}

func quotePage(v *visit) error { return v.quoteAgain(nil) }

func (v *visit) quoteAgain(wrong error) error {
	ctx := v.r.Context()
	q, err := v.s.house.Quote(ctx, v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	written, err := v.s.house.Papers(ctx, v.Person, workshop.Page{Parent: q.Value.Order, State: string(workshop.InvoicePaper)})
	if err != nil {
		return err
	}
	view := quoteView{QuoteView: q, Today: v.s.house.Now().Format("2006-01-02")}
	for _, k := range written.Items {
		if k.Value.Undone == "" {
			view.Invoice = k.ID
		}
	}
	title := v.T("quote-n", "number", q.Value.Number)
	if wrong != nil {
		return v.again(wrong, "quote", title, view)
	}
	return v.page("quote", title, view)
}

func (v *visit) actQuote(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.quoteAgain(err)
	}
	return v.to("/quotes/"+id, done)
}

// quoted is a quote's currency, in which its deposit is read.
func (v *visit) quoted(id string) (string, error) {
	q, err := v.s.house.Quote(v.r.Context(), v.Person, id)
	return q.Value.Made.Sale.Paid.Currency, err
}

func acceptQuote(v *visit) error {
	return v.actQuote("quote-accepted", func(f *form, id string) error {
		code, err := v.quoted(id)
		if err != nil {
			return err
		}
		a := workshop.Acceptance{By: f.text("by"), On: f.text("on"), Deposit: f.money("deposit", code)}
		if err = f.err(); err != nil {
			return err
		}
		_, _, err = v.s.house.AcceptQuote(v.r.Context(), v.Person, id, f.revision(), a, f.text("into"))
		return err
	})
}

func undoAccept(v *visit) error {
	return v.actQuote("undone", func(f *form, id string) error {
		_, err := v.s.house.UndoAccept(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func takeDeposit(v *visit) error {
	return v.actQuote("deposit", func(f *form, id string) error {
		code, err := v.quoted(id)
		if err != nil {
			return err
		}
		paid := f.money("deposit", code)
		if err = f.err(); err != nil {
			return err
		}
		_, _, err = v.s.house.TakeDeposit(v.r.Context(), v.Person, id, f.revision(), paid, f.text("into"))
		return err
	})
}

func makeInvoice(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	k, err := v.s.house.MakeInvoice(v.r.Context(), v.Person, f.v.r.PathValue("id"))
	if err != nil {
		return v.quoteAgain(err)
	}
	return v.to("/papers/"+k.ID, "invoice-made")
}

// quotePDF sends a quote as the customer gets it, in her language.
func quotePDF(v *visit) error {
	q, err := v.s.house.Quote(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o, err := v.s.house.Order(v.r.Context(), v.Person, q.Value.Order)
	if err != nil {
		return err
	}
	maker, err := v.maker()
	if err != nil {
		return err
	}
	opt, err := v.sheetOptions()
	if err != nil {
		return err
	}
	paper := sheet.QuotePaper{Maker: maker, Ready: o.Value.Due}
	if len(o.Lines) > 0 && !o.Lines[0].Made.Failed() {
		paper.Cloth = &o.Lines[0].Made.Plan
	}
	return v.sendQuote(q.Value, paper, opt)
}

func (v *visit) sendQuote(q workshop.Quote, paper sheet.QuotePaper, o sheet.Options) error {
	paper.Number, paper.Customer, paper.Name, paper.Quote, paper.Parts, paper.Terms = q.Number, q.Customer, q.Product, q.Made, q.Parts, q.Terms
	if q.Language != "" {
		o.Language = q.Language
	}
	return v.send("application/pdf", fileName(q.Number)+".pdf", func(w io.Writer) error { return sheet.Quote(w, paper, o) })
}
