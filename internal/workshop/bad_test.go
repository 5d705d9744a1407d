package workshop

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"urdir/internal/store"
	"urdir/measure"
)

// refusals runs calls that must be refused, each with the path and code of a
// problem, or with no path for NotFound; nothing may be left of them.
type refusals struct {
	*shop
	before string
	acts   int
}

func (s *shop) refusals() *refusals { return &refusals{s, s.everything(), s.acts()} }

func (r *refusals) invalid(name string, err error, path, code string) {
	r.Helper()
	wantProblem(r, name, err, path, code)
	r.unchanged(name)
}

func (r *refusals) notFound(name string, err error) {
	r.Helper()
	wantCode(r, name, err, NotFound)
	r.unchanged(name)
}

func (r *refusals) unchanged(name string) {
	r.Helper()
	if r.everything() != r.before || r.shop.acts() != r.acts {
		r.Fatalf("%s: what was refused left something behind", name)
	}
}

var (
	nan, inf = measure.Gram(math.NaN()), measure.Gram(math.Inf(1))
	// badIDs are names nothing has.
	badIDs = []string{"", "nadie", "x\x00y", "\xff", strings.Repeat("x", 5000), "'; DROP TABLE records; --", "%"}
	// badMasses are what no scale shows.
	badMasses = []measure.Gram{-1, -inf, inf, nan, 1e6 + 1, 1e300}
	badDates  = []string{"ayer", "2031-02-30", "2031-2-3", "31/12/2031", "0001-01-01", "9999-12-31", "2031-05-06\x00"}
	tooLong   = strings.Repeat("á", 1<<20+1)
)

func TestBad_records(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		h := s.h
		f := must(h.SaveFigure(ctx, s.seller, Kept[Figure]{Value: Figure{Name: "Pez", Sale: "no", Text: fish}}))
		l := must(h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Añil", Colour: "#112233"}}))
		c, cl := s.customer(), s.cloth(example("scarf"))
		m, _, err := h.Member(ctx, s.head, s.weaver.Member)
		set := must(h.Settings(ctx, s.head))
		must(0, err)
		r := s.refusals()

		type bad[T any] struct {
			change     func(*T)
			path, code string
		}
		for _, x := range []bad[Customer]{
			{func(v *Customer) { v.Name = " " }, "name", "field-empty"},
			{func(v *Customer) { v.Name = tooLong }, "name", "text-long"},
			{func(v *Customer) { v.Name = "a\x00" }, "name", "file-not-text"},
			{func(v *Customer) { v.Contact = tooLong }, "contact", "text-long"},
			{func(v *Customer) { v.Note = "\xff" }, "note", "file-not-text"},
			{func(v *Customer) { v.Language = "xx" }, "language", "value-choice"},
		} {
			v := c
			x.change(&v.Value)
			_, err := h.SaveCustomer(ctx, s.head, v)
			r.invalid("customer", err, x.path, x.code)
		}
		for _, x := range []bad[Member]{
			{func(v *Member) { v.Name = "" }, "name", "field-empty"},
			{func(v *Member) { v.Reach = tooLong }, "reach", "text-long"},
			{func(v *Member) { v.Note = "\x00" }, "note", "file-not-text"},
			{func(v *Member) { v.Hours = -1 }, "hours", "out-of-range"},
			{func(v *Member) { v.Hours = 1e9 }, "hours", "out-of-range"},
			{func(v *Member) { v.Skills = []string{"weave", "fly"} }, "skills", "value-choice"},
			{func(v *Member) { v.Languages = []string{tooLong} }, "languages", "text-long"},
		} {
			v := m
			x.change(&v.Value)
			_, err := h.SaveMember(ctx, s.head, v)
			r.invalid("member", err, x.path, x.code)
		}
		for _, x := range []bad[Lot]{
			{func(v *Lot) { v.Label = "" }, "label", "field-empty"},
			{func(v *Lot) { v.Letter = "ABC" }, "letter", "letter-long"},
			{func(v *Lot) { v.Letter = "A\x00" }, "letter", "file-not-text"},
			{func(v *Lot) { v.Colour = "blue" }, "colour", "colour-unread"},
			{func(v *Lot) { v.Colour = "#12345g" }, "colour", "colour-unread"},
			{func(v *Lot) { v.Fibre = "stone\x00" }, "fibre", "fibre-unknown"},
			{func(v *Lot) { v.Count = "Ne" }, "count", "count-number"},
			{func(v *Lot) { v.Note = tooLong }, "note", "text-long"},
		} {
			v := l
			x.change(&v.Value)
			_, err := h.SaveLot(ctx, s.head, v)
			r.invalid("lot", err, x.path, x.code)
		}
		for _, d := range badDates {
			v := l
			v.Value.Dyed = d
			_, err := h.SaveLot(ctx, s.head, v)
			r.invalid("lot dyed "+d, err, "dyed", "date-unread")
		}
		for _, g := range badMasses {
			v := l
			v.Value.Skein, v.Value.Reorder = g, g
			_, err := h.SaveLot(ctx, s.head, v)
			r.invalid("lot", err, "skein", "mass-out-of-range")
			r.invalid("lot", err, "reorder", "mass-out-of-range")
			r.invalid("received", h.Receive(ctx, s.head, l.ID, g), "grams", "mass-out-of-range")
			r.invalid("discarded", h.Discard(ctx, s.head, l.ID, g), "grams", "mass-out-of-range")
		}
		// Less than half a milligram is nothing.
		for _, g := range []measure.Gram{0, 0.0004} {
			r.invalid("received", h.Receive(ctx, s.head, l.ID, g), "grams", "mass-out-of-range")
			r.invalid("discarded", h.Discard(ctx, s.head, l.ID, g), "grams", "mass-out-of-range")
		}
		r.invalid("discarded more than there is", h.Discard(ctx, s.head, l.ID, 1), "grams", "stock-short")
		for _, x := range []bad[Figure]{
			{func(v *Figure) { v.Name = "" }, "name", "field-empty"},
			{func(v *Figure) { v.Origin = tooLong }, "origin", "text-long"},
			{func(v *Figure) { v.Meaning = "\x00" }, "meaning", "file-not-text"},
			{func(v *Figure) { v.Sale = "perhaps" }, "sale", "value-choice"},
			{func(v *Figure) { v.Text = "chart: [" }, "text", "yaml"},
			{func(v *Figure) { v.Text = fish + "width: 5\n" }, "text", "field-unknown"},
			{func(v *Figure) { v.Text = tooLong }, "text", "file-too-long"},
		} {
			v := f
			x.change(&v.Value)
			_, err := h.SaveFigure(ctx, s.head, v)
			if x.code == "yaml" || x.code == "field-unknown" || x.code == "file-too-long" {
				wantCode(t, "figure", err, Invalid) // which of the file's codes is the file's own matter
				r.unchanged("figure")
				continue
			}
			r.invalid("figure", err, x.path, x.code)
		}
		for _, x := range []bad[Cloth]{
			{func(v *Cloth) { v.Name = "" }, "name", "field-empty"},
			{func(v *Cloth) { v.Text = " \n" }, "text", "file-empty"},
			{func(v *Cloth) { v.Text = tooLong }, "text", "text-long"},
			{func(v *Cloth) { v.Text = "a\x00" }, "text", "file-not-text"},
			{func(v *Cloth) { v.Kind = "a\x00" }, "kind", "file-not-text"},
			{func(v *Cloth) { v.Note = tooLong }, "note", "text-long"},
		} {
			v := cl
			x.change(&v.Value)
			_, err := h.SaveCloth(ctx, s.head, v)
			r.invalid("cloth", err, x.path, x.code)
		}
		for _, x := range []bad[Settings]{
			{func(v *Settings) { v.Name = "" }, "name", "field-empty"},
			{func(v *Settings) { v.Language = "" }, "language", "value-choice"},
			{func(v *Settings) { v.Paper = "a3" }, "paper", "value-choice"},
			{func(v *Settings) { v.Currency = "XXQ" }, "currency", "currency-unknown"},
			{func(v *Settings) { v.Shrink.Length = measure.Ratio(math.NaN()) }, "shrink-length", "out-of-range"},
			{func(v *Settings) { v.Shrink.Width = -0.1 }, "shrink-width", "out-of-range"},
			{func(v *Settings) { v.Take = measure.Ratio(math.Inf(1)) }, "spare", "out-of-range"},
			{func(v *Settings) { v.Week = map[string]int{"mon": 25} }, "week", "out-of-range"},
			{func(v *Settings) { v.Week = map[string]int{"someday": 5} }, "week", "value-choice"},
			{func(v *Settings) { v.Feasts = []Feast{{"someday", "Feria"}} }, "feasts", "date-unread"},
			{func(v *Settings) { v.Feasts = []Feast{{"2031-05-06", tooLong}} }, "feasts", "text-long"},
			{func(v *Settings) { v.Pots = []Pot{{"", 5}} }, "pots", "field-empty"},
			{func(v *Settings) { v.Pots = []Pot{{"Olla", math.NaN()}} }, "pots", "out-of-range"},
			{func(v *Settings) { v.Frames = []Frame{{"Marco", "frame: {}"}} }, "frames", ""},
			{func(v *Settings) { v.Frames = []Frame{{"Marco", ""}} }, "frames", "frame-none"},
			{func(v *Settings) { v.Rates = map[string]Money{"weave": {-1, "USD"}} }, "rates", "amount-out-of-range"},
			{func(v *Settings) { v.Rates = map[string]Money{"weave": {1, "gold"}} }, "rates", "currency-unknown"},
		} {
			v := set
			x.change(&v.Value)
			_, err := h.SaveSettings(ctx, s.head, v)
			if x.code == "" {
				wantCode(t, "settings", err, Invalid)
				r.unchanged("settings")
				continue
			}
			r.invalid("settings", err, x.path, x.code)
		}
		for _, id := range badIDs {
			for _, revision := range []int64{0, 1, -1} {
				if id == "" {
					continue // a new one
				}
				_, err := h.SaveCustomer(ctx, s.head, Kept[Customer]{id, revision, c.Value})
				r.notFound("customer "+id[:min(9, len(id))], err)
				_, err = h.SaveMember(ctx, s.head, Kept[Member]{id, revision, m.Value})
				r.notFound("member", err)
				_, err = h.SaveLot(ctx, s.head, Kept[Lot]{id, revision, l.Value})
				r.notFound("lot", err)
				_, err = h.SaveFigure(ctx, s.head, Kept[Figure]{id, revision, f.Value})
				r.notFound("figure", err)
				_, err = h.SaveCloth(ctx, s.head, Kept[Cloth]{id, revision, cl.Value})
				r.notFound("cloth", err)
				_, err = h.SaveOrder(ctx, s.head, Kept[Order]{id, revision, Order{Customer: c.ID}})
				r.notFound("order", err)
			}
		}
		// Something known, at a revision nobody has read.
		for _, revision := range []int64{0, -1, 7} {
			_, err := h.SaveCustomer(ctx, s.head, Kept[Customer]{c.ID, revision, c.Value})
			wantCode(t, "customer", err, Conflict)
			var e *Error
			if errors.As(err, &e); e == nil || e.Now != any(c) {
				t.Errorf("conflict at revision %d shows %+v, want %+v", revision, e, c)
			}
			_, err = h.SaveCloth(ctx, s.head, Kept[Cloth]{cl.ID, revision, cl.Value})
			wantCode(t, "cloth", err, Conflict)
			_, err = h.SaveSettings(ctx, s.head, Kept[Settings]{"", revision, set.Value})
			wantCode(t, "settings", err, Conflict)
			r.unchanged("a revision nobody has read")
		}
	})
}

func TestBad_orders(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		h := s.h
		o := s.draft(example("scarf"), 1)
		r := s.refusals()
		for _, x := range []struct {
			change     func(*Order)
			path, code string
		}{
			{func(v *Order) { v.Customer = "" }, "customer", "field-empty"},
			{func(v *Order) { v.Customer = "nadie\x00" }, "customer", "field-empty"},
			{func(v *Order) { v.Wishes = tooLong }, "wishes", "text-long"},
			{func(v *Order) { v.Wishes = "\x00" }, "wishes", "file-not-text"},
			{func(v *Order) { v.Deposit = Money{-1, "USD"} }, "deposit", "amount-out-of-range"},
			{func(v *Order) { v.Deposit = Money{math.MaxInt64, "USD"} }, "deposit", "amount-out-of-range"},
			{func(v *Order) { v.Deposit = Money{1, "conchas"} }, "deposit", "currency-unknown"},
			{func(v *Order) { v.Lines = make([]Line, 41) }, "lines", "parts-too-many"},
			{func(v *Order) { v.Lines[0].Quantity = 0 }, "lines[0].quantity", "out-of-range"},
			{func(v *Order) { v.Lines[0].Quantity = -1 }, "lines[0].quantity", "out-of-range"},
			{func(v *Order) { v.Lines[0].Quantity = 1e9 }, "lines[0].quantity", "out-of-range"},
			{func(v *Order) { v.Lines[0].Wishes = tooLong }, "lines[0].wishes", "text-long"},
			{func(v *Order) { v.Lines[0].Cloth = "" }, "lines[0].cloth", "field-empty"},
			{func(v *Order) { v.Lines[0].Cloth = "nadie\x00" }, "lines[0].cloth", "field-empty"},
			{func(v *Order) { v.Lines[0].Version = 99 }, "lines[0].version", "out-of-range"},
			{func(v *Order) { v.Lines[0].Version = -1 }, "lines[0].version", "out-of-range"},
		} {
			v := o
			v.Value.Lines = slices.Clone(o.Value.Lines)
			x.change(&v.Value)
			_, err := h.SaveOrder(ctx, s.head, v)
			r.invalid("order", err, x.path, x.code)
		}
		for _, d := range badDates {
			v := o
			v.Value.Due, v.Value.Taken = d, d
			_, err := h.SaveOrder(ctx, s.head, v)
			r.invalid("due "+d, err, "due", "date-unread")
			r.invalid("taken "+d, err, "taken", "date-unread")
		}
		line := o.Value.Lines[0].ID
		for _, id := range badIDs {
			_, err := h.ConfirmOrder(ctx, s.head, id, 1)
			r.notFound("confirm", err)
			_, err = h.CancelOrder(ctx, s.head, id, 1)
			r.notFound("cancel", err)
			_, err = h.ChooseLots(ctx, s.head, id, line, 1, nil)
			r.notFound("choose lots", err)
			_, err = h.ChooseLots(ctx, s.head, o.ID, id, o.Revision, nil)
			r.notFound("choose lots of a line", err)
			if id != "" {
				_, err = h.ChooseLots(ctx, s.head, o.ID, line, o.Revision, map[string]string{"mist": id})
				r.notFound("choose a lot", err)
			}
			_, err = h.Order(ctx, s.head, id)
			r.notFound("order", err)
		}
		for _, revision := range []int64{0, -1, 9} {
			for name, call := range map[string]func() error{
				"save":    func() error { _, err := h.SaveOrder(ctx, s.head, Kept[Order]{o.ID, revision, o.Value}); return err },
				"confirm": func() error { _, err := h.ConfirmOrder(ctx, s.head, o.ID, revision); return err },
				"cancel":  func() error { _, err := h.CancelOrder(ctx, s.head, o.ID, revision); return err },
				"choose":  func() error { _, err := h.ChooseLots(ctx, s.head, o.ID, line, revision, nil); return err },
			} {
				wantCode(t, name, call(), Conflict)
				r.unchanged(name)
			}
		}
	})
}

// What only other calls may set does not come in with an order.
func TestSaveOrder_hearsOnlyItsOwn(t *testing.T) {
	s := newShop(t, file(t))
	h := s.h
	base := s.draft(example("scarf"), 1).Value
	forged := base
	forged.Confirmed, forged.Cancelled, forged.Done, forged.Number = "2031-01-01", "2031-01-02", "2031-01-03", 77
	forged.Lines = []Line{base.Lines[0], base.Lines[0], base.Lines[0]}
	forged.Lines[0].Lots = map[string]string{"mist": "nadie"}
	forged.Lines[1].ID, forged.Lines[2].ID = "x\x00", forged.Lines[0].ID
	o := must(h.SaveOrder(ctx, s.seller, Kept[Order]{Value: forged}))
	v, err := h.Order(ctx, s.head, o.ID)
	if err != nil {
		t.Fatalf("the order cannot be opened any more: %v", err)
	}
	if v.Value.Confirmed != "" || v.Value.Cancelled != "" || v.Value.Done != "" || v.Value.Number == 77 || len(v.Value.Lines[0].Lots) != 0 {
		t.Errorf("a new order as forged: %+v", v.Value)
	}
	ids := map[string]bool{}
	for _, l := range v.Value.Lines {
		ids[l.ID] = true
		if strings.ContainsRune(l.ID, 0) {
			t.Errorf("line id %q", l.ID)
		}
	}
	if len(ids) != 3 {
		t.Errorf("three lines are called %v", slices.Sorted(maps.Keys(ids)))
	}
	k := v.Kept
	k.Value.Confirmed, k.Value.Cancelled, k.Value.Done = "2031-01-01", "2031-01-02", "2031-01-03"
	k = must(h.SaveOrder(ctx, s.seller, k))
	if k.Value.Confirmed != "" || k.Value.Cancelled != "" || k.Value.Done != "" {
		t.Errorf("a kept order as forged: %+v", k.Value)
	}
	// The lots chosen stay, whatever a page that does not know them sends.
	must(h.ConfirmOrder(ctx, s.seller, k.ID, k.Revision))
	if v, err := h.Order(ctx, s.head, k.ID); err != nil || len(v.Jobs) != 3 || len(v.Pieces) != 3 {
		t.Errorf("confirmed: %d warps and %d pieces, %v, want 3 and 3", len(v.Jobs), len(v.Pieces), err)
	}
	d := s.draft(example("scarf"), 1)
	chosen := s.supply(d.ID, 1)
	want := maps.Clone(chosen.Value.Lines[0].Lots)
	k = chosen.Kept
	k.Value.Lines[0].Lots = nil
	k = must(h.SaveOrder(ctx, s.seller, k))
	if !maps.Equal(k.Value.Lines[0].Lots, want) {
		t.Errorf("lots after saving the order: got %v, want %v", k.Value.Lines[0].Lots, want)
	}

	c := must(h.CancelOrder(ctx, s.seller, k.ID, k.Revision))
	_, err = h.CancelOrder(ctx, s.seller, k.ID, c.Revision)
	wantProblem(t, "cancelling twice", err, "", "order-cancelled")
	_, err = h.ConfirmOrder(ctx, s.seller, k.ID, c.Revision)
	wantProblem(t, "confirming what is cancelled", err, "", "order-cancelled")
	_, err = h.SaveOrder(ctx, s.seller, c)
	wantProblem(t, "saving what is cancelled", err, "", "order-cancelled")
}

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
			r.notFound("receive", h.Receive(ctx, s.head, id, 1))
			r.notFound("discard", h.Discard(ctx, s.head, id, 1))
			_, err := h.Laid(ctx, s.head, id, 1)
			r.notFound("laid", err)
			_, err = h.Paid(ctx, s.head, id, 1, Money{1, "USD"})
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
		for _, pay := range []Money{{-1, "USD"}, {1e12 + 1, "USD"}, {math.MinInt64, "USD"}} {
			r.invalid("pay", give(waiting.ID, waiting.Revision, w, nil, pay), "pay", "amount-out-of-range")
		}
		r.invalid("pay", give(waiting.ID, waiting.Revision, w, nil, Money{1, "conchas\x00"}), "pay", "currency-unknown")
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
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{1, "USD"})
		r.invalid("pay what is not back", err, "pay", "job-not-payable")
		_, err = h.CancelOrder(ctx, s.head, o.ID, o.Revision)
		r.invalid("cancel what is in work", err, "", "order-in-work")
		_, err = h.UndoJob(ctx, s.head, waiting.ID, waiting.Revision)
		r.invalid("undo nothing", err, "", "nothing-to-undo")
		for _, g := range append(badMasses, 0, 0.0004) {
			_, err := h.Finish(ctx, s.head, piece.ID, piece.Revision, g, 1, 1, "")
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
		for _, pay := range []Money{{}, {-1, "USD"}, {1e12 + 1, "USD"}} {
			_, err = h.Paid(ctx, s.head, given.ID, given.Revision, pay)
			wantProblem(t, "pay", err, "pay", "amount-out-of-range")
		}
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{5, ""})
		wantProblem(t, "pay", err, "pay", "currency-unknown")
		given = must(h.Paid(ctx, s.head, given.ID, given.Revision, Money{5, "USD"}))
		_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, 1e5, 1, 1, "")
		wantProblem(t, "heavier than its cloth", err, "mass", "piece-too-heavy")
		piece = must(h.Finish(ctx, s.head, piece.ID, piece.Revision, 60, 1, 1, ""))
		r = s.refusals()
		_, err = h.Paid(ctx, s.head, given.ID, given.Revision, Money{5, "USD"})
		r.invalid("paid twice", err, "pay", "job-not-payable")
		_, err = h.Finish(ctx, s.head, piece.ID, piece.Revision, 1, 1, 1, "")
		r.invalid("finished twice", err, "", "piece-done")
		s.balanced()
	})
}

// A record that was changed while it was to be removed is a conflict, no fault.
func TestFromStore(t *testing.T) {
	for _, c := range []struct {
		err  error
		want Code
	}{
		{store.ErrNotFound, NotFound}, {store.ErrAway, Away}, {&store.Short{Have: 1, Wanted: 2}, Invalid}, {&store.Conflict{}, Conflict},
		{errors.New("other"), ""},
	} {
		if got := CodeOf(fromStore(c.err)); got != c.want {
			t.Errorf("%v: got %q, want %q", c.err, got, c.want)
		}
	}
	if fromStore(nil) != nil {
		t.Error("no error is one")
	}
}
