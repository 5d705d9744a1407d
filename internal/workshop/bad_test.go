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
			r.invalid("received", h.Receive(ctx, s.head, l.ID, g, Money{}, ""), "grams", "mass-out-of-range")
			r.invalid("discarded", h.Discard(ctx, s.head, l.ID, g), "grams", "mass-out-of-range")
		}
		// Less than half a milligram is nothing.
		for _, g := range []measure.Gram{0, 0.0004} {
			r.invalid("received", h.Receive(ctx, s.head, l.ID, g, Money{}, ""), "grams", "mass-out-of-range")
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
			{func(v *Settings) { v.Address = tooLong }, "address", "text-long"},
			{func(v *Settings) { v.Address = strings.Repeat("Calle\n", 7) }, "address", "address-long"},
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
			{func(v *Order) { v.Deposit = Money{Minor: -1, Currency: "USD"} }, "deposit", "amount-out-of-range"},
			{func(v *Order) { v.Deposit = Money{Minor: math.MaxInt64, Currency: "USD"} }, "deposit", "amount-out-of-range"},
			{func(v *Order) { v.Deposit = Money{Minor: 1, Currency: "conchas"} }, "deposit", "currency-unknown"},
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
	if v, err = h.Order(ctx, s.head, k.ID); err != nil || len(v.Jobs) != 3 || len(v.Pieces) != 3 {
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
