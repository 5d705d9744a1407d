package workshop

import (
	"context"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price/books"
)

// Entry is an entry of the books, with what it was written for and the entry that
// undoes it.
type Entry struct {
	books.Entry
	Who, Act string
	Source   string // kind:ID:n of the fact; empty: written by hand
	Undone   int64
}

// JournalPage says which part of the journal is wanted.
type JournalPage struct {
	Account, Document string
	From, To          string
	Find              string // words of the text or the document, in the next Looked entries
	After             string
	Limit             int
}

// Looked is how many entries words are looked for in at once.
const Looked = store.Looked

// wanted is whether an entry says all words; nil for no words.
func (p JournalPage) wanted() func(store.Posting) bool {
	words := strings.Fields(Fold(p.Find))
	if len(words) == 0 {
		return nil
	}
	return func(e store.Posting) bool {
		text := Fold(e.Text + " " + e.Document)
		return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(text, w) })
	}
}

// Journal lists entries, the last first, and where to go on.
func (h *House) Journal(ctx context.Context, p Person, page JournalPage) (out []Entry, next string, _ error) {
	err := h.view(ctx, p, "Journal", func(tx *store.Tx) error {
		if !plain(page.Account, page.Document, page.From, page.To, page.After) {
			return nil
		}
		found, more, err := tx.Postings(store.PostingQuery{Account: page.Account, Document: page.Document, From: page.From, To: page.To,
			After: page.After, Limit: page.Limit, Down: true, Wanted: page.wanted()})
		next = more
		for _, e := range found {
			undone, broken := tx.Undone(e.Seq)
			if broken != nil {
				return broken
			}
			out = append(out, Entry{entry(e), e.Who, e.Act, e.Source, undone})
		}
		return err
	})
	return out, next, err
}

// EntryView is an entry, with what its lines are about by name.
type EntryView struct {
	Entry
	About []About
}

// Entry gives an entry of the journal by its number.
func (h *House) Entry(ctx context.Context, p Person, n int64) (out EntryView, _ error) {
	err := h.view(ctx, p, "Entry", func(tx *store.Tx) error {
		e, err := tx.Posting(n)
		if err != nil {
			return err
		}
		undone, err := tx.Undone(n)
		if err != nil {
			return err
		}
		out.Entry = Entry{entry(e), e.Who, e.Act, e.Source, undone}
		out.About, err = about(tx, e.Lines)
		return err
	})
	return out, err
}

// PostEntry writes an entry by hand, with a date that may be before today. It must
// balance, in an open period.
func (h *House) PostEntry(ctx context.Context, p Person, e books.Entry) (n int64, _ error) {
	if err := allowed(p, "PostEntry"); err != nil {
		return 0, err
	}
	trim(&e.Date, &e.Text, &e.Document)
	e.Settles, e.Reverses, e.Closes = "", 0, ""
	var ps check.Problems
	named(&ps, "text", e.Text)
	short(&ps, "document", e.Document, maxName)
	if e.Date > h.today() {
		ps.Wrong("date", "date-ahead", check.Args{"date": e.Date})
	}
	for _, l := range e.Lines {
		short(&ps, "lines", l.Item, maxName)
		for _, v := range l.Tags {
			short(&ps, "lines", v, maxName)
		}
	}
	if err := invalid(ps); err != nil {
		return 0, err
	}
	err := h.update(ctx, p, "PostEntry", func(tx *store.Tx) (err error) {
		n, err = h.keepEntry(tx, "", e)
		return err
	})
	return n, err
}

// ReverseEntry undoes an entry, today; of a closing, it opens the books again. What
// the entry was written for stays told: who undoes that undoes its entry with it.
func (h *House) ReverseEntry(ctx context.Context, p Person, n int64, why string) (by int64, _ error) {
	if err := allowed(p, "ReverseEntry"); err != nil {
		return 0, err
	}
	trim(&why)
	var ps check.Problems
	if named(&ps, "why", why); ps.Failed() {
		return 0, invalid(ps)
	}
	err := h.update(ctx, p, "ReverseEntry", func(tx *store.Tx) error {
		e, err := tx.Posting(n)
		if err != nil {
			return err
		}
		by, err = h.reverse(tx, e, h.today(), why)
		return err
	})
	return by, err
}

// BooksView is what every account holds on a day.
type BooksView struct {
	To       string
	Chart    books.Chart
	Accounts []books.Balance
	Totals   []books.Balance
	Standing []books.Standing // a currency each
	Open     []OpenItem       // now
	Closed   []Entry          // periods, the last first
	Agree    check.Problems
}

// Books gives what every account held at the end of a day, and today's open items.
func (h *House) Books(ctx context.Context, p Person, to string) (out BooksView, _ error) {
	err := h.view(ctx, p, "Books", func(tx *store.Tx) error {
		if out.To = to; to == "" {
			out.To = h.today()
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		out.Chart = k.Value.Money.Chart()
		sums, err := tx.Sums("", "", "", "", out.To)
		if err != nil {
			return err
		}
		var e books.Entry
		for _, s := range sums {
			e.Lines = append(e.Lines, moved(s, nil)...)
		}
		out.Accounts, out.Totals = books.Trial(slices.Values([]books.Entry{e}))
		out.Standing = books.Standings(out.Accounts, out.Chart)
		if out.Open, err = openItems(tx); err != nil {
			return err
		}
		closed, err := tx.Closings()
		for _, c := range slices.Backward(closed) {
			out.Closed = append(out.Closed, Entry{entry(c), c.Who, c.Act, c.Source, 0})
		}
		if err != nil {
			return err
		}
		out.Agree, err = agree(tx, k.Value.Currency)
		return err
	})
	return out, err
}

// ProfitTags is what profit can be told by.
var ProfitTags = []string{"season", "product", "channel"}

// Profit gives income less expenses in a time, by a tag.
func (h *House) Profit(ctx context.Context, p Person, tag, from, to string) (out []books.Profit, _ error) {
	err := h.view(ctx, p, "Profit", func(tx *store.Tx) error {
		var ps check.Problems
		choice(&ps, "tag", tag, ProfitTags...)
		day(&ps, "from", from)
		day(&ps, "to", to)
		if err := invalid(ps); err != nil {
			return err
		}
		if from == "" {
			from = "0000-00-00"
		}
		if to == "" {
			to = later
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		e, err := tagged(tx, tag, from, to)
		out = books.ProfitBy(slices.Values([]books.Entry{e}), k.Value.Money.Chart(), tag, books.Period{From: from, To: to})
		return err
	})
	return out, err
}

// tagged is what was moved in a time as one entry, by the values of a tag. What has
// none is what the sums of accounts have more than those of the tag and of closings.
func tagged(tx *store.Tx, tag, from, to string) (books.Entry, error) {
	e := books.Entry{Date: from}
	rest := map[store.Sum]store.Sum{}
	for _, by := range []string{"", store.ClosingTag, tag} {
		sums, err := tx.Sums(by, "", "", from, to)
		if err != nil {
			return e, err
		}
		for _, s := range sums {
			key := store.Sum{Account: s.Account, Currency: s.Currency}
			r := rest[key]
			r.Account, r.Currency = s.Account, s.Currency
			switch by {
			case "":
				r.Debit, r.Credit = r.Debit+s.Debit, r.Credit+s.Credit
			default:
				r.Debit, r.Credit = r.Debit-s.Debit, r.Credit-s.Credit
			}
			rest[key] = r
			if by == tag {
				e.Lines = append(e.Lines, moved(s, map[string]string{tag: s.Value})...)
			}
		}
	}
	for _, r := range rest {
		e.Lines = append(e.Lines, moved(r, nil)...)
	}
	return e, nil
}
