package growth_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
	"urdir/internal/workshop"
)

// federation is copies of one cooperative in one PostgreSQL.
type federation struct {
	testing.TB
	address string
	super   *sql.DB
	first   workshop.Person // head of the one that is copied
	keys    []string        // sessions of heads, one a cooperative
}

// sizes is what lies in the database.
type sizes struct {
	cooperatives, pieces, history, lines int64
	bytes                                int64
}

func newFederation(tb testing.TB, orders int) *federation {
	tb.Helper()
	f := &federation{TB: tb, address: pgtest.Start(tb)}
	f.first = newSeason(tb, f.address, orders)
	f.super = must(sql.Open("pgx", pgtest.Super(tb, f.address)))
	tb.Cleanup(func() { _ = f.super.Close() }) // nothing is under way
	f.session(f.first.Account)
	return f
}

// grow copies the cooperative until there are so many. Rows are copied in the
// database, as they are, so that a million pieces are there in minutes; their
// accounts have other names.
func (f *federation) grow(to int) {
	f.Helper()
	from := len(f.keys)
	for _, t := range store.Tables {
		if t.Secret {
			continue
		}
		cols, vals := make([]string, len(t.Columns)), make([]string, len(t.Columns))
		for i, c := range t.Columns {
			cols[i], vals[i] = c.Name, copied(t.Name, c.Name)
		}
		f.do(fmt.Sprintf(`INSERT INTO %s (%s) SELECT %s FROM %s x CROSS JOIN generate_series(%d, %d) copy WHERE %s`,
			t.Name, strings.Join(cols, ", "), strings.Join(vals, ", "), t.Name, from, to-1, strings.Replace(t.Of, "$1", "'"+f.first.Workshop+"'", 1)))
	}
	f.do(`ANALYZE`)
	for n := from; n < to; n++ {
		f.session(fmt.Sprintf("%s-%d", f.first.Account, n))
	}
}

// copied is the value of a column in the n-th copy of a row.
func copied(table, column string) string {
	switch {
	case table == "workshops" && column == "id", column == "workshop":
		return "x." + column + " || '-' || copy"
	case column == "who", table == "accounts" && (column == "id" || column == "login"):
		return "x." + column + " || '-' || copy"
	}
	return "x." + column
}

func (f *federation) do(statement string) {
	f.Helper()
	if _, err := f.super.ExecContext(f.Context(), statement); err != nil {
		f.Fatalf("%s: %v", statement, err)
	}
}

// session opens a session of an account.
func (f *federation) session(account string) {
	f.Helper()
	db := must(store.Open(f.Context(), f.address))
	key := fmt.Sprintf("session of %s", account)
	sum := sha256.Sum256([]byte(key))
	err := db.PutKey(f.Context(), hex.EncodeToString(sum[:]), account, store.SessionKey, time.Now(), time.Now().Add(24*time.Hour))
	if err != nil {
		f.Fatal(err)
	}
	if err = db.Close(); err != nil {
		f.Fatal(err)
	}
	f.keys = append(f.keys, key)
}

func (f *federation) sizes() (s sizes) {
	f.Helper()
	err := f.super.QueryRowContext(f.Context(), `SELECT (SELECT count(*) FROM workshops), (SELECT count(*) FROM records WHERE kind = 'piece'),
		(SELECT count(*) FROM history), (SELECT count(*) FROM lines), pg_database_size(current_database())`).Scan(&s.cooperatives, &s.pieces, &s.history, &s.lines, &s.bytes)
	if err != nil {
		f.Fatal(err)
	}
	return s
}

// sound fails the test if a copy's books or stock do not add up.
func (f *federation) sound(n int) {
	f.Helper()
	db := must(store.Open(context.Background(), f.address))
	defer func() { _ = db.Close() }() // only read
	head := f.first
	head.Workshop = fmt.Sprintf("%s-%d", head.Workshop, n)
	head.Account = fmt.Sprintf("%s-%d", head.Account, n)
	ps, err := workshop.New(db, time.Now).AuditBooks(f.Context(), head)
	if err != nil || len(ps) > 0 {
		f.Fatalf("books of copy %d: %v, %v", n, ps, err)
	}
}
