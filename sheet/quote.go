package sheet

import (
	"fmt"
	"io"
	"strings"

	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/price"
	"urdir/surface"
)

// QuotePaper is a quote as the customer gets it, in her language.
type QuotePaper struct {
	Maker    Maker
	Number   string
	Customer string
	Name     string     // of what is quoted
	Cloth    *plan.Plan // for its picture, size and materials; nil: none
	Ready    string     // date by which it is promised; empty: not said
	Quote    price.Quote
	Parts    bool // show where the money goes
	Terms    string
}

// Quote writes a quote as a document.
func Quote(w io.Writer, q QuotePaper, o Options) error { return document(w, o, q.Number, q.lay) }

// QuotePictures draws every page of a quote as a picture.
func QuotePictures(q QuotePaper, o Options, done func(Page) error) error {
	return documentPictures(o, "quote", q.lay, done)
}

func (q QuotePaper) lay(p *paperwork) {
	t := p.t
	p.begin(q.Maker, t.T("paper-quote", nil), q.Number, q.Customer)
	f := surface.Font{Size: 7, Bold: true, Colour: draw.Ink}
	p.text(p.left(), f.Size, q.Name, surface.Fit(q.Name, f, p.wide()))
	p.y += 11
	beside := q.Cloth != nil && draw.Aspect(*q.Cloth) < 1 // a piece that is longer than wide has the words beside it
	if q.Cloth != nil && !beside {
		p.picture(surface.Box{X: p.left(), Y: p.y, W: p.wide(), H: 62}, q.Cloth)
		p.y += 62 + 5
	}
	a := q.Quote.Asked
	rows := [][2]string{{t.T("paper-pieces", nil), t.Int(a.Order.Pieces)}}
	if q.Cloth != nil {
		rows = append(rows, [2]string{t.T("paper-size", nil), t.S(q.Cloth.Piece.Width) + " × " + t.S(q.Cloth.Piece.Overall)},
			[2]string{t.T("paper-of", nil), Materials(t, *q.Cloth)})
	}
	rows = append(rows, [2]string{t.T("paper-ready", nil), p.day(q.Ready)}, [2]string{t.T("paper-issued", nil), p.day(a.Issued)},
		[2]string{t.T("paper-valid", nil), p.day(a.Until)})
	top := p.y
	p.pairs(rows...)
	if beside {
		p.picture(surface.Box{X: p.right() - 60, Y: top - 8, W: 60, H: 56}, q.Cloth)
		p.y = max(p.y, top+50)
	}
	p.y += 3
	q.price(p)
	if q.Parts {
		p.room(p.height(func(b *book) { (&paperwork{book: b}).where(q.Quote) }))
		p.where(q.Quote)
	}
	if rates := q.rates(p); rates != "" {
		p.y += 2
		p.para(rates, surface.Font{Size: 3.3, Colour: draw.Ink})
	}
	if q.Terms != "" {
		p.heading(t.T("paper-terms", nil))
		for line := range strings.SplitSeq(q.Terms, "\n") {
			p.note(line)
		}
	}
	p.sign(t.T("paper-accept-sign", nil))
}

// where says where the money goes.
func (p *paperwork) where(q price.Quote) {
	p.heading(p.t.T("paper-where", nil))
	p.parts(q.Parts, q.Sale.Paid)
}

// price is what the customer pays.
func (q QuotePaper) price(p *paperwork) {
	s, t := q.Quote.Sale, p.t
	all := []sum{}
	if q.Quote.Asked.Order.Pieces > 1 {
		all = append(all, sum{t.T("paper-each", nil), p.money(q.Quote.Each), false})
	}
	tax := q.Quote.Asked.Tax
	switch {
	case s.Tax.Minor == 0:
	case tax.Included:
		all = append(all, sum{t.T("paper-tax-within", map[string]any{"name": tax.Name, "percent": tax.Percent}), p.money(s.Tax), false})
	default:
		all = append(all, sum{t.T("paper-price", nil), p.money(s.Price), false}, sum{t.T("paper-tax", map[string]any{"name": tax.Name, "percent": tax.Percent}), p.money(s.Tax), false})
	}
	all = append(all, sum{t.T("paper-to-pay", nil), p.money(s.Paid), true})
	if q.Quote.Deposit.Minor > 0 {
		all = append(all, sum{t.T("paper-deposit", nil), p.money(q.Quote.Deposit), false}, sum{t.T("paper-balance", nil), p.money(q.Quote.Balance), false})
	}
	p.sums(all...)
}

// rates says at which rates amounts were changed.
func (q QuotePaper) rates(p *paperwork) string {
	var out []string
	for _, e := range q.Quote.Asked.Order.Rates {
		out = append(out, p.t.T("paper-rate", map[string]any{"from": e.From, "to": e.To, "rate": e.Rate.String(), "on": p.day(e.On), "source": e.Source}))
	}
	return strings.Join(out, " ")
}

// partColours are those of the parts of a price, in the order they are told, of dyes:
// people first. Each has its letter and hatch besides.
var partColours = map[price.Kind]surface.Colour{
	price.Labour: {R: 43, G: 68, B: 112}, price.Materials: {R: 150, G: 105, B: 40}, price.Fuel: {R: 176, G: 58, B: 46}, price.Transport: {R: 120, G: 120, B: 60},
	price.Fees: {R: 120, G: 90, B: 120}, price.Other: {R: 130, G: 130, B: 130}, price.Overheads: {R: 90, G: 110, B: 90}, price.Selling: {R: 200, G: 150, B: 60},
	price.Taxes: {R: 170, G: 165, B: 155}, price.Gain: {R: 70, G: 120, B: 80},
}

// parts draws a bar of where the money goes, and under it each part with its amount;
// all together are what is paid.
func (p *paperwork) parts(parts []price.Part, paid price.Money) {
	if len(parts) == 0 {
		return
	}
	const high, chip measure.MM = 11, 5
	rowHigh := chip * 1.28
	p.room(high + 4 + rowHigh*measure.MM(len(parts)+1))
	x := p.left()
	for i, part := range parts {
		w := p.wide() * measure.MM(float64(part.Amount.Minor)/float64(max(1, paid.Minor)))
		letter := ""
		if w > 6 {
			letter = PartLetter(i)
		}
		surface.Chip(p.s, surface.Box{X: x, Y: p.y, W: w, H: high}, PartColour(parts, i), i, letter)
		x += w
	}
	p.y += high + 4
	f := surface.Font{Size: 3.8, Colour: draw.Ink}
	row := func(i int, words, amount string, percent int, bold bool) {
		g := f
		g.Bold = bold
		if i >= 0 {
			surface.Chip(p.s, surface.Box{X: p.left(), Y: p.y, W: chip * 1.6, H: chip}, PartColour(parts, i), i, PartLetter(i))
		}
		p.text(p.left()+chip*1.6+3, 4.2, words, surface.Fit(words, g, p.wide()*0.5))
		g.Align = surface.Right
		p.text(p.right()-22, 4.2, amount, g)
		p.text(p.right(), 4.2, fmt.Sprintf("%d\u202f%%", percent), g)
		p.y += rowHigh
	}
	all := 0
	for i, part := range parts {
		words := p.t.T("cost-"+string(part.Kind), nil)
		if part.Name != "" {
			words += ": " + p.step(part.Name)
		}
		row(i, words, p.money(part.Amount), part.Percent, false)
		all += part.Percent
	}
	row(-1, p.t.T("paper-to-pay", nil), p.money(paid), all, true)
}

// step is a kind of work in words, if it has any.
func (p *paperwork) step(name string) string {
	if p.t.Has("paywork-" + name) {
		return p.t.T("paywork-"+name, nil)
	}
	return name
}

// PartLetter is the letter that stands for a part beside its colour.
func PartLetter(i int) string { return string(rune('A' + i%26)) }

// PartColour is a part's colour; work step by step becomes paler.
func PartColour(parts []price.Part, i int) surface.Colour {
	c := partColours[parts[i].Kind]
	same := 0
	for _, q := range parts[:i] {
		if q.Kind == parts[i].Kind {
			same++
		}
	}
	return c.Mix(surface.White, min(0.6, 0.2*float64(same)))
}
