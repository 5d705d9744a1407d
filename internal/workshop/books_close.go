package workshop

import (
	"context"
	"iter"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price/books"
)

// ClosePeriod closes the books up to the end of a period: what was earned goes to an
// account of the members' own. Items that are open must be named to be carried over.
func (h *House) ClosePeriod(ctx context.Context, p Person, period books.Period, to string, carried []string) (n int64, _ error) {
	if err := allowed(p, "ClosePeriod"); err != nil {
		return 0, err
	}
	trim(&period.Key, &period.From, &period.To)
	if period.To > h.today() {
		return 0, wrong("to", "date-ahead", check.Args{"date": period.To})
	}
	if !plain(period.Key, to) || len(period.Key) > maxName {
		return 0, wrong("key", "file-not-text", nil)
	}
	err := h.update(ctx, p, "ClosePeriod", func(tx *store.Tx) error {
		s, err := booksState(tx)
		if err != nil {
			return err
		}
		whole, err := gathered(tx, s.Chart, period.To)
		if err != nil {
			return err
		}
		e, ps := books.Closing(period, whole, s, to, carried)
		if err = invalid(ps); err != nil {
			return err
		}
		e.Text = period.Key
		n, err = h.keepEntry(tx, "", e)
		return err
	})
	return n, err
}

// later is the date of what is after a time that is looked at.
const later = "9999-12-31"

// gathered is all entries as two, as far as a closing looks at them: what was moved
// in income and expenses up to a day, and the items that are open, with what was
// open of them then. They stand for millions.
func gathered(tx *store.Tx, chart books.Chart, to string) (iter.Seq[books.Entry], error) {
	sums, err := tx.Sums("", "", "", "", to)
	if err != nil {
		return nil, err
	}
	until, after := books.Entry{Date: to}, books.Entry{Date: later}
	for _, s := range sums {
		if a, _ := chart.Find(s.Account); a.Kind == books.Income || a.Kind == books.Expense {
			until.Lines = append(until.Lines, moved(s, nil)...)
		}
	}
	open, err := tx.OpenItems("", "")
	if err != nil {
		return nil, err
	}
	for _, i := range open {
		then, err := tx.ItemUntil(i, to)
		if err != nil {
			return nil, err
		}
		put := func(e *books.Entry, minor int64) {
			e.Lines = append(e.Lines, books.Line{Account: i.Account, Amount: Money{Minor: minor, Currency: i.Currency}, Item: i.Item})
		}
		put(&until, then)
		put(&after, i.Minor-then)
	}
	return slices.Values([]books.Entry{until, after}), nil
}

// moved is a sum as lines of debits and credits.
func moved(s store.Sum, tags map[string]string) (out []books.Line) {
	for _, minor := range []int64{s.Debit, -s.Credit} {
		if minor != 0 {
			out = append(out, books.Line{Account: s.Account, Amount: Money{Minor: minor, Currency: s.Currency}, Tags: tags})
		}
	}
	return out
}
