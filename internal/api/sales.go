package api

import (
	"urdir/internal/workshop"
	"urdir/price"
)

// QuoteIn is what is asked for in a quote; what is left out is the workshop's usual.
type QuoteIn struct {
	Channel  string `json:"channel,omitempty" example:"fair"`
	Price    *Money `json:"price,omitempty"`
	Off      string `json:"off_percent,omitempty" at:"off" example:"5"`
	Until    string `json:"until,omitempty" format:"date" example:"2031-06-05"`
	Currency string `json:"currency,omitempty" example:"USD"`
	Terms    string `json:"terms,omitempty" example:"Half beforehand."`
	Parts    bool   `json:"parts,omitempty" example:"true"`
}

// Quote is an offer of a price for an order, as it was made.
type Quote struct {
	Head
	Number   string    `json:"number" example:"P-2031-0007"`
	Order    string    `json:"order" example:"wjpp4c2vkq3a"`
	OrderNo  int64     `json:"order_number" example:"17"`
	Customer string    `json:"customer_name" example:"Posada Los Juncos"`
	By       string    `json:"by" example:"Saturnina"`
	Issued   string    `json:"issued" format:"date" example:"2031-05-06"`
	Until    string    `json:"until" format:"date" example:"2031-06-05"`
	Each     *Money    `json:"each"`
	Total    *Money    `json:"total"`
	Lowest   *Money    `json:"lowest"`
	AtFloor  *Money    `json:"at_floor"`
	Hourly   *Money    `json:"hourly"`
	Deposit  *Money    `json:"deposit"`
	Terms    string    `json:"terms,omitempty" example:"Half beforehand."`
	Accepted *Accepted `json:"accepted"`
	Cautions []Wrong   `json:"cautions,omitempty"`
}

// AcceptIn tells that a quote was accepted.
type AcceptIn struct {
	By      string `json:"by" example:"Posada Los Juncos"`
	On      string `json:"on,omitempty" format:"date" example:"2031-05-07"`
	Deposit *Money `json:"deposit,omitempty"`
	Into    string `json:"into,omitempty" example:"assets:cash"`
}

// Accepted is who accepted a quote, and what was paid beforehand.
type Accepted struct {
	By      string `json:"by" example:"Posada Los Juncos"`
	On      string `json:"on" format:"date" example:"2031-05-07"`
	Deposit *Money `json:"deposit,omitempty"`
}

// Paper is an invoice, a receipt, or the counter-document of one of them.
type Paper struct {
	Head
	Number  string `json:"number" example:"F-2031-0003"`
	Kind    string `json:"kind" enum:"invoice,receipt,counter" example:"invoice"`
	Order   string `json:"order" example:"wjpp4c2vkq3a"`
	On      string `json:"on" format:"date" example:"2031-06-20"`
	By      string `json:"by" example:"Baldomera"`
	Net     *Money `json:"net"`
	Tax     *Money `json:"tax,omitempty"`
	Total   *Money `json:"total"`
	Deposit *Money `json:"deposit,omitempty"`
	Cancels string `json:"cancels,omitempty" example:"F-2031-0002"`
	Undone  string `json:"undone,omitempty" example:"A-2031-0001"`
	Note    string `json:"note,omitempty" example:"By bank."`
}

// PaperView is a paper, and what its order still owes.
type PaperView struct {
	Paper
	Open *Money `json:"open"`
}

// PaymentIn is what a customer paid of an invoice.
type PaymentIn struct {
	Paid Money  `json:"paid"`
	Into string `json:"into,omitempty" example:"assets:cash"`
	Note string `json:"note,omitempty" example:"By bank."`
}

// UndoIn says why a paper is undone.
type UndoIn struct {
	Why string `json:"why" example:"Written for the wrong order."`
}

func quoteOf(k workshop.Kept[workshop.Quote], cautions []Wrong) Quote {
	v := k.Value
	m := v.Made
	out := Quote{Head: headOf(k), Number: v.Number, Order: v.Order, OrderNo: v.OrderNo, Customer: v.Customer, By: v.By, Issued: m.Asked.Issued, Until: m.Asked.Until,
		Each: moneyOf(m.Each), Total: moneyOf(m.Sale.Paid), Lowest: moneyOf(m.Lowest), AtFloor: moneyOf(m.AtFloor), Hourly: moneyOf(m.Hourly), Deposit: moneyOf(m.Deposit),
		Terms: v.Terms, Cautions: cautions}
	if v.Accepted != nil {
		out.Accepted = &Accepted{v.Accepted.By, v.Accepted.On, moneyOf(v.Accepted.Deposit)}
	}
	return out
}

func paperOf(k workshop.Kept[workshop.Paper]) Paper {
	v := k.Value
	return Paper{headOf(k), v.Number, string(v.Kind), v.Order, v.On, v.By, moneyOf(v.Net), moneyOf(v.Tax), moneyOf(v.Total), moneyOf(v.Deposit), v.Cancels, v.Undone, v.Note}
}

// plainQuote is a quote without what is to be looked at in making it.
func plainQuote(k workshop.Kept[workshop.Quote]) Quote { return quoteOf(k, nil) }

var (
	aQuote = thing[workshop.Quote, Quote]{"/quotes/{id}", func(a *asked) (workshop.Kept[workshop.Quote], error) {
		v, err := a.house.Quote(a.Context(), a.person, a.id())
		return v.Kept, err
	}, plainQuote}
	aPaper = thing[workshop.Paper, Paper]{"/papers/{id}", func(a *asked) (workshop.Kept[workshop.Paper], error) {
		v, err := a.house.Paper(a.Context(), a.person, a.id())
		return v.Kept, err
	}, paperOf}
)

func saleOps() []op {
	return []op{
		list("quotes", "/quotes", "Quotes", func(a *asked, p workshop.Page) ([]Quote, string, error) {
			p.Parent = a.URL.Query().Get("order")
			l, err := a.house.Quotes(a.Context(), a.person, p)
			return listed(l, err, plainQuote)
		}, word("find", "17"), word("state", "open", "open", "accepted"), word("order", "wjpp4c2vkq3a")),
		get("quote", "/quotes/{id}", "Quote", func(a *asked) (Quote, error) {
			v, err := a.house.Quote(a.Context(), a.person, a.id())
			return quoteOf(v.Kept, nil), err
		}),
		change("make-quote", "POST /orders/{id}/quotes", "MakeQuote", matchNone, makeQuote),
		change("accept-quote", "POST /quotes/{id}/accept", "AcceptQuote", matchMay, func(a *asked, in AcceptIn) (out Quote, _ error) {
			n, err := aQuote.version(a)
			if err != nil {
				return out, err
			}
			k, ps, err := a.house.AcceptQuote(a.Context(), a.person, a.id(), n, workshop.Acceptance{By: in.By, On: in.On, Deposit: in.Deposit.money()}, in.Into)
			return quoteOf(k, inWords(a.words, ps)), err
		}),
		on(aQuote, "undo-accept", "POST /undo", "UndoAccept", func(a *asked, n int64, _ nothing) (workshop.Kept[workshop.Quote], error) {
			return a.house.UndoAccept(a.Context(), a.person, a.id(), n)
		}),
		change("make-invoice", "POST /quotes/{id}/invoice", "MakeInvoice", matchNone, func(a *asked, _ nothing) (Paper, error) {
			k, err := a.house.MakeInvoice(a.Context(), a.person, a.id())
			return paperOf(k), err
		}),
		list("papers", "/papers", "Papers", func(a *asked, p workshop.Page) ([]Paper, string, error) {
			p.Parent = a.URL.Query().Get("order")
			l, err := a.house.Papers(a.Context(), a.person, p)
			return listed(l, err, paperOf)
		}, word("find", "17"), word("state", "invoice", "invoice", "receipt", "counter"), word("order", "wjpp4c2vkq3a")),
		get("paper", "/papers/{id}", "Paper", func(a *asked) (PaperView, error) {
			v, err := a.house.Paper(a.Context(), a.person, a.id())
			return PaperView{paperOf(v.Kept), moneyOf(v.Open)}, err
		}),
		change("take-payment", "POST /papers/{id}/payments", "TakePayment", matchNone, func(a *asked, in PaymentIn) (Paper, error) {
			k, err := a.house.TakePayment(a.Context(), a.person, a.id(), in.Paid.money(), in.Into, in.Note)
			return paperOf(k), err
		}),
		on(aPaper, "undo-paper", "POST /undo", "UndoPaper", func(a *asked, n int64, in UndoIn) (workshop.Kept[workshop.Paper], error) {
			return a.house.UndoPaper(a.Context(), a.person, a.id(), n, in.Why)
		}),
	}
}

func makeQuote(a *asked, in QuoteIn) (out Quote, _ error) {
	ask := workshop.Asking{Channel: in.Channel, Price: in.Price.money(), Until: in.Until, Currency: in.Currency, Terms: in.Terms, Parts: in.Parts}
	if in.Off != "" {
		var err error
		if ask.Off, err = price.ParsePercent(in.Off); err != nil {
			return out, refused("off_percent", "api-type", map[string]any{"want": "percent"})
		}
	}
	k, ps, err := a.house.MakeQuote(a.Context(), a.person, a.id(), ask)
	return quoteOf(k, inWords(a.words, ps)), err
}
