package store_test

import (
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"golang.org/x/time/rate"
	"pgregory.net/rapid"

	"urdir/internal/store"
)

// However tries fall, they are let through as a token bucket lets them
// (golang.org/x/time/rate); seconds and eighths are exact in both.
func TestTry_asABucket(t *testing.T) {
	onBoth(t, func(tb *testing.T, address string) {
		db, n := open(tb, address), 0
		rapid.Check(tb, func(t *rapid.T) {
			l := store.Limit{AtOnce: rapid.IntRange(1, 6).Draw(t, "at once"), Every: 8 * time.Second}
			bucket, at := rate.NewLimiter(rate.Every(l.Every), l.AtOnce), noon
			n++
			name := fmt.Sprint("name ", n)
			for range rapid.IntRange(1, 12).Draw(t, "tries") {
				at = at.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "seconds")) * time.Second)
				spent, err := db.Spent(tb.Context(), name, at, l)
				must(tb, err)
				ok, err := db.Try(tb.Context(), name, at, l)
				must(tb, err)
				if want := bucket.AllowN(at, 1); ok != want || spent == want {
					t.Fatalf("%v after noon: let through %v, spent %v, want %v", at.Sub(noon), ok, spent, want)
				}
			}
		})
		must(tb, db.DropOld(tb.Context(), noon.Add(time.Hour)))
		if left := rawFor(tb, address, "").texts(tb, `SELECT name FROM tries`); len(left) != 0 {
			tb.Errorf("tries that are back are kept: %q", left)
		}
	})
}

// Several servers of one database count together, at the same moment too.
func TestTry_together(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{open(t, address), open(t, address)}
		l := store.Limit{AtOnce: 7, Every: time.Second}
		var let atomic.Int64
		crowd(t, dbs, 40, func(db *store.DB, _ int) error {
			ok, err := db.Try(t.Context(), "maru", noon, l)
			if ok {
				let.Add(1)
			}
			return err
		})
		if let.Load() != 7 {
			t.Errorf("%d let through, want 7", let.Load())
		}
	})
}

// Tries of a day on which the clock was years ahead shut nobody out for years; those of
// a server whose clock is a little ahead count.
func TestTry_clockThatWasWrong(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := open(t, address)
		l := store.Limit{AtOnce: 2, Every: time.Minute}
		for _, of := range []struct {
			ahead time.Duration
			left  bool
		}{{87600 * time.Hour, true}, {10 * time.Second, false}} {
			name := of.ahead.String()
			for range 2 {
				ok, err := db.Try(t.Context(), name, noon.Add(of.ahead), l)
				if err != nil || !ok {
					t.Fatal(ok, err)
				}
			}
			spent, err := db.Spent(t.Context(), name, noon, l)
			must(t, err)
			ok, err := db.Try(t.Context(), name, noon, l)
			must(t, err)
			if ok != of.left || spent == of.left {
				t.Errorf("%s: let through %v, spent %v", name, ok, spent)
			}
		}
	})
}
