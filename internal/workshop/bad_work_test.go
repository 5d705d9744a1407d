package workshop

import (
	"math"
	"testing"

	"urdir/measure"
)

func TestBad_work(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		h := s.h
		o := s.running("bag", 1)
		lot := o.Lines[0].Wants[0].Lot.ID
		waiting, piece := o.Jobs[0], o.Pieces[0]
		given := s.give(o.Jobs[1], s.weaver)
		away := must(h.SaveMember(ctx, s.head, Kept[Member]{Value: Member{Name: "Dorotea", Away: true}}))
		r := s.refusals()

		give := func(id string, revision int64, member string, g map[string]measure.Gram, pay Money) error {
			_, err := h.GiveOut(ctx, s.head, id, revision, member, g, pay)
			return err
		}
		back := func(id string, revision int64, woven measure.Gram, left map[string]measure.Gram) error {
			_, err := h.TakeBack(ctx, s.head, id, revision, woven, left)
			return err
		}
		tell := func(id string, revision int64, cm measure.CM, bands int) error {
			_, err := h.Tell(ctx, s.head, id, revision, cm, bands)
			return err
		}
		w := s.weaver.Member
		for _, id := range badIDs {
			r.notFound("give out", give(id, 1, w, nil, Money{}))
			r.invalid("to nobody", give(waiting.ID, waiting.Revision, id, nil, Money{}), "member", "field-empty")
			r.notFound("no lot", give(waiting.ID, waiting.Revision, w, map[string]measure.Gram{id: 1}, Money{}))
			r.notFound("no lot back", back(given.ID, given.Revision, 1, map[string]measure.Gram{id: 1}))
			r.notFound("take back", back(id, 1, 0, nil))
			r.notFound("tell", tell(id, 1, 1, 0))
			r.notFound("receive", h.Receive(ctx, s.head, id, 1, Money{}, ""))
			r.notFound("discard", h.Discard(ctx, s.head, id, 1))
			_, err := h.Laid(ctx, s.head, id, 1)
			r.notFound("laid", err)
			_, err = h.Paid(ctx, s.head, id, 1, Money{Minor: 1, Currency: "USD"}, "")
			r.notFound("paid", err)
			_, err = h.UndoJob(ctx, s.head, id, 1)
			r.notFound("undo a warp", err)
			_, err = h.UndoPiece(ctx, s.head, id, 1)
			r.notFound("undo a piece", err)
			_, err = h.Finish(ctx, s.head, id, 1, 1, 1, 1, "")
			r.notFound("finish", err)
			_, err = h.Deliver(ctx, s.head, id, 1)
			r.notFound("deliver", err)
			r.invalid("restore", h.Restore(ctx, s.head, "customer", id, 1), "", "nothing-to-undo")
			for name, read := range map[string]func() error{
				"customer": func() error { _, _, err := h.Customer(ctx, s.head, id); return err },
				"member":   func() error { _, _, err := h.Member(ctx, s.head, id); return err },
				"cloth":    func() error { _, _, err := h.Cloth(ctx, s.head, id, 0); return err },
				"figure":   func() error { _, err := h.Figure(ctx, s.head, id); return err },
				"lot":      func() error { _, _, err := h.Lot(ctx, s.head, id); return err },
				"job":      func() error { _, err := h.Job(ctx, s.head, id); return err },
				"piece":    func() error { _, err := h.Piece(ctx, s.head, id); return err },
				"card":     func() error { _, err := h.MakeCard(ctx, s.head, id); return err },
			} {
				r.notFound(name, read())
			}
			// Lists and searches of nonsense are empty, or whole, and no fault.
			for _, page := range []Page{{Find: id}, {State: id}, {Parent: id}, {After: id + "\x1f" + id}} {
				if _, _, err := h.Jobs(ctx, s.head, page); err != nil {
					t.Errorf("list %+v: %v", page, err)
				}
				if _, err := h.Pieces(ctx, s.head, page); err != nil {
					t.Errorf("list %+v: %v", page, err)
				}
			}
			if _, err := h.Search(ctx, s.head, id); err != nil {
				t.Errorf("search %q: %v", id, err)
			}
			if _, err := h.History(ctx, s.head, id, id, 5); err != nil {
				t.Errorf("history %q: %v", id, err)
			}
		}
		for _, g := range badMasses {
			one := map[string]measure.Gram{lot: g}
			r.invalid("give out", give(waiting.ID, waiting.Revision, w, one, Money{}), "grams."+lot, "mass-out-of-range")
			r.invalid("take back", back(given.ID, given.Revision, 1, one), "grams."+lot, "mass-out-of-range")
			r.invalid("take back", back(given.ID, given.Revision, g, nil), "woven", "mass-out-of-range")
		}
		r.invalid("more than there is", give(waiting.ID, waiting.Revision, w, map[string]measure.Gram{lot: 1e6}, Money{}), "grams."+lot, "stock-short")
		r.invalid("more than she has", back(given.ID, given.Revision, 0, map[string]measure.Gram{lot: 1e6}), "grams."+lot, "stock-short")
		r.invalid("heavier than its yarn", back(given.ID, given.Revision, 1e6, nil), "woven", "woven-too-heavy")
		r.invalid("to one who is away", give(waiting.ID, waiting.Revision, away.ID, nil, Money{}), "member", "member-away")
		r.invalid("given twice", give(given.ID, given.Revision, w, nil, Money{}), "member", "job-taken")
		for _, pay := range []Money{{Minor: -1, Currency: "USD"}, {Minor: 1e12 + 1, Currency: "USD"}, {Minor: math.MinInt64, Currency: "USD"}} {
			r.invalid("pay", give(waiting.ID, waiting.Revision, w, nil, pay), "pay", "amount-out-of-range")
		}
		r.invalid("pay", give(waiting.ID, waiting.Revision, w, nil, Money{Minor: 1, Currency: "conchas\x00"}), "pay", "currency-unknown")
		for _, cm := range []measure.CM{-1, measure.CM(nan), measure.CM(inf), given.Value.Length * 2} {
			r.invalid("tell", tell(given.ID, given.Revision, cm, 0), "cm", "size-out-of-range")
		}
		for _, bands := range []int{-1, 1e9} {
			r.invalid("tell bands", tell(given.ID, given.Revision, 0, bands), "bands", "out-of-range")
		}
		r.invalid("tell of what waits", tell(waiting.ID, waiting.Revision, 1, 0), "", "job-not-in-work")
		r.invalid("take back what waits", back(waiting.ID, waiting.Revision, 1, nil), "", "job-not-in-work")
		_, err := h.Laid(ctx, s.head, waiting.ID, waiting.Revision)
		r.invalid("lay what waits", err, "", "job-not-given")
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{Minor: 1, Currency: "USD"}, "")
		r.invalid("pay what is not back", err, "pay", "job-not-payable")
		_, err = h.CancelOrder(ctx, s.head, o.ID, o.Revision)
		r.invalid("cancel what is in work", err, "", "order-in-work")
		_, err = h.UndoJob(ctx, s.head, waiting.ID, waiting.Revision)
		r.invalid("undo nothing", err, "", "nothing-to-undo")
		for _, g := range append(badMasses, 0, 0.0004) {
			_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, g, 1, 1, "")
			r.invalid("finish", err, "mass", "mass-out-of-range")
		}
		_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, 1, -1, measure.CM(nan), tooLong)
		r.invalid("finish", err, "length", "size-out-of-range")
		r.invalid("finish", err, "width", "size-out-of-range")
		r.invalid("finish", err, "note", "text-long")
		r.invalid("finish", err, "", "piece-not-woven")
		_, err = h.Return(ctx, s.head, piece.ID, piece.Revision, tooLong)
		r.invalid("return", err, "note", "text-long")
		r.invalid("return", err, "", "piece-not-so-far")
		_, err = h.Repair(ctx, s.head, piece.ID, piece.Revision, "\x00x")
		r.invalid("repair", err, "note", "file-not-text")
		_, err = h.Deliver(ctx, s.head, piece.ID, piece.Revision)
		r.invalid("deliver", err, "", "piece-not-so-far")
		for _, revision := range []int64{0, -1, 9} {
			wantCode(t, "give out from an old page", give(waiting.ID, revision, w, nil, Money{}), Conflict)
			wantCode(t, "tell from an old page", tell(given.ID, revision, 1, 0), Conflict)
			wantCode(t, "take back from an old page", back(given.ID, revision, 1, nil), Conflict)
			r.unchanged("an old page")
		}
		// Once paid, it is paid; once finished, finished.
		s.woven(waiting, s.other)
		given = must(h.TakeBack(ctx, s.head, given.ID, given.Revision, 50, nil))
		for _, pay := range []Money{{}, {Minor: -1, Currency: "USD"}, {Minor: 1e12 + 1, Currency: "USD"}} {
			_, err = h.Paid(ctx, s.head, given.ID, given.Revision, pay, "")
			wantProblem(t, "pay", err, "pay", "amount-out-of-range")
		}
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{Minor: 5, Currency: ""}, "")
		wantProblem(t, "pay", err, "pay", "currency-unknown")
		given = must(h.Paid(ctx, s.head, given.ID, given.Revision, Money{Minor: 5, Currency: "USD"}, ""))
		_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, 1e5, 1, 1, "")
		wantProblem(t, "heavier than its cloth", err, "mass", "piece-too-heavy")
		piece = must(h.Finish(ctx, s.head, piece.ID, piece.Revision, 60, 1, 1, ""))
		r = s.refusals()
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{Minor: 5, Currency: "USD"}, "")
		r.invalid("paid twice", err, "pay", "job-not-payable")
		_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, 1, 1, 1, "")
		r.invalid("finished twice", err, "", "piece-done")
		s.balanced()
	})
}
