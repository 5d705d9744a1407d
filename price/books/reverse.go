package books

import (
	"maps"

	"urdir/check"
	"urdir/price"
)

// Reversal is the entry that undoes another: its lines with the signs turned, on a
// day. Every entry can be reversed once, whatever became of its period since: the
// reversal is dated in one that is open. The reversal of the last closing, which
// opens the books again, has the date of the closing. Problems:
// reversal-of-reversal, since what was undone by mistake is simply entered again;
// reversed-already; period-later, for a closing that is not the last.
func Reversal(of Entry, reversed bool, s State, on, text string) (Entry, check.Problems) {
	var ps check.Problems
	switch {
	case of.Reverses != 0:
		ps.Wrong("reverses", "reversal-of-reversal", check.Args{"n": int(of.N), "of": int(of.Reverses)})
	case reversed:
		ps.Wrong("reverses", "reversed-already", check.Args{"n": int(of.N)})
	case of.Closes != "" && of.Date != s.ClosedTo:
		ps.Wrong("reverses", "period-later", check.Args{"period": of.Closes, "to": s.ClosedTo})
	}
	if ps.Failed() {
		return Entry{}, ps
	}
	if of.Closes != "" {
		on = of.Date
	}
	e := Entry{Date: on, Text: text, Document: of.Document, Settles: of.Settles, Reverses: of.N, Closes: of.Closes, Lines: make([]Line, len(of.Lines))}
	for i, l := range of.Lines {
		e.Lines[i] = Line{l.Account, price.Money{Minor: -l.Amount.Minor, Currency: l.Amount.Currency}, l.Item, maps.Clone(l.Tags)}
	}
	return e, nil
}
