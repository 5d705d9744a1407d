package store_test

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// The workshop most tests work in, and another that must not notice.
const (
	shore = "w-shore"
	hill  = "w-hill"
)

var noon = time.Date(2031, time.May, 6, 12, 0, 0, 123456000, time.UTC)

func act(what string) store.Act { return store.Act{At: noon, Who: "a-1", What: what} }

// onBoth runs a test on an empty SQLite file and on an empty PostgreSQL database.
func onBoth(t *testing.T, test func(t *testing.T, address string)) {
	t.Helper()
	t.Run("SQLite", func(t *testing.T) { test(t, filepath.Join(t.TempDir(), "urdir.db")) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, pgtest.Start(t)) })
}

// open opens a database and closes it when the test ends.
func open(tb testing.TB, address string) *store.DB {
	tb.Helper()
	db, err := store.Open(context.Background(), address)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := db.Close(); err != nil {
			tb.Error(err)
		}
	})
	return db
}

// settle opens a database and makes both workshops.
func settle(tb testing.TB, address string) *store.DB {
	tb.Helper()
	db := open(tb, address)
	for _, id := range []string{shore, hill} {
		if err := db.MakeWorkshop(tb.Context(), store.Workshop{ID: id, Name: "Taller " + id}, noon); err != nil {
			tb.Fatal(err)
		}
	}
	return db
}

func update(tb testing.TB, db *store.DB, what string, f func(*store.Tx) error) {
	tb.Helper()
	if err := db.Update(tb.Context(), shore, act(what), f); err != nil {
		tb.Fatal(err)
	}
}

func view(tb testing.TB, db *store.DB, workshop string, f func(*store.Tx) error) {
	tb.Helper()
	if err := db.View(tb.Context(), workshop, f); err != nil {
		tb.Fatal(err)
	}
}

// sound fails the test if Check finds anything.
func sound(tb testing.TB, db *store.DB) {
	tb.Helper()
	view(tb, db, shore, func(tx *store.Tx) error {
		faults, err := tx.Check()
		for _, f := range faults {
			tb.Error("check:", f)
		}
		return err
	})
}

// history gives the history, the first act first, and fails the test if a number
// is missing.
func history(tb testing.TB, db *store.DB) (entries []store.Entry) {
	tb.Helper()
	view(tb, db, shore, func(tx *store.Tx) (err error) {
		entries, err = tx.History("", "", 0)
		return err
	})
	for i, e := range entries {
		if want := int64(len(entries) - i); e.Seq != want {
			tb.Fatalf("history: entry %d stands where %d should", e.Seq, want)
		}
	}
	return entries
}

// puts keeps a new record.
func puts(r store.Record) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		_, err := tx.Put(r)
		return err
	}
}

// wants fails the test if an error is not, or does not wrap, the one wanted.
func wants(tb testing.TB, err, want error) {
	tb.Helper()
	if !errors.Is(err, want) {
		tb.Errorf("error: got %v, want %v", err, want)
	}
}
