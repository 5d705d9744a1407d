package workshop

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"urdir/internal/store"
	"urdir/measure"
)

// facts draws any list of facts, in any order, sensible or not.
func facts(t *rapid.T) (out []Fact) {
	kinds := []FactKind{GivenFact, LaidFact, ToldFact, BackFact, PaidFact, FinishedFact, DeliveredFact, ReturnedFact, RepairedFact, "other"}
	for _, k := range rapid.SliceOfN(rapid.SampledFrom(kinds), 0, 12).Draw(t, "facts") {
		out = append(out, Fact{Kind: k, CM: measure.CM(rapid.IntRange(0, 300).Draw(t, "cm")), Pay: Money{Minor: int64(rapid.IntRange(0, 9).Draw(t, "pay")), Currency: "USD"}})
	}
	return out
}

// automaton is the states as tables, from the state before and what happened to
// the one after; what is not in a table changes nothing.
type automaton[S comparable] struct {
	begin S
	to    map[FactKind]S
}

func (a automaton[S]) run(fs []Fact) S {
	if len(fs) == 0 {
		return a.begin
	}
	if s, ok := a.to[fs[len(fs)-1].Kind]; ok {
		return s // whatever was before it
	}
	return a.run(fs[:len(fs)-1])
}

func TestState_followsFromFacts(t *testing.T) {
	ofJob := automaton[JobState]{"waiting", map[FactKind]JobState{"given": "given", "laid": "laid", "told": "weaving", "back": "back"}}
	ofPiece := automaton[PieceState]{"unfinished", map[FactKind]PieceState{
		"finished": "finished", "repaired": "finished", "delivered": "delivered", "returned": "returned"}}
	rapid.Check(t, func(t *rapid.T) {
		fs := facts(t)
		j, x := Job{Facts: fs, Length: 200}, Piece{Facts: fs}
		if got, want := j.State(), ofJob.run(fs); got != want {
			t.Errorf("warp: got %s, want %s", got, want)
		}
		if got, want := x.State(), ofPiece.run(fs); got != want {
			t.Errorf("piece: got %s, want %s", got, want)
		}
		woven, paid, pay := measure.CM(0), false, Money{}
		for _, f := range fs {
			switch f.Kind {
			case ToldFact:
				woven = min(f.CM, 200)
			case PaidFact:
				paid = true
			case GivenFact:
				pay = f.Pay
			}
		}
		if ofJob.run(fs) == Off {
			woven = 200
		}
		if j.Woven() != woven || j.Share() != float64(woven/200) || j.Paid() != paid || j.Pay() != pay {
			t.Errorf("woven %v, share %v, paid %v, pay %v; want %v, %v, %v, %v", j.Woven(), j.Share(), j.Paid(), j.Pay(), woven, float64(woven/200), paid, pay)
		}
	})
}

// As an order goes on, no stage falls back: each fact that may come next leaves
// every count as high as it was.
func TestThread_onlyGoesOn(t *testing.T) {
	next := map[FactKind][]FactKind{
		"": {GivenFact}, GivenFact: {LaidFact, ToldFact, BackFact}, LaidFact: {ToldFact, BackFact}, ToldFact: {ToldFact, BackFact}, BackFact: {PaidFact}}
	then := map[FactKind][]FactKind{"": {FinishedFact}, FinishedFact: {DeliveredFact}}
	step := func(t *rapid.T, fs []Fact, of map[FactKind][]FactKind) []Fact {
		last := FactKind("")
		if len(fs) > 0 {
			last = fs[len(fs)-1].Kind
		}
		if len(of[last]) == 0 {
			return fs
		}
		return append(fs, Fact{Kind: rapid.SampledFrom(of[last]).Draw(t, "next"), CM: 5})
	}
	rapid.Check(t, func(t *rapid.T) {
		o := OrderView{Kept: Kept[Order]{Value: Order{Customer: "c", Lines: []Line{{ID: "l"}}}}, Lines: []LineView{{Frozen: true}}}
		o.Jobs = make([]Kept[Job], rapid.IntRange(1, 3).Draw(t, "warps"))
		o.Pieces = make([]Kept[Piece], rapid.IntRange(1, 3).Draw(t, "pieces"))
		before := threadOf(o)
		for range 12 {
			if i := rapid.IntRange(0, len(o.Jobs)+len(o.Pieces)-1).Draw(t, "which"); i < len(o.Jobs) {
				o.Jobs[i].Value.Facts = step(t, o.Jobs[i].Value.Facts, next)
			} else {
				x := &o.Pieces[i-len(o.Jobs)].Value
				x.Facts = step(t, x.Facts, then)
			}
			now, open := threadOf(o), 0
			for i, k := range now {
				if k.Done < before[i].Done || k.Of != before[i].Of || k.Done > k.Of || before.done(k.Stage) && !now.done(k.Stage) {
					t.Errorf("%s: %d of %d, after %d of %d", k.Stage, k.Done, k.Of, before[i].Done, before[i].Of)
				}
				if k.State == KnotNow || k.State == KnotBlocked {
					open++
				}
			}
			if _, left := now.Now(); left != (open == 1) || open > 1 {
				t.Errorf("%d stages are at hand: %+v", open, now)
			}
			before = now
		}
	})
}

// Parts of a whole: they add up to it, none is more than its lot holds, and each
// is within a milligram of its exact share.
func TestApportion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var held []store.Stock
		all := int64(0)
		for _, mg := range rapid.SliceOfN(rapid.Int64Range(1, 1e9), 1, 30).Draw(t, "held") {
			held = append(held, store.Stock{Milligrams: mg})
			all += mg
		}
		mg := rapid.Int64Range(1, all).Draw(t, "of it")
		left := mg
		for i, part := range apportion(held, mg, all) {
			left -= part
			if part < 0 || part > held[i].Milligrams {
				t.Errorf("part %d: %d of %d", i, part, held[i].Milligrams)
			}
			exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(held[i].Milligrams), big.NewInt(mg)), big.NewInt(all))
			off := exact.Sub(exact, new(big.Rat).SetInt64(part))
			if off.Abs(off).Cmp(big.NewRat(1, 1)) >= 0 {
				t.Errorf("part %d: %d is %s off its share", i, part, off.FloatString(3))
			}
		}
		if left != 0 {
			t.Errorf("the parts make %d of %d", mg-left, mg)
		}
	})
}

// Whatever is done, in whatever order and with whatever weights: the books add
// up, no place holds less than nothing, and what comes in is all there is.
func TestBooks_alwaysAddUp(t *testing.T) {
	address := file(t)
	h, c := opened(t, address)
	rapid.Check(t, func(rt *rapid.T) {
		s := addShop(t, h, c)
		o := s.running("bag", 2)
		lots := []string{o.Lines[0].Wants[0].Lot.ID, o.Lines[0].Wants[1].Lot.ID, "nadie"}
		mass := rapid.Custom(func(t *rapid.T) measure.Gram {
			if rapid.IntRange(0, 4).Draw(t, "odd") == 0 {
				return rapid.SampledFrom([]measure.Gram{-1, 0, 0.0004, 0.0005, 0.001, 1e6, nan, inf}).Draw(t, "odd mass")
			}
			return measure.Gram(rapid.Float64Range(0, 60).Draw(t, "mass"))
		})
		masses := rapid.MapOfN(rapid.SampledFrom(lots[:2]), mass, 0, 2)
		for range rapid.IntRange(5, 20).Draw(rt, "acts") {
			now := must(h.Order(ctx, s.head, o.ID))
			j := now.Jobs[rapid.IntRange(0, len(now.Jobs)-1).Draw(rt, "warp")]
			x := now.Pieces[rapid.IntRange(0, len(now.Pieces)-1).Draw(rt, "piece")]
			lot := rapid.SampledFrom(lots).Draw(rt, "lot")
			acts := []struct {
				name string
				do   func() error
			}{
				{"receive", func() error { return h.Receive(ctx, s.head, lot, mass.Draw(rt, "in"), Money{}, "") }},
				{"discard", func() error { return h.Discard(ctx, s.head, lot, mass.Draw(rt, "away")) }},
				{"give", func() error {
					_, err := h.GiveOut(ctx, s.head, j.ID, j.Revision, s.weaver.Member, masses.Draw(rt, "given"), Money{})
					return err
				}},
				{"give what it takes", func() error {
					_, err := h.GiveOut(ctx, s.head, j.ID, j.Revision, s.weaver.Member, s.needed(j.ID), Money{})
					return err
				}},
				{"take back", func() error {
					_, err := h.TakeBack(ctx, s.head, j.ID, j.Revision, mass.Draw(rt, "woven"), masses.Draw(rt, "left"))
					return err
				}},
				{"take back as woven", func() error {
					_, err := h.TakeBack(ctx, s.head, j.ID, j.Revision, grams(s.in(Bag(j.ID))), nil)
					return err
				}},
				{"finish", func() error {
					_, err := h.Finish(ctx, s.head, x.ID, x.Revision, mass.Draw(rt, "piece"), 0, 0, "")
					return err
				}},
				{"undo a warp", func() error { _, err := h.UndoJob(ctx, s.head, j.ID, j.Revision); return err }},
				{"undo a piece", func() error { _, err := h.UndoPiece(ctx, s.head, x.ID, x.Revision); return err }},
			}
			act := acts[rapid.IntRange(0, len(acts)-1).Draw(rt, "act")]
			if err := act.do(); err != nil && CodeOf(err) != Invalid && CodeOf(err) != NotFound {
				rt.Fatalf("%s: %v", act.name, err)
			}
			s.balanced()
			for _, w := range must(h.Order(ctx, s.head, o.ID)).Jobs {
				in, state := s.in(Bag(w.ID)), w.Value.State()
				if in > 0 && (state == Waiting || state == Off) {
					rt.Errorf("a warp that is %s has %d mg in its bag", state, in)
				}
				if state != Off && s.in(Woven(w.ID)) > 0 {
					rt.Errorf("a warp that is %s has cloth", state)
				}
			}
			if t.Failed() {
				rt.FailNow()
			}
		}
	})
}
