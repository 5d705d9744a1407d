package books

import (
	"iter"
	"slices"

	"urdir/check"
	"urdir/price"
)

// Closing is the entry that closes the books up to the end of a period: dated on
// its last day, it moves all that is in income and expense accounts to an equity
// account. Time before the period that was never closed is closed with it. Entries
// are all of the books. It has no lines if nothing was earned. Problems: date-unread,
// field-empty, period-order, period-closed, account-equity; open-items, for each item
// of an account kept by items that was open at the end of the period, still is, and
// is not named in carried.
func Closing(p Period, entries iter.Seq[Entry], s State, to string, carried []string) (Entry, check.Problems) {
	chart := s.Chart
	ps := p.check(s.ClosedTo)
	if a, ok := chart.Find(to); !ok || a.Kind != Equity {
		ps.Wrong("account", "account-equity", check.Args{"account": to})
	}
	if ps.Failed() {
		return Entry{}, ps
	}
	still := map[Balance]bool{}
	for _, b := range OpenItems(entries, chart) {
		b.Debit, b.Credit = 0, 0
		still[b] = true
	}
	for _, b := range OpenItems(Until(entries, p.To), chart) {
		if place := (Balance{b.Account, b.Key, b.Currency, 0, 0}); still[place] && !slices.Contains(carried, b.Key) {
			ps.Wrong("items", "open-items", check.Args{"item": b.Key, "account": b.Account, "amount": b.Sum()})
		}
	}
	if ps.Failed() {
		return Entry{}, ps
	}
	e := Entry{Date: p.To, Closes: p.Key}
	results := Balances(Until(entries, p.To), func(_ Entry, l Line) (string, bool) {
		a, _ := chart.Find(l.Account)
		return "", a.result()
	})
	gains := map[string]int64{}
	var currencies []string
	for _, b := range results {
		if sum := b.Sum().Minor; sum != 0 {
			e.Lines = append(e.Lines, Line{Account: b.Account, Amount: price.Money{Minor: -sum, Currency: b.Currency}})
			gains[b.Currency] += sum
			currencies = append(currencies, b.Currency)
		}
	}
	slices.Sort(currencies)
	for _, code := range slices.Compact(currencies) {
		if gains[code] != 0 {
			e.Lines = append(e.Lines, Line{Account: to, Amount: price.Money{Minor: gains[code], Currency: code}})
		}
	}
	return e, ps
}
