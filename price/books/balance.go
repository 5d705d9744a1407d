package books

import (
	"cmp"
	"iter"
	"maps"
	"math"
	"slices"

	"urdir/check"
	"urdir/price"
)

// Balance is what was moved in an account in one currency.
type Balance struct {
	Account  string
	Key      string // item or value of a tag, where balances are told by one
	Currency string
	Debit    int64 // minor units, not below nothing
	Credit   int64
}

// Sum is debit less credit: what an asset account holds, and with the sign turned
// what a liability, equity or income account does.
func (b Balance) Sum() price.Money {
	return price.Money{Minor: b.Debit - b.Credit, Currency: b.Currency}
}

// Balances adds lines up by account, currency and a key, in that order; lines for
// which the key is not ok are left out. A nil key is the same for all. Amounts
// beyond what a whole number of 64 bits holds stay at its end.
func Balances(entries iter.Seq[Entry], key func(Entry, Line) (key string, ok bool)) []Balance {
	type place struct{ account, currency, key string }
	sums := map[place]*Balance{}
	for e := range entries {
		for _, l := range e.Lines {
			k, ok := "", true
			if key != nil {
				k, ok = key(e, l)
			}
			if !ok {
				continue
			}
			p := place{l.Account, l.Amount.Currency, k}
			b := sums[p]
			if b == nil {
				b = &Balance{Account: l.Account, Key: k, Currency: l.Amount.Currency}
				sums[p] = b
			}
			b.add(l.Amount.Minor)
		}
	}
	out := make([]Balance, 0, len(sums))
	for _, b := range sums {
		out = append(out, *b)
	}
	slices.SortFunc(out, func(a, b Balance) int {
		return cmp.Or(cmp.Compare(a.Account, b.Account), cmp.Compare(a.Currency, b.Currency), cmp.Compare(a.Key, b.Key))
	})
	return out
}

func (b *Balance) add(minor int64) {
	side := &b.Debit
	if minor < 0 {
		side, minor = &b.Credit, -minor
	}
	*side = min(*side, math.MaxInt64-minor) + minor
}

// Until takes the entries up to a date.
func Until(entries iter.Seq[Entry], date string) iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for e := range entries {
			if e.Date <= date && !yield(e) {
				return
			}
		}
	}
}

// Trial is the trial balance: every account, with the sums of each currency, debit
// and credit, which are equal if every entry balances.
func Trial(entries iter.Seq[Entry]) (accounts []Balance, totals []Balance) {
	accounts = Balances(entries, nil)
	all := map[string]*Balance{}
	for _, b := range accounts {
		t := all[b.Currency]
		if t == nil {
			t = &Balance{Currency: b.Currency}
			all[b.Currency] = t
		}
		t.add(b.Debit)
		t.add(-b.Credit)
	}
	for _, code := range slices.Sorted(maps.Keys(all)) {
		totals = append(totals, *all[code])
	}
	return accounts, totals
}

// Profit is income less expenses for one value of a tag.
type Profit struct {
	Value    string // empty: lines without the tag
	Currency string
	Income   int64 // minor units
	Expenses int64
}

// Gain is income less expenses.
func (p Profit) Gain() price.Money {
	return price.Money{Minor: p.Income - p.Expenses, Currency: p.Currency}
}

// ProfitBy is profit by a tag, such as season, product or channel, in a time; all of
// them together are the profit of the time. Closings are left out: they only move
// what was earned.
func ProfitBy(entries iter.Seq[Entry], chart Chart, tag string, in Period) []Profit {
	bs := Balances(entries, func(e Entry, l Line) (string, bool) {
		a, _ := chart.Find(l.Account)
		return l.Tags[tag], a.result() && e.Closes == "" && in.From <= e.Date && e.Date <= in.To
	})
	type place struct{ value, currency string }
	sums := map[place]*Profit{}
	for _, b := range bs {
		at := place{b.Key, b.Currency}
		p := sums[at]
		if p == nil {
			p = &Profit{Value: b.Key, Currency: b.Currency}
			sums[at] = p
		}
		if a, _ := chart.Find(b.Account); a.Kind == Income {
			p.Income -= b.Sum().Minor
		} else {
			p.Expenses += b.Sum().Minor
		}
	}
	out := make([]Profit, 0, len(sums))
	for _, p := range sums {
		out = append(out, *p)
	}
	slices.SortFunc(out, func(a, b Profit) int {
		return cmp.Or(cmp.Compare(a.Value, b.Value), cmp.Compare(a.Currency, b.Currency))
	})
	return out
}

// OpenItems is the items that are not settled, in the accounts kept by items.
func OpenItems(entries iter.Seq[Entry], chart Chart) []Balance {
	bs := Balances(entries, func(_ Entry, l Line) (string, bool) {
		a, _ := chart.Find(l.Account)
		return l.Item, a.Items
	})
	return slices.DeleteFunc(bs, func(b Balance) bool { return b.Debit == b.Credit })
}

// Agree holds what an account says of materials against what the lots on the
// shelves are worth. Problem: stock-differs, a caution.
func Agree(booked Balance, counted price.Money) (ps check.Problems) {
	if booked.Sum() != counted {
		off := booked.Sum().Minor - counted.Minor
		ps.Look(booked.Account, "stock-differs", check.Args{"booked": booked.Sum(), "counted": counted, "off": price.Money{Minor: max(off, -off), Currency: counted.Currency}})
	}
	return ps
}
