package workshop

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"urdir/check"
)

// phoned is a telling of the weaver's telephone.
func (s *shop) phoned(n int64, t Telling) Telling {
	t.Account, t.Device, t.N = s.weaver.Account, "telephone", n
	if t.Key == "" {
		t.Key = fmt.Sprintf("key-of-telling-%04d", n)
	}
	return t
}

// codes says a refusal by its codes.
func codes(ps check.Problems) (out string) {
	for _, p := range ps {
		out += p.Code + " "
	}
	return out
}

// However often and on whichever server a telling comes, it is taken once and
// answered the same; so is a refusal, even when what it was refused for is over.
func TestTellHand_once(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		j := s.give(s.running("scarf", 1).Jobs[0], s.weaver)
		early := s.phoned(1, Telling{Kind: TellWoven, Job: j.ID, CM: 9999})
		late := s.phoned(2, Telling{Kind: TellWoven, Job: j.ID, CM: 40, Shown: "1999-01-01 03:00"})
		for _, x := range []Telling{early, late} {
			var mu sync.Mutex
			got := map[Heard]int{}
			crowd([2]*House{s.h, second}, 8, func(h *House, _ int) {
				a, err := h.TellHand(ctx, s.weaver, x, codes)
				if err != nil {
					t.Errorf("telling %d: %v", x.N, err)
				}
				mu.Lock()
				defer mu.Unlock()
				got[a]++
			})
			if len(got) != 1 {
				t.Errorf("telling %d was answered %v", x.N, got)
			}
		}
		if h := must(s.h.TellHand(ctx, s.weaver, early, codes)); h.Taken || h.Said != "size-out-of-range " {
			t.Errorf("the refused one: %+v", h)
		}
		facts := must(s.h.Job(ctx, s.weaver, j.ID)).Value.Facts
		if len(facts) != 2 || facts[1].CM != 40 {
			t.Fatalf("facts: %+v", facts)
		}
		if f := facts[1]; f.At != "2031-05-06" || f.Shown != "1999-01-01 03:00" {
			t.Errorf("dated %s, shown %s: the telephone's clock is not the workshop's", f.At, f.Shown)
		}
	})
}

// What comes out of its order, under a key of another telling, from someone else's
// page or of someone else's warp changes nothing.
func TestTellHand_refused(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		j := s.give(s.running("scarf", 1).Jobs[0], s.weaver)
		tell := func(n int64, x Telling) Heard { return must(s.h.TellHand(ctx, s.weaver, s.phoned(n, x), codes)) }
		if h := tell(5, Telling{Kind: TellWoven, Job: j.ID, CM: 50}); !h.Taken {
			t.Fatal(h)
		}
		if h := tell(4, Telling{Kind: TellWoven, Job: j.ID, CM: 10}); h.Taken || h.Said != "telling-late " {
			t.Errorf("one that was told before: %+v", h)
		}
		_, err := s.h.TellHand(ctx, s.weaver, s.phoned(5, Telling{Kind: TellWoven, Job: j.ID, CM: 60}), codes)
		wantProblem(t, "another under the key", err, "", "telling-again")
		_, err = s.h.TellHand(ctx, s.other, s.phoned(6, Telling{Kind: Well}), codes)
		wantProblem(t, "someone else's page", err, "account", OtherTells)
		hers := Telling{Account: s.other.Account, Device: "d", N: 1, Key: "key-of-the-other-one", Kind: TellWoven, Job: j.ID, CM: 99}
		if h := must(s.h.TellHand(ctx, s.other, hers, codes)); h.Taken {
			t.Error("told of another's warp")
		}
		if woven := must(s.h.Job(ctx, s.weaver, j.ID)).Value.Woven(); woven != 50 {
			t.Errorf("woven: %v", woven)
		}
		s.clock.pass((tellingDays + 1) * 24 * time.Hour)
		must(0, s.h.SweepPost(ctx, s.weaver.Workshop))
		if h := tell(1, Telling{Kind: Well}); !h.Taken {
			t.Errorf("after more than a year: %+v", h)
		}
	})
}

// What a member says reaches the workshop once, until someone has heard it; being
// ill is an absence until she is well.
func TestTellHand_says(t *testing.T) {
	s := newShop(t, file(t))
	j := s.give(s.running("scarf", 1).Jobs[0], s.weaver)
	n := int64(0)
	tell := func(x Telling) {
		t.Helper()
		n++
		if h := must(s.h.TellHand(ctx, s.weaver, s.phoned(n, x), codes)); !h.Taken {
			t.Fatalf("%s: %s", x.Kind, h.Said)
		}
	}
	lot := must(s.h.Job(ctx, s.weaver, j.ID)).Needs[0].Lot
	tell(Telling{Kind: AskYarn, Job: j.ID, Lot: lot, Grams: 50})
	tell(Telling{Kind: AskYarn, Job: j.ID, Lot: lot, Grams: 80})
	tell(Telling{Kind: Ill, Until: "2031-05-20", Why: "enferma"})
	tell(Telling{Kind: TellPlace, Job: j.ID, Stripes: 2})
	tell(Telling{Kind: TellPlace, Job: j.ID, Stripes: 3})
	hand := must(s.h.Hand(ctx, s.weaver))
	if hand.Absent == nil || hand.Absent.To != "2031-05-20" || hand.Jobs[0].Stripes != 3 || len(hand.Said) != 2 {
		t.Fatalf("her hand: absent %v, said %v", hand.Absent, hand.Said)
	}
	kinds := map[string]int{}
	for _, e := range must(s.h.Today(ctx, s.head)).Errands {
		kinds[e.Kind]++
	}
	if kinds["errand-says-yarn"] != 1 || kinds["errand-says-ill"] != 1 {
		t.Errorf("today: %v", kinds)
	}
	tell(Telling{Kind: Well, Why: "enferma"})
	tell(Telling{Kind: MoreWork, Until: "2031-06-01"})
	hand = must(s.h.Hand(ctx, s.weaver))
	if hand.Absent != nil || len(hand.Member.Value.Time.Absences) != 0 {
		t.Errorf("well again: %v", hand.Member.Value.Time.Absences)
	}
	for _, k := range must(s.h.Sayings(ctx, s.head, s.weaver.Member)) {
		must(s.h.HeardSaying(ctx, s.dyer, k.ID, k.Revision))
	}
	for _, e := range must(s.h.Today(ctx, s.head)).Errands {
		if e.Where == "member" {
			t.Errorf("still there: %+v", e)
		}
	}
}
