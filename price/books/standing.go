package books

import (
	"slices"

	"urdir/price"
)

// Standing is what a workshop has, owes and owns in one currency on a day: a balance
// sheet. Balances of nothing are left out.
type Standing struct {
	Currency string
	Has      []Balance // assets
	Owes     []Balance // liabilities, above nothing if they are owed
	Own      []Balance // savings and funds, above nothing
	Earned   []Balance // income that no closing has moved yet, above nothing
	Spent    []Balance // expenses that none has
	// In minor units. Assets is Liabilities + Equity + Result if every entry balances.
	Assets, Liabilities, Equity int64
	Result                      int64 // income less expenses that no closing has moved yet
}

// Standings is the balance sheet of each currency:
//
//	assets = liabilities + equity + result
//
// as any text of double-entry bookkeeping has it. An account the chart does not have
// is left out, and the two sides then differ by it.
func Standings(accounts []Balance, chart Chart) (out []Standing) {
	for _, b := range accounts {
		i := slices.IndexFunc(out, func(s Standing) bool { return s.Currency == b.Currency })
		if i < 0 {
			i, out = len(out), append(out, Standing{Currency: b.Currency})
		}
		out[i].add(b, chart)
	}
	return out
}

// Sources is where what there is has come from: liabilities, equity and result.
func (s Standing) Sources() int64 { return s.Liabilities + s.Equity + s.Result }

func (s *Standing) add(b Balance, chart Chart) {
	a, _ := chart.Find(b.Account)
	sum := b.Sum().Minor
	put := func(to *[]Balance, b Balance) {
		if sum != 0 {
			*to = append(*to, b)
		}
	}
	switch a.Kind {
	case Asset:
		s.Assets += sum
		put(&s.Has, b)
	case Liability:
		s.Liabilities -= sum
		put(&s.Owes, turned(b))
	case Equity:
		s.Equity -= sum
		put(&s.Own, turned(b))
	case Income:
		s.Result -= sum
		put(&s.Earned, turned(b))
	case Expense:
		s.Result -= sum
		put(&s.Spent, b)
	}
}

// turned is a balance seen from its credit side.
func turned(b Balance) Balance {
	b.Debit, b.Credit = b.Credit, b.Debit
	return b
}

// Moved is what an entry moves, in each currency: its debits added up.
func (e Entry) Moved() (out []price.Money) {
	for _, l := range e.Lines {
		if l.Amount.Minor <= 0 {
			continue
		}
		i := slices.IndexFunc(out, func(m price.Money) bool { return m.Currency == l.Amount.Currency })
		if i < 0 {
			i, out = len(out), append(out, price.Money{Currency: l.Amount.Currency})
		}
		out[i].Minor += l.Amount.Minor
	}
	return out
}

// TotalProfit adds profits up, a currency each.
func TotalProfit(of []Profit) (out []Profit) {
	for _, p := range of {
		i := slices.IndexFunc(out, func(t Profit) bool { return t.Currency == p.Currency })
		if i < 0 {
			i, out = len(out), append(out, Profit{Currency: p.Currency})
		}
		out[i].Income, out[i].Expenses = out[i].Income+p.Income, out[i].Expenses+p.Expenses
	}
	return out
}
