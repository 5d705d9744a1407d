package workshop

import (
	"context"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
)

// MemberTime is what a member did, earned and was handed in some months.
type MemberTime struct {
	Member   Kept[Member]
	Works    int
	Earned   price.Statement
	Paid     Money // handed over for these months, in the workshop's currency
	Withheld Money // of advances, from these
	Problems check.Problems
}

// mostMonths is how many months can be looked at together.
const mostMonths = 24

// PayOver gives what every member did, earned and was handed from one month to
// another, both with, such as a season; of a member only her own.
func (h *House) PayOver(ctx context.Context, p Person, from, to string) (out []MemberTime, _ error) {
	err := h.view(ctx, p, "PayOver", func(tx *store.Tx) error {
		months, err := monthsBetween(from, to)
		if err != nil {
			return err
		}
		ms, err := members.list(tx, Page{}, false)
		if err != nil {
			return err
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		did := map[string][]Kept[Work]{}
		for _, month := range months {
			hers, failed := worksOf(tx, ms.Items, month)
			if failed != nil {
				return failed
			}
			for id, works := range hers {
				did[id] = append(did[id], works...)
			}
		}
		for _, m := range ms.Items {
			if onlyOwn(p) && m.ID != p.Member {
				continue
			}
			t := MemberTime{Member: m, Works: len(did[m.ID])}
			if t.Earned, t.Problems, err = set.Value.settled(did[m.ID]); err != nil {
				return err
			}
			if err = t.handed(tx, months[0], months[len(months)-1], set.Value.Currency); err != nil {
				return err
			}
			if t.Works > 0 || t.Paid.Minor+t.Withheld.Minor > 0 {
				out = append(out, t)
			}
		}
		return nil
	})
	return out, err
}

// handed adds up what was paid for months.
func (t *MemberTime) handed(tx *store.Tx, from, to, currency string) error {
	t.Paid.Currency, t.Withheld.Currency = currency, currency
	all, err := payouts.list(tx, Page{Parent: t.Member.ID}, false)
	for _, k := range all.Items {
		if v := k.Value; v.Undone == "" && from <= v.Month && v.Month <= to && v.Paid.Currency == currency {
			t.Paid.Minor, t.Withheld.Minor = t.Paid.Minor+v.Paid.Minor, t.Withheld.Minor+v.Withheld.Minor
		}
	}
	return err
}

func monthsBetween(from, to string) (out []string, _ error) {
	for field, text := range map[string]string{"from": from, "to": to} {
		if isMonth(text) != nil {
			return nil, wrong(field, "month-unread", check.Args{"text": text})
		}
	}
	if from > to {
		return nil, wrong("to", "period-order", check.Args{"from": from, "to": to})
	}
	first, err := time.Parse(monthly, from)
	for month := from; month <= to && err == nil; month = first.AddDate(0, len(out), 0).Format(monthly) {
		if len(out) == mostMonths {
			return nil, wrong("to", "months-too-many", check.Args{"most": mostMonths})
		}
		out = append(out, month)
	}
	return out, err
}
