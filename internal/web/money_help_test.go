package web

import (
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
	for _, k := range must(h.Papers(ctx, head, workshop.Page{})).Items {
		s.ours["paper "+string(k.Value.Kind)] = k.ID
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
