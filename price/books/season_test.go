package books_test

import (
	"cmp"
	"fmt"
	"slices"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/price"
	"urdir/price/books"
)

var (
	currencies = []string{"USD", "USD", "EUR", "JPY"}
	seasons    = []string{"", "spring", "autumn"}
	october    = books.Period{Key: "2026-10", From: "2026-10-01", To: "2026-10-31"}
	november   = books.Period{Key: "2026-11", From: "2026-11-01", To: "2026-11-30"}
)

// draw is any entry of a season that balances: a few accounts, a few currencies.
func draw(t *rapid.T) books.Entry {
	e := books.Entry{Date: fmt.Sprintf("2026-%02d-%02d", rapid.IntRange(10, 12).Draw(t, "month"), rapid.IntRange(1, 30).Draw(t, "day")), Text: "any"}
	tags := map[string]string{}
	if s := rapid.SampledFrom(seasons).Draw(t, "season"); s != "" {
		tags["season"] = s
	}
	for range rapid.IntRange(1, 3).Draw(t, "currencies") {
		code := rapid.SampledFrom(currencies).Draw(t, "currency")
		sum := int64(0)
		line := func(minor int64) {
			a := rapid.SampledFrom(books.NewChart()).Draw(t, "account")
			l := books.Line{Account: a.Key, Amount: price.Money{Minor: minor, Currency: code}, Tags: tags}
			if a.Items {
				l.Item = rapid.SampledFrom([]string{"order 1", "order 2"}).Draw(t, "item")
			}
			e.Lines = append(e.Lines, l)
		}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			minor := rapid.Int64Range(1, 1_000_000).Draw(t, "minor")
			if rapid.Bool().Draw(t, "credit") {
				minor = -minor
			}
			sum += minor
			line(minor)
		}
		if sum == 0 {
			line(1)
			sum = 1
		}
		line(-sum)
	}
	return e
}

// season is a journal with any entries, some of them reversed.
func season(t *rapid.T) *books.Journal {
	j, _ := books.New(books.NewChart())
	for range rapid.IntRange(0, 25).Draw(t, "entries") {
		if _, ps := j.Post(draw(t)); ps != nil {
			t.Fatal(ps)
		}
	}
	n := int64(len(slices.Collect(j.Entries())))
	for i := int64(1); i <= n; i++ {
		if rapid.IntRange(0, 5).Draw(t, "reversed") == 0 {
			if _, ps := j.Reverse(i, "2026-12-30", "a mistake"); ps != nil {
				t.Fatal(ps)
			}
		}
	}
	return j
}

// sums is what every account holds on a date, by account and currency.
func sums(j *books.Journal, date string) map[string]int64 {
	out := map[string]int64{}
	for _, b := range books.Balances(books.Until(j.Entries(), date), nil) {
		if s := b.Sum(); s.Minor != 0 {
			out[b.Account+" "+s.Currency] = s.Minor
		}
	}
	return out
}

func balanced(t *rapid.T, j *books.Journal) {
	_, totals := books.Trial(j.Entries())
	for _, b := range totals {
		if b.Debit != b.Credit {
			t.Fatalf("%s: debits %d, credits %d", b.Currency, b.Debit, b.Credit)
		}
	}
	if ps := books.Audit(j.Entries(), books.NewChart()); ps != nil {
		t.Fatal(ps)
	}
}

var allItems = []string{"order 1", "order 2"}

// Any season's journal balances, closes, opens again with the same sums, and closes
// again with the same closing.
func TestSeason_closesAndOpensAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := season(t)
		balanced(t, j)
		dates := []string{october.To, november.To, "2026-12-31"}
		var before []map[string]int64
		for _, d := range dates {
			before = append(before, sums(j, d))
		}
		var closings []int64
		for _, p := range []books.Period{october, november} {
			n, ps := j.Close(p, books.Savings, allItems)
			if ps != nil {
				t.Fatal(ps)
			}
			closings = append(closings, n)
			balanced(t, j)
			for place, minor := range sums(j, p.To) {
				if a, _ := books.NewChart().Find(place[:len(place)-4]); a.Kind == books.Income || a.Kind == books.Expense {
					t.Fatalf("closed %s, and %s holds %d", p.Key, place, minor)
				}
			}
		}
		first := linesOf(j, closings[1])
		for _, n := range slices.Backward(closings) {
			if _, ps := j.Reverse(n, "", "opened"); ps != nil {
				t.Fatal(ps)
			}
		}
		for i, d := range dates {
			if diff := gocmp.Diff(before[i], sums(j, d)); diff != "" {
				t.Fatalf("%s, before and after:\n%s", d, diff)
			}
		}
		for _, p := range []books.Period{october, november} {
			n, ps := j.Close(p, books.Savings, allItems)
			if ps != nil {
				t.Fatal(ps)
			}
			closings = append(closings, n)
		}
		if diff := gocmp.Diff(first, linesOf(j, closings[3])); diff != "" {
			t.Fatalf("closed again:\n%s", diff)
		}
		undone := map[int64]bool{}
		for e := range j.Entries() {
			undone[e.Reverses] = true
		}
		for e := range j.Entries() { // a mistake in a closed period can be undone too
			if e.Reverses == 0 && !undone[e.N] && e.Closes == "" {
				if _, ps := j.Reverse(e.N, "2026-12-31", "a mistake"); ps != nil {
					t.Fatal(ps)
				}
			}
		}
		balanced(t, j)
	})
}

func linesOf(j *books.Journal, n int64) []books.Line { return slices.Collect(j.Entries())[n-1].Lines }

// Profit by season adds up to the profit, which is what closing moves to the savings.
func TestProfitBy_isWhatClosingMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := season(t)
		year := books.Period{Key: "2026", From: "2026-01-01", To: "2026-12-31"}
		gains := map[string]int64{}
		for _, p := range books.ProfitBy(j.Entries(), books.NewChart(), "season", year) {
			gains[p.Currency] += p.Gain().Minor
		}
		n, ps := j.Close(year, books.Savings, allItems)
		if ps != nil {
			t.Fatal(ps)
		}
		moved := map[string]int64{}
		for _, l := range linesOf(j, n) {
			if l.Account == books.Savings {
				moved[l.Amount.Currency] = -l.Amount.Minor
			}
		}
		for code, g := range gains {
			if g != moved[code] {
				t.Fatalf("%s: gained %d, closed %d", code, g, moved[code])
			}
		}
		after := books.ProfitBy(j.Entries(), books.NewChart(), "season", year)
		if !slices.IsSortedFunc(after, func(a, b books.Profit) int {
			return cmp.Or(cmp.Compare(a.Value, b.Value), cmp.Compare(a.Currency, b.Currency))
		}) {
			t.Fatalf("out of order: %+v", after)
		}
		total := map[string]int64{}
		for _, p := range after {
			total[p.Currency] += p.Gain().Minor
		}
		if diff := gocmp.Diff(gains, total); diff != "" {
			t.Fatalf("closing changed what was earned:\n%s", diff)
		}
	})
}

// By hand: autumn sold 180.00 and paid 102.00; what has no season used yarn of 21.60.
func TestProfitBy_byHand(t *testing.T) {
	j := journal(t)
	for i, text := range shop {
		e := entry(text)
		if i > 4 {
			for k := range e.Lines {
				e.Lines[k].Tags = map[string]string{"season": "autumn"}
			}
		}
		if _, ps := j.Post(e); ps != nil {
			t.Fatal(ps)
		}
	}
	got := books.ProfitBy(j.Entries(), books.NewChart(), "season", books.Period{From: "2026-10-01", To: "2026-11-30"})
	want := []books.Profit{{"", "USD", 0, 2160}, {"autumn", "USD", 18000, 10200}}
	if diff := gocmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if october := books.ProfitBy(j.Entries(), books.NewChart(), "season", october); len(october) != 1 || october[0].Gain() != usd(-2160) {
		t.Errorf("in October: %+v", october)
	}
}
