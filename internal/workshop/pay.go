package workshop

import (
	"context"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// Statement is what a member did and earned in a month, and what is due to her.
type Statement struct {
	Member   Kept[Member]
	Month    string       // 2031-05
	Works    []Kept[Work] // of the month
	Earlier  []Kept[Work] // from before it, that are not paid
	Open     map[string]Money
	Earned   price.Statement // of the month's works
	Due      Money           // open works less what is withheld
	Withheld Money           // of the advance, by the agreed share
	Owed     Money           // of the advance, before that
	Share    price.Percent
	PayDay   string // date on which it is handed out; empty: not said
	Payouts  []Kept[Payout]
	Advances []Kept[Advance]
	Basis    map[string]price.Pay // by work: what was agreed for its kind, where that makes its pay
	Low      []LowPay             // of the month's works, and of those from before it that are not paid
	Problems check.Problems       // such as pay below a floor, with what would mend it
}

// Pay gives the statements of all members for a month, of those who did anything in
// it or are owed something; of a member only her own.
func (h *House) Pay(ctx context.Context, p Person, month string) (out []Statement, _ error) {
	err := h.view(ctx, p, "Pay", func(tx *store.Tx) error {
		if err := isMonth(month); err != nil {
			return err
		}
		ms, err := members.list(tx, Page{}, false)
		if err != nil {
			return err
		}
		open, err := openWorks(tx)
		if err != nil {
			return err
		}
		for _, m := range ms.Items {
			if onlyOwn(p) && m.ID != p.Member {
				continue
			}
			s, err := h.statement(tx, m, month, open)
			if err != nil {
				return err
			}
			if len(s.Works)+len(s.Earlier)+len(s.Payouts) > 0 || s.Owed.Minor > 0 {
				out = append(out, s)
			}
		}
		return nil
	})
	return out, err
}

// Statement gives a member's statement for a month; of a member only her own.
func (h *House) Statement(ctx context.Context, p Person, member, month string) (out Statement, _ error) {
	err := h.view(ctx, p, "Statement", func(tx *store.Tx) error {
		if err := isMonth(month); err != nil {
			return err
		}
		if onlyOwn(p) && (p.Member == "" || member != p.Member) {
			return &Error{Code: NotFound}
		}
		m, err := members.get(tx, member)
		if err != nil {
			return err
		}
		open, err := openWorks(tx)
		if err != nil {
			return err
		}
		if out, err = h.statement(tx, m, month, open); err != nil || onlyOwn(p) {
			return err
		}
		return h.prices(tx, out.Low)
	})
	return out, err
}

// monthly is how months are written.
const monthly = "2006-01"

// Gross is what of works is open, before anything is withheld.
func (s Statement) Gross() Money {
	return Money{Minor: s.Due.Minor + s.Withheld.Minor, Currency: s.Due.Currency}
}

// Carried is what is open from months before.
func (s Statement) Carried() Money {
	m := Money{Currency: s.Due.Currency}
	for _, w := range s.Earlier {
		m.Minor += s.Open[w.ID].Minor
	}
	return m
}

// OpenOfMonth is what is open of the month's own works.
func (s Statement) OpenOfMonth() Money {
	return Money{Minor: s.Gross().Minor - s.Carried().Minor, Currency: s.Due.Currency}
}

// PayTotals is the statements of a month together.
type PayTotals struct {
	Earned, Withheld, Due Money
	Minutes               int64
	Owing                 int    // members who are to be paid
	PayDay                string // date
}

// TotalPay adds statements up.
func TotalPay(all []Statement, currency string) PayTotals {
	t := PayTotals{Earned: Money{Currency: currency}, Withheld: Money{Currency: currency}, Due: Money{Currency: currency}}
	for _, s := range all {
		t.Earned.Minor, t.Withheld.Minor, t.Due.Minor = t.Earned.Minor+s.Earned.Earned.Minor, t.Withheld.Minor+s.Withheld.Minor, t.Due.Minor+s.Due.Minor
		t.Minutes, t.PayDay = t.Minutes+s.Earned.Minutes, s.PayDay
		if len(s.Open) > 0 {
			t.Owing++
		}
	}
	return t
}

func isMonth(text string) error {
	if t, err := time.Parse(monthly, text); err != nil || t.Year() < 1990 || t.Year() > 2200 {
		return wrong("month", "month-unread", check.Args{"text": text})
	}
	return nil
}

func (h *House) statement(tx *store.Tx, m Kept[Member], month string, open []openWork) (s Statement, _ error) {
	set, err := readSettings(tx)
	if err != nil {
		return s, err
	}
	currency := set.Value.Currency
	s = Statement{Member: m, Month: month, Open: map[string]Money{}}
	mine, err := workLines.list(tx, Page{State: m.ID + ":" + month}, false)
	if err != nil {
		return s, err
	}
	s.Works = mine.Items
	if s.Earned, s.Problems, err = set.Value.settled(s.Works); err != nil {
		return s, err
	}
	s.PayDay = set.Value.Money.payDay(month)
	due := Money{Currency: currency}
	for _, o := range open {
		if o.Value.Member != m.ID || o.open.Currency != currency || o.Value.month() > month {
			continue
		}
		s.Open[o.ID], due.Minor = o.open, due.Minor+o.open.Minor
		if o.Value.month() < month {
			s.Earlier = append(s.Earlier, o.Kept)
		}
	}
	all := slices.Concat(s.Earlier, s.Works)
	s.Basis = set.Value.basis(all)
	if s.Low, err = set.Value.low(all); err != nil {
		return s, err
	}
	a, err := agreement(tx, m.ID, currency)
	if err != nil {
		return s, err
	}
	s.Owed, s.Share, s.Withheld = a.Owed, a.Share, a.Repayment(due)
	lent, err := advances.list(tx, Page{Parent: m.ID}, false)
	if err != nil {
		return s, err
	}
	s.Advances = lent.Items
	s.Due = Money{Minor: due.Minor - s.Withheld.Minor, Currency: currency}
	paid, err := payouts.list(tx, Page{Parent: m.ID}, false)
	for _, k := range paid.Items {
		if k.Value.Month == month {
			s.Payouts = append(s.Payouts, k)
		}
	}
	return s, err
}

// settled adds works up and holds them against the floors. What was earned in
// another currency, before the workshop's was changed, stays out.
func (s *Settings) settled(works []Kept[Work]) (out price.Statement, ps check.Problems, err error) {
	floors := s.Money.Floors
	if floors.Workshop, err = s.own("floors.workshop", floors.Workshop); err != nil {
		return out, nil, err
	}
	if floors.Legal, err = s.own("floors.legal", floors.Legal); err != nil {
		return out, nil, err
	}
	var pieces []price.Piecework
	for _, w := range works {
		if w.Value.Pay.Currency == s.Currency {
			pieces = append(pieces, price.Piecework{Name: w.Value.Name, Step: w.Value.Kind, Minutes: w.Value.Minutes, Pay: w.Value.Pay})
		}
	}
	out, ps = price.Settle(pieces, s.Currency, price.Agreement{}, floors)
	return out, ps, nil
}

// openWork is a work that is not paid, or not all of it.
type openWork struct {
	Kept[Work]
	open Money
}

// openWorks is all works that are due to someone, by their names. What the
// bookkeeper wrote to that account by hand is none.
func openWorks(tx *store.Tx) (out []openWork, _ error) {
	due, err := tx.OpenItems(books.Payable, "")
	if err != nil {
		return nil, err
	}
	for _, i := range due {
		w, err := workLines.get(tx, i.Item)
		if missing(err) {
			continue
		}
		if err != nil {
			return nil, err
		}
		out = append(out, openWork{w, Money{Minor: -i.Minor, Currency: i.Currency}})
	}
	return out, nil
}

// month is the month of a work.
func (w Work) month() string { return w.At[:min(7, len(w.At))] }

// payErrands flags members whose pay of this month or the last is below a floor.
func (h *House) payErrands(tx *store.Tx, out *Day) error {
	now := h.now()
	ms, err := members.list(tx, Page{}, false)
	if err != nil || len(ms.Items) == 0 {
		return err
	}
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	for _, month := range []string{now.AddDate(0, 0, -now.Day()).Format(monthly), now.Format(monthly)} {
		hers, err := worksOf(tx, ms.Items, month)
		if err != nil {
			return err
		}
		for _, m := range ms.Items {
			_, ps, err := set.Value.settled(hers[m.ID])
			if err != nil {
				return err
			}
			if (Statement{Problems: ps}).Below() {
				out.Errands = append(out.Errands, Errand{Kind: "errand-below-floor", Where: payErrand, ID: m.ID + "?month=" + month, Name: m.Value.Name})
			}
		}
	}
	return nil
}

// payErrand is the kind of page of errands about someone's pay, which not everybody
// who sees the workshop may see.
const payErrand = "pay"

// worksOf is what members did in a month, by member.
func worksOf(tx *store.Tx, ms []Kept[Member], month string) (map[string][]Kept[Work], error) {
	states := make([]string, 0, len(ms))
	for _, m := range ms {
		states = append(states, m.ID+":"+month)
	}
	did, err := workLines.list(tx, Page{State: strings.Join(states, ",")}, false)
	out := map[string][]Kept[Work]{}
	for _, w := range did.Items {
		out[w.Value.Member] = append(out[w.Value.Member], w)
	}
	return out, err
}

// Below says whether the month's pay is below a floor.
func (s Statement) Below() bool {
	return slices.ContainsFunc(s.Problems, func(p check.Problem) bool { return p.Code == "member-below-floor" || p.Code == "member-below-legal" })
}
