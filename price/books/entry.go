package books

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"urdir/check"
	"urdir/price"
)

// Entry is one event in the books.
type Entry struct {
	N        int64  // from 1, without gaps
	Date     string // of the event
	Text     string
	Document string // its paper: an invoice's or receipt's number
	// Settles names what is paid once and not twice, such as a piece's pay.
	Settles  string
	Reverses int64  // the entry it undoes, or 0
	Closes   string // the period it closes
	Lines    []Line
}

// Line moves an amount of an account: a debit is above nothing, a credit below.
type Line struct {
	Account string
	Amount  price.Money
	Item    string            // what it belongs to, in an account kept by items
	Tags    map[string]string // as season, product, channel, member
}

// Period is a time that is closed at once. Dates belong to it, both ends too.
type Period struct {
	Key      string
	From, To string
}

const (
	maxLines = 1000
	maxText  = 1000
)

func at(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// State is what a new entry is checked against.
type State struct {
	Chart    Chart
	ClosedTo string                 // the last day of the last closed period; empty: none
	Settled  func(name string) bool // whether an entry settles it that was not reversed; nil: none does
}

// Check is everything that is wrong with a new entry. Problems: date-unread;
// period-closed, for a date up to the last closed day, but that the reversal of a
// closing belongs there; entry-unbalanced, for each currency; entry-lines,
// entry-text, entry-item, paid-twice, account-unknown, currency-unknown,
// amount-out-of-range and tag-key.
func Check(e Entry, s State) (ps check.Problems) {
	date(&ps, "date", e.Date)
	if len(e.Text) > maxText {
		ps.Wrong("text", "entry-text", check.Args{"most": maxText})
	}
	if reopens := e.Closes != "" && e.Reverses != 0; e.Date <= s.ClosedTo && !reopens {
		ps.Wrong("date", "period-closed", check.Args{"date": e.Date, "to": s.ClosedTo})
	}
	if e.Settles != "" && e.Reverses == 0 && s.Settled != nil && s.Settled(e.Settles) {
		ps.Wrong("settles", "paid-twice", check.Args{"what": e.Settles})
	}
	least := 2
	if e.Closes != "" {
		least = 0 // nothing was earned
	}
	if len(e.Lines) < least || len(e.Lines) > maxLines {
		ps.Wrong("lines", "entry-lines", check.Args{"n": len(e.Lines), "most": maxLines})
	}
	sums := map[string]int64{}
	for i, l := range e.Lines {
		ps.Under(at("lines", i), l.check(s.Chart, e.Closes != ""))
		sums[l.Amount.Currency] += l.Amount.Minor
	}
	for _, code := range slices.Sorted(maps.Keys(sums)) {
		if off := sums[code]; off != 0 && price.Known(code) {
			ps.Wrong("lines", "entry-unbalanced", check.Args{"off": price.Money{Minor: max(off, -off), Currency: code}, "debit": side(off > 0), "credit": side(off < 0)})
		}
	}
	return ps
}

// side is something or nothing, for words that are said or not.
func side(heavier bool) string {
	if heavier {
		return "yes"
	}
	return ""
}

func (l Line) check(chart Chart, closing bool) (ps check.Problems) {
	a, ok := chart.Find(l.Account)
	if !ok {
		ps.Wrong("account", "account-unknown", check.Args{"account": l.Account})
	}
	if !price.Known(l.Amount.Currency) {
		ps.Wrong("amount", "currency-unknown", check.Args{"text": l.Amount.Currency})
	}
	if m := l.Amount.Minor; m == 0 || !closing && (m > price.MaxMinor || m < -price.MaxMinor) {
		ps.Wrong("amount", "amount-out-of-range", nil)
	}
	if ok && a.Items && l.Item == "" {
		ps.Wrong("item", "entry-item", check.Args{"account": l.Account})
	}
	for key := range l.Tags {
		if !plainKey(key) {
			ps.Wrong("tags", "tag-key", check.Args{"text": key})
		}
	}
	return ps
}

func date(ps *check.Problems, path, text string) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		ps.Wrong(path, "date-unread", check.Args{"text": text})
	}
}

// check is everything that is wrong with a period that follows the closed ones.
func (p Period) check(closedTo string) (ps check.Problems) {
	date(&ps, "from", p.From)
	date(&ps, "to", p.To)
	if p.Key == "" {
		ps.Wrong("key", "field-empty", nil)
	}
	switch {
	case ps.Failed():
	case p.To < p.From:
		ps.Wrong("to", "period-order", check.Args{"from": p.From, "to": p.To})
	case p.From <= closedTo:
		ps.Wrong("from", "period-closed", check.Args{"date": p.From, "to": closedTo})
	}
	return ps
}
