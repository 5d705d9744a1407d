package web

import (
	"net/url"
	"strings"

	"urdir/internal/workshop"
)

// sells names quotes, papers, a customer's link and a card of the demo, and makes a
// quote and a paper in the other workshop.
func (s *season) sells(h *workshop.House, head, other workshop.Person) {
	for _, q := range must(h.Quotes(ctx, head, workshop.Page{})).Items {
		what := "quote open"
		if q.Value.Accepted != nil {
			what = "quote"
		}
		if s.ours[what] == "" {
			s.ours[what] = q.ID
		}
	}
	for _, q := range must(h.Quotes(ctx, head, workshop.Page{State: "accepted"})).Items {
		if q.ID != s.ours["quote"] && q.Value.Accepted.Deposit.Minor > 0 {
			s.ours["quote invoiced"] = q.ID
			must(h.MakeInvoice(ctx, head, q.ID)) // something is still to be paid of it
		}
	}
	for _, k := range must(h.Papers(ctx, head, workshop.Page{})).Items {
		if what := "paper " + string(k.Value.Kind); s.ours[what] == "" {
			s.ours[what] = k.ID
		}
	}
	s.ours["paper"] = s.ours["paper invoice"]
	for _, x := range must(h.Cards(ctx, head, workshop.Page{})).Items {
		if x.Value.Card != "" {
			s.ours["card"], s.ours["carded"] = x.Value.Card, x.ID
		}
	}
	s.ours["ware"] = must(h.Wares(ctx, head, workshop.Page{})).Items[0].ID
	ware := workshop.Kept[workshop.Ware]{Value: workshop.Ware{Name: "Ajena", Price: workshop.Money{Minor: 100, Currency: "USD"}}}
	s.theirs["ware"] = must(h.SaveWare(ctx, other, ware)).ID
	_, _, err := h.MakeQuote(ctx, head, s.ours["order"], workshop.Asking{Parts: true})
	if err != nil {
		panic(err)
	}
	if s.ours["guest"], _, err = h.MakeLink(ctx, head, s.ours["order"], "", true); err != nil {
		panic(err)
	}
	asking := workshop.Asking{Price: workshop.Money{Minor: 5000, Currency: must(h.Settings(ctx, other)).Value.Currency}}
	made, _, err := h.MakeQuote(ctx, other, s.theirs["order"], asking)
	q := must(made, err)
	made, _, err = h.AcceptQuote(ctx, other, q.ID, q.Revision, workshop.Acceptance{By: "Ajena"}, "")
	s.theirs["quote"] = must(made, err).ID
	s.theirs["paper"] = must(h.MakeInvoice(ctx, other, q.ID)).ID
}

// badSales is forms of quotes, papers, prices and cards with one thing wrong.
func (s *site) badSales() []bad {
	o := s.ours
	quote, open, paper := "/quotes/"+o["quote"], "/quotes/"+o["quote open"], "/papers/"+o["paper"]
	order := "/orders/" + o["order"]
	asked := func(v ...string) url.Values {
		return pairs(append([]string{"asked", "1", "terms", "Al recoger", "currency", "USD"}, v...)...)
	}
	channels := recordForm(s.page("/prices/channels", "head")).fields()
	channels.Set("channels[2].percent", "100")
	steps := recordForm(s.page("/prices/channels", "head")).fields()
	steps.Set("steps[1].off", "mucho")
	selling := func(field, value string) bad {
		f := recordForm(s.page("/prices/channels", "head")).fields()
		f.Set(field, value)
		return bad{"/prices/channels", field, f}
	}
	piece := "/cards/" + o["piece finished"]
	return []bad{
		{order + "/quotes", "price", asked("price", "0.01")},
		{order + "/quotes", "price", asked("price", "1.234,5")},
		{order + "/quotes", "off", asked("off", "100")},
		{order + "/quotes", "off", asked("off", "mucho")},
		{order + "/quotes", "until", asked("until", "2020-01-01")},
		{order + "/quotes", "aim", asked("aim-of", "margin", "aim", "100")},
		{order + "/quotes", "expense", asked("expense-kind", "transport", "expense", "poco")},
		{order + "/quotes", "currency", pairs("asked", "1", "currency", "ZZZ")},
		{order + "/quotes", "rate", pairs("asked", "1", "currency", "GBP")},
		{order + "/quotes", "rate", pairs("asked", "1", "currency", "GBP", "rate", "mucho")},
		{open + "/accept", "by", pairs("revision", "1", "by", " ", "on", "2027-03-02")},
		{open + "/accept", "on", pairs("revision", "1", "by", "Ofelia", "on", "2027-03-09")},
		{open + "/accept", "on", pairs("revision", "1", "by", "Ofelia", "on", "2028-03-09")},
		{open + "/accept", "deposit", pairs("revision", "1", "by", "Ofelia", "deposit", "900000")},
		{quote + "/deposit", "deposit", pairs("revision", "2", "deposit", "900000")},
		{quote + "/deposit", "deposit", pairs("revision", "2", "deposit", "0")},
		{paper + "/pay", "paid", pairs("paid", "900000", "note", "En mano")},
		{paper + "/pay", "paid", pairs("paid", "poco")},
		{paper + "/undo", "why", pairs("revision", "1", "why", " ")},
		{order + "/link", "until", pairs("until", "2020-01-01")},
		{order + "/link", "until", pairs("until", "2040-01-01")},
		{"/prices/new", "name", pairs("name", "", "price", "12", "list", "Mayoreo")},
		{"/prices/new", "price", pairs("name", "Faja", "price", "", "list", "Mayoreo")},
		{"/prices/channels", "channels[2].percent", channels},
		{"/prices/channels", "steps[1].off", steps},
		selling("tax-percent", "300"), selling("aim", "x"), selling("deposit", "120"), selling("valid", "4000"), selling("custom-step", "cinco"),
		{quote + "/deposit", "into", pairs("revision", "2", "deposit", "1", "into", "income:sales")},
		{paper + "/pay", "into", pairs("paid", "1", "into", "assets:materials")},
		{"/cards/settings", "region", pairs("revision", s.revision("settings", ""), "region", strings.Repeat("ñ", 500), "country", "Costa")},
		{piece + "/offer", "ask", pairs("revision", s.revision("piece", o["piece finished"]), "ask", "caro")},
	}
}
