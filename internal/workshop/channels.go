package workshop

import (
	"context"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
)

// PriceList is what a piece of an order must be listed at in each channel, so that
// everywhere as much is left as the workshop aims at; each is customary.
func (h *House) PriceList(ctx context.Context, p Person, order string) (out []price.Listed, ps check.Problems, _ error) {
	err := h.view(ctx, p, "PriceList", func(tx *store.Tx) error {
		o, err := h.order(tx, order)
		if err != nil {
			return err
		}
		costed, about, err := h.costOrder(tx, o)
		if err != nil {
			return err
		}
		c, found := price.Cost(costed)
		if err = invalid(found); err != nil {
			return err
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		m := k.Value.Money
		left, found := m.aimed(c.Each)
		if err = invalid(found); err != nil {
			return err
		}
		out, found = price.List(left, m.terms(costed), m.Custom)
		about = append(about, found...)
		ps = about
		return invalid(found)
	})
	return out, ps, err
}

// aimed is what is to be left of a piece that costs so much.
func (m *MoneyHouse) aimed(cost Money) (Money, check.Problems) {
	if !m.Aim.Margin.IsZero() {
		return price.WithMargin(cost, m.Aim.Margin)
	}
	return price.WithMarkup(cost, m.Aim.Markup)
}

// terms is what stands between price and what is left of it, in each channel.
func (m *MoneyHouse) terms(o price.Order) (out []price.Terms) {
	for _, c := range m.channels() {
		out = append(out, price.Terms{Currency: o.Currency, Rates: o.Rates, Channel: c, Tax: m.Tax})
	}
	return out
}
