package books_test

import (
	"bytes"
	"encoding/csv"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/price"
	"urdir/price/books"
)

// hledger asks an independent accounting program what accounts hold in a text.
func hledger(t testing.TB, text string, query ...string) map[string]string {
	t.Helper()
	program, err := exec.LookPath("hledger")
	if err != nil {
		t.Fatal("no hledger to read the export; install it, on Debian with: apt-get install --no-install-recommends hledger")
	}
	c := exec.Command(program, append([]string{"-f", "-", "balance", "--flat", "--no-total", "--output-format", "csv"}, query...)...)
	c.Env = append(c.Environ(), "LC_ALL=C.UTF-8")
	c.Stdin = strings.NewReader(text)
	var complaint bytes.Buffer
	c.Stderr = &complaint
	out, err := c.Output()
	if err != nil {
		t.Fatalf("hledger: %v\n%s\n%s", err, &complaint, text)
	}
	rows, err := csv.NewReader(bytes.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, r := range rows[1:] {
		got[r[0]] = r[1]
	}
	return got
}

// ours is the same of the journal's own balances.
func ours(j *books.Journal) map[string]string {
	all := map[string][]string{}
	for _, b := range books.Balances(j.Entries(), nil) {
		if b.Sum().Minor != 0 {
			all[b.Account] = append(all[b.Account], b.Sum().String())
		}
	}
	out := map[string]string{}
	for account, amounts := range all {
		out[account] = strings.Join(amounts, ", ")
	}
	return out
}

func text(t testing.TB, j *books.Journal) string {
	t.Helper()
	var b strings.Builder
	if err := books.WriteText(&b, j.Entries(), books.NewChart()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteText_readByHledger(t *testing.T) {
	j := journal(t)
	for i, line := range shop {
		e := entry(line)
		for k := range e.Lines {
			e.Lines[k].Tags = map[string]string{"season": []string{"spring", "autumn: 2, or so"}[i/5]}
		}
		e.Document = "F-2026-0001"
		e.Text = "! Sold (to = \"her\"); |*n\ttags: yes\n    assets:cash  USD 99\nñandú €"
		if _, ps := j.Post(e); ps != nil {
			t.Fatal(ps)
		}
	}
	if _, ps := j.Reverse(2, "2026-11-14", ""); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Close(books.Period{Key: "a year", From: "2026-01-01", To: "2026-12-31"}, books.Savings, nil); ps != nil {
		t.Fatal(ps)
	}
	if diff := cmp.Diff(ours(j), hledger(t, text(t, j))); diff != "" {
		t.Errorf("ours and hledger's:\n%s\n%s", diff, text(t, j))
	}
	// Tags are read as tags: the yarn used is of the spring, the closing of none.
	want := map[string]string{"expenses:materials": "USD 21.60"}
	if diff := cmp.Diff(want, hledger(t, text(t, j), "tag:season=spring", "expenses")); diff != "" {
		t.Errorf("in spring:\n%s", diff)
	}
}

// Any season's export is read with the same balances.
func TestWriteText_anySeasonReadByHledger(t *testing.T) {
	seasons := 0
	rapid.Check(t, func(rt *rapid.T) {
		j := season(rt)
		if _, ps := j.Close(october, books.Savings, allItems); ps != nil {
			rt.Fatal(ps)
		}
		if seasons++; seasons > 25 { // a process each
			return
		}
		if diff := cmp.Diff(ours(j), hledger(t, text(t, j))); diff != "" {
			rt.Fatalf("ours and hledger's:\n%s\n%s", diff, text(t, j))
		}
	})
}

func TestWriteCSV(t *testing.T) {
	j := journal(t)
	e := entry("2026-11-02; =1+1; expenses:pay 10205, liabilities:members -10205 @pieces")
	e.Lines[0].Tags = map[string]string{"season": "+autumn", "other": "x"}
	e.Lines = append(e.Lines, books.Line{Account: books.Cash, Amount: price.Money{Minor: 5, Currency: "JPY"}}, books.Line{Account: books.Bank, Amount: price.Money{Minor: -5, Currency: "JPY"}})
	if _, ps := j.Post(e); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Reverse(1, "2026-11-03", "twice"); ps != nil {
		t.Fatal(ps)
	}
	var b strings.Builder
	if err := books.WriteCSV(&b, j.Entries(), []string{"season", "member"}); err != nil {
		t.Fatal(err)
	}
	want := `entry,date,document,text,reverses,closes,account,item,debit,credit,currency,season,member
1,2026-11-02,,'=1+1,,,expenses:pay,,102.05,0.00,USD,'+autumn,
1,2026-11-02,,'=1+1,,,liabilities:members,'@pieces,0.00,102.05,USD,,
1,2026-11-02,,'=1+1,,,assets:cash,,5,0,JPY,,
1,2026-11-02,,'=1+1,,,assets:bank,,0,5,JPY,,
2,2026-11-03,,twice,1,,expenses:pay,,0.00,102.05,USD,'+autumn,
2,2026-11-03,,twice,1,,liabilities:members,'@pieces,102.05,0.00,USD,,
2,2026-11-03,,twice,1,,assets:cash,,0,5,JPY,,
2,2026-11-03,,twice,1,,assets:bank,,5,0,JPY,,
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

func TestAudit_findsWhatCameInByTheBackDoor(t *testing.T) {
	j := journal(t)
	post(t, j, shop...)
	if _, ps := j.Reverse(2, "2026-11-14", "x"); ps != nil {
		t.Fatal(ps)
	}
	if _, ps := j.Close(books.Period{Key: "2026", From: "2026-01-01", To: "2026-12-31"}, books.Savings, nil); ps != nil {
		t.Fatal(ps)
	}
	good := slices.Collect(j.Entries())
	if ps := books.Audit(slices.Values(good), books.NewChart()); ps != nil {
		t.Fatal(ps)
	}
	for _, test := range []struct {
		code string
		edit func([]books.Entry) []books.Entry
	}{
		{"entry-number", func(es []books.Entry) []books.Entry { return slices.Delete(es, 3, 4) }},
		{"entry-number", func(es []books.Entry) []books.Entry { es[0], es[1] = es[1], es[0]; return es }},
		{"entry-unbalanced", func(es []books.Entry) []books.Entry { es[4].Lines[0].Amount.Minor++; return es }},
		{"reversal-differs", func(es []books.Entry) []books.Entry { es[9].Lines[0].Account = books.Cash; return es }},
		{"entry-unknown", func(es []books.Entry) []books.Entry { es[9].Reverses = 77; return es }},
		{"reversed-already", func(es []books.Entry) []books.Entry {
			e := es[9]
			e.N = 11
			es[10].N = 12
			return slices.Insert(es, 10, e)
		}},
		{"closing-differs", func(es []books.Entry) []books.Entry {
			es[10].Lines[0].Amount.Minor++
			es[10].Lines[1].Amount.Minor--
			return es
		}},
		{"period-closed", func(es []books.Entry) []books.Entry { e := es[0]; e.N = 12; return append(es, e) }},
		{"account-unknown", func(es []books.Entry) []books.Entry { es[0].Lines[0].Account = "assets:jar"; return es }},
	} {
		if ps := books.Audit(slices.Values(test.edit(slices.Collect(j.Entries()))), books.NewChart()); !has(ps, test.code) {
			t.Errorf("want %s: %v", test.code, ps)
		}
	}
}

func TestChart_problems(t *testing.T) {
	for _, test := range []struct {
		code string
		a    books.Account
	}{
		{"account-key", books.Account{Key: "assets::cash", Kind: books.Asset}},
		{"account-key", books.Account{Key: "assets: cash", Kind: books.Asset}},
		{"account-key", books.Account{Key: "Activos", Kind: books.Asset}},
		{"account-twice", books.Account{Key: books.Cash, Kind: books.Asset}},
		{"account-kind", books.Account{Key: "assets:jar", Kind: "jar"}},
	} {
		if _, ps := books.New(append(books.NewChart(), test.a)); !has(ps, test.code) {
			t.Errorf("%+v: %v", test.a, ps)
		}
	}
}

func TestAgree(t *testing.T) {
	booked := books.Balance{Account: books.MaterialStock, Currency: "USD", Debit: 9000, Credit: 2160}
	if ps := books.Agree(booked, usd(6840)); ps != nil {
		t.Error(ps)
	}
	if ps := books.Agree(booked, usd(6900)); !has(ps, "stock-differs") || ps[0].Args["off"] != usd(60) {
		t.Error(ps)
	}
}
