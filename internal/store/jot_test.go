package store_test

import (
	"errors"
	"testing"

	"urdir/internal/store"
)

// What is jotted is the record, and no line of the history.
func TestJot(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		r := store.Record{Kind: "draft", ID: "d1", Parent: "c1", Body: "1"}
		update(t, db, "begin", puts(r))
		r.Revision, r.Body, r.State = 1, "2", "later"
		update(t, db, "go on", func(tx *store.Tx) error {
			n, err := tx.Jot(r)
			if n != 2 {
				t.Errorf("revision after jotting: got %d, want 2", n)
			}
			return err
		})
		if got := history(t, db); len(got) != 1 {
			t.Errorf("entries: got %d, want that of the beginning alone", len(got))
		}
		view(t, db, shore, func(tx *store.Tx) error {
			got, err := tx.Get("draft", "d1")
			if got.Body != "2" || got.State != "later" || got.Parent != "c1" || got.Revision != 2 {
				t.Errorf("got %+v", got)
			}
			return err
		})
		var c *store.Conflict
		if err := db.Update(t.Context(), shore, act("x"), func(tx *store.Tx) error { _, err := tx.Jot(r); return err }); !errors.As(err, &c) || c.Now.Body != "2" {
			t.Errorf("jotting at an old revision: got %v, want a conflict with what is there", err)
		}
		wants(t, db.Update(t.Context(), shore, act("x"), func(tx *store.Tx) error {
			_, err := tx.Jot(store.Record{Kind: "draft", ID: "d2", Revision: 1})
			return err
		}), store.ErrNotFound)
		sound(t, db)
	})
}
