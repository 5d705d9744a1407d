package workshop

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/price"
	"urdir/price/books"
)

// season is a workshop in which anything may happen.
type season struct {
	*shop
	r     *rapid.T
	order string
}

// any calls one of some, which may be refused, but for no fault of the program.
func (s *season) any(acts ...func() error) {
	if err := rapid.SampledFrom(acts).Draw(s.r, "act")(); err != nil && CodeOf(err) == "" {
		s.r.Fatal(err)
	}
}

func (s *season) act() {
	o := must(s.h.Order(ctx, s.head, s.order))
	j := rapid.SampledFrom(o.Jobs).Draw(s.r, "warp")
	x := rapid.SampledFrom(o.Pieces).Draw(s.r, "piece")
	lot := rapid.SampledFrom(o.Lines[0].Wants).Draw(s.r, "lot").Lot.ID
	cents := func() Money { return usd(rapid.Int64Range(0, 5000).Draw(s.r, "cents")) }
	who := rapid.SampledFrom([]Person{s.weaver, s.other}).Draw(s.r, "who")
	h, day := s.h, s.clock.now()
	s.any(
		func() error { return h.Receive(ctx, s.dyer, lot, 33.333, cents(), "") },
		func() error { return h.Discard(ctx, s.dyer, lot, 7.777) },
		func() error {
			_, err := h.GiveOut(ctx, s.dyer, j.ID, j.Revision, who.Member, s.needed(j.ID), cents())
			return err
		},
		func() error {
			_, err := h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(s.in(Bag(j.ID))*9/10), nil)
			return err
		},
		func() error { _, err := h.Paid(ctx, s.keeper, j.ID, j.Revision, cents(), ""); return err },
		func() error { _, err := h.UndoJob(ctx, s.head, j.ID, j.Revision); return err },
		func() error { _, err := h.Finish(ctx, s.seller, x.ID, x.Revision, 11, 0, 0, ""); return err },
		func() error { _, err := h.UndoPiece(ctx, s.head, x.ID, x.Revision); return err },
		func() error {
			_, err := h.TellWork(ctx, s.keeper, Work{Member: who.Member, Kind: rapid.SampledFrom(PayKinds).Draw(s.r, "kind"), Minutes: rapid.Int64Range(0, 300).Draw(s.r, "minutes"), Order: s.order})
			return err
		},
		func() error {
			_, err := h.GiveAdvance(ctx, s.keeper, Advance{Member: who.Member, Amount: cents(), Share: price.PerCent(rapid.Int64Range(1, 100).Draw(s.r, "share"))}, "")
			return err
		},
		func() error {
			month := day.Format("2006-01")
			v, err := h.Statement(ctx, s.keeper, who.Member, month)
			if err == nil {
				_, err = h.PayOut(ctx, s.keeper, who.Member, month, v.Due, "")
			}
			return err
		},
		func() error { return s.undoPayout(who) },
		func() error {
			o.Value.Deposit = cents()
			_, err := h.SaveOrder(ctx, s.seller, o.Kept)
			return err
		},
		func() error { return s.sell() },
		func() error {
			_, err := h.ReverseEntry(ctx, s.keeper, rapid.Int64Range(1, 20).Draw(s.r, "entry"), "un error")
			return err
		},
		func() error {
			_, err := h.PostEntry(ctx, s.keeper, books.Entry{Date: day.Format(time.DateOnly), Text: "leña", Lines: []books.Line{debit(books.FuelUsed, cents(), nil), credit(books.Cash, cents(), nil)}})
			return err
		},
		func() error {
			b := must(h.Books(ctx, s.keeper, ""))
			var all []string
			for _, i := range b.Open {
				all = append(all, i.Item)
			}
			last := day.AddDate(0, 0, -1).Format(time.DateOnly)
			_, err := h.ClosePeriod(ctx, s.keeper, books.Period{Key: last, From: last, To: last}, books.Savings, all)
			return err
		},
		func() error { s.clock.pass(24 * time.Hour); return nil },
	)
}

func (s *season) undoPayout(who Person) error {
	v, err := s.h.Statement(ctx, s.keeper, who.Member, s.clock.now().Format("2006-01"))
	for _, k := range v.Payouts {
		err = s.h.UndoPayOut(ctx, s.keeper, k.ID, k.Revision)
	}
	return err
}

// sell goes a step on: a quote, its acceptance, the invoice, a payment, or one of
// them undone.
func (s *season) sell() error {
	q := must(s.h.Quotes(ctx, s.seller, Page{}))
	p := must(s.h.Papers(ctx, s.seller, Page{}))
	if len(p.Items) > 0 && rapid.Bool().Draw(s.r, "paper") {
		k := rapid.SampledFrom(p.Items).Draw(s.r, "which")
		if rapid.Bool().Draw(s.r, "undo") {
			_, err := s.h.UndoPaper(ctx, s.keeper, k.ID, k.Revision, "un error")
			return err
		}
		_, err := s.h.TakePayment(ctx, s.keeper, k.ID, usd(rapid.Int64Range(1, 9000).Draw(s.r, "paid")), "", "")
		return err
	}
	if len(q.Items) == 0 {
		_, _, err := s.h.MakeQuote(ctx, s.seller, s.order, Asking{Channel: rapid.SampledFrom([]string{"tienda", "feria"}).Draw(s.r, "channel")})
		return err
	}
	k := q.Items[0]
	if k.Value.Accepted == nil {
		_, _, err := s.h.AcceptQuote(ctx, s.seller, k.ID, k.Revision, Acceptance{By: "Posada", Deposit: usd(rapid.Int64Range(0, 3000).Draw(s.r, "deposit"))}, "")
		return err
	}
	_, err := s.h.MakeInvoice(ctx, s.keeper, k.ID)
	return err
}

// Whatever happens in a season, the books balance, agree with what is on the
// shelves, and close and open again with the same sums. Only what the bookkeeper
// reverses by hand may part them from the shelves; the caution says so.
func TestMoney_anySeason(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		h, c := opened(t, address)
		rapid.Check(t, func(r *rapid.T) {
			s := &season{shop: fill(t, h, c), r: r}
			o := s.costly(2)
			s.order = o.ID
			for range rapid.IntRange(1, 15).Draw(r, "acts") {
				s.act()
			}
			if faults := must(h.CheckBooks(ctx, s.head)); len(faults) > 0 {
				r.Fatal(faults)
			}
			found := must(h.AuditBooks(ctx, s.head))
			byHand := s.reversedByHand()
			for _, p := range found {
				if p.Code != "stock-differs" || !byHand {
					r.Fatal(p)
				}
			}
			s.closeAll()
		})
	})
}

// reversedByHand says whether the bookkeeper reversed what a fact had booked.
func (s *season) reversedByHand() bool {
	all, _, err := s.h.Journal(ctx, s.keeper, JournalPage{})
	must(0, err)
	return slices.ContainsFunc(all, func(e Entry) bool { return e.Act == "ReverseEntry" && e.Source != "" })
}

func (s *season) closeAll() {
	s.clock.pass(24 * time.Hour)
	yesterday := s.clock.now().AddDate(0, 0, -1).Format(time.DateOnly)
	before := s.holds()
	var all []string
	for _, i := range must(s.h.Books(ctx, s.keeper, "")).Open {
		all = append(all, i.Item)
	}
	p := books.Period{Key: "season", From: yesterday, To: yesterday}
	n := must(s.h.ClosePeriod(ctx, s.keeper, p, books.Savings, all))
	closed := s.holds()
	must(s.h.ReverseEntry(ctx, s.keeper, n, "otra vez"))
	if diff := cmp.Diff(before, s.holds()); diff != "" {
		s.r.Fatalf("closed and opened (-before +after):\n%s", diff)
	}
	must(s.h.ClosePeriod(ctx, s.keeper, p, books.Savings, all))
	if diff := cmp.Diff(closed, s.holds()); diff != "" {
		s.r.Fatalf("closed again (-first +again):\n%s", diff)
	}
	gains := int64(0)
	for _, p := range must(s.h.Profit(ctx, s.keeper, "season", "", "")) {
		gains += p.Gain().Minor
	}
	if earned := -closed[books.Savings] - closed[books.SocialFund]; earned != gains {
		s.r.Fatalf("profit by season is %d; %d was closed (%s)", gains, earned, fmt.Sprint(closed))
	}
}
