package torture_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"urdir/internal/archive"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// leaping is a clock that is at another time whenever it is looked at: ten years on,
// ten years back, an hour twice.
func leaping() time.Time {
	return time.Now().Add(time.Duration(rand.Int64N(2*87600)-87600) * time.Hour)
}

// Acts by a clock that leaps are kept in the order they were done, and books, stock
// and history are whole.
func TestLeapingClock(t *testing.T) {
	s := newShop(t, "")
	acts := 4 * kills(1000)
	s.inHouse(t, func(db *store.DB, _ *workshop.House) {
		h := workshop.New(db, leaping)
		var group sync.WaitGroup
		for range 4 {
			group.Go(func() {
				for range acts / 4 {
					n := s.one()
					cost := workshop.Money{Minor: n, Currency: "USD"}
					if err := h.Receive(context.Background(), s.head, s.lot, gramsFrom(n), cost, ""); err != nil {
						t.Error(err)
						return
					}
					s.keep("", moved{"receive", n})
				}
			})
		}
		group.Wait()
		s.checkIn(t, db, workshop.New(db, time.Now))
		must(t, db.View(t.Context(), s.head.Workshop, func(tx *store.Tx) error {
			seq := int64(0)
			return tx.EachPosting(func(e store.Posting) error {
				if seq++; e.Seq != seq {
					t.Errorf("entry %d stands at %d", e.Seq, seq)
				}
				return nil
			})
		}))
		for i := range 3 {
			file := filepath.Join(t.TempDir(), fmt.Sprint(i, ".urdir"))
			_, err := archive.Backup(t.Context(), db, file, leaping())
			must(t, err)
			_, err = archive.Try(t.Context(), file)
			must(t, err)
		}
	})
	counts.add("acts by a clock that leaps", s.acts())
}
