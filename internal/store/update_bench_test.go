package store_test

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"testing"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// onBothBench runs a benchmark on both databases.
func onBothBench(b *testing.B, bench func(b *testing.B, address string)) {
	b.Helper()
	b.Run("SQLite", func(b *testing.B) { bench(b, filepath.Join(b.TempDir(), "urdir.db")) })
	b.Run("PostgreSQL", func(b *testing.B) { bench(b, pgtest.Start(b)) })
}

// BenchmarkUpdate is one durable write after another: a record, which with its
// entry in the history and that one's number is four statements, beside the
// driver alone with one insert.
func BenchmarkUpdate(b *testing.B) {
	onBothBench(b, func(b *testing.B, address string) {
		db := settle(b, address)
		b.Run("store", func(b *testing.B) {
			for i := range b.N {
				update(b, db, "order.save", puts(store.Record{Kind: "order", ID: fmt.Sprint(b.N, "-", i), Body: "{}"}))
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "writes/s")
		})
		b.Run("driver", func(b *testing.B) {
			bare := db.Pools()[1]
			mustExec(b, bare, `CREATE TABLE IF NOT EXISTS bare (id TEXT PRIMARY KEY, body TEXT)`)
			b.ResetTimer()
			for i := range b.N {
				mustExec(b, bare, `INSERT INTO bare VALUES ($1, $2)`, fmt.Sprint(b.N, "-", i), "{}")
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "writes/s")
		})
	})
}

func mustExec(tb testing.TB, db *sql.DB, query string, args ...any) {
	tb.Helper()
	_, err := db.ExecContext(tb.Context(), query, args...)
	must(tb, err)
}

// BenchmarkList is a page of 50 out of 100 000 records, at the beginning, in the
// middle, and by a word that 1 in 1000 has.
func BenchmarkList(b *testing.B) {
	onBothBench(b, func(b *testing.B, address string) {
		const many = 100_000
		db := settle(b, address)
		update(b, db, "fill", func(tx *store.Tx) error {
			for i := range many {
				r := store.Record{Kind: "order", ID: fmt.Sprint("o", i), State: "open", Sort: fmt.Sprintf("%06d", i), Words: "faja azul", Body: `{"cloth":"faja"}`}
				if i%1000 == 0 {
					r.Words = "manta roja"
				}
				if _, err := tx.Put(r); err != nil {
					return err
				}
			}
			return nil
		})
		for _, c := range []struct {
			name string
			q    store.Query
		}{
			{"first", store.Query{Kind: "order"}},
			{"last", store.Query{Kind: "order", Down: true}},
			{"middle", store.Query{Kind: "order", After: fmt.Sprintf("order\x1fo%d\x1f%06d", many/2, many/2)}},
			{"state", store.Query{Kind: "order", States: []string{"open"}}},
			{"word", store.Query{Kind: "order", Words: []string{"roja"}}},
		} {
			c.q.Limit = 50
			b.Run(c.name, func(b *testing.B) {
				for b.Loop() {
					view(b, db, shore, func(tx *store.Tx) error {
						found, _, err := tx.List(c.q)
						if len(found) != 50 {
							b.Fatalf("records: got %d, want 50", len(found))
						}
						return err
					})
				}
			})
		}
	})
}
