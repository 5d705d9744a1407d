package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"urdir/internal/store"
)

// What Updates in the context of another write is kept with it or not at all, each
// under its own act.
func TestUpdate_inAnother(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		stop := errors.New("stop")
		both := func(end error) error {
			return db.Update(t.Context(), shore, act("outer"), func(tx *store.Tx) error {
				for _, id := range []string{"a", "b"} {
					if err := db.Update(tx.Context(), shore, act("inner."+id), puts(store.Record{Kind: "order", ID: id})); err != nil {
						return err
					}
				}
				err := db.View(tx.Context(), shore, func(in *store.Tx) error {
					_, err := in.Get("order", "b")
					return err
				})
				if err != nil {
					t.Errorf("what was written is not seen: %v", err)
				}
				if got := tx.TakeChanged(); len(got) != 2 || got[1].ID != "b" {
					t.Errorf("changed: %v", got)
				}
				if err := db.Update(tx.Context(), hill, act("x"), func(*store.Tx) error { return nil }); err == nil {
					t.Error("an Update of another workshop in one")
				}
				return end
			})
		}
		if err := both(stop); !errors.Is(err, stop) {
			t.Fatal(err)
		}
		view(t, db, shore, func(tx *store.Tx) error {
			if _, err := tx.Get("order", "a"); !errors.Is(err, store.ErrNotFound) {
				t.Errorf("kept in spite of the error: %v", err)
			}
			return nil
		})
		must(t, both(nil))
		view(t, db, shore, func(tx *store.Tx) error {
			found, err := tx.History("", "", 0)
			if len(found) != 2 || found[1].Act != "inner.a" || found[0].Act != "inner.b" {
				t.Errorf("history: %+v", found)
			}
			return err
		})
	})
}

// Tokens open as long as they and their account do.
func TestTokens(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		maru := store.Account{ID: "a-1", Workshop: shore, Login: "maru"}
		must(t, db.PutAccount(t.Context(), maru))
		kept := store.Token{ID: "t-1", Account: "a-1", Name: "cuentas", Scopes: "orders:read", Made: noon, Ends: noon.Add(time.Hour)}
		must(t, db.PutToken(t.Context(), "hash", kept))
		must(t, db.UseToken(t.Context(), "t-1", noon.Add(time.Minute)))
		kept.Used = noon.Add(time.Minute)
		a, got, err := db.Token(t.Context(), "hash", noon)
		if err != nil || a != maru || got != kept {
			t.Errorf("got %+v %+v, %v", a, got, err)
		}
		if _, _, err := db.Token(t.Context(), "hash", noon.Add(time.Hour)); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("ended: %v", err)
		}
		if all, err := db.Tokens(t.Context(), "a-1"); err != nil || !slices.Equal(all, []store.Token{kept}) {
			t.Errorf("list: %v %v", all, err)
		}
		if err := db.DropToken(t.Context(), "a-2", "t-1"); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("another's token: %v", err)
		}
		maru.Closed = true
		must(t, db.PutAccount(t.Context(), maru))
		if _, _, err := db.Token(t.Context(), "hash", noon); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("closed account: %v", err)
		}
		must(t, db.DropToken(t.Context(), "a-1", "t-1"))
	})
}

// Messages to an address stand behind one another; of two servers that try the same
// one, one keeps what came of it.
func TestMessages_standInLine(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		var first []store.Message
		update(t, db, "tell", func(tx *store.Tx) error {
			for _, hook := range []string{"h1", "h1", "h2"} {
				if _, err := tx.Tell(store.Message{Hook: hook, Event: "order.done", Made: noon, Body: "{}"}); err != nil {
					return err
				}
			}
			return nil
		})
		view(t, db, shore, func(tx *store.Tx) (err error) {
			first, err = tx.FirstMessages()
			return err
		})
		if len(first) != 2 || first[0].Seq != 1 || first[1].Seq != 3 {
			t.Fatalf("first: %+v", first)
		}
		sent := first[0]
		sent.State, sent.Tries, sent.Tried, sent.Status = store.MessageSent, 1, noon, 204
		for n, want := range []bool{true, false} {
			update(t, db, "sent", func(tx *store.Tx) error {
				ok, err := tx.SetMessage(first[0], sent)
				if ok != want {
					t.Errorf("keeping %d: %v, want %v", n, ok, want)
				}
				return err
			})
		}
		view(t, db, shore, func(tx *store.Tx) error {
			now, err := tx.FirstMessages()
			if err != nil || len(now) != 2 || now[0].Seq != 2 {
				t.Errorf("then: %+v, %v", now, err)
			}
			log, err := tx.Messages("h1", 0, 10)
			if len(log) != 2 || log[1] != sent {
				t.Errorf("log: %+v", log)
			}
			return err
		})
	})
}
