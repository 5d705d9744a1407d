package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// Every table of the schema that is not of a moment only, with every column, its type and its key, is in the
// list that copies, backups and exports are made by; else they would leave it out.
func TestTables_areTheSchema(t *testing.T) {
	var listed, keyed []string
	for _, table := range store.Tables {
		for _, c := range table.Columns {
			listed = append(listed, fmt.Sprintf("%s.%s %s", table.Name, c.Name, c.Type))
		}
		for _, k := range table.Key {
			keyed = append(keyed, table.Name+"."+k)
		}
	}
	slices.Sort(listed)
	slices.Sort(keyed)
	onBoth(t, func(t *testing.T, address string) {
		must(t, open(t, address).Close())
		columns := `SELECT m.name || '.' || c.name || ' ' || CASE c.type WHEN 'TEXT' THEN 'text' WHEN 'BIGINT' THEN 'integer' ELSE 'bytes' END
			FROM sqlite_master m, pragma_table_info(m.name) c WHERE m.type = 'table' AND m.name NOT LIKE 'goose%' AND m.name NOT LIKE 'sqlite%'`
		keys := `SELECT m.name || '.' || c.name FROM sqlite_master m, pragma_table_info(m.name) c
			WHERE m.type = 'table' AND c.pk > 0 AND m.name NOT LIKE 'goose%' AND m.name NOT LIKE 'sqlite%'`
		if store.IsPostgres(address) {
			columns = `SELECT table_name || '.' || column_name || ' ' || CASE data_type WHEN 'bigint' THEN 'integer' WHEN 'bytea' THEN 'bytes' ELSE data_type END
				FROM information_schema.columns WHERE table_schema = 'public' AND table_name NOT LIKE 'goose%'`
			keys = `SELECT u.table_name || '.' || u.column_name FROM information_schema.key_column_usage u JOIN information_schema.table_constraints c
				USING (constraint_name, table_name) WHERE c.constraint_type = 'PRIMARY KEY' AND u.table_schema = 'public' AND u.table_name NOT LIKE 'goose%'`
		}
		for query, want := range map[string][]string{columns: listed, keys: keyed} {
			got := slices.DeleteFunc(rawFor(t, address, "").texts(t, query), func(s string) bool {
				table, _, _ := strings.Cut(s, ".")
				return slices.Contains(store.Passing, table)
			})
			slices.Sort(got)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("list of tables (-) and schema (+) differ:\n%s", diff)
			}
		}
	})
}

// keepAll writes something into every table of both workshops.
func keepAll(t *testing.T, db *store.DB) {
	t.Helper()
	for _, w := range []string{shore, hill} {
		must(t, db.Update(t.Context(), w, act("season.keep"), keepSeason))
		must(t, db.PutAccount(t.Context(), store.Account{ID: "a-" + w, Workshop: w, Login: "maru." + w, Name: "Maru", Secret: "x"}))
		must(t, db.PutKey(t.Context(), "k-"+w, "a-"+w, store.CardKey, noon, noon))
		must(t, db.PutToken(t.Context(), "t-"+w, store.Token{ID: "t-" + w, Account: "a-" + w, Name: "cuentas", Made: noon, Ends: noon}))
	}
}

// What is copied from one database into another is there row for row, and can be
// worked on.
func TestSnapshot_everyRow(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		keepAll(t, db)
		before := everyRow(t, address)
		copied := filepath.Join(t.TempDir(), "it's a copy.db")
		must(t, db.Snapshot(t.Context(), copied))
		into := open(t, copied)
		if diff := cmp.Diff(before, everyRow(t, copied)); diff != "" {
			t.Errorf("rows (-there +copied):\n%s", diff)
		}
		whole := filepath.Join(t.TempDir(), "again.db")
		must(t, into.Snapshot(t.Context(), whole))
		if diff := cmp.Diff(before, everyRow(t, whole)); diff != "" {
			t.Errorf("rows (-there +copied again):\n%s", diff)
		}
		noFaults(t, into)
		update(t, into, "order.save", puts(store.Record{Kind: "order", ID: "new"}))
		sound(t, into)
		if err := db.Snapshot(t.Context(), copied); !errors.Is(err, os.ErrExist) {
			t.Errorf("a copy over a file that is there: %v", err)
		}
	})
}

func noFaults(t *testing.T, db *store.DB) {
	t.Helper()
	faults, err := db.Verify(t.Context())
	if err != nil || len(faults) > 0 {
		t.Errorf("verify: %v, %v", faults, err)
	}
}

// A copy made while someone writes is what was there at one moment.
func TestSnapshot_underLoad(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan error, 1)
		go func() { done <- writeUntil(ctx, db) }()
		var last int64
		for i := range 4 {
			copied := filepath.Join(t.TempDir(), fmt.Sprint(i))
			must(t, db.Snapshot(t.Context(), copied))
			into := open(t, copied)
			noFaults(t, into)
			n := whole(t, into)
			if n < last {
				t.Errorf("copy %d has %d acts; the one before had %d", i, n, last)
			}
			last = n
		}
		stop()
		must(t, <-done)
		if now := whole(t, db); last == 0 || now < last {
			t.Errorf("%d acts copied of %d", last, now)
		}
	})
}

// Verify finds what someone has changed past the store.
func TestVerify(t *testing.T) {
	for name, c := range map[string]struct{ statement, want string }{
		"a sum":               {`UPDATE stock SET milligrams = milligrams + 1 WHERE workshop = 'w-shore' AND place = 'shelf'`, "its moves make"},
		"a move gone":         {`DELETE FROM moves WHERE workshop = 'w-shore' AND seq = 1`, "were made"},
		"a line gone":         {`DELETE FROM history WHERE workshop = 'w-shore' AND seq = 2`, "history"},
		"lines moved":         {`UPDATE history SET seq = seq + 90 WHERE workshop = 'w-shore' AND seq = 2`, "goes up to number 92"},
		"a record gone":       {`DELETE FROM records WHERE workshop = 'w-shore' AND id = 'o1'`, "order o1 is gone"},
		"a record from where": {`INSERT INTO records VALUES ('w-shore', 'order', 'o77', 1, '', '', '', '', '{}')`, "o77 is there and never began"},
		"a row of nobody":     {`PRAGMA foreign_keys = 0; INSERT INTO files VALUES ('w-none', 'x', 'y', 'z')`, "refers to nothing"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "urdir.db")
			db := settle(t, path)
			keepAll(t, db)
			noFaults(t, db)
			rawFor(t, path, "").run(t, c.statement)
			faults, err := db.Verify(t.Context())
			if err != nil || !strings.Contains(strings.Join(faults, "\n"), c.want) {
				t.Errorf("faults: %v, %v; want one with %q", faults, err, c.want)
			}
		})
	}
	t.Run("a spoiled page", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "urdir.db")
		db := settle(t, path)
		keepAll(t, db)
		must(t, db.Close())
		body, err := os.ReadFile(path)
		must(t, err)
		for i := len(body) / 2; i < len(body)-4096; i++ {
			body[i] = 0xa5
		}
		must(t, os.WriteFile(path, body, 0o600))
		var faults []string
		if db, err = store.Open(t.Context(), path); err == nil {
			faults, err = db.Verify(t.Context())
			_ = db.Close() // it is spoiled
		}
		if err == nil && len(faults) == 0 {
			t.Error("a spoiled file verifies")
		}
	})
}

func TestSwap(t *testing.T) {
	dir := t.TempDir()
	path, by, aside := filepath.Join(dir, "urdir.db"), filepath.Join(dir, "new.db"), filepath.Join(dir, "old.db")
	db := settle(t, path)
	keepAll(t, db)
	must(t, settle(t, by).Close())

	wants(t, store.Swap(t.Context(), path, by, aside), store.ErrInUse)
	wantsMissing(t, aside)
	update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "o9"})) // the program that has it goes on
	must(t, db.Close())

	must(t, store.Swap(t.Context(), path, by, aside))
	wantsMissing(t, by)
	old := open(t, aside)
	view(t, old, hill, seasonIsThere(t))
	view(t, old, shore, func(tx *store.Tx) error { _, err := tx.Get("order", "o9"); return err })
	noFaults(t, old)
	now := open(t, path)
	if n := len(history(t, now)); n != 0 {
		t.Errorf("in its place: %d acts, want none", n)
	}
	must(t, now.Close())

	// What cannot be read is kept all the same, and its log goes with it.
	letter := strings.Repeat("no database ", 500)
	must(t, os.WriteFile(path, []byte(letter), 0o600))
	must(t, os.WriteFile(path+"-wal", []byte("its log"), 0o600))
	must(t, settle(t, by).Close())
	must(t, store.Swap(t.Context(), path, by, aside+"2"))
	for end, want := range map[string]string{"": letter, "-wal": "its log"} {
		if got, err := os.ReadFile(aside + "2" + end); err != nil || string(got) != want {
			t.Errorf("put aside %q: %q, %v", end, got, err)
		}
	}
	history(t, open(t, path))
}

// What comes into the place of all that PostgreSQL holds comes whole or not at
// all, and nothing is lost that was written before.
func TestRefill(t *testing.T) {
	from := settle(t, filepath.Join(t.TempDir(), "urdir.db"))
	keepAll(t, from)
	address := pgtest.Start(t)
	db := settle(t, address)
	update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "theirs"}))
	before := everyRow(t, address)
	refill := func(keep func() error, break_ error) error {
		return from.Read(t.Context(), func(r *store.Reader) error {
			all, err := r.Workshops()
			must(t, err)
			return db.Refill(t.Context(), keep, func(put store.Put) error { return errors.Join(r.CopyTo(put, all), break_) })
		})
	}
	broken := errors.New("broken")
	wants(t, refill(func() error { return broken }, nil), broken)
	wants(t, refill(func() error { return nil }, broken), broken)
	if diff := cmp.Diff(before, everyRow(t, address)); diff != "" {
		t.Errorf("rows after a refill that failed (-before +after):\n%s", diff)
	}
	var kept []string
	must(t, refill(func() error { kept = everyRow(t, address); return nil }, nil))
	if diff := cmp.Diff(before, kept); diff != "" {
		t.Errorf("rows that could be put aside (-before +kept):\n%s", diff)
	}
	aside := filepath.Join(t.TempDir(), "copy.db")
	must(t, from.Snapshot(t.Context(), aside))
	if diff := cmp.Diff(everyRow(t, aside), everyRow(t, address)); diff != "" {
		t.Errorf("rows (-wanted +there):\n%s", diff)
	}
	noFaults(t, db)
	update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "new"}))
}

// Rows come in whole or not at all, and never over what is there.
func TestFill_workshopThere(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		err := db.Fill(t.Context(), func(put store.Put) error {
			if err := put("workshops", []string{"id", "name", "made"}, []any{"w-new", "New", "x"}); err != nil {
				return err
			}
			return put("workshops", []string{"id", "name", "made"}, []any{shore, "Again", "x"})
		})
		wants(t, err, store.ErrExists)
		all, err := db.Workshops(t.Context())
		if err != nil || len(all) != 2 {
			t.Errorf("workshops: %v, %v, want two", all, err)
		}
		for _, bad := range []error{
			db.Fill(t.Context(), func(put store.Put) error { return put("records; DROP TABLE records", nil, nil) }),
			db.Fill(t.Context(), func(put store.Put) error { return put("records", []string{"id, kind"}, []any{"x"}) }),
			db.Fill(t.Context(), func(put store.Put) error { return put("records", []string{"id"}, nil) }),
		} {
			if bad == nil {
				t.Error("a row of no table was kept")
			}
		}
	})
}
