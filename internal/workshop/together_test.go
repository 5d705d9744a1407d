package workshop

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// crowd runs f at once in many goroutines, half of them on each house.
func crowd(houses [2]*House, n int, f func(h *House, i int)) {
	var group sync.WaitGroup
	begin := make(chan struct{})
	for i := range n {
		group.Go(func() { <-begin; f(houses[i%2], i) })
	}
	close(begin)
	group.Wait()
}

func TestTogether_oneOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		houses := [2]*House{s.h, second}
		o := s.draft(example("scarf"), 1)
		for range 3 {
			var won atomic.Int64
			shown := make([]any, 12)
			crowd(houses, len(shown), func(h *House, i int) {
				v := o
				v.Value.Wishes = fmt.Sprintf("deseo %d", i)
				_, err := h.SaveOrder(ctx, s.seller, v)
				var e *Error
				switch {
				case err == nil:
					won.Add(1)
				case errors.As(err, &e) && e.Code == Conflict:
					shown[i] = e.Now
				default:
					t.Errorf("saving: %v", err)
				}
			})
			if won.Load() != 1 {
				t.Fatalf("%d changes of one revision were kept, want 1", won.Load())
			}
			now := must(s.h.Order(ctx, s.head, o.ID)).Kept
			for i, got := range shown {
				if got != nil && !cmp.Equal(got, any(now)) {
					t.Errorf("conflict of %d shows %+v, want %+v", i, got, now)
				}
			}
			o = now
		}
	})
}

// A button pressed twice gives out once; two who confirm make the warps once.
func TestTogether_twice(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		houses := [2]*House{s.h, second}
		o := s.draft(example("scarf"), 2)
		once := func(what string, n int, f func(h *House) error) {
			t.Helper()
			var won atomic.Int64
			crowd(houses, n, func(h *House, _ int) {
				switch err := f(h); {
				case err == nil:
					won.Add(1)
				case CodeOf(err) != Conflict && CodeOf(err) != Invalid:
					t.Errorf("%s: %v", what, err)
				}
			})
			if won.Load() != 1 {
				t.Errorf("%s was done %d times, want 1", what, won.Load())
			}
		}
		once("confirming", 8, func(h *House) error { _, err := h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision); return err })
		v := s.supply(o.ID, 3)
		if len(v.Jobs) != 1 || len(v.Pieces) != 2 {
			t.Fatalf("%d warps and %d pieces, want 1 and 2", len(v.Jobs), len(v.Pieces))
		}
		j, needed := v.Jobs[0], s.needed(v.Jobs[0].ID)
		once("giving out", 8, func(h *House) error {
			_, err := h.GiveOut(ctx, s.dyer, j.ID, j.Revision, s.weaver.Member, needed, Money{})
			return err
		})
		sum := int64(0)
		for _, g := range needed {
			sum += milligrams(g)
		}
		if got := s.in(Bag(j.ID)); got != sum {
			t.Errorf("in the bag: %d mg, want %d, given once", got, sum)
		}
		_, err := second.GiveOut(ctx, s.dyer, j.ID, j.Revision, s.other.Member, needed, Money{})
		wantProblem(t, "giving out again later", err, "member", "job-taken")
		j = must(s.h.Order(ctx, s.head, o.ID)).Jobs[0]
		once("taking back", 8, func(h *House) error {
			_, err := h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(sum/2), nil)
			return err
		})
		// Both pieces at once: what is left of the cloth is cut off once, by the last.
		crowd(houses, 2, func(h *House, i int) {
			x := v.Pieces[i]
			if _, err := h.Finish(ctx, s.seller, x.ID, x.Revision, grams(sum/8), 0, 0, ""); err != nil {
				t.Errorf("finishing piece %d: %v", i, err)
			}
		})
		if got := s.in(Woven(j.ID)); got != 0 {
			t.Errorf("both pieces are finished and %d mg of their cloth are left over", got)
		}
		s.balanced()
	})
}

// The last two things told of an order, at once: it is done.
func TestTogether_done(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		for range 4 {
			o := s.running("scarf", 1)
			j, x := s.woven(o.Jobs[0], s.weaver), o.Pieces[0]
			x = must(s.h.Finish(ctx, s.seller, x.ID, x.Revision, 40, 0, 0, ""))
			crowd([2]*House{s.h, second}, 2, func(h *House, i int) {
				var err error
				if i == 0 {
					_, err = h.Deliver(ctx, s.seller, x.ID, x.Revision)
				} else {
					_, err = h.Paid(ctx, s.keeper, j.ID, j.Revision, Money{Minor: 5, Currency: "USD"}, "")
				}
				if err != nil {
					t.Error(err)
				}
			})
			if v := must(s.h.Order(ctx, s.head, o.ID)).Value; v.Done == "" {
				t.Error("delivered and paid at once, and not done")
			}
		}
	})
}

// Whoever cancels an order while its yarn is given out does not do both.
func TestTogether_cancelAndGiveOut(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		for range 4 {
			o := s.running("scarf", 1)
			j, needed := o.Jobs[0], s.needed(o.Jobs[0].ID)
			var done atomic.Int64
			crowd([2]*House{s.h, second}, 2, func(h *House, i int) {
				var err error
				if i == 0 {
					_, err = h.CancelOrder(ctx, s.seller, o.ID, o.Revision)
				} else {
					_, err = h.GiveOut(ctx, s.dyer, j.ID, j.Revision, s.weaver.Member, needed, Money{})
				}
				switch CodeOf(err) {
				case "":
					if err != nil {
						t.Errorf("a fault: %v", err)
					}
					done.Add(1)
				case Invalid, Conflict, NotFound:
				default:
					t.Errorf("refused with %v", err)
				}
			})
			if done.Load() != 1 {
				t.Errorf("%d of cancelling and giving out were done, want 1", done.Load())
			}
		}
		s.balanced()
	})
}
