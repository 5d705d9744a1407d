package workshop

import (
	"context"
	"time"

	"urdir/internal/store"
	"urdir/price"
)

// LowPay is a work that pays less than a floor, and what would do.
type LowPay struct {
	Kept[Work]
	Least   Money // what it must pay at least
	Hourly  Money // what it pays an hour
	Pieces  int   // of its order
	Lowest  Money // a piece of its order: the price that pays everybody by the floors; nothing: not known
	Channel string
}

// low is the works that pay less than a floor for the hours they took, each held
// against both by itself.
func (s *Settings) low(works []Kept[Work]) (out []LowPay, _ error) {
	for _, w := range works {
		least, err := s.least(w.Value)
		if err != nil {
			return nil, err
		}
		if w.Value.Pay.Currency == s.Currency && w.Value.Pay.Minor < least.Minor {
			out = append(out, LowPay{Kept: w, Least: least, Hourly: price.Hourly(w.Value.Pay, w.Value.Minutes)})
		}
	}
	return out, nil
}

// least is what a work must pay by the higher of the floors.
func (s *Settings) least(w Work) (Money, error) {
	legal, err := s.own("floors.legal", s.Money.Floors.Legal)
	if err != nil {
		return Money{}, err
	}
	floor, err := s.own("floors.workshop", s.Money.Floors.Workshop)
	if err != nil {
		return Money{}, err
	}
	if legal.Minor > floor.Minor {
		floor = legal
	}
	return price.PieceRate(floor, w.Minutes, price.Percent{}), nil
}

// prices finds the price of a piece that would pay everybody who works on the order
// by the floors, where the order can be reckoned.
func (h *House) prices(tx *store.Tx, low []LowPay) error {
	known := map[string]price.Quote{}
	for i := range low {
		id := low[i].Value.Order
		if id == "" {
			continue
		}
		q, done := known[id]
		if !done {
			o, err := h.order(tx, id)
			if err != nil {
				return err
			}
			if q, _, err = h.tryQuote(tx, o, Asking{}); err != nil && CodeOf(err) != Invalid {
				return err
			}
			known[id] = q
		}
		low[i].Lowest, low[i].Channel, low[i].Pieces = q.Asked.Custom.Up(q.AtFloor), q.Asked.Channel.Name, q.Asked.Order.Pieces
	}
	return nil
}

// RaisePay raises what a member did in a month, is not paid yet and pays less than a
// floor, to the floor.
func (h *House) RaisePay(ctx context.Context, p Person, member, month string) (raised int, _ error) {
	if err := allowed(p, "RaisePay"); err != nil {
		return 0, err
	}
	if err := isMonth(month); err != nil {
		return 0, err
	}
	err := h.update(ctx, p, "RaisePay", func(tx *store.Tx) error {
		m, err := members.get(tx, member)
		if err != nil {
			return err
		}
		open, err := openWorks(tx)
		if err != nil {
			return err
		}
		s, err := h.statement(tx, m, month, open)
		if err != nil {
			return err
		}
		for _, l := range s.Low {
			if s.Open[l.ID] != l.Value.Pay {
				continue // paid, or a part of it
			}
			if err = h.unpostWork(tx, sourceOf(l.ID), ""); err != nil {
				return err
			}
			l.Value.Pay = l.Least
			k, err := workLines.put(tx, l.Kept)
			if err != nil {
				return err
			}
			if err = h.postWork(tx, sourceOf(l.ID), k); err != nil {
				return err
			}
			raised++
		}
		if raised == 0 {
			return wrong("", "pay-raised-none", nil)
		}
		return nil
	})
	return raised, err
}

// basis is what was agreed for the kind of each work, where that makes its pay.
func (s *Settings) basis(works []Kept[Work]) map[string]price.Pay {
	out := map[string]price.Pay{}
	for _, w := range works {
		by, ps := s.payFor(w.Value.Kind, w.Value.Minutes, w.Value.Pieces)
		if !ps.Failed() && by == w.Value.Pay && by.Minor > 0 {
			out[w.ID] = s.Agreed(w.Value.Kind)
		}
	}
	return out
}

// payDay is the date on which a month's pay is handed out; empty if the workshop does
// not say.
func (m *MoneyHouse) payDay(month string) string {
	first, err := time.Parse(monthly, month)
	if err != nil || m.PayDay == 0 {
		return ""
	}
	return first.AddDate(0, 1, m.PayDay-1).Format(time.DateOnly)
}
