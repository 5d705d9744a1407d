package store_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
)

func TestWorkshops(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		ctx := t.Context()
		wants(t, db.MakeWorkshop(ctx, store.Workshop{ID: hill, Name: "again"}, noon), store.ErrExists)
		wants(t, db.RenameWorkshop(ctx, store.Workshop{ID: "w-nowhere", Name: "x"}), store.ErrNotFound)
		if err := db.RenameWorkshop(ctx, store.Workshop{ID: hill, Name: "Taller del Cerro"}); err != nil {
			t.Fatal(err)
		}
		if err := db.MakeWorkshop(ctx, store.Workshop{ID: "w-a", Name: "later"}, noon.Add(time.Microsecond)); err != nil {
			t.Fatal(err)
		}
		got, err := db.Workshops(ctx)
		if err != nil {
			t.Fatal(err)
		}
		want := []store.Workshop{{ID: hill, Name: "Taller del Cerro"}, {ID: shore, Name: "Taller w-shore"}, {ID: "w-a", Name: "later"}}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("workshops (-want +got):\n%s", diff)
		}
	})
}

func TestAccounts(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		ctx := t.Context()
		maru := store.Account{ID: "a-1", Workshop: shore, Login: "maru", Name: "Maru", Role: "weaver", Member: "m-1", Lang: "es", Secret: "hash"}
		beto := store.Account{ID: "a-2", Workshop: shore, Login: "beto", Name: "Beto", Role: "lead", Lang: "en"}
		other := store.Account{ID: "a-3", Workshop: hill, Login: "otra", Name: "Otra"}
		for _, a := range []store.Account{maru, beto, other} {
			if err := db.PutAccount(ctx, a); err != nil {
				t.Fatal(err)
			}
		}
		thief := other
		thief.Login = "maru"
		wants(t, db.PutAccount(ctx, thief), store.ErrExists)
		thief = store.Account{ID: "a-9", Workshop: hill, Login: "maru"}
		wants(t, db.PutAccount(ctx, thief), store.ErrExists)
		// An account stays with its workshop, whatever id another one names.
		thief = store.Account{ID: "a-1", Workshop: hill, Login: "thief", Secret: "mine"}
		wants(t, db.PutAccount(ctx, thief), store.ErrExists)

		maru.Closed, maru.Name, maru.Login = true, "Ángela", "angela"
		if err := db.PutAccount(ctx, maru); err != nil {
			t.Fatal(err)
		}
		got, err := db.Accounts(ctx, shore)
		if diff := cmp.Diff([]store.Account{beto, maru}, got); diff != "" || err != nil {
			t.Errorf("accounts: %v (-want +got):\n%s", err, diff)
		}
		one, err := db.AccountByLogin(ctx, "angela")
		if diff := cmp.Diff(maru, one); diff != "" || err != nil {
			t.Errorf("account by login: %v (-want +got):\n%s", err, diff)
		}
		_, err = db.AccountByLogin(ctx, "maru")
		wants(t, err, store.ErrNotFound)
		one, err = db.Account(ctx, shore, "a-2")
		if diff := cmp.Diff(beto, one); diff != "" || err != nil {
			t.Errorf("account: %v (-want +got):\n%s", err, diff)
		}
		_, err = db.Account(ctx, hill, "a-2")
		wants(t, err, store.ErrNotFound)
	})
}

func TestKeys(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		ctx := t.Context()
		maru := store.Account{ID: "a-1", Workshop: shore, Login: "maru", Name: "Maru"}
		beto := store.Account{ID: "a-2", Workshop: hill, Login: "beto", Name: "Beto"}
		for _, a := range []store.Account{maru, beto} {
			if err := db.PutAccount(ctx, a); err != nil {
				t.Fatal(err)
			}
		}
		ends := noon.Add(time.Hour)
		for _, k := range []struct{ hash, account, use string }{
			{"k1", "a-1", store.SessionKey}, {"k2", "a-1", store.SessionKey}, {"k3", "a-1", store.CardKey}, {"k4", "a-2", store.SessionKey},
		} {
			if err := db.PutKey(ctx, k.hash, k.account, k.use, noon, ends); err != nil {
				t.Fatal(err)
			}
		}
		wants(t, db.PutKey(ctx, "k1", "a-2", store.SessionKey, noon, ends), store.ErrExists)
		if err := db.PutKey(ctx, "k9", "a-9", store.SessionKey, noon, ends); err == nil {
			t.Error("a key of no account: no error")
		}

		// opens says whether a key opens something at a time.
		opens := func(hash, use string, at time.Time) bool {
			t.Helper()
			_, _, err := db.Key(ctx, hash, use, at)
			if err != nil {
				wants(t, err, store.ErrNotFound)
			}
			return err == nil
		}
		a, until, err := db.Key(ctx, "k1", store.SessionKey, noon)
		if err != nil || !until.Equal(ends) {
			t.Errorf("key: ends %v, %v, want %v", until, err, ends)
		}
		if diff := cmp.Diff(maru, a); diff != "" {
			t.Errorf("account of the key (-want +got):\n%s", diff)
		}
		for _, c := range []struct {
			name      string
			hash, use string
			at        time.Time
			want      bool
		}{
			{"just before its end", "k1", store.SessionKey, ends.Add(-time.Microsecond), true},
			{"at its end", "k1", store.SessionKey, ends, false},
			{"at its end elsewhere on earth", "k1", store.SessionKey, ends.In(time.FixedZone("", -3*3600)), false},
			{"for another use", "k1", store.CardKey, noon, false},
			{"not there", "k0", store.SessionKey, noon, false},
		} {
			if got := opens(c.hash, c.use, c.at); got != c.want {
				t.Errorf("%s: opens: got %v, want %v", c.name, got, c.want)
			}
		}

		maru.Closed = true
		must(t, db.PutAccount(ctx, maru))
		if opens("k1", store.SessionKey, noon) {
			t.Error("a closed account's key opens")
		}
		maru.Closed = false
		must(t, db.PutAccount(ctx, maru))

		must(t, db.DropKey(ctx, "k1"))
		must(t, db.DropKey(ctx, "k1")) // twice is no fault
		if opens("k1", store.SessionKey, noon) || !opens("k2", store.SessionKey, noon) {
			t.Error("dropped k1: it opens, or k2 does not")
		}
		must(t, db.DropKeys(ctx, "a-1", store.SessionKey))
		if opens("k2", store.SessionKey, noon) || !opens("k3", store.CardKey, noon) || !opens("k4", store.SessionKey, noon) {
			t.Error("dropped the sessions of one account: one opens, or its card or another's session does not")
		}
		must(t, db.DropOld(ctx, ends.Add(-time.Microsecond)))
		if !opens("k3", store.CardKey, noon) {
			t.Error("a key that has not ended was dropped")
		}
		must(t, db.DropOld(ctx, ends))
		if opens("k3", store.CardKey, noon) || opens("k4", store.SessionKey, noon) {
			t.Error("a key that has ended was not dropped")
		}
	})
}

func must(tb testing.TB, err error) {
	tb.Helper()
	if err != nil {
		tb.Fatal(err)
	}
}

func TestFiles(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		every := make([]byte, 256)
		for i := range every {
			every[i] = byte(i)
		}
		for _, c := range []struct {
			name string
			body []byte
		}{
			{"empty", []byte{}}, {"none", nil}, {"digits", []byte("42")}, {"every byte", every}, {"large", bytes.Repeat(every, 12_000)}, // 3 MB, a photograph
		} {
			t.Run(c.name, func(t *testing.T) {
				update(t, db, "file", func(tx *store.Tx) error { return tx.PutFile(c.name, "image/png", c.body) })
				view(t, db, shore, func(tx *store.Tx) error {
					kind, got, err := tx.File(c.name)
					if kind != "image/png" || !bytes.Equal(got, c.body) {
						t.Errorf("file: got %s of %d bytes, want image/png of %d", kind, len(got), len(c.body))
					}
					return err
				})
				view(t, db, hill, func(tx *store.Tx) error {
					_, _, err := tx.File(c.name)
					wants(t, err, store.ErrNotFound)
					return nil
				})
			})
		}
	})
}
