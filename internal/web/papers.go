package web

import (
	"context"
	"io"

	"urdir/sheet"
)

func paperList(v *visit) error {
	l, err := v.s.house.Papers(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("papers", v.T("papers"), l)
}

func paperPage(v *visit) error { return v.paperAgain(nil) }

func (v *visit) paperAgain(wrong error) error {
	k, err := v.s.house.Paper(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	title := v.T("paper-"+string(k.Value.Kind)) + " " + k.Value.Number
	if wrong != nil {
		return v.again(wrong, "paper", title, k)
	}
	return v.page("paper", title, k)
}

func takePayment(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	k, err := v.s.house.Paper(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	paid := f.money("paid", k.Value.Total.Currency)
	if err = f.err(); err != nil {
		return v.paperAgain(err)
	}
	made, err := v.once(f, func(ctx context.Context) (string, error) {
		r, failed := v.s.house.TakePayment(ctx, v.Person, k.ID, paid, f.text("into"), f.text("note"))
		return r.ID, failed
	})
	if err != nil {
		return v.paperAgain(err)
	}
	return v.to("/papers/"+made, "paid-in")
}

func undoPaper(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	k, err := v.s.house.UndoPaper(v.r.Context(), v.Person, v.r.PathValue("id"), f.revision(), f.text("why"))
	if err != nil {
		return v.paperAgain(err)
	}
	return v.to("/papers/"+k.ID, "paper-undone")
}

// maker is the workshop as papers name it.
func (v *visit) maker() (sheet.Maker, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	return sheet.Maker{Name: set.Value.Name, Lines: set.Value.MakerLines()}, err
}

// paperPDF sends an invoice, a receipt or a counter-document.
func paperPDF(v *visit) error {
	k, err := v.s.house.Paper(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	maker, err := v.maker()
	if err != nil {
		return err
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	if k.Value.Language != "" {
		o.Language = k.Value.Language
	}
	return v.send("application/pdf", fileName(k.Value.Number)+".pdf", func(w io.Writer) error {
		x, order := k.Value, itoa(int(k.Value.OrderNo))
		if len(x.Lines) == 0 { // a receipt, or what undoes one
			return sheet.Receipt(w, sheet.ReceiptPaper{Maker: maker, Number: x.Number, Customer: x.Customer, On: x.On, Order: order, Amount: x.Total, Still: k.Open,
				By: x.By, Cancels: x.Cancels, Undone: x.Undone, Note: x.Note}, o)
		}
		paper := sheet.InvoicePaper{Maker: maker, Number: x.Number, Customer: x.Customer, On: x.On, Order: order, Net: x.Net, Tax: x.Tax, TaxName: x.TaxName,
			TaxRate: x.TaxRate, Total: x.Total, Deposit: x.Deposit, Cancels: x.Cancels, Undone: x.Undone, Note: x.Note}
		for _, l := range x.Lines {
			paper.Lines = append(paper.Lines, sheet.InvoiceLine{Name: l.Name, Quantity: l.Quantity, Each: l.Each, Amount: l.Amount})
		}
		return sheet.Invoice(w, paper, o)
	})
}
