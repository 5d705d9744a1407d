package workshop

import (
	"errors"
	"iter"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price/books"
)

// What is posted for a fact is posted in its transaction, under the fact's name as
// its source: "job:ID:3" is the fourth fact of a warp. Undoing the fact reverses
// what was posted under that name. Texts are names of things, not sentences, since
// they are read in both languages; what happened, the accounts say.

// postAs writes an entry for a fact. Lines of nothing are left out, and an entry of
// nothing is not written. Without a date it is of today.
func (h *House) postAs(tx *store.Tx, source string, e books.Entry) error {
	e.Lines = slices.DeleteFunc(slices.Clone(e.Lines), func(l books.Line) bool { return l.Amount.Minor == 0 })
	if len(e.Lines) == 0 {
		return nil
	}
	if e.Date == "" {
		e.Date = h.today()
	}
	_, err := h.keepEntry(tx, source, e)
	return err
}

// keepEntry checks an entry and writes it.
func (h *House) keepEntry(tx *store.Tx, source string, e books.Entry) (int64, error) {
	s, err := booksState(tx)
	if err != nil {
		return 0, err
	}
	var broken error
	s.Settled = func(name string) bool {
		is, err := tx.Settled(name)
		broken = errors.Join(broken, err)
		return is
	}
	if err := errors.Join(invalid(books.Check(e, s)), broken); err != nil {
		return 0, err
	}
	return tx.Post(posting(source, e))
}

// unpost reverses all that was posted for a fact.
func (h *House) unpost(tx *store.Tx, source string) error {
	found, err := tx.PostedFor(source, false)
	if err != nil {
		return err
	}
	for _, e := range slices.Backward(found) {
		if _, err := h.reverse(tx, e, h.today(), e.Text); err != nil {
			return err
		}
	}
	return nil
}

// reverse undoes an entry on a day.
func (h *House) reverse(tx *store.Tx, of store.Posting, on, text string) (int64, error) {
	s, err := booksState(tx)
	if err != nil {
		return 0, err
	}
	undone, err := tx.Undone(of.Seq)
	if err != nil {
		return 0, err
	}
	e, ps := books.Reversal(entry(of), undone != 0, s, on, text)
	if err := invalid(ps); err != nil {
		return 0, err
	}
	return h.keepEntry(tx, of.Source, e)
}

// booksState is what a new entry is held against, but for what is settled.
func booksState(tx *store.Tx) (books.State, error) {
	k, err := readSettings(tx)
	if err != nil {
		return books.State{}, err
	}
	closed, err := tx.Closings()
	s := books.State{Chart: k.Value.Money.Chart()}
	if n := len(closed); n > 0 {
		s.ClosedTo = closed[n-1].Date
	}
	return s, err
}

// posting is an entry as the store keeps it.
func posting(source string, e books.Entry) store.Posting {
	out := store.Posting{Date: e.Date, Text: e.Text, Document: e.Document, Source: source, Settles: e.Settles, Reverses: e.Reverses, Closes: e.Closes}
	for _, l := range e.Lines {
		out.Lines = append(out.Lines, store.PostingLine{Account: l.Account, Currency: l.Amount.Currency, Minor: l.Amount.Minor, Item: l.Item, Tags: l.Tags})
	}
	return out
}

// entry is a kept entry as the books know it.
func entry(e store.Posting) books.Entry {
	out := books.Entry{N: e.Seq, Date: e.Date, Text: e.Text, Document: e.Document, Settles: e.Settles, Reverses: e.Reverses, Closes: e.Closes}
	for _, l := range e.Lines {
		out.Lines = append(out.Lines, books.Line{Account: l.Account, Amount: Money{Minor: l.Minor, Currency: l.Currency}, Item: l.Item, Tags: l.Tags})
	}
	return out
}

// allEntries goes through all entries of the books; what went wrong on the way is
// in broken afterwards.
func allEntries(tx *store.Tx, broken *error) iter.Seq[books.Entry] {
	stop := errors.New("enough")
	return func(yield func(books.Entry) bool) {
		err := tx.EachPosting(func(e store.Posting) error {
			if !yield(entry(e)) {
				return stop
			}
			return nil
		})
		if !errors.Is(err, stop) {
			*broken = err
		}
	}
}

// debit and credit are lines of an amount above nothing.
func debit(account string, m Money, tags map[string]string) books.Line {
	return books.Line{Account: account, Amount: m, Tags: withoutEmpty(tags)}
}

func credit(account string, m Money, tags map[string]string) books.Line {
	return debit(account, Money{Minor: -m.Minor, Currency: m.Currency}, tags)
}

// of is a line of an item.
func of(item string, l books.Line) books.Line {
	l.Item = item
	return l
}

func withoutEmpty(tags map[string]string) map[string]string {
	out := map[string]string{}
	for k, v := range tags {
		if v != "" {
			out[k] = v
		}
	}
	return out
}

// cashBox refuses money that comes from or goes to no account for it.
func cashBox(tx *store.Tx, path string, account *string) error {
	if *account == "" {
		*account = books.Cash
	}
	k, err := readSettings(tx)
	if err != nil {
		return err
	}
	if !slices.Contains(k.Value.Money.Boxes(), *account) {
		return wrong(path, "account-unknown", check.Args{"account": *account})
	}
	return nil
}
