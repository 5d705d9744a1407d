package torture_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"urdir/internal/archive"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// killedWhile starts a command and kills it somewhere in the time one that was let
// run needed, or a little later; it says whether it was still at work.
func killedWhile(tb testing.TB, takes time.Duration, args ...string) (working bool) {
	tb.Helper()
	cmd := exec.Command(program, args...)
	must(tb, cmd.Start())
	time.Sleep(rand.N(takes + takes/8))
	_ = cmd.Process.Kill() // it may have ended
	_ = cmd.Wait()         // it was killed
	return !cmd.ProcessState.Exited()
}

// timed runs a command to its end and gives what it took.
func timed(tb testing.TB, args ...string) time.Duration {
	tb.Helper()
	began := time.Now()
	if out, err := run(tb.Context(), args...); err != nil {
		tb.Fatalf("%v: %v\n%s", args, err, out)
	}
	return time.Since(began)
}

// grown is a shop with some hundreds of acts, done without a server.
func grown(tb testing.TB, acts int) *shop {
	tb.Helper()
	s := newShop(tb, "")
	s.inHouse(tb, func(_ *store.DB, h *workshop.House) { s.grow(tb, h, acts) })
	return s
}

func (s *shop) grow(tb testing.TB, h *workshop.House, acts int) {
	tb.Helper()
	for range acts {
		n := s.one()
		if n%2 == 0 {
			must(tb, h.Receive(context.Background(), s.head, s.lot, gramsFrom(n), workshop.Money{Minor: n, Currency: "USD"}, ""))
			s.keep("", moved{"receive", n})
			continue
		}
		c, err := h.SaveCustomer(context.Background(), s.head, workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: fmt.Sprint("Don ", n)}})
		must(tb, err)
		s.keep(c.ID, moved{})
	}
}

// killedTally counts the kills that met a command at work.
func killedTally(t *testing.T, what string, times, working int) {
	t.Helper()
	counts.add("kills: "+what, working)
	counts.add("kills that came after the end: "+what, times-working)
	if times >= 20 && working == 0 {
		t.Errorf("%s: none of %d kills met it at work", what, times)
	}
}

// A backup that is killed is there whole or not at all, and the workshop is as it
// was.
func TestKilledBackup(t *testing.T) {
	s, dir := grown(t, 300), t.TempDir()
	takes := timed(t, append([]string{"backup", filepath.Join(dir, "first.urdir")}, s.where()...)...)
	times, working := kills(150), 0
	for i := range times {
		file := filepath.Join(dir, fmt.Sprint(i, ".urdir"))
		if killedWhile(t, takes, append([]string{"backup", file}, s.where()...)...) {
			working++
		}
		if _, err := os.Stat(file); err == nil {
			_, err = archive.Try(t.Context(), file)
			must(t, err, os.Remove(file))
		}
		clearParts(t, dir)
	}
	s.check(t)
	killedTally(t, "backup", times, working)
}

// clearParts takes away what a killed program left, which may be nothing but its
// own folders.
func clearParts(tb testing.TB, dir string) {
	tb.Helper()
	left, err := os.ReadDir(dir)
	must(tb, err)
	for _, e := range left {
		if filepath.Ext(e.Name()) == ".urdir" || !e.IsDir() {
			continue
		}
		if len(e.Name()) < 12 || e.Name()[:12] != ".urdir-part-" {
			tb.Errorf("a killed program left %s", e.Name())
		}
		must(tb, os.RemoveAll(filepath.Join(dir, e.Name())))
	}
}

// A restore that is killed leaves what was there or what was restored, whole.
func TestKilledRestore(t *testing.T) {
	s, out := grown(t, 200), t.TempDir()
	file := filepath.Join(out, "early.urdir")
	timed(t, append([]string{"backup", file}, s.where()...)...)
	early := s.acts()
	s.inHouse(t, func(_ *store.DB, h *workshop.House) { s.grow(t, h, 100) })
	late := filepath.Join(out, "late.urdir")
	timed(t, append([]string{"backup", late}, s.where()...)...)
	restore := append([]string{"restore", file}, s.where()...)
	takes := timed(t, restore...)
	times, working, back := kills(150), 0, 0
	for i := range times {
		from := []string{late, file}[i%2]
		if killedWhile(t, takes, append([]string{"restore", from}, s.where()...)...) {
			working++
		}
		if n := s.oneOf(t, early); n == early {
			back++
		}
		clearAside(t, s.dir)
	}
	counts.add("restores killed that left the earlier state", back)
	killedTally(t, "restore", times, working)
}

// oneOf checks that the database is whole, and holds the first acts or all of them.
func (s *shop) oneOf(t *testing.T, early int) (acts int) {
	t.Helper()
	s.inHouse(t, func(db *store.DB, h *workshop.House) {
		faults, err := db.Verify(t.Context())
		must(t, err)
		booksClose(t, h, s.head)
		must(t, db.View(t.Context(), s.head.Workshop, func(tx *store.Tx) error {
			people, _, err := tx.List(store.Query{Kind: "customer"})
			moves, err2 := tx.Moves("", "")
			must(t, err, err2)
			acts = len(people) + len(moves) - 2 // two moves began the shop
			return nil
		}))
		if all := s.acts(); len(faults) > 0 || acts != early && acts != all {
			t.Fatalf("%d acts are there, want %d or %d; faults: %v", acts, early, all, faults)
		}
	})
	counts.add("looks at the whole database", 1)
	return acts
}

// clearAside takes away the copies a restore put aside.
func clearAside(tb testing.TB, dir string) {
	tb.Helper()
	found, err := filepath.Glob(filepath.Join(dir, "urdir.sqlite.before-restore-*"))
	must(tb, err)
	for _, f := range found {
		must(tb, os.Remove(f))
	}
	clearParts(tb, dir)
}

// An import that is killed has brought the workshop in, or nothing of it.
func TestKilledImport(t *testing.T) {
	from, out := grown(t, 200), filepath.Join(t.TempDir(), "out.zip")
	timed(t, append([]string{"export", out, "--with-accounts"}, from.where()...)...)
	times, working, in := kills(100), 0, 0
	takes := timed(t, "import", out, "--data", t.TempDir())
	for range times {
		to := t.TempDir()
		if killedWhile(t, takes, "import", out, "--data", to) {
			working++
		}
		address := filepath.Join(to, "urdir.sqlite")
		db, err := store.Open(t.Context(), address)
		must(t, err)
		all, err := db.Workshops(t.Context())
		must(t, err)
		if len(all) == 1 {
			in++
			from.checkIn(t, db, workshop.New(db, time.Now))
		} else if faults, err := db.Verify(t.Context()); err != nil || len(faults) > 0 || len(all) > 0 {
			t.Errorf("%d workshops, %v, %v", len(all), faults, err)
		}
		must(t, db.Close())
		clearParts(t, to)
		if t.Failed() {
			return
		}
	}
	counts.add("imports killed that had brought all in", in)
	killedTally(t, "import", times, working)
}

// firstTables are those of the first version.
var firstTables = []string{"workshops", "accounts", "keys", "records", "history", "moves", "stock", "counters", "files"}

// A program killed while it brings a database of the first version up to date
// leaves one that the next brings up to date.
func TestKilledMigration(t *testing.T) {
	s := newShop(t, "")
	s.inHouse(t, func(_ *store.DB, h *workshop.House) {
		for range 200 {
			c, err := h.SaveCustomer(t.Context(), s.head, workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: fmt.Sprint("Don ", s.one())}})
			must(t, err)
			s.keep(c.ID, moved{})
		}
	})
	old := filepath.Join(t.TempDir(), "old.sqlite")
	s.inHouse(t, func(db *store.DB, _ *workshop.House) { downgrade(t, db, old) })
	body, err := os.ReadFile(old)
	must(t, err)
	times, working := kills(150), 0
	var takes time.Duration
	for i := -1; i < times; i++ {
		dir := t.TempDir()
		address := filepath.Join(dir, "urdir.sqlite")
		must(t, os.WriteFile(address, body, 0o600))
		if i < 0 {
			takes = timed(t, "workshop", "list", "--data", dir)
			continue
		}
		if killedWhile(t, takes, "workshop", "list", "--data", dir) {
			working++
		}
		db, err := store.Open(t.Context(), address)
		must(t, err)
		faults, err := db.Verify(t.Context())
		booksClose(t, workshop.New(db, time.Now), s.head)
		must(t, err, db.View(t.Context(), s.head.Workshop, s.checkAcknowledged(t)), db.Close())
		for _, f := range faults {
			t.Error(f)
		}
	}
	killedTally(t, "migration", times, working)
}

// downgrade writes what a database holds, but money, as the first version kept it.
func downgrade(tb testing.TB, db *store.DB, path string) {
	tb.Helper()
	ctx := context.Background()
	old, err := store.OpenAt(ctx, path, 1)
	must(tb, err)
	must(tb, old.Fill(ctx, func(put store.Put) error {
		return db.Read(ctx, func(r *store.Reader) error {
			all, err := r.Workshops()
			if err != nil {
				return err
			}
			return r.CopyTo(func(table string, columns []string, row []any) error {
				if !slices.Contains(firstTables, table) || table == "counters" && row[1] == "entries" {
					return nil
				}
				return put(table, columns, row)
			}, all)
		})
	}), old.Close())
}
