package store_test

import (
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5/pgconn"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// raw is a connection past the store, as someone with the program's own rights
// would have it.
type raw struct {
	db *sql.DB
	on string // the workshop PostgreSQL is told of; empty: none
}

func rawFor(tb testing.TB, address, workshop string) raw {
	tb.Helper()
	driver := "sqlite"
	if strings.HasPrefix(address, "postgres:") {
		driver = "pgx"
	} else {
		workshop = ""
	}
	db, err := sql.Open(driver, address)
	if err != nil {
		tb.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	tb.Cleanup(func() { _ = db.Close() })
	if workshop != "" {
		if _, err := db.ExecContext(tb.Context(), `SELECT set_config('urdir.workshop', $1, false)`, workshop); err != nil {
			tb.Fatal(err)
		}
	}
	return raw{db, workshop}
}

// run runs a statement and gives how many rows it changed.
func (r raw) run(tb testing.TB, statement string) int64 {
	tb.Helper()
	res, err := r.db.ExecContext(tb.Context(), statement)
	if err != nil {
		tb.Fatalf("%s: %v", statement, err)
	}
	n, err := res.RowsAffected()
	if err != nil {
		tb.Fatal(err)
	}
	return n
}

// texts runs a query of one column.
func (r raw) texts(tb testing.TB, query string) (got []string) {
	tb.Helper()
	rows, err := r.db.QueryContext(tb.Context(), query)
	if err != nil {
		tb.Fatalf("%s: %v", query, err)
	}
	defer func() { _ = rows.Close() }() // rows.Err tells what matters
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			tb.Fatal(err)
		}
		got = append(got, s)
	}
	if err := rows.Err(); err != nil {
		tb.Fatal(err)
	}
	return got
}

// unguarded are the tables with a workshop in each row that PostgreSQL does not
// guard, and why.
var unguarded = map[string]string{
	"accounts": "read to find out which workshop someone who signs in belongs to",
}

// workshopTables are the tables that have a workshop in each row.
const workshopTables = `SELECT table_name FROM information_schema.columns
	WHERE table_schema = 'public' AND column_name = 'workshop' ORDER BY table_name`

func TestEveryTableIsGuarded(t *testing.T) {
	address := pgtest.Start(t)
	settle(t, address)
	db := rawFor(t, address, "")
	if got := db.texts(t, `SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user`); got[0] != "false" {
		t.Fatal("the tests' role is not bound by row level security")
	}
	guarded := db.texts(t, `SELECT relname FROM pg_class WHERE relrowsecurity AND relforcerowsecurity ORDER BY relname`)
	all := db.texts(t, workshopTables)
	if len(guarded)+len(unguarded) != len(all) {
		t.Errorf("tables: %d guarded, %d not, %d in all", len(guarded), len(unguarded), len(all))
	}
	for _, table := range all {
		if _, named := unguarded[table]; !named && !slices.Contains(guarded, table) {
			t.Errorf("%s has a workshop in each row and is not guarded", table)
		}
	}
	// One policy for each, for reading and writing alike.
	want := slices.Clone(guarded)
	for i, table := range want {
		want[i] = table + " ALL PERMISSIVE"
	}
	if diff := cmp.Diff(want, db.texts(t, `SELECT tablename || ' ' || cmd || ' ' || permissive FROM pg_policies ORDER BY tablename`)); diff != "" {
		t.Errorf("policies (-want +got):\n%s", diff)
	}
}

func TestPostgresKeepsWorkshopsApart(t *testing.T) {
	address := pgtest.Start(t)
	db := settle(t, address)
	for _, w := range []string{shore, hill} {
		if err := db.Update(t.Context(), w, act("fill"), fill(w)); err != nil {
			t.Fatal(err)
		}
	}
	tables := slices.DeleteFunc(rawFor(t, address, "").texts(t, workshopTables), func(s string) bool { return unguarded[s] != "" })
	if len(tables) < 6 {
		t.Fatalf("guarded tables: %v", tables)
	}
	// What another workshop has is out of reach of one that is set, and of a
	// connection on which none is.
	for _, on := range []string{shore, ""} {
		for _, table := range tables {
			t.Run(fmt.Sprintf("%s as %q", table, on), func(t *testing.T) {
				r := rawFor(t, address, on)
				var want []string
				if on != "" {
					want = []string{on}
				}
				if diff := cmp.Diff(want, r.texts(t, `SELECT DISTINCT workshop FROM `+table)); diff != "" {
					t.Errorf("seen (-want +got):\n%s", diff)
				}
				theirs := ` WHERE workshop = '` + hill + `'`
				if n := r.run(t, `UPDATE `+table+` SET workshop = workshop`+theirs); n != 0 {
					t.Errorf("changed %d rows", n)
				}
				if n := r.run(t, `DELETE FROM `+table+theirs); n != 0 {
					t.Errorf("deleted %d rows", n)
				}
				refused(t, r, `INSERT INTO `+table+` `+row(t, address, table))
				if on != "" {
					refused(t, r, `UPDATE `+table+` SET workshop = '`+hill+`'`)
				}
			})
		}
	}
	// Nothing of it has reached the other.
	if err := db.View(t.Context(), hill, same(t, hill)); err != nil {
		t.Fatal(err)
	}
}

// row is a row of the other workshop as the values of an insert, such that only
// the guard can refuse it: every text is new, every number is too.
func row(tb testing.TB, address, table string) string {
	tb.Helper()
	values := rawFor(tb, address, "").texts(tb, `SELECT CASE WHEN column_name = 'workshop' THEN '''`+hill+`'''
		WHEN data_type = 'bigint' THEN '99' ELSE '''new-' || column_name || '''' END
		FROM information_schema.columns WHERE table_schema = 'public' AND table_name = '`+table+`' ORDER BY ordinal_position`)
	return `VALUES (` + strings.Join(values, ", ") + `)`
}

// refused fails the test unless the guard refuses a statement.
func refused(tb testing.TB, r raw, statement string) {
	tb.Helper()
	_, err := r.db.ExecContext(tb.Context(), statement)
	var pg *pgconn.PgError
	if !errors.As(err, &pg) || pg.Code != "42501" || !strings.Contains(pg.Message, "row-level security") {
		tb.Errorf("%s: got %v, want it refused by row level security", statement, err)
	}
}

// fill writes something into every table that an act can write, the same names
// for every workshop.
func fill(mark string) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		for range 2 {
			if _, err := tx.Next("order"); err != nil {
				return err
			}
		}
		_, err := tx.Put(store.Record{Kind: "order", ID: "o1", Sort: mark, Words: mark, Body: mark})
		return errors.Join(err,
			tx.Move("red", int64(len(mark)), "outside", "shelf"),
			tx.PutFile("f1", "text/plain", []byte(mark)),
			keepMoney(tx, mark), keepTold(tx))
	}
}

// same fails the test unless a workshop holds what fill wrote, and no more.
func same(tb testing.TB, mark string) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		r, err := tx.Get("order", "o1")
		if r.Body != mark {
			tb.Errorf("%s: record: got %q", mark, r.Body)
		}
		found, _, err2 := tx.List(store.Query{})
		n, err3 := tx.Count(store.Query{})
		if len(found) != 1 || n != 1 {
			tb.Errorf("%s: records: got %d in the list and a count of %d, want 1", mark, len(found), n)
		}
		_, body, err4 := tx.File("f1")
		if string(body) != mark {
			tb.Errorf("%s: file: got %q", mark, body)
		}
		held, err5 := tx.Held("", "")
		moves, err6 := tx.Moves("", "")
		entries, err7 := tx.History("", "", 0)
		if len(held) != 2 || held[1].Milligrams != int64(len(mark)) || len(moves) != 1 || len(entries) != 1 {
			tb.Errorf("%s: got stock %v, moves %v, history %v", mark, held, moves, entries)
		}
		faults, err8 := tx.Check()
		for _, f := range faults {
			tb.Errorf("%s: check: %s", mark, f)
		}
		return errors.Join(err, err2, err3, err4, err5, err6, err7, err8)
	}
}

// The same names in two workshops are different things, on either database.
func TestWorkshopsWithTheSameNames(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		for _, w := range []string{shore, hill} {
			if err := db.Update(t.Context(), w, act("fill"), fill(w)); err != nil {
				t.Fatal(err)
			}
		}
		for _, w := range []string{shore, hill} {
			view(t, db, w, same(t, w))
			// Each has its own numbers.
			if err := db.Update(t.Context(), w, act("number"), func(tx *store.Tx) error {
				n, err := tx.Next("order")
				if n != 3 {
					t.Errorf("%s: third number: got %d", w, n)
				}
				return err
			}); err != nil {
				t.Error(err)
			}
		}
		update(t, db, "clear", func(tx *store.Tx) error {
			return errors.Join(tx.Remove("order", "o1", 1), tx.Move("red", 1, "shelf", "outside"))
		})
		view(t, db, hill, same(t, hill))
		view(t, db, "w-nowhere", func(tx *store.Tx) error {
			n, err := tx.Count(store.Query{})
			if n != 0 {
				t.Errorf("records of a workshop that is not there: %d", n)
			}
			return err
		})
	})
}
