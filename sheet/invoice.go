package sheet

import (
	"io"

	"urdir/price"
)

// InvoicePaper is an invoice, or the counter-document that undoes one.
type InvoicePaper struct {
	Maker    Maker
	Number   string
	Customer string
	On       string // date
	Order    string // its number
	Lines    []InvoiceLine
	Net      price.Money // without tax
	Tax      price.Money
	TaxName  string
	TaxRate  price.Percent
	Total    price.Money
	Deposit  price.Money // paid before
	Cancels  string      // of a counter-document: the number of the invoice
	Undone   string      // number of the counter-document that undid it
	Note     string
}

// InvoiceLine is some pieces.
type InvoiceLine struct {
	Name     string
	Quantity int
	Each     price.Money
	Amount   price.Money
}

// Invoice writes an invoice as a document. What an invoice must say, local rules
// decide; lines of Maker have room for it.
func Invoice(w io.Writer, v InvoicePaper, o Options) error { return document(w, o, v.Number, v.lay) }

// InvoicePictures draws every page of an invoice as a picture.
func InvoicePictures(v InvoicePaper, o Options, done func(Page) error) error {
	return documentPictures(o, "invoice", v.lay, done)
}

func (v InvoicePaper) lay(p *paperwork) {
	t := p.t
	title := t.T("paper-invoice", nil)
	if v.Cancels != "" {
		title = t.T("paper-counter", nil)
	}
	p.begin(v.Maker, title, v.Number, v.Customer)
	p.pairs([2]string{t.T("paper-date", nil), p.day(v.On)}, [2]string{t.T("paper-order", nil), v.Order}, [2]string{t.T("paper-cancels", nil), v.Cancels},
		[2]string{t.T("paper-cancelled-by", nil), v.Undone})
	p.y += 4
	var rows [][]string
	for _, l := range v.Lines {
		rows = append(rows, []string{l.Name, t.Int(l.Quantity), p.money(l.Each), p.money(l.Amount)})
	}
	p.rows([]column{{t.T("paper-what", nil), 0.46, false}, {t.T("paper-pieces", nil), 0.14, true}, {t.T("paper-each", nil), 0.2, true}, {t.T("paper-amount", nil), 0.2, true}}, rows)
	p.y += 3
	var all []sum
	if v.Tax.Minor != 0 {
		all = append(all, sum{t.T("paper-net", nil), p.money(v.Net), false},
			sum{t.T("paper-tax", map[string]any{"name": v.TaxName, "percent": v.TaxRate}), p.money(v.Tax), false})
	}
	all = append(all, sum{t.T("paper-total", nil), p.money(v.Total), true})
	if v.Deposit.Minor > 0 && v.Cancels == "" {
		left := price.Money{Minor: v.Total.Minor - v.Deposit.Minor, Currency: v.Total.Currency}
		all = append(all, sum{t.T("paper-deposit-paid", nil), p.money(v.Deposit), false}, sum{t.T("paper-still", nil), p.money(left), true})
	}
	p.sums(all...)
	if v.Note != "" {
		p.y += 3
		p.note(v.Note)
	}
}
