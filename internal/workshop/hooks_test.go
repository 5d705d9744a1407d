package workshop

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// told is the events an address waits for, as "order.weaving: confirmed -> weaving".
func (s *shop) told(hook string) (out []string) {
	must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) error {
		ms, err := tx.Messages(hook, 0, 100)
		for _, m := range slices.Backward(ms) {
			var e Event
			must(0, json.Unmarshal([]byte(m.Body), &e))
			if e.Order == nil {
				out = append(out, e.Event)
				continue
			}
			out = append(out, e.Event+": "+string(e.Order.Was)+" -> "+string(e.Order.Step))
		}
		return err
	}))
	return out
}

func (s *shop) hook(events ...string) Kept[Hook] {
	k, _, err := s.h.SaveHook(ctx, s.head, Kept[Hook]{Value: Hook{Name: "tienda", URL: "https://tienda.example/avisos", Events: events}})
	must(0, err)
	return k
}

// An order's steps are told in order, each once, also when they are taken back; a
// change that is refused tells nothing.
func TestHooks_toldOfEveryStep(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		all, few := s.hook(), s.hook("order.woven", "order.promised")
		o := s.draft(example("scarf"), 1)
		_, err := s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision+7)
		wantCode(t, "confirming another revision", err, Conflict)
		o = must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
		must(s.h.GivePromise(ctx, s.seller, o.ID, o.Revision, "2031-08-01", 0.8))
		v := must(s.h.Order(ctx, s.head, o.ID))
		j := v.Jobs[0]
		j = must(s.h.GiveOut(ctx, s.dyer, j.ID, j.Revision, s.weaver.Member, nil, Money{}))
		j = must(s.h.UndoJob(ctx, s.dyer, j.ID, j.Revision))
		want := []string{"order.draft:  -> draft", "order.confirmed: draft -> confirmed", "order.promised: confirmed -> confirmed",
			"order.weaving: confirmed -> weaving", "order.confirmed: weaving -> confirmed"}
		if got := s.told(all.ID); !slices.Equal(got, want) {
			t.Errorf("told:\n%s", strings.Join(got, "\n"))
		}
		if got := s.told(few.ID); !slices.Equal(got, want[2:3]) {
			t.Errorf("the one that wants little: %q", got)
		}
		v = must(s.h.Order(ctx, s.head, o.ID))
		must(s.h.CancelOrder(ctx, s.seller, o.ID, v.Revision))
		if got := s.told(all.ID); got[len(got)-1] != "order.cancelled: confirmed -> cancelled" {
			t.Errorf("last: %q", got)
		}
		_ = j
	})
}

// letters takes what is due and says what came of it.
func (s *shop) letters(status int) (out []Letter) {
	for _, l := range must(s.h.Letters(ctx, s.head.Workshop)) {
		trouble := ""
		if status == 0 {
			trouble = "no answer"
		}
		must(0, s.h.Posted(ctx, l, status, trouble))
		out = append(out, l)
	}
	return out
}

// A message that does not arrive is tried again, later and later, and none behind it
// overtakes it; when it has been tried for the last time the address rests and the
// head is told. Then it is sent again, or left out.
func TestHooks_triedAgainInOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		k := s.hook()
		must(0, s.h.TryHook(ctx, s.head, k.ID))
		s.draft(example("scarf"), 1)
		if got := s.told(k.ID); len(got) != 2 {
			t.Fatalf("waiting: %q", got)
		}
		var waited []time.Duration
		for last := s.h.Now(); len(waited) < 11; s.clock.pass(5 * time.Second) {
			sent := s.letters(0)
			if len(sent) == 0 {
				continue
			}
			if len(sent) != 1 || sent[0].Message.Event != eventPing || len(s.letters(0)) != 0 {
				t.Fatalf("sent %+v", sent)
			}
			waited = append(waited, s.h.Now().Sub(last).Round(time.Minute))
			last = s.h.Now()
		}
		want := []time.Duration{0, 0, time.Minute, 2 * time.Minute, 10 * time.Minute, 30 * time.Minute, time.Hour, 3 * time.Hour, 6 * time.Hour, 12 * time.Hour, 24 * time.Hour}
		if !slices.Equal(waited, want) {
			t.Errorf("waited %v, want %v", waited, want)
		}
		s.clock.pass(1000 * time.Hour)
		if sent := s.letters(204); len(sent) != 0 {
			t.Errorf("sent to an address that rests: %+v", sent)
		}
		errand := func(p Person) bool {
			return slices.ContainsFunc(must(s.h.Today(ctx, p)).Errands, func(e Errand) bool { return e.Kind == "errand-hook" && e.ID == k.ID })
		}
		if !errand(s.head) || errand(s.seller) {
			t.Error("the head is not told that it rests, or others are")
		}
		k, _, _ = s.h.Hook(ctx, s.head, k.ID)
		k = must(s.h.WakeHook(ctx, s.head, k.ID, k.Revision, true))
		if sent := s.letters(204); len(sent) != 1 || sent[0].Message.Event != "order.draft" {
			t.Errorf("without the dead one: %+v", sent)
		}
		if errand(s.head) {
			t.Error("the errand stays")
		}
		_, err := s.h.WakeHook(ctx, s.head, k.ID, k.Revision, true)
		wantProblem(t, "waking one that is awake", err, "", "hook-awake")
	})
}

// A program that ends while it sends is followed by one that sends it again; of two
// at once one sends.
func TestHooks_oneSends(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, clock := opened(t, address)
		k := s.hook()
		must(0, s.h.TryHook(ctx, s.head, k.ID))
		n := make(chan int, 8)
		crowd([2]*House{s.h, second}, cap(n), func(h *House, _ int) { n <- len(must(h.Letters(ctx, s.head.Workshop))) })
		sum := 0
		for range cap(n) {
			sum += <-n
		}
		if sum != 1 {
			t.Errorf("%d sent it", sum)
		}
		clock.pass(3 * time.Minute)
		if again := must(second.Letters(ctx, s.head.Workshop)); len(again) != 1 || again[0].Message.Tries != 2 {
			t.Errorf("after the program ended: %+v", again)
		}
	})
}

// A changed secret signs at once, and the one before for a day more.
func TestHooks_secretTurns(t *testing.T) {
	s := newShop(t, file(t))
	k, first, err := s.h.SaveHook(ctx, s.head, Kept[Hook]{Value: Hook{URL: "https://tienda.example/"}})
	must(0, err)
	second := must(s.h.TurnSecret(ctx, s.head, k.ID, k.Revision))
	for _, want := range [][]string{{second, first}, {second}} {
		must(0, s.h.TryHook(ctx, s.head, k.ID))
		if got := s.letters(200); len(got) != 1 || !slices.Equal(got[0].Secrets, want) {
			t.Errorf("signed with %+v, want %q", got, want)
		}
		s.clock.pass(25 * time.Hour)
	}
	for _, bad := range []string{"", "ftp://x.example", "https://", "https://a:b@x.example/", "nothing", "https://x.example/#a"} {
		_, _, err := s.h.SaveHook(ctx, s.head, Kept[Hook]{Value: Hook{URL: bad}})
		wantProblem(t, bad, err, "url", "hook-address")
	}
}
