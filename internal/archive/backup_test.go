package archive_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/archive"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// Set for the test program when it is started by itself, to be killed at work: what
// it is to do for ever, on which database, with which file.
const (
	killJob     = "URDIR_TEST_JOB"
	killAddress = "URDIR_TEST_ADDRESS"
	killFile    = "URDIR_TEST_FILE"
)

func TestMain(m *testing.M) {
	if job := os.Getenv(killJob); job != "" {
		fmt.Fprintln(os.Stderr, again(job, os.Getenv(killAddress), os.Getenv(killFile)))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// again does a job again and again.
func again(job, address, file string) error {
	ctx := context.Background()
	for i := 0; ; i++ {
		var err error
		switch job {
		case "backup":
			var db *store.DB
			if db, err = store.Open(ctx, address); err == nil {
				_, err = archive.Backup(ctx, db, fmt.Sprintf("%s.%d", file, i), noon)
				err = errors.Join(err, db.Close())
			}
		case "restore":
			_, err = archive.Restore(ctx, file, address, filepath.Dir(file), noon.Add(time.Duration(i)*time.Second))
		case "import":
			name := fmt.Sprintf("%s.%d", address, i)
			var db *store.DB
			if db, err = store.Open(ctx, name); err == nil {
				_, err = archive.Import(ctx, db, file)
				err = errors.Join(err, db.Close())
			}
		}
		if err != nil {
			return err
		}
	}
}

// killed starts the test program on a job and kills it after a while.
func killed(t *testing.T, job, address, file string, after time.Duration) {
	t.Helper()
	self, err := os.Executable()
	must(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), killJob+"="+job, killAddress+"="+address, killFile+"="+file)
	var said bytes.Buffer
	cmd.Stderr = &said
	must(t, cmd.Start())
	time.Sleep(after)
	_ = cmd.Process.Kill() // it may have ended: said tells
	_ = cmd.Wait()         // it was killed
	if said.Len() > 0 {
		t.Errorf("%s ended by itself: %s", job, said.String())
	}
}

func keep(tb testing.TB, db *store.DB, id string) {
	tb.Helper()
	must(tb, db.Update(tb.Context(), shore, store.Act{At: noon, Who: "a", What: "save"}, func(tx *store.Tx) error {
		_, err := tx.Put(store.Record{Kind: "order", ID: id})
		return err
	}))
}

// has says whether a database has an order, and fails if it is not whole.
func has(tb testing.TB, db *store.DB, id string) bool {
	tb.Helper()
	if faults, err := db.Verify(context.Background()); err != nil || len(faults) > 0 {
		tb.Fatalf("verify: %v, %v", faults, err)
	}
	err := db.View(context.Background(), shore, func(tx *store.Tx) error { _, err := tx.Get("order", id); return err })
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		tb.Fatal(err)
	}
	return err == nil
}

// A backup brings back what was there when it was made, on the same database and
// on the other, and what was there before it came back is kept.
func TestRestore(t *testing.T) {
	for _, way := range []struct {
		name     string
		from, to func(testing.TB) string
	}{{"SQLite", file, file}, {"PostgreSQL", pgtest.Start, pgtest.Start}, {"SQLite to PostgreSQL", file, pgtest.Start}, {"PostgreSQL to SQLite", pgtest.Start, file}} {
		t.Run(way.name, func(t *testing.T) {
			dir := t.TempDir()
			backup := filepath.Join(dir, "x.urdir")
			db := settled(t, way.from(t))
			want := exported(t, db, archive.ExportOptions{Accounts: true})
			_, err := archive.Backup(t.Context(), db, backup, noon)
			must(t, err)

			address := way.to(t)
			there := settled(t, address)
			keep(t, there, "later")
			must(t, there.Close())
			report, err := archive.Restore(t.Context(), backup, address, dir, noon)
			must(t, err)
			there = open(t, address)
			if diff := cmp.Diff(unzipped(t, want), unzipped(t, exported(t, there, archive.ExportOptions{Accounts: true}))); diff != "" {
				t.Errorf("restored (-backup +there):\n%s", diff)
			}
			if has(t, there, "later") {
				t.Error("what came later is still there")
			}
			old := report.Aside
			if store.IsPostgres(address) { // it is a backup: bring it back
				old = file(t)
				_, err := archive.Restore(t.Context(), report.Aside, old, "", noon)
				must(t, err)
			}
			if !has(t, open(t, old), "later") {
				t.Errorf("%s: what was there before is lost", report.Aside)
			}
			nothingLeft(t, dir)
		})
	}
}

// A backup made while someone writes, brought back, is what was there at one moment
// between two acts.
func TestBackup_underLoad(t *testing.T) {
	for name, address := range map[string]func(testing.TB) string{"SQLite": file, "PostgreSQL": pgtest.Start} {
		t.Run(name, func(t *testing.T) {
			db := settled(t, address(t))
			ctx, stop := context.WithCancel(t.Context())
			done := make(chan int)
			go func() {
				n := 0
				for ; ctx.Err() == nil; n++ { // each act is two records and a move
					err := db.Update(context.Background(), hill, store.Act{At: noon, Who: "a", What: "weave"}, func(tx *store.Tx) error {
						_, err := tx.Put(store.Record{Kind: "piece", ID: fmt.Sprint(n)})
						_, err2 := tx.Put(store.Record{Kind: "told", ID: fmt.Sprint(n), Parent: fmt.Sprint(n)})
						return errors.Join(err, err2, tx.Move("red", 1, "outside", "shelf"))
					})
					if err != nil {
						t.Error(err)
						break
					}
				}
				done <- n
			}()
			last := 0
			for i := range 3 {
				backup, back := filepath.Join(t.TempDir(), "x.urdir"), file(t)
				_, err := archive.Backup(t.Context(), db, backup, noon.Add(time.Duration(i)))
				must(t, err)
				_, err = archive.Restore(t.Context(), backup, back, "", noon)
				must(t, err)
				must(t, open(t, back).View(t.Context(), hill, func(tx *store.Tx) error {
					pieces, err := tx.Count(store.Query{Kind: "piece"})
					told, err2 := tx.Count(store.Query{Kind: "told"})
					held, err3 := tx.Held("shelf", "red")
					if pieces != told || int64(pieces)+5000 != held[0].Milligrams || pieces < last {
						t.Errorf("backup %d: %d pieces, %d told, %v on the shelf; %d pieces before", i, pieces, told, held, last)
					}
					last = pieces
					return errors.Join(err, err2, err3)
				}))
			}
			stop()
			if n := <-done; last == 0 || last > n {
				t.Errorf("%d acts in the last backup, of %d", last, n)
			}
		})
	}
}

// nothingLeft fails the test if something half made lies in a folder.
func nothingLeft(tb testing.TB, dir string) {
	tb.Helper()
	if left, err := filepath.Glob(filepath.Join(dir, ".urdir-part-*")); err != nil || len(left) > 0 {
		tb.Errorf("left behind: %v, %v", left, err)
	}
}

// What is no whole backup is refused, and nothing is changed.
func TestRestore_refused(t *testing.T) {
	db := settled(t, file(t))
	name := filepath.Join(t.TempDir(), "x.urdir")
	_, err := archive.Backup(t.Context(), db, name, noon)
	must(t, err)
	good, err := os.ReadFile(name)
	must(t, err)
	export := exported(t, db, archive.ExportOptions{})
	cases := map[string][]byte{"nothing": {}, "text": []byte("Querida cooperativa"), "export": export}
	for _, part := range []int{1, 2, 3, 7, 9} {
		cases[fmt.Sprint("cut at ", part, " tenths")] = good[:len(good)*part/10]
	}
	for i := range 12 { // spoiled anywhere but in what the zip's own tables may ignore
		spoiled := bytes.Clone(good)
		spoiled[600+(len(good)-1600)*i/12] ^= 0x55
		cases[fmt.Sprint("spoiled at ", i, " twelfths")] = spoiled
	}
	address := file(t)
	there := settled(t, address)
	keep(t, there, "mine")
	must(t, there.Close())
	for what, body := range cases {
		must(t, os.WriteFile(name, body, 0o600))
		_, err = archive.Restore(t.Context(), name, address, "", noon)
		want := "backup-damaged"
		if what == "export" {
			want = "backup-is-export"
		}
		wantFaults(t, what, err, want)
	}
	must(t, os.WriteFile(name, rewritten(t, good, `"schema": `, `"schema": 9`), 0o600))
	_, err = archive.Restore(t.Context(), name, address, "", noon)
	wantFaults(t, "newer", err, "backup-newer")
	must(t, os.WriteFile(name, rewritten(t, good, `"name": "=Taller w-shore"`, `"name": "x"},{"id": "w-more"`), 0o600))
	_, err = archive.Restore(t.Context(), name, address, "", noon)
	wantFaults(t, "another number of workshops", err, "backup-damaged")
	_, err = archive.Restore(t.Context(), filepath.Join(t.TempDir(), "none"), address, "", noon)
	wantFaults(t, "none", err, "file-unreadable")

	must(t, os.WriteFile(name, good, 0o600))
	busy := open(t, address)
	has(t, busy, "mine")
	_, err = archive.Restore(t.Context(), name, address, "", noon)
	wantFaults(t, "in use", err, "database-in-use")
	keep(t, busy, "more") // whoever has it open goes on
	must(t, busy.Close())

	entries, err := os.ReadDir(filepath.Dir(address))
	if err != nil || len(entries) != 1 {
		t.Errorf("beside the database: %v, %v", entries, err)
	}
	if !has(t, open(t, address), "mine") {
		t.Error("what was there is gone")
	}
}

// A zip bomb in the form of a backup, telling its size or not, is refused before it
// fills the disk.
func TestRestore_zipBomb(t *testing.T) {
	db := settled(t, file(t))
	name := filepath.Join(t.TempDir(), "x.urdir")
	_, err := archive.Backup(t.Context(), db, name, noon)
	must(t, err)
	good, err := os.ReadFile(name)
	must(t, err)
	files := unzipped(t, good)
	files["urdir.sqlite"] = strings.Repeat("\x00", 64<<20)
	size := regexp.MustCompile(`"size": [0-9]+`)
	for what, says := range map[string]string{"its own size": `"size": 67108864`, "more than it has": `"size": 9000000000000`, "a small size": `"size": 100`} {
		files["manifest.json"] = size.ReplaceAllString(files["manifest.json"], says)
		_, err = archive.Restore(t.Context(), zipped(t, files), file(t), "", noon)
		wantFaults(t, "a bomb that says "+what, err, "backup-damaged")
	}
}

// rewritten is a zip with its manifest changed.
func rewritten(tb testing.TB, body []byte, old, now string) []byte {
	tb.Helper()
	files := unzipped(tb, body)
	if !strings.Contains(files["manifest.json"], old) {
		tb.Fatalf("no %q in %s", old, files["manifest.json"])
	}
	files["manifest.json"] = strings.Replace(files["manifest.json"], old, now, 1)
	out, err := os.ReadFile(zipped(tb, files))
	must(tb, err)
	return out
}

// A database whose books do not add up is not backed up as if they did.
func TestBackup_faults(t *testing.T) {
	dir := t.TempDir()
	from := settled(t, file(t))
	broken := open(t, file(t))
	must(t, from.Read(t.Context(), func(r *store.Reader) error {
		all, err := r.Workshops()
		must(t, err)
		return broken.Fill(t.Context(), func(put store.Put) error {
			return r.CopyTo(func(table string, columns []string, row []any) error {
				if table == "moves" {
					return nil // lost
				}
				return put(table, columns, row)
			}, all)
		})
	}))
	name := filepath.Join(dir, "x.urdir")
	if _, err := archive.Backup(t.Context(), broken, name, noon); err == nil {
		t.Error("a database whose books do not add up was backed up")
	}
	_, err := archive.Backup(t.Context(), from, name, noon)
	must(t, err)
	_, err = archive.Backup(t.Context(), from, name, noon)
	wantFaults(t, "over a backup", err, "file-exists")
	_, err = archive.Backup(t.Context(), from, filepath.Join(dir, "none", "x"), noon)
	wantFaults(t, "no folder", err, "file-unwritable")
	nothingLeft(t, dir)
}

// A program killed at any moment of a backup, a restore or an import has kept what
// was there, and leaves nothing by half under a name that is one's.
func TestKilled(t *testing.T) {
	db := settled(t, file(t))
	keep(t, db, "in the backup")
	backup, export := filepath.Join(t.TempDir(), "x.urdir"), filepath.Join(t.TempDir(), "x.zip")
	_, err := archive.Backup(t.Context(), db, backup, noon)
	must(t, err)
	must(t, os.WriteFile(export, exported(t, db, archive.ExportOptions{}), 0o600))
	spare := func() string { return filepath.Join(t.TempDir(), "urdir.sqlite") }
	finished := map[string]int{}
	for range 8 {
		after := 30*time.Millisecond + rand.N(150*time.Millisecond)

		address, out := spare(), filepath.Join(t.TempDir(), "b")
		must(t, settled(t, address).Close())
		killed(t, "backup", address, out, after)
		made, err := filepath.Glob(out + ".*")
		must(t, err)
		for _, name := range made {
			_, err = archive.Restore(t.Context(), name, spare(), "", noon)
			must(t, err)
		}
		has(t, open(t, address), "")
		finished["backup"] += len(made)

		address = spare()
		there := settled(t, address)
		keep(t, there, "there before")
		must(t, there.Close())
		killed(t, "restore", address, backup, after)
		now := open(t, address)
		if old, restored := has(t, now, "there before"), has(t, now, "in the backup"); old == restored {
			t.Errorf("after a killed restore: old %v, restored %v", old, restored)
		} else if restored {
			finished["restore"]++
			first := address + ".before-restore-20310506T120000Z"
			if !has(t, open(t, first), "there before") {
				t.Error("what was there before is lost")
			}
		}

		address = spare()
		killed(t, "import", address, export, after)
		begun, err := filepath.Glob(address + ".*[0-9]")
		must(t, err)
		for _, name := range begun {
			db := open(t, name)
			all, err := db.Workshops(t.Context())
			must(t, err)
			if len(all) != 0 && (len(all) != 2 || !has(t, db, "in the backup")) {
				t.Errorf("after a killed import: %v", all)
			}
			finished["import"]++
		}
	}
	if finished["backup"] == 0 || finished["restore"] == 0 || finished["import"] == 0 {
		t.Errorf("none was ever done: %v", finished)
	}
	t.Log(finished)
}

// Backups at intervals: the newest are kept, others' files are left alone, and one
// that fails takes none away and is told.
func TestKeeper(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "backups")
	db := settled(t, file(t))
	at := noon
	var log bytes.Buffer
	k := archive.Keeper{DB: db, Dir: dir, Every: time.Hour, Keep: 3, Log: slog.New(slog.NewTextHandler(&log, nil)), Now: func() time.Time { return at }}
	for i := range 5 {
		_, err := k.Once(t.Context())
		must(t, err)
		if i == 0 {
			must(t, os.WriteFile(filepath.Join(dir, "urdir-mine.urdir"), nil, 0o600))
			must(t, os.WriteFile(filepath.Join(dir, "A letter.txt"), nil, 0o600))
		}
		at = at.Add(time.Hour)
	}
	names := func() (out []string) {
		entries, err := os.ReadDir(dir)
		must(t, err)
		for _, e := range entries {
			out = append(out, e.Name())
		}
		return out
	}
	want := []string{"A letter.txt", "urdir-20310506T140000Z.urdir", "urdir-20310506T150000Z.urdir", "urdir-20310506T160000Z.urdir", "urdir-mine.urdir"}
	if diff := cmp.Diff(want, names()); diff != "" {
		t.Errorf("in the folder (-want +got):\n%s", diff)
	}
	// The clock stands: a second one in the same second has the name of the first.
	at = at.Add(-time.Hour)
	if _, err := k.Once(t.Context()); err == nil {
		t.Error("a backup over another")
	}
	at = at.Add(time.Hour)
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan bool)
	go func() { k.Run(ctx); close(done) }() // the newest is an hour old
	for range 200 {
		if strings.Contains(strings.Join(names(), " "), "T170000Z") {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	stop()
	<-done
	if !strings.Contains(strings.Join(names(), " "), "T170000Z") {
		t.Errorf("no backup was made when one was due: %v\n%s", names(), log.String())
	}
	before := names()
	must(t, db.Close())
	at = at.Add(time.Hour)
	ctx, stop = context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer stop()
	k.Run(ctx)
	if !strings.Contains(log.String(), "level=ERROR") || !strings.Contains(log.String(), "BACKUP FAILED") {
		t.Errorf("a backup that failed is not told:\n%s", log.String())
	}
	if diff := cmp.Diff(before, names()); diff != "" {
		t.Errorf("in the folder after one that failed (-want +got):\n%s", diff)
	}
}

// Of two servers before one PostgreSQL that are given the same folder, one makes the
// backup that is due.
func TestKeeper_twoServers(t *testing.T) {
	address := pgtest.Start(t)
	dir := filepath.Join(t.TempDir(), "backups")
	first := settled(t, address)
	second, err := store.Open(t.Context(), address)
	must(t, err)
	defer func() { _ = second.Close() }() // of a test
	var log lockedLog
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var both sync.WaitGroup
	for _, db := range []*store.DB{first, second} {
		k := archive.Keeper{DB: db, Dir: dir, Every: time.Hour, Keep: 3, Log: slog.New(slog.NewTextHandler(&log, nil)), Now: time.Now}
		both.Go(func() { k.Run(ctx) })
	}
	for range 500 {
		if strings.Contains(log.String(), "msg=backup") {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	time.Sleep(300 * time.Millisecond) // for a second one, were there any
	stop()
	both.Wait()
	all, err := archive.Copies(dir)
	if err != nil || len(all) != 1 || strings.Contains(log.String(), "FAILED") {
		t.Errorf("%d backups, %v, want 1:\n%s", len(all), err, log.String())
	}
}

// lockedLog is a log of several writers.
type lockedLog struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *lockedLog) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *lockedLog) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
