package sheet

import (
	"io"

	"urdir/price"
)

// ReceiptPaper says that something was paid, or with Cancels that it was not.
type ReceiptPaper struct {
	Maker    Maker
	Number   string
	Customer string
	On       string // date
	Order    string // its number
	Amount   price.Money
	Still    price.Money // what is owed after it
	By       string      // who took it
	Cancels  string
	Undone   string
	Note     string
}

// Receipt writes a receipt as a document.
func Receipt(w io.Writer, r ReceiptPaper, o Options) error { return document(w, o, r.Number, r.lay) }

// ReceiptPictures draws a receipt as a picture.
func ReceiptPictures(r ReceiptPaper, o Options, done func(Page) error) error {
	return documentPictures(o, "receipt", r.lay, done)
}

func (r ReceiptPaper) lay(p *paperwork) {
	t := p.t
	title := t.T("paper-receipt", nil)
	if r.Cancels != "" {
		title = t.T("paper-counter", nil)
	}
	p.begin(r.Maker, title, r.Number, r.Customer)
	p.facts([2]string{p.money(r.Amount), t.T("paper-received", nil)})
	p.pairs([2]string{t.T("paper-date", nil), p.day(r.On)}, [2]string{t.T("paper-order", nil), r.Order}, [2]string{t.T("paper-still", nil), p.money(r.Still)},
		[2]string{t.T("paper-taken-by", nil), r.By}, [2]string{t.T("paper-cancels", nil), r.Cancels}, [2]string{t.T("paper-cancelled-by", nil), r.Undone})
	if r.Note != "" {
		p.y += 3
		p.note(r.Note)
	}
	p.sign(t.T("paper-maker-sign", nil))
}
