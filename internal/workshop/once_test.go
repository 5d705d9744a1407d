package workshop

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"
)

// However many ask the same under one key at once, on two servers, one change is
// made and all get the same answer.
func TestOnce_together(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		ask := Asker{s.seller.Workshop, s.seller.Account, "k-1", "digest"}
		var mu sync.Mutex
		replies := map[Reply]int{}
		crowd([2]*House{s.h, second}, 12, func(h *House, i int) {
			r, err := h.Once(ctx, ask, func(ctx context.Context) (Reply, error) {
				c, err := h.SaveCustomer(ctx, s.seller, Kept[Customer]{Value: Customer{Name: fmt.Sprint("Posada ", i)}})
				return Reply{Status: 201, Tag: fmt.Sprint(c.Revision), Body: c.ID + " " + c.Value.Name}, err
			})
			if err != nil {
				t.Errorf("asking: %v", err)
			}
			mu.Lock()
			defer mu.Unlock()
			replies[r]++
		})
		if l := must(s.h.Customers(ctx, s.head, Page{})); l.Count != 1 {
			t.Errorf("%d customers, want 1", l.Count)
		}
		bodies := map[string]bool{}
		for r, n := range replies {
			bodies[r.Body] = true
			if !r.Again && n != 1 {
				t.Errorf("%d were answered as the first", n)
			}
		}
		if len(bodies) != 1 || len(replies) != 2 {
			t.Errorf("replies: %v", replies)
		}
		ask.Digest = "other"
		_, err := s.h.Once(ctx, ask, func(context.Context) (Reply, error) { return Reply{}, nil })
		wantProblem(t, "another change under the key", err, "", "key-again")
		ask.Account = "a-someone"
		if r := must(s.h.Once(ctx, ask, func(context.Context) (Reply, error) { return Reply{Status: 204}, nil })); r.Again {
			t.Error("someone else's key")
		}
	})
}

// What is refused changes nothing and is not remembered; what was answered is
// remembered for a week.
func TestOnce_allOrNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		ask := Asker{s.seller.Workshop, s.seller.Account, "k-1", "digest"}
		n := 0
		two := func(name string) func(context.Context) (Reply, error) {
			return func(ctx context.Context) (Reply, error) {
				n++
				if _, err := s.h.SaveCustomer(ctx, s.seller, Kept[Customer]{Value: Customer{Name: "Posada"}}); err != nil {
					return Reply{}, err
				}
				_, err := s.h.SaveCustomer(ctx, s.seller, Kept[Customer]{Value: Customer{Name: name}})
				return Reply{Status: 201, Body: name}, err
			}
		}
		_, err := s.h.Once(ctx, ask, two(""))
		wantProblem(t, "the second", err, "name", "field-empty")
		if l := must(s.h.Customers(ctx, s.head, Page{})); l.Count != 0 {
			t.Fatalf("%d customers after a refusal", l.Count)
		}
		for day, want := range []int{2, 2, 3} {
			must(s.h.Once(ctx, ask, two("Fonda")))
			if n != want {
				t.Errorf("try %d: done %d times, want %d", day, n, want)
			}
			s.clock.pass(85 * time.Hour) // a little more than three days and a half
		}
	})
}
