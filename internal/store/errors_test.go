package store_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

func TestServerAwayAndBack(t *testing.T) {
	server := pgtest.New(t)
	address := server.Database(t)
	db := settle(t, address)
	order := func(id string) func(*store.Tx) error { return puts(store.Record{Kind: "order", ID: id}) }
	update(t, db, "order.save", order("before"))

	err := db.Update(t.Context(), shore, act("order.save"), func(tx *store.Tx) error {
		if err := order("during")(tx); err != nil {
			t.Error(err)
		}
		server.Stop(t)
		_, err := tx.Get("order", "before")
		wants(t, err, store.ErrAway)
		return nil // an act that does not look is not kept either
	})
	wants(t, err, store.ErrAway)
	list := func(tx *store.Tx) error {
		_, _, failed := tx.List(store.Query{})
		return failed
	}
	for range 30 { // more than connections are kept
		wants(t, db.View(t.Context(), shore, list), store.ErrAway)
	}
	wants(t, db.Update(t.Context(), shore, act("x"), order("x")), store.ErrAway)
	wants(t, db.Ping(t.Context()), store.ErrAway)
	_, err = db.Workshops(t.Context())
	wants(t, err, store.ErrAway)
	_, err = db.AccountByLogin(t.Context(), "maru")
	wants(t, err, store.ErrAway)
	_, _, err = db.Key(t.Context(), "k", store.CardKey, noon)
	wants(t, err, store.ErrAway)
	_, err = store.Open(t.Context(), address)
	wants(t, err, store.ErrAway)

	server.Restart(t)
	must(t, db.Ping(t.Context()))
	update(t, db, "order.save", order("after"))
	sound(t, db)
	if got := len(history(t, db)); got != 2 {
		t.Errorf("entries: got %d, want those before and after", got)
	}
}

// A connection that the server or a network between has cut is not a fault that
// shows, when the pool can make another.
func TestCutConnections(t *testing.T) {
	address := pgtest.Start(t)
	db := settle(t, address)
	update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "o1"}))
	const cut = `SELECT pg_terminate_backend(pid) FROM pg_stat_activity
		WHERE datname = current_database() AND pid <> pg_backend_pid()`
	rawFor(t, address, "").run(t, cut)
	time.Sleep(1100 * time.Millisecond) // one unused for a second is tried before use
	update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "o2"}))
	// In the middle of an act it does show: what was done so far is lost.
	err := db.Update(t.Context(), shore, act("order.save"), func(tx *store.Tx) error {
		rawFor(t, address, "").run(t, cut)
		time.Sleep(50 * time.Millisecond) // the signal is on its way
		return puts(store.Record{Kind: "order", ID: "o3"})(tx)
	})
	wants(t, err, store.ErrAway)
	sound(t, db)
}

func TestDiskFull(t *testing.T) {
	path := filepath.Join(t.TempDir(), "urdir.db")
	db := settle(t, path)
	must(t, db.Limit(t.Context(), 60)) // pages of 4 kB
	large := strings.Repeat("x", 100_000)
	keep := func(tx *store.Tx) error {
		if err := tx.Move("red", 1, "outside", "shelf"); err != nil {
			return err
		}
		_, err := tx.Put(store.Record{Kind: "order", ID: "large", Body: large})
		return errors.Join(err, tx.PutFile("f", "text/plain", []byte(large)))
	}
	wants(t, db.Update(t.Context(), shore, act("save"), keep), store.ErrAway)
	sound(t, db)
	must(t, db.Limit(t.Context(), 1<<20))
	update(t, db, "save", keep)
	sound(t, db)
	if got := history(t, db); len(got) != 1 {
		t.Errorf("entries: got %d, want that of the act which had room", len(got))
	}
}

// asNobody runs f with the rights of a user who owns nothing, if the test runs as
// root, whom no permission binds. They are those of a thread.
func asNobody(t *testing.T, f func()) {
	t.Helper()
	if os.Geteuid() != 0 {
		f()
		return
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	must(t, syscall.Setfsuid(65534))
	defer func() { must(t, syscall.Setfsuid(0)) }()
	f()
}

func TestFolderThatMayNotBeWritten(t *testing.T) {
	dir := t.TempDir()
	for d := dir; d != os.TempDir() && d != "/"; d = filepath.Dir(d) {
		must(t, os.Chmod(d, 0o755)) //nolint:gosec // another user must get in, as into a shared folder
	}
	path := filepath.Join(dir, "urdir.db")
	asNobody(t, func() {
		if os.Geteuid() != 0 {
			must(t, os.Chmod(dir, 0o555))
			defer func() { must(t, os.Chmod(dir, 0o755)) }()
		}
		if db, err := store.Open(context.Background(), path); !errors.Is(err, store.ErrAway) {
			t.Errorf("open: got %v, %v, want that it is away", db, err)
		}
	})
	wantsMissing(t, path)

	// A database that is there and may only be read.
	must(t, settle(t, path).Close())
	must(t, os.Chmod(path, 0o444))
	asNobody(t, func() {
		db, err := store.Open(context.Background(), path)
		if err == nil {
			err = db.Update(context.Background(), shore, act("x"), puts(store.Record{Kind: "order", ID: "o1"}))
			must(t, db.Close())
		}
		wants(t, err, store.ErrAway)
	})
}

func wantsMissing(tb testing.TB, path string) {
	tb.Helper()
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		tb.Errorf("%s: got %v, want that it is not there", path, err)
	}
}

func TestNoDatabaseThere(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "letter.txt")
	must(t, os.WriteFile(text, []byte(strings.Repeat("Querida cooperativa: ", 500)), 0o600))
	for _, c := range []struct {
		name, address string
		away          bool
	}{
		{"folder that is not there", filepath.Join(dir, "none", "urdir.db"), true},
		{"a folder", dir, true},
		{"another file", text, false},
		{"no server", "postgres://urdir@/urdir?host=" + dir, true},
		{"no address", "postgres://urdir:secret@[", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			db, err := store.Open(t.Context(), c.address)
			if err == nil {
				t.Fatalf("opened: %v", db)
			}
			if errors.Is(err, store.ErrAway) != c.away {
				t.Errorf("error: got %v, want away: %v", err, c.away)
			}
			if strings.Contains(err.Error(), "secret") {
				t.Errorf("error: got %v, which shows the password", err)
			}
		})
	}
	if got, err := os.ReadFile(text); err != nil || !strings.HasPrefix(string(got), "Querida") {
		t.Errorf("the other file: %v, %.20q", err, got)
	}
}

// A path is a path, whatever an address would take its letters for.
func TestOddPaths(t *testing.T) {
	for _, name := range []string{"a b.db", "50%.db", "%41.db", "q?mode=memory.db", "h#ash.db", "c:colon.db", "ñandú.db", "+&=.db"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			db := settle(t, filepath.Join(dir, name))
			update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "o1"}))
			if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
				t.Error(err)
			}
			t.Chdir(dir)
			view(t, open(t, name), shore, func(tx *store.Tx) error { _, err := tx.Get("order", "o1"); return err })
		})
	}
}

// Every connection of the pool has the settings, not only the first.
func TestSettingsOfSQLite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "urdir.db")
	db := settle(t, path)
	want := map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "5000"}
	for range 3 {
		view(t, db, shore, func(tx *store.Tx) error { // the reader held open has the next take another connection
			for _, pool := range db.Pools() {
				for name, value := range want {
					var got string
					if err := pool.QueryRowContext(t.Context(), `PRAGMA `+name).Scan(&got); err != nil && !errors.Is(err, sql.ErrNoRows) {
						return err
					}
					if got != value {
						t.Errorf("%s: got %s, want %s", name, got, value)
					}
				}
			}
			_, err := tx.Count(store.Query{})
			return err
		})
	}
}
