package torture_test

import (
	"context"
	crand "crypto/rand"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"urdir/internal/store"
	"urdir/internal/workshop"
)

// A power cut leaves the file and of its log as much as was forced to disk, with
// anything behind that. Here the log is cut, or overwritten with noise, at any byte:
// the acts acknowledged while the log was no longer than that are there, and no others.
// What is not tried is a disk that says it has written and has not.
func TestPowerCut(t *testing.T) {
	rounds := kills(600)
	for left := rounds; left > 0; left -= 30 {
		cutPower(t, min(left, 30))
	}
	counts.add("power cuts", rounds)
}

func cutPower(t *testing.T, times int) {
	t.Helper()
	s := newShop(t, "")
	var log []int64 // length of the log after each act
	var last int64
	s.inHouse(t, func(db *store.DB, h *workshop.House) {
		ctx := context.Background()
		base := moves(t, db, s.head.Workshop) // these are in the file
		for range 40 {
			must(t, h.Receive(ctx, s.head, s.lot, gramsFrom(s.one()), workshop.Money{Minor: 7, Currency: "USD"}, ""))
			info, err := os.Stat(s.address + "-wal")
			must(t, err)
			if info.Size() < last {
				t.Fatal("the log began anew within forty acts")
			}
			last = info.Size()
			log = append(log, last)
		}
		file, err := os.ReadFile(s.address)
		must(t, err)
		wal, err := os.ReadFile(s.address + "-wal")
		must(t, err)
		for i := range times {
			at := rand.IntN(len(wal) + 1)
			torn := append([]byte{}, wal[:at]...)
			if i%2 == 0 { // blocks that were never written hold anything
				noise := make([]byte, len(wal)-at)
				_, _ = crand.Read(noise) // it never fails
				torn = append(torn, noise...)
			}
			want := base
			for _, n := range log {
				if n <= int64(at) {
					want++
				}
			}
			openTorn(t, s, file, torn, want)
		}
	})
}

func moves(tb testing.TB, db *store.DB, workshop string) (n int64) {
	tb.Helper()
	must(tb, db.View(context.Background(), workshop, func(tx *store.Tx) error {
		all, err := tx.Moves("", "")
		n = int64(len(all))
		return err
	}))
	return n
}

// openTorn opens what a cut left and wants as many moves.
func openTorn(t *testing.T, s *shop, file, wal []byte, want int64) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "urdir.sqlite")
	must(t, os.WriteFile(path, file, 0o600), os.WriteFile(path+"-wal", wal, 0o600))
	db, err := store.Open(t.Context(), path)
	must(t, err)
	defer func() { must(t, db.Close(), os.Remove(path)) }()
	faults, err := db.Verify(t.Context())
	must(t, err)
	if got := moves(t, db, s.head.Workshop); len(faults) > 0 || got != want {
		t.Errorf("%d moves, want %d; faults: %v", got, want, faults)
	}
}
