package web

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"strings"

	"github.com/govalues/decimal"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
	"urdir/sheet"
)

// moneyView is an order's money, with what its form was asked with.
type moneyView struct {
	workshop.OrderMoney
	Links []workshop.Kept[workshop.GuestLink]
}

// Aims is the two ways to say what is to be gained.
func (moneyView) Aims() []string { return []string{"", "markup", "margin"} }

// Kinds is the kinds of expenses beside those that are reckoned.
func (moneyView) Kinds() []price.Kind {
	return []price.Kind{price.Transport, price.Fuel, price.Fees, price.Other}
}

// ChannelNames is the names of the channels.
func (m moneyView) ChannelNames() (out []string) {
	for _, c := range m.Channels {
		out = append(out, c.Name)
	}
	return out
}

// amount reads an amount that is written with or without its code.
func (f *form) amount(field, code string) workshop.Money {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return workshop.Money{}
	}
	if _, known := price.Digits(code); !known {
		return workshop.Money{} // the code is said to be wrong
	}
	return f.money(field, code)
}

// per reads per cents to two decimals; empty is nothing.
func (f *form) per(field string) price.Percent {
	s := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(f.text(field)), "%"))
	if s == "" {
		return price.Percent{}
	}
	p, err := price.ParsePercent(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")))
	if err != nil {
		f.ps.Wrong(field, "percent-unread", check.Args{"text": s})
	}
	return p
}

// Per is per cents as a field shows them.
func (v *visit) Per(p price.Percent) string {
	if p.IsZero() {
		return ""
	}
	return p.Trim(0).String()
}

// asking reads what is asked for in a quote; own is the workshop's currency.
func (f *form) asking(own string) workshop.Asking {
	code := strings.ToUpper(strings.TrimSpace(f.text("currency")))
	if code == "" {
		code = own
	}
	if !price.Known(code) {
		f.ps.Wrong("currency", "currency-unknown", check.Args{"text": code})
	}
	a := workshop.Asking{Channel: f.text("channel"), Off: f.per("off"), Until: f.text("until"), Currency: code, Terms: f.text("terms"), Parts: f.yes("parts"),
		Price: f.amount("price", code), Hourly: f.amount("hourly", code)}
	if rate := strings.TrimSpace(f.text("rate")); rate != "" {
		d, err := decimal.Parse(strings.ReplaceAll(rate, ",", "."))
		if err != nil {
			f.ps.Wrong("rate", "rate-unread", check.Args{"text": rate})
		}
		a.Rates = []price.Exchange{{From: code, To: own, Rate: d, On: f.text("rate-on"), Source: strings.TrimSpace(f.text("rate-source"))}}
	}
	switch aim := f.per("aim"); f.text("aim-of") {
	case "markup":
		a.Aim = &price.Aim{Markup: aim}
	case "margin":
		a.Aim = &price.Aim{Margin: aim}
	}
	if m := f.amount("expense", code); m.Minor > 0 {
		a.Expenses = []price.Expense{{Kind: price.Kind(f.text("expense-kind")), Name: strings.TrimSpace(f.text("expense-name")), Amount: m}}
	}
	return a
}

// moneyFields is the field of the form in which something is wrong, by the path it
// has where a price is reckoned; the first that a path begins with.
var moneyFields = []struct{ begins, field string }{
	{"channel", "channel"}, {"aim", "aim"}, {"off", "off"}, {"until", "until"}, {"issued", "until"}, {"order.rates", "rate"}, {"rates", "rate"},
	{"order.currency", "currency"}, {"order.expenses", "expense"}, {"price", "price"},
}

// atFields puts problems at the fields of the form, each once: without a rate, every
// line of the costs is without.
func atFields(ps check.Problems) (out check.Problems) {
	seen := map[string]bool{}
	for _, p := range ps {
		for _, m := range moneyFields {
			if p.Severity == check.Error && strings.HasPrefix(p.Path, m.begins) {
				p.Path = m.field
				break
			}
		}
		if p.Code == "currency-without-rate" {
			p.Path = "rate"
		}
		if key := p.Path + p.Code; p.Severity != check.Error || !seen[key] {
			seen[key] = true
			out = append(out, p)
		}
	}
	return out
}

// moneyPage reckons an order as its address asks.
func moneyPage(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	f := v.asked()
	asking := f.asking(set.Value.Currency)
	if f.text("asked") == "" {
		v.Form = nil // nothing was asked yet: the form begins as it is
	}
	return v.moneyAgain(asking, f.ps, nil)
}

// moneyAgain shows an order's money: reckoned, or with what was wrong.
func (v *visit) moneyAgain(a workshop.Asking, typed check.Problems, refused error) error {
	ctx, id := v.r.Context(), v.r.PathValue("id")
	if typed.Failed() { // costs are shown nevertheless
		a = workshop.Asking{}
	}
	m, err := v.s.house.OrderMoney(ctx, v.Person, id, a)
	if err != nil {
		return err
	}
	view := moneyView{OrderMoney: m}
	if v.May("OrderLinks") {
		l, err := v.s.house.OrderLinks(ctx, v.Person, id)
		if err != nil {
			return err
		}
		view.Links = l.Items
	}
	title := v.T("money-title", "number", itoa(int(m.Order.Value.Number)))
	if refused != nil {
		return v.again(refused, "money", title, view)
	}
	for _, p := range append(typed, atFields(m.Problems)...) {
		if p.Severity == check.Error { // cautions have their own place
			v.Problems = append(v.Problems, p)
		}
	}
	return v.page("money", title, view)
}

// Floor is the caution that a price is below a floor, or nil.
func (m moneyView) Floor() *check.Problem {
	for i, p := range m.Problems {
		if p.Code == "price-below-floor" || p.Code == "price-below-cost" {
			return &m.Problems[i]
		}
	}
	return nil
}

// Would is the price that would do, where one is below a floor.
func (m moneyView) Would() workshop.Money {
	if p := m.Floor(); p != nil {
		if would, ok := p.Args["lowest"].(price.Money); ok {
			return would
		}
	}
	return workshop.Money{}
}

// Others is the cautions beside the floor's, with steps in words.
func (v *visit) Others(m moneyView) (out check.Problems) {
	seen := map[string]bool{}
	for _, p := range m.Problems {
		key := p.Code + fmt.Sprint(p.Args["step"])
		if name, ok := p.Args["name"].(string); ok {
			key += name
		}
		if p.Severity == check.Caution && p.Code != "price-below-floor" && !seen[key] {
			seen[key] = true
			if step, ok := p.Args["step"].(string); ok && v.Words.Has("paywork-"+step) {
				p.Args = maps.Clone(p.Args)
				p.Args["step"] = v.T("paywork-" + step)
			}
			out = append(out, p)
		}
	}
	return out
}

func makeQuote(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	a := f.asking(set.Value.Currency)
	if err = f.err(); err != nil {
		return v.moneyAgain(a, f.ps, err)
	}
	q, _, err := v.s.house.MakeQuote(v.r.Context(), v.Person, v.r.PathValue("id"), a)
	if err != nil {
		return v.moneyAgain(a, nil, atField(err))
	}
	return v.to("/quotes/"+q.ID, "quote-made")
}

// atField is a refusal with its problems at the fields of the form.
func atField(err error) error {
	if ps := problemsOf(err); ps != nil {
		return &workshop.Error{Code: workshop.Invalid, Problems: atFields(ps), Err: err}
	}
	return err
}

// StepName is what a line of the costs is called.
func (v *visit) StepName(kind price.Kind, name string) string {
	if kind == price.Labour && v.Words.Has("paywork-"+name) {
		name = v.T("paywork-" + name)
	}
	if name == "" {
		return v.T("cost-" + string(kind))
	}
	return v.T("cost-"+string(kind)) + ": " + name
}

// Hours is minutes as hours and minutes are said.
func (v *visit) Hours(minutes int64) string {
	return v.T("quote-hours", "hours", v.Words.Num(float64(minutes)/60, 1))
}

// quoteList and paperList are everything that was quoted and written.
func quoteList(v *visit) error {
	l, err := v.s.house.Quotes(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("quotes", v.T("quotes"), l)
}

func paperList(v *visit) error {
	l, err := v.s.house.Papers(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("papers", v.T("papers"), l)
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
	r, err := v.s.house.TakePayment(v.r.Context(), v.Person, k.ID, paid, f.text("into"), f.text("note"))
	if err != nil {
		return v.paperAgain(err)
	}
	return v.to("/papers/"+r.ID, "paid-in")
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

// problemsOf is the problems of a refusal, or nil of any other error.
func problemsOf(err error) check.Problems {
	if e, ok := errors.AsType[*workshop.Error](err); ok && e.Code == workshop.Invalid {
		return e.Problems
	}
	return nil
}

// barPart is a part of a price as a bar shows it: a thousand wide in all.
type barPart struct {
	price.Part
	X, W, Mid int
	Colour    string
	Letter    string
}

// Bar is where the money goes as parts of a bar, which add up to its whole width.
func (v *visit) Bar(parts []price.Part) (out []barPart) {
	weights := make([]int64, len(parts))
	for i, p := range parts {
		weights[i] = p.Amount.Minor
	}
	wide, ps := price.Split(price.Money{Minor: 1000}, weights)
	if ps.Failed() { // nothing to be shown
		return nil
	}
	x := 0
	for i, p := range parts {
		w := int(wide[i].Minor)
		out = append(out, barPart{p, x, w, x + w/2, hexColour(sheet.PartColour(parts, i)), sheet.PartLetter(i)})
		x += w
	}
	return out
}
