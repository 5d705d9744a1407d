package web

import (
	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
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
