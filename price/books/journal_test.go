package books_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/check"
	"urdir/price"
	"urdir/price/books"
)

func usd(minor int64) price.Money { return price.Money{Minor: minor, Currency: "USD"} }

// entry reads "date; text; account amount [item], account amount ...": a notation for
// tests. Amounts are minor units of USD, debits above nothing.
func entry(text string) books.Entry {
	parts := strings.Split(text, "; ")
	e := books.Entry{Date: parts[0], Text: parts[1]}
	for part := range strings.SplitSeq(parts[2], ", ") {
		f := append(strings.Fields(part), "")
		var minor int64
		if _, err := fmt.Sscan(f[1], &minor); err != nil {
			panic(err)
		}
		e.Lines = append(e.Lines, books.Line{Account: f[0], Amount: usd(minor), Item: f[2]})
	}
	return e
}

func journal(t testing.TB) *books.Journal {
	t.Helper()
	j, ps := books.New(books.NewChart())
	if ps.Failed() {
		t.Fatal(ps)
	}
	return j
}

func post(t testing.TB, j *books.Journal, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if _, ps := j.Post(entry(text)); ps != nil {
			t.Fatal(text, ps)
		}
	}
}

func has(ps check.Problems, code string) bool {
	return slices.ContainsFunc(ps, func(p check.Problem) bool { return p.Code == code })
}

// shop is an autumn reckoned by hand: yarn for 90.00, a deposit of 50.00 for order
// 7; yarn used for 21.60; weaving due, 102.00, paid with 20.00 kept for an advance
// of 40.00; the shawls delivered for 180.00.
var shop = []string{
	"2026-10-01; savings brought in; assets:bank 50000, equity:savings -50000",
	"2026-10-02; yarn; assets:materials 9000, assets:bank -9000",
	"2026-10-03; advance to Ana; assets:advances 4000, assets:bank -4000",
	"2026-10-05; deposit; assets:cash 5000, liabilities:deposits -5000 order-7",
	"2026-10-09; yarn used; expenses:materials 2160, assets:materials -2160",
	"2026-11-02; woven; expenses:pay 10200, liabilities:members -10200 pieces-12-13",
	"2026-11-03; paid to Ana; liabilities:members 10200 pieces-12-13, assets:advances -2000, assets:cash -8200",
	"2026-11-10; delivered; assets:customers 13000 order-7, liabilities:deposits 5000 order-7, income:sales -18000",
	"2026-11-12; the rest; assets:cash 13000, assets:customers -13000 order-7",
}

func TestTrial_byHand(t *testing.T) {
	j := journal(t)
	post(t, j, shop...)
	accounts, totals := books.Trial(j.Entries())
	got := map[string]int64{}
	for _, b := range accounts {
		got[b.Account] = b.Sum().Minor
	}
	want := map[string]int64{"assets:bank": 37000, "assets:cash": 9800, "assets:materials": 6840, "assets:advances": 2000, "assets:customers": 0,
		"liabilities:deposits": 0, "liabilities:members": 0, "equity:savings": -50000, "income:sales": -18000, "expenses:materials": 2160, "expenses:pay": 10200}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	// Debits: 500, 90, 40, 50, 21.60, 102, 102, 130 and 50, 130.
	if len(totals) != 1 || totals[0].Debit != totals[0].Credit || totals[0].Debit != 121560 {
		t.Errorf("totals %+v", totals)
	}
}

func TestCheck_problems(t *testing.T) {
	j := journal(t)
	post(t, j, shop...)
	long := strings.Repeat("a", 1001)
	for _, test := range []struct{ path, code, text string }{
		{"lines", "entry-unbalanced", "2026-11-13; x; assets:cash 100, assets:bank -101"},
		{"lines", "entry-lines", "2026-11-13; x; assets:cash 0"},
		{"lines[0].amount", "amount-out-of-range", "2026-11-13; x; assets:cash 0, assets:bank 0"},
		{"lines[0].amount", "amount-out-of-range", "2026-11-13; x; assets:cash 1000000000001, assets:bank -1000000000001"},
		{"lines[1].account", "account-unknown", "2026-11-13; x; assets:cash 100, assets:jar -100"},
		{"lines[1].item", "entry-item", "2026-11-13; x; assets:cash 100, assets:customers -100"},
		{"date", "date-unread", "yesterday; x; assets:cash 100, assets:bank -100"},
		{"text", "entry-text", "2026-11-13; " + long + "; assets:cash 100, assets:bank -100"},
	} {
		_, ps := j.Post(entry(test.text))
		if !slices.ContainsFunc(ps, func(p check.Problem) bool { return p.Path == test.path && p.Code == test.code }) {
			t.Errorf("want %s at %s: %v", test.code, test.path, ps)
		}
	}
	two := entry("2026-11-13; x; assets:cash 100, assets:bank -100")
	two.Lines[1].Amount.Currency = "EUR"
	if _, ps := j.Post(two); len(ps) != 2 || !has(ps, "entry-unbalanced") {
		t.Errorf("a dollar in, a euro out: %v", ps)
	}
	two.Lines[1].Amount.Currency = "shells"
	if _, ps := j.Post(two); !has(ps, "currency-unknown") {
		t.Errorf("shells: %v", ps)
	}
	two = entry("2026-11-13; x; assets:cash 100, assets:bank -100")
	two.Lines[0].Tags = map[string]string{"the season": "2026"}
	if _, ps := j.Post(two); !has(ps, "tag-key") {
		t.Errorf("a tag of two words: %v", ps)
	}
	if n := len(slices.Collect(j.Entries())); n != len(shop) {
		t.Errorf("%d entries; what is wrong was kept", n)
	}
}

func TestReverse(t *testing.T) {
	j := journal(t)
	post(t, j, shop...)
	n, ps := j.Reverse(2, "2026-11-14", "yarn went back")
	if ps != nil || n != 10 {
		t.Fatal(n, ps)
	}
	if got := slices.Collect(j.Entries())[n-1]; got.Reverses != 2 || got.Lines[0].Account != "assets:materials" || got.Lines[0].Amount != usd(-9000) {
		t.Errorf("%+v", got)
	}
	for _, test := range []struct {
		n    int64
		code string
	}{{2, "reversed-already"}, {10, "reversal-of-reversal"}, {11, "entry-unknown"}, {0, "entry-unknown"}} {
		if _, ps := j.Reverse(test.n, "2026-11-14", "x"); !has(ps, test.code) {
			t.Errorf("entry %d: %v, want %s", test.n, ps, test.code)
		}
	}
}

func TestPost_paidTwice(t *testing.T) {
	j := journal(t)
	pay := entry("2026-11-03; Ana; expenses:pay 100, assets:cash -100")
	pay.Settles = "piece-12"
	if _, ps := j.Post(pay); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Post(pay); !has(ps, "paid-twice") {
		t.Errorf("twice: %v", ps)
	}
	if _, ps := j.Reverse(1, "2026-11-04", "not hers"); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Post(pay); ps != nil {
		t.Errorf("after the reversal: %v", ps)
	}
	if ps := books.Audit(j.Entries(), books.NewChart()); ps != nil {
		t.Error(ps)
	}
}

// What comes out of a journal, and what went in, can be changed without changing it.
func TestJournal_keepsItsOwn(t *testing.T) {
	j := journal(t)
	e := entry("2026-11-03; x; assets:cash 100, assets:bank -100")
	e.Lines[0].Tags = map[string]string{"season": "2026"}
	if _, ps := j.Post(e); ps != nil {
		t.Fatal(ps)
	}
	e.Lines[0].Tags["season"], e.Lines[0].Amount.Minor = "changed", 1
	for out := range j.Entries() {
		out.Lines[0].Tags["season"], out.Lines[0].Amount.Minor = "changed", 1
	}
	for out := range j.Entries() {
		if out.Lines[0].Tags["season"] != "2026" || out.Lines[0].Amount != usd(100) {
			t.Errorf("%+v", out)
		}
	}
}

func TestClose(t *testing.T) {
	j := journal(t)
	post(t, j, shop[:6]...)
	if _, ps := j.Close(october, books.Savings, nil); len(ps) != 1 || ps[0].Code != "open-items" || ps[0].Args["item"] != "order-7" || ps[0].Args["amount"] != usd(-5000) {
		t.Fatalf("with an open deposit: %v", ps)
	}
	n, ps := j.Close(october, books.Savings, []string{"order-7"})
	if ps != nil {
		t.Fatal(ps)
	}
	closing := slices.Collect(j.Entries())[n-1]
	if len(closing.Lines) != 2 || closing.Lines[0].Amount != usd(-2160) || closing.Lines[1].Account != books.Savings || closing.Lines[1].Amount != usd(2160) {
		t.Errorf("%+v", closing)
	}
	for _, date := range []string{"2026-10-31", "2026-10-15", "2026-09-01"} {
		if _, ps := j.Post(entry(date + "; late; assets:cash 100, assets:bank -100")); !has(ps, "period-closed") {
			t.Errorf("on %s: %v", date, ps)
		}
	}
	if _, ps := j.Reverse(5, "2026-10-31", "x"); !has(ps, "period-closed") {
		t.Errorf("a reversal in the closed period: %v", ps)
	}
	if _, ps := j.Reverse(5, "2026-11-01", "less yarn"); ps != nil {
		t.Errorf("a reversal after it: %v", ps)
	}
	for _, test := range []struct {
		p    books.Period
		to   string
		code string
	}{
		{october, books.Savings, "period-closed"},
		{books.Period{Key: "x", From: "2026-11-02", To: "2026-11-01"}, books.Savings, "period-order"},
		{books.Period{From: "2026-11-01", To: "2026-11-30"}, books.Savings, "field-empty"},
		{books.Period{Key: "x", From: "november", To: "2026-11-30"}, books.Savings, "date-unread"},
		{books.Period{Key: "x", From: "2026-11-01", To: "2026-11-30"}, books.Cash, "account-equity"},
		{books.Period{Key: "x", From: "2026-11-01", To: "2026-11-30"}, "equity:no", "account-equity"},
	} {
		if _, ps := j.Close(test.p, test.to, []string{"order-7", "pieces-12-13"}); !has(ps, test.code) {
			t.Errorf("%+v to %s: %v, want %s", test.p, test.to, ps, test.code)
		}
	}
	post(t, j, shop[6:]...)
	if _, ps := j.Close(books.Period{Key: "2026-11", From: "2026-11-01", To: "2026-11-30"}, books.Savings, nil); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Reverse(n, "", "open October"); !has(ps, "period-later") {
		t.Errorf("October before November: %v", ps)
	}
	if ps := books.Audit(j.Entries(), books.NewChart()); ps != nil {
		t.Error(ps)
	}
}
