package store_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
)

// crowd runs f in many goroutines at once, half of them on each of two openings
// of the same database.
func crowd(t *testing.T, dbs [2]*store.DB, n int, f func(db *store.DB, i int) error) {
	t.Helper()
	var group sync.WaitGroup
	begin := make(chan struct{})
	for i := range n {
		group.Go(func() {
			<-begin
			if err := f(dbs[i%2], i); err != nil {
				t.Errorf("goroutine %d: %v", i, err)
			}
		})
	}
	close(begin)
	group.Wait()
}

func TestOneOfManyChangesWins(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{settle(t, address), open(t, address)}
		update(t, dbs[0], "order.make", puts(store.Record{Kind: "order", ID: "o1", Body: "0"}))
		const rounds, people = 5, 20
		for round := int64(1); round <= rounds; round++ {
			var winners atomic.Int64
			var won atomic.Value
			seen := make([]string, people)
			crowd(t, dbs, people, func(db *store.DB, i int) error {
				body := fmt.Sprintf("%d by %d", round, i)
				err := db.Update(t.Context(), shore, act("order.save"), puts(store.Record{Kind: "order", ID: "o1", Revision: round, Body: body}))
				if c, ok := errors.AsType[*store.Conflict](err); ok {
					seen[i] = fmt.Sprint(c.Now.Body, " at ", c.Now.Revision)
					return nil
				}
				winners.Add(1)
				won.Store(body)
				return err
			})
			if winners.Load() != 1 {
				t.Fatalf("round %d: %d changes of the same revision were kept, want 1", round, winners.Load())
			}
			want := fmt.Sprint(won.Load(), " at ", round+1)
			for i, s := range seen {
				if s != "" && s != want {
					t.Errorf("round %d: conflict of %d shows %q, want %q", round, i, s, want)
				}
			}
		}
		if got := len(history(t, dbs[1])); got != rounds+1 {
			t.Errorf("entries: got %d, want %d", got, rounds+1)
		}
	})
}

// Acts that touch the same things in another order wait for one another; none
// gives up.
func TestActsInAnyOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{settle(t, address), open(t, address)}
		update(t, dbs[0], "buy", func(tx *store.Tx) error {
			return errors.Join(tx.Move("lot", 1000, "outside", "A"), tx.Move("lot", 1000, "outside", "B"))
		})
		const acts = 40
		crowd(t, dbs, acts, func(db *store.DB, i int) error {
			return db.Update(t.Context(), shore, act("swap"), func(tx *store.Tx) error {
				steps := []func() error{
					func() error { return tx.Move("lot", 10, "A", "B") },
					func() error { _, err := tx.Next("piece"); return err },
					func() error { _, err := tx.Put(store.Record{Kind: "piece", ID: fmt.Sprint(i)}); return err },
				}
				if i%4 < 2 { // two of four, so that both openings have both orders
					steps[0], steps[2] = steps[2], func() error { return tx.Move("lot", 10, "B", "A") }
				}
				for _, step := range steps {
					if err := step(); err != nil {
						return err
					}
				}
				return nil
			})
		})
		sound(t, dbs[0])
		if got := len(history(t, dbs[0])); got != acts {
			t.Errorf("entries: got %d, want %d", got, acts)
		}
		view(t, dbs[1], shore, func(tx *store.Tx) error {
			held, err := tx.Held("", "lot")
			want := []store.Stock{{"A", "lot", 1000}, {"B", "lot", 1000}, {"outside", "lot", -2000}}
			if diff := cmp.Diff(want, held); diff != "" {
				t.Errorf("stock (-want +got):\n%s", diff)
			}
			return err
		})
	})
}

// What an act has read still holds when it writes: here, that a loom is free.
func TestActSeesWhatFormerOnesDid(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{settle(t, address), open(t, address)}
		crowd(t, dbs, 12, func(db *store.DB, i int) error {
			return db.Update(t.Context(), shore, act("loom.take"), func(tx *store.Tx) error {
				n, err := tx.Count(store.Query{Kind: "warp", Parent: "loom-1"})
				if err != nil || n > 0 {
					return err
				}
				_, err = tx.Put(store.Record{Kind: "warp", ID: fmt.Sprint(i), Parent: "loom-1"})
				return err
			})
		})
		view(t, dbs[0], shore, func(tx *store.Tx) error {
			n, err := tx.Count(store.Query{Kind: "warp"})
			if n != 1 {
				t.Errorf("warps on a loom for one: got %d", n)
			}
			return err
		})
	})
}

func TestNextHasNoGaps(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{settle(t, address), open(t, address)}
		changed := errors.New("changed my mind")
		const people = 30
		var given [people + 1]atomic.Int64
		crowd(t, dbs, people, func(db *store.DB, i int) error {
			var n int64
			err := db.Update(t.Context(), shore, act("number"), func(tx *store.Tx) (err error) {
				if n, err = tx.Next("order"); err == nil && i%3 == 0 {
					err = changed
				}
				return err
			})
			if errors.Is(err, changed) {
				return nil
			}
			if err == nil && n >= 1 && n <= people {
				given[n].Add(1)
			}
			return err
		})
		for n := 1; n <= people*2/3; n++ {
			if got := given[n].Load(); got != 1 {
				t.Errorf("number %d was given %d times", n, got)
			}
		}
		update(t, dbs[0], "number", func(tx *store.Tx) error {
			if n, err := tx.Next("piece"); n != 1 || err != nil {
				t.Errorf("first number of another name: got %d, %v", n, err)
			}
			n, err := tx.Next("order")
			if n != people*2/3+1 {
				t.Errorf("next number: got %d, want %d", n, people*2/3+1)
			}
			return err
		})
		// The store's own counters are out of reach of a name a user might choose.
		update(t, dbs[0], "number", func(tx *store.Tx) error { _, err := tx.Next("history"); return err })
		update(t, dbs[0], "order.save", puts(store.Record{Kind: "order", ID: "1"}))
		history(t, dbs[0])
	})
}

func TestActThatEndsEarlyLeavesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		outer := t.Context() // the end of a part's own context would tidy up after it
		o1 := puts(store.Record{Kind: "order", ID: "o1"})
		t.Run("error", func(t *testing.T) {
			mine := errors.New("mine")
			wants(t, db.Update(outer, shore, act("x"), func(tx *store.Tx) error { return errors.Join(o1(tx), mine) }), mine)
		})
		t.Run("cancelled", func(t *testing.T) {
			ctx, cancel := context.WithCancel(t.Context())
			err := db.Update(ctx, shore, act("x"), func(tx *store.Tx) error { defer cancel(); return o1(tx) })
			wants(t, err, context.Canceled)
		})
		t.Run("panic", func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("the panic did not come through")
				}
			}()
			_ = db.Update(outer, shore, act("x"), func(tx *store.Tx) error { panic(o1(tx)) })
		})
		ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
		defer cancel()
		if err := db.Update(ctx, shore, act("order.save"), o1); err != nil {
			t.Errorf("the next act: %v", err)
		}
		if got := history(t, db); len(got) != 1 || got[0].Act != "order.save" {
			t.Errorf("history: got %v, want the act that was done, alone", got)
		}
	})
}

// A View sees one moment, whatever is written meanwhile, and holds nobody up.
func TestViewIsSteady(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		dbs := [2]*store.DB{settle(t, address), open(t, address)}
		view(t, dbs[0], shore, func(tx *store.Tx) error {
			before, err := tx.Count(store.Query{})
			if err != nil {
				return err
			}
			update(t, dbs[1], "order.save", puts(store.Record{Kind: "order", ID: "o1"}))
			update(t, dbs[0], "order.save", puts(store.Record{Kind: "order", ID: "o2"}))
			after, err := tx.Count(store.Query{})
			if before != 0 || after != 0 {
				t.Errorf("records: first %d, then %d, want none and none", before, after)
			}
			return err
		})
	})
}

func TestManyOpenAnEmptyDatabase(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		var group sync.WaitGroup
		for range 8 {
			group.Go(func() {
				db, err := store.Open(t.Context(), address)
				if err != nil {
					t.Errorf("open: %v", err)
					return
				}
				if err := db.Close(); err != nil {
					t.Error(err)
				}
			})
		}
		group.Wait()
	})
}

// A server can start while another works, and while a copy is being made.
func TestOpenDoesNotWaitForReaders(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		view(t, db, shore, func(tx *store.Tx) error {
			if _, err := tx.Count(store.Query{}); err != nil {
				return err
			}
			ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
			defer cancel()
			second, err := store.Open(ctx, address)
			if err != nil {
				t.Fatalf("open while a view is: %v", err)
			}
			return second.Close()
		})
	})
}
