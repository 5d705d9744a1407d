package store_test

import (
	"flag"
	"fmt"
	"testing"

	"urdir/internal/store"
)

// Ten million take some minutes to be written: go test ./internal/store -run '^$'
// -bench BenchmarkMoney -lines 10000000
var manyLines = flag.Int("lines", 100_000, "how many lines BenchmarkMoney has in the books")

// BenchmarkMoney is a page of 50 entries out of many, of all and of one account;
// what every account holds; and an entry more. The lines are written past the
// store, half of them to cash, spread over ten years of 360 days.
func BenchmarkMoney(b *testing.B) {
	onBothBench(b, func(b *testing.B, address string) {
		db := settle(b, address)
		entries := *manyLines / 2
		raw := rawFor(b, address, shore)
		number := `WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < ` + fmt.Sprint(entries) + `)`
		// In order of their days: entry i is of day i / (entries / 3600).
		date := `(2020 + d / 360) || '-' || substr('0' || (1 + d % 360 / 30), length('0' || (1 + d % 360 / 30)) - 1) || '-' || substr('0' || (1 + d % 30), length('0' || (1 + d % 30)) - 1)`
		days := number + `, days AS (SELECT i, (i - 1) * 3600 / ` + fmt.Sprint(entries) + ` AS d FROM n) `
		for _, s := range []string{
			`INSERT INTO entries ` + days + `SELECT 'w-shore', i, '', '', '', ` + date + `, '', '', '', '', 0, '' FROM days`,
			`INSERT INTO lines ` + days + `SELECT 'w-shore', i, 1, ` + date + `, 'assets:cash', 'USD', 100, '', '' FROM days`,
			`INSERT INTO lines ` + days + `SELECT 'w-shore', i, 2, ` + date + `, 'income:sales-' || (i % 17), 'USD', -100, '', '' FROM days`,
			`INSERT INTO sums SELECT workshop, '', account, '', currency, date, sum(CASE WHEN minor > 0 THEN minor ELSE 0 END), sum(CASE WHEN minor < 0 THEN -minor ELSE 0 END)
				FROM lines GROUP BY workshop, account, currency, date`,
			`INSERT INTO counters VALUES ('w-shore', 'entries', ` + fmt.Sprint(entries) + `)`,
			`ANALYZE`,
		} {
			raw.run(b, s)
		}
		middle := store.PostingQuery{After: fmt.Sprintf("2025-01-01\x1f%d", entries/2), Limit: 50}
		ofCash := middle
		ofCash.Account = "assets:cash"
		ofOne := middle
		ofOne.Account = "income:sales-3"
		for _, c := range []struct {
			name string
			q    store.PostingQuery
		}{
			{"last", store.PostingQuery{Limit: 50, Down: true}}, {"middle", middle}, {"cash", ofCash}, {"account", ofOne},
			{"month", store.PostingQuery{Account: "assets:cash", From: "2024-03-01", To: "2024-03-30", Limit: 50, Down: true}},
		} {
			b.Run(c.name, func(b *testing.B) {
				for b.Loop() {
					view(b, db, shore, func(tx *store.Tx) error {
						found, _, err := tx.Postings(c.q)
						if len(found) != 50 {
							b.Fatalf("entries: got %d, want 50", len(found))
						}
						return err
					})
				}
			})
		}
		b.Run("balances", func(b *testing.B) {
			for b.Loop() {
				view(b, db, shore, func(tx *store.Tx) error {
					sums, err := tx.Sums("", "", "", "", "2029-12-31")
					if len(sums) != 18 {
						b.Fatalf("accounts: got %d, want 18", len(sums))
					}
					return err
				})
			}
		})
		b.Run("post", func(b *testing.B) {
			for b.Loop() {
				update(b, db, "post", posts(posting("2029-12-30", 100, "income:sales-3", "assets:cash")))
			}
		})
	})
}
