package store_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// writeTo names the database that the test program, started by itself, writes to
// until it is killed.
const writeTo = "URDIR_TEST_WRITE_TO"

func TestMain(m *testing.M) {
	if address := os.Getenv(writeTo); address != "" {
		fmt.Fprintln(os.Stderr, writeForEver(address))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// writeForEver keeps a record and a move in each act, and prints the act's number
// once it is on disk.
func writeForEver(address string) error {
	ctx := context.Background()
	db, err := store.Open(ctx, address)
	if err != nil {
		return err
	}
	for {
		n, err := writeOne(ctx, db)
		if err != nil {
			return err
		}
		fmt.Println(n)
	}
}

// writeOne keeps a record and a move in one act, and gives the act's number.
func writeOne(ctx context.Context, db *store.DB) (n int64, _ error) {
	err := db.Update(ctx, shore, act("piece.weave"), func(tx *store.Tx) (err error) {
		if n, err = tx.Next("piece"); err != nil {
			return err
		}
		_, err = tx.Put(store.Record{Kind: "piece", ID: fmt.Sprint(n), Body: fmt.Sprintf(`{"mg":%d}`, n)})
		return errors.Join(err, tx.Move("red", n, "outside", "piece "+fmt.Sprint(n)))
	})
	return n, err
}

// writeUntil writes until it is told to stop.
func writeUntil(ctx context.Context, db *store.DB) error {
	for {
		switch _, err := writeOne(ctx, db); {
		case ctx.Err() != nil:
			return nil //nolint:nilerr // it was told to stop
		case err != nil:
			return err
		}
	}
}

// A program that is killed at any moment has kept every act it said it had, and
// no act by half.
func TestKilledProgram(t *testing.T) {
	t.Run("SQLite", func(t *testing.T) { killAndLook(t, filepath.Join(t.TempDir(), "urdir.db"), 100) })
	t.Run("PostgreSQL", func(t *testing.T) { killAndLook(t, pgtest.Start(t), 10) })
}

func killAndLook(t *testing.T, address string, times int) {
	t.Helper()
	first := settle(t, address)
	must(t, first.Close())
	var said, kept int64
	for range times {
		said = writeUntilKilled(t, address)
		db, err := store.Open(t.Context(), address)
		must(t, err)
		kept = whole(t, db)
		must(t, db.Close())
		if kept != said && kept != said+1 { // the last one may be on disk, and not yet said
			t.Fatalf("acts kept: %d, acts said to be kept: %d", kept, said)
		}
		if t.Failed() {
			return
		}
	}
	if said < int64(times) {
		t.Errorf("acts: %d in %d lives, too few to have been killed in the middle of some", said, times)
	}
	t.Logf("killed %d times, %d acts", times, kept)
}

// writeUntilKilled starts the writer, kills it 5 to 40 ms after it has opened the
// database, and gives the last number it said, or 0.
func writeUntilKilled(t *testing.T, address string) (last int64) {
	t.Helper()
	self, err := os.Executable()
	must(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), writeTo+"="+address)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	lines := bufio.NewScanner(out)
	for first := true; lines.Scan(); first = false {
		if first {
			time.AfterFunc(5*time.Millisecond+rand.N(35*time.Millisecond), func() { _ = cmd.Process.Kill() })
		}
		n, err := strconv.ParseInt(lines.Text(), 10, 64)
		must(t, err)
		if n != last+1 && last > 0 {
			t.Fatalf("act %d said after %d", n, last)
		}
		last = n
	}
	if err := cmd.Wait(); err == nil || cmd.ProcessState.Exited() {
		t.Fatalf("the writer ended by itself: %v", err)
	}
	return last
}

// A program that is killed while it makes its database leaves one that the next
// can go on with.
func TestKilledWhileOpening(t *testing.T) {
	self, err := os.Executable()
	must(t, err)
	made := 0
	const lives = 40
	for i := range lives {
		path := filepath.Join(t.TempDir(), "urdir.db")
		cmd := exec.Command(self)
		cmd.Env = append(os.Environ(), writeTo+"="+path)
		must(t, cmd.Start())
		time.Sleep(time.Duration(i) * time.Millisecond)
		_ = cmd.Process.Kill() // it may have ended: there is no workshop to write to
		_ = cmd.Wait()         // it was killed
		if _, err := os.Stat(path); err == nil {
			made++
		}
		db := settle(t, path)
		update(t, db, "season.keep", keepSeason)
		view(t, db, shore, seasonIsThere(t))
		sound(t, db)
	}
	if made == 0 {
		t.Errorf("in none of %d lives was the file begun", lives)
	}
}

// whole fails the test unless every act has its record, its move and its entry,
// and gives how many acts there are.
func whole(t *testing.T, db *store.DB) int64 {
	t.Helper()
	update(t, db, "wait", func(*store.Tx) error { return nil }) // a server may still be at the last act
	sound(t, db)
	entries := history(t, db)
	view(t, db, shore, func(tx *store.Tx) error {
		pieces, _, err := tx.List(store.Query{Kind: "piece"})
		moves, err2 := tx.Moves("", "")
		if len(pieces) != len(entries) || len(moves) != len(entries) {
			t.Errorf("%d entries, %d records, %d moves", len(entries), len(pieces), len(moves))
		}
		for i, m := range moves {
			if n := int64(i + 1); m.Milligrams != n || m.To != fmt.Sprint("piece ", n) {
				t.Errorf("move %d: got %+v", n, m)
			}
		}
		for _, p := range pieces {
			if want := fmt.Sprintf(`{"mg":%s}`, p.ID); p.Body != want {
				t.Errorf("piece %s: got %s", p.ID, p.Body)
			}
		}
		return errors.Join(err, err2)
	})
	return int64(len(entries))
}
