package workshop

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"urdir/measure"
)

// said is a thread in one line: the counts of every stage in order, and what is
// at hand.
func said(t Thread) string {
	var b strings.Builder
	for _, k := range t {
		fmt.Fprintf(&b, "%d/%d ", k.Done, k.Of)
	}
	if k, ok := t.Now(); ok {
		fmt.Fprintf(&b, "%s %s %s", k.State, k.Stage, k.Block)
	}
	return strings.TrimSpace(b.String())
}

// An order from the first word to the last piece, two scarves on one warp. The
// counts are of order, cloth, yarn, dye, warp, loom, off, finished, delivered,
// paid, learned.
func TestStory_twoScarves(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		h := s.h
		id := ""
		after := func(what, want string) {
			t.Helper()
			o := must(h.Order(ctx, s.head, id))
			if got := said(o.Thread); got != want {
				t.Errorf("after %s:\n got %s\nwant %s", what, got, want)
			}
			s.balanced()
		}
		job := func() Kept[Job] { return must(h.Order(ctx, s.head, id)).Jobs[0] }
		piece := func(i int) Kept[Piece] { return must(h.Order(ctx, s.head, id)).Pieces[i] }

		empty := must(h.SaveOrder(ctx, s.seller, Kept[Order]{Value: Order{Customer: s.customer().ID}}))
		id = empty.ID
		after("an order without lines", "0/1 0/0 0/0 0/0 0/0 0/0 0/0 0/0 0/0 0/0 0/0 now order block-no-lines")
		_, err := h.ConfirmOrder(ctx, s.seller, id, empty.Revision)
		wantProblem(t, "confirming it", err, "lines", "order-no-lines")

		id = s.draft(example("scarf"), 2).ID
		after("the order", "1/1 0/1 0/4 0/4 0/0 0/0 0/0 0/0 0/0 0/0 0/0 now cloth block-confirm")
		must(h.ConfirmOrder(ctx, s.seller, id, 1))
		after("confirming", "1/1 1/1 0/4 0/4 0/1 0/1 0/1 0/2 0/2 0/1 0/2 now yarn block-choose-lots")
		s.supply(id, 0.5)
		after("half the yarn", "1/1 1/1 0/4 4/4 0/1 0/1 0/1 0/2 0/2 0/1 0/2 blocked yarn block-yarn-short")
		o := must(h.Order(ctx, s.head, id))
		for _, w := range o.Lines[0].Wants {
			must(0, h.Receive(ctx, s.dyer, w.Lot.ID, w.Need.Mass/2, Money{}, ""))
		}
		lot := o.Lines[0].Wants[0].Lot.Kept
		lot.Value.Waiting = true
		lot = must(h.SaveLot(ctx, s.dyer, lot))
		after("all the yarn, one lot undyed", "1/1 1/1 4/4 3/4 0/1 0/1 0/1 0/2 0/2 0/1 0/2 blocked dye block-dye")
		lot.Value.Waiting = false
		must(h.SaveLot(ctx, s.dyer, lot))
		after("dyeing", "1/1 1/1 4/4 4/4 0/1 0/1 0/1 0/2 0/2 0/1 0/2 now warp block-give-out")

		needed := s.needed(job().ID)
		must(h.GiveOut(ctx, s.dyer, job().ID, job().Revision, s.weaver.Member, needed, Money{Minor: 150000, Currency: "USD"}))
		after("giving out", "1/1 1/1 4/4 4/4 0/1 0/1 0/1 0/2 0/2 0/1 0/2 now warp block-lay")
		sum := int64(0)
		for _, g := range needed {
			sum += milligrams(g)
		}
		if got := s.in(Bag(job().ID)); got != sum {
			t.Errorf("in her bag: %d mg, want %d", got, sum)
		}
		must(h.Laid(ctx, s.weaver, job().ID, job().Revision))
		after("laying", "1/1 1/1 4/4 4/4 1/1 0/1 0/1 0/2 0/2 0/1 0/2 now loom")
		must(h.Tell(ctx, s.weaver, job().ID, job().Revision, 40, 0))
		after("weaving 40 cm", "1/1 1/1 4/4 4/4 1/1 1/1 0/1 0/2 0/2 0/1 0/2 now off")
		if got := job().Value.Woven(); got != 40 {
			t.Errorf("woven: got %v, want 40", got)
		}
		// From its file: after the fringe 6 cm woven, 4 open and 3 woven make 13 of the
		// 160 cm between the fringes of one scarf, shrunk alike.
		v := must(h.Tell(ctx, s.weaver, job().ID, job().Revision, 0, 4))
		if got, want := float64(v.Value.Woven()/v.Value.Length), 13.0/160/2; math.Abs(got-want) > 1e-6 {
			t.Errorf("share after four bands: got %.6f of both scarves, want %.6f", got, want)
		}
		must(h.Tell(ctx, s.weaver, job().ID, job().Revision, v.Value.Length, 0))
		must(h.TakeBack(ctx, s.dyer, job().ID, job().Revision, grams(sum)*0.8, map[string]measure.Gram{lot.ID: 2}))
		after("taking back", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 0/2 0/2 0/1 0/2 now finished")
		if bag, cloth, want := s.in(Bag(job().ID)), s.in(Woven(job().ID)), milligrams(grams(sum)*0.8); bag != 0 || cloth != want {
			t.Errorf("taken back: %d mg stay in the bag, %d mg are cloth; want 0 and %d", bag, cloth, want)
		}
		cloth := s.in(Woven(job().ID))
		must(h.Finish(ctx, s.seller, piece(0).ID, piece(0).Revision, grams(cloth)*0.45, 158, 23.5, "pareja"))
		after("finishing one", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 1/2 0/2 0/1 1/2 now finished")
		must(h.Finish(ctx, s.seller, piece(1).ID, piece(1).Revision, grams(cloth)*0.45, 0, 0, ""))
		after("finishing both, one not measured", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 2/2 0/2 0/1 1/2 now delivered")
		if got := s.in(Woven(job().ID)); got != 0 {
			t.Errorf("%d mg are left of the cloth, want none: the rest was cut off", got)
		}
		for i := range 2 {
			must(h.Deliver(ctx, s.seller, piece(i).ID, piece(i).Revision))
		}
		after("delivering", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 2/2 2/2 0/1 1/2 now paid")
		must(h.Return(ctx, s.seller, piece(0).ID, piece(0).Revision, "una orilla suelta"))
		after("one comes back", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 1/2 1/2 0/1 1/2 now finished block-repair")
		must(h.Repair(ctx, s.seller, piece(0).ID, piece(0).Revision, "orilla cosida"))
		after("mending it", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 2/2 1/2 0/1 1/2 now delivered")
		must(h.Deliver(ctx, s.seller, piece(0).ID, piece(0).Revision))
		must(h.Paid(ctx, s.keeper, job().ID, job().Revision, Money{Minor: 150000, Currency: "USD"}, ""))
		after("paying", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 2/2 2/2 1/1 1/2 now learned")
		if v := must(h.Order(ctx, s.head, id)).Value; v.Done != "2031-05-06" || v.State() != "done" {
			t.Errorf("all is delivered and paid: done %q, state %s", v.Done, v.State())
		}
		must(h.UndoJob(ctx, s.keeper, job().ID, job().Revision))
		if v := must(h.Order(ctx, s.head, id)).Value; v.Done != "" || v.State() != "open" {
			t.Errorf("the pay is undone: done %q, state %s", v.Done, v.State())
		}
		must(h.Paid(ctx, s.keeper, job().ID, job().Revision, Money{Minor: 150000, Currency: "USD"}, ""))
		day := must(h.Today(ctx, s.head))
		for _, e := range day.Errands {
			if e.Where == "job" || e.Where == "piece" || e.ID == id {
				t.Errorf("nothing is left to do, but the day has %+v", e)
			}
		}
		// Another order that takes the yarn that is left changes nothing of this one.
		must(0, h.Discard(ctx, s.dyer, lot.ID, 1))
		after("the rest of the yarn is gone", "1/1 1/1 4/4 4/4 1/1 1/1 1/1 2/2 2/2 1/1 1/2 now learned")
	})
}

// Where no pay was agreed, as when the head weaves, none is waited for.
func TestStory_withoutPay(t *testing.T) {
	s := newShop(t, file(t))
	o := s.running("scarf", 1)
	j, x := o.Jobs[0], o.Pieces[0]
	j = must(s.h.GiveOut(ctx, s.head, j.ID, j.Revision, s.weaver.Member, s.needed(j.ID), Money{}))
	if must(s.h.Order(ctx, s.head, o.ID)).Thread.done("paid") {
		t.Error("given out, it counts as paid")
	}
	must(s.h.TakeBack(ctx, s.head, j.ID, j.Revision, 50, nil))
	x = must(s.h.Finish(ctx, s.head, x.ID, x.Revision, 40, 0, 0, ""))
	must(s.h.Deliver(ctx, s.head, x.ID, x.Revision))
	if v := must(s.h.Order(ctx, s.head, o.ID)); !v.Thread.done("paid") || v.Value.Done == "" {
		t.Errorf("delivered, and no pay agreed: %s, done %q", said(v.Thread), v.Value.Done)
	}
}

// What one laying takes, over all layings, is what the plan asks for.
func TestJob_needsAddUp(t *testing.T) {
	for _, c := range []struct {
		kind     string
		quantity int
	}{{"scarf", 2}, {"blanket", 1}, {"bag", 3}, {"runner", 2}, {"sash", 2}, {"tunic", 1}} {
		s := newShop(t, file(t))
		o := s.running(c.kind, c.quantity)
		got := map[string]measure.Gram{}
		for _, j := range o.Jobs {
			for _, n := range must(s.h.Job(ctx, s.head, j.ID)).Needs {
				got[n.Yarn] += n.Mass
			}
		}
		for _, w := range o.Lines[0].Wants {
			if d := got[w.Yarn] - w.Need.Mass; d > 0.001 || d < -0.001 {
				t.Errorf("%s, yarn %s: the layings take %.4f g, the plan %.4f g", c.kind, w.Yarn, got[w.Yarn], w.Need.Mass)
			}
		}
	}
}

// The yarn another order has out is not yarn for this one.
func TestOrder_yarnOfOthersIsNotEnough(t *testing.T) {
	s := newShop(t, file(t))
	first := s.running("scarf", 2)
	second := s.draft(example("scarf"), 2)
	must(s.h.ConfirmOrder(ctx, s.seller, second.ID, 1))
	chosen := map[string]string{}
	for _, w := range first.Lines[0].Wants {
		chosen[w.Yarn] = w.Lot.ID
	}
	must(s.h.ChooseLots(ctx, s.dyer, second.ID, second.Value.Lines[0].ID, 2, chosen))
	if !must(s.h.Order(ctx, s.head, second.ID)).Thread.done("yarn") {
		t.Fatal("nothing is given out: the yarn lies there for either")
	}
	s.give(first.Jobs[0], s.weaver)
	if must(s.h.Order(ctx, s.head, second.ID)).Thread.done("yarn") {
		t.Error("the yarn is out for the first order; the second counts on it")
	}
	if !must(s.h.Order(ctx, s.head, first.ID)).Thread.done("yarn") {
		t.Error("the first order has its yarn out, and does not count it")
	}
}

// A confirmed order's plan stays as it was.
func TestOrder_frozen(t *testing.T) {
	s := newShop(t, file(t))
	o := s.running("scarf", 2)
	length := o.Lines[0].Made.Plan.Piece
	c := o.Lines[0].Cloth
	wider := strings.Replace(c.Value.Text, "width: 24 cm", "width: 30 cm", 1)
	if wider == c.Value.Text {
		t.Fatal("the example has another width")
	}
	c.Value.Text = wider
	c = must(s.h.SaveCloth(ctx, s.seller, c))
	if c.Value.Version != 2 {
		t.Errorf("version: got %d, want 2", c.Value.Version)
	}
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Frames = []Frame{{"Otro", "frame:\n  peg: 1 cm\n  pegs:\n    A: [0 cm, 0 cm]\n    B: [30 cm, 0 cm]\n    C: [60 cm, 0 cm]\n    D: [90 cm, 0 cm]\n  cross: [B, C]\n  start: [A]\n  turn: [D]\n"}}
	must(s.h.SaveSettings(ctx, s.head, set))
	now := must(s.h.Order(ctx, s.head, o.ID))
	l := now.Lines[0]
	if !l.Frozen || l.Newest != 2 || l.Version != 1 || l.Made.Plan.Piece != length {
		t.Errorf("after a change of the cloth: frozen %v, version %d of %d, piece %+v, want %+v", l.Frozen, l.Version, l.Newest, l.Made.Plan.Piece, length)
	}
	width := slices.IndexFunc(l.Changes, func(c Change) bool { return c.Path == "piece.width_cm" })
	if width < 0 {
		t.Fatalf("changes: got %+v, want the width of the piece among them", l.Changes)
	}
	if got := fmt.Sprintf("%.0f %.0f", l.Changes[width].Was, l.Changes[width].Now); got != "24 30" {
		t.Errorf("width: got %s, want 24 30", got)
	}
	// What is asked of a confirmed order but its wishes and date is not heard.
	k := now.Kept
	k.Value.Lines, k.Value.Customer, k.Value.Number, k.Value.Confirmed = nil, s.customer().ID, 99, ""
	k.Value.Wishes, k.Value.Due = "sin prisa", "2031-08-01"
	kept := must(s.h.SaveOrder(ctx, s.seller, k))
	if v := kept.Value; len(v.Lines) != 1 || v.Customer != o.Value.Customer || v.Number != o.Value.Number || v.Confirmed == "" || v.Wishes != "sin prisa" || v.Due != "2031-08-01" {
		t.Errorf("confirmed order after saving: %+v", v)
	}
	_, err := s.h.ConfirmOrder(ctx, s.seller, o.ID, kept.Revision)
	wantProblem(t, "confirming twice", err, "", "order-confirmed")
}

// A figure goes on an order only with the consent of those it belongs to.
func TestOrder_figurePermission(t *testing.T) {
	s := newShop(t, file(t))
	f := Kept[Figure]{Value: Figure{Name: "Wave", Owner: "Benita Solórzano", Ask: "Benita", Sale: "ask", Text: fish}}
	f = must(s.h.SaveFigure(ctx, s.seller, f))
	o := s.draft(example("runner"), 1)
	before := s.everything()
	_, err := s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision)
	wantProblem(t, "confirming", err, "lines."+o.Value.Lines[0].ID+".figures.wave.sale", "figure-not-for-sale")
	if s.everything() != before {
		t.Error("what was refused left something behind")
	}
	f.Value.Sale = "yes"
	_, err = s.h.SaveFigure(ctx, s.seller, f)
	wantProblem(t, "for sale without a word of its owner", err, "granted", "figure-not-granted")
	f.Value.Granted = "Benita, 2031-05-02"
	f = must(s.h.SaveFigure(ctx, s.seller, f))
	// Another figure of the same name that is not to be sold holds it back.
	twin := must(s.h.SaveFigure(ctx, s.seller, Kept[Figure]{Value: Figure{Name: "wave", Sale: "no", Text: fish}}))
	_, err = s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision)
	wantProblem(t, "confirming with a twin that is not for sale", err, "lines."+o.Value.Lines[0].ID+".figures.wave.sale", "figure-not-for-sale")
	twin.Value.Name = "onda"
	must(s.h.SaveFigure(ctx, s.seller, twin))
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	// Taken back later, it leaves what was agreed alone.
	f.Value.Sale = "no"
	must(s.h.SaveFigure(ctx, s.seller, f))
	if v := must(s.h.Order(ctx, s.head, o.ID)); v.Lines[0].Made.Failed() {
		t.Errorf("a confirmed order loses its plan: %v", v.Lines[0].Made.Problems)
	}
}

// Every piece is woven on the warps that are laid for it. The example blanket
// has four panels, each on a warp of its own; the bag a body laid for each piece
// and one strap for all; the scarf one warp for all.
func TestPiece_itsWarps(t *testing.T) {
	for _, c := range []struct {
		kind     string
		quantity int
		want     []string // per piece: warp and laying
	}{
		{"scarf", 2, []string{"body 1", "body 1"}},
		{"blanket", 1, []string{"panel 1, panel 2, panel 3, panel 4"}},
		{"blanket", 2, []string{"panel 1, panel 2, panel 3, panel 4", "panel 5, panel 6, panel 7, panel 8"}},
		{"bag", 1, []string{"body 1, strap 1"}},
		{"bag", 3, []string{"body 1, strap 1", "body 2, strap 1", "body 3, strap 1"}},
	} {
		s := newShop(t, file(t))
		o := s.running(c.kind, c.quantity)
		var got []string
		for i, x := range o.Pieces {
			if x.Value.N != i+1 || x.Value.Of != c.quantity {
				t.Errorf("piece %d: is %d of %d", i+1, x.Value.N, x.Value.Of)
			}
			var on []string
			for _, j := range must(s.h.Piece(ctx, s.head, x.ID)).Jobs {
				on = append(on, fmt.Sprintf("%s %d", j.Value.Warp, j.Value.Laying))
			}
			slices.Sort(on)
			got = append(got, strings.Join(on, ", "))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%d × %s: got %q, want %q", c.quantity, c.kind, got, c.want)
		}
	}
}

// A bag is finished when its own body and the strap of all are back; the rest of
// a cloth is cut off with its last piece.
func TestPiece_readyWithItsWarps(t *testing.T) {
	s := newShop(t, file(t))
	o := s.running("bag", 2)
	finish := func(i int) error {
		x := must(s.h.Piece(ctx, s.head, o.Pieces[i].ID))
		_, err := s.h.Finish(ctx, s.seller, x.ID, x.Revision, 30, 30, 28, "")
		return err
	}
	job := func(warp string, laying int) Kept[Job] {
		return o.Jobs[slices.IndexFunc(o.Jobs, func(j Kept[Job]) bool { return j.Value.Warp == warp && j.Value.Laying == laying })]
	}
	wantProblem(t, "nothing woven", finish(0), "", "piece-not-woven")
	s.woven(job("body", 1), s.weaver)
	wantProblem(t, "no strap", finish(0), "", "piece-not-woven")
	strap := s.woven(job("strap", 1), s.other)
	if err := finish(0); err != nil {
		t.Fatal(err)
	}
	if s.in(Woven(job("body", 1).ID)) != 0 || s.in(Woven(strap.ID)) == 0 {
		t.Error("the first bag: the rest of its body is not cut off, or that of the strap of both is")
	}
	wantProblem(t, "the other body is not woven", finish(1), "", "piece-not-woven")
	s.woven(job("body", 2), s.weaver)
	if err := finish(1); err != nil {
		t.Fatal(err)
	}
	if s.in(Woven(strap.ID)) != 0 {
		t.Error("both bags are finished; what is left of the strap is not cut off")
	}
	s.balanced()
}

// Lots are lettered without regard to one another; a plan gives each yarn a
// letter of its own all the same.
func TestSheet_lotsOfOneLetter(t *testing.T) {
	sheet := Sheet{Text: example("scarf"), Lots: map[string]Lot{
		"slate":  {Label: "Pizarra", Letter: "N", Colour: "#56626b"}, // N is also the letter of mist, in the file
		"indigo": {Label: "Añil", Letter: "N", Colour: "#2f4b73"},
		"rose":   {Label: "Grana", Colour: "#b87d78"},
	}}
	made := sheet.Make()
	if made.Failed() {
		t.Fatal(made.Problems)
	}
	seen := map[string]bool{}
	for _, y := range made.Plan.Yarns {
		if y.Letter == "" || seen[y.Letter] {
			t.Errorf("yarn %s: letter %q is not its own", y.Key, y.Letter)
		}
		seen[y.Letter] = true
	}
}

// A state asked for shows warps of that state alone, also when there is no
// member who could have one.
func TestJobs_byState(t *testing.T) {
	s := newShop(t, file(t))
	o := s.running("blanket", 1)
	s.give(o.Jobs[1], s.weaver)
	laid := s.give(o.Jobs[2], s.other)
	must(s.h.Laid(ctx, s.other, laid.ID, laid.Revision))
	for state, want := range map[string]int{"": 4, "waiting": 2, "given": 1, "laid": 1, "weaving": 0, "given,laid": 2, "given:" + s.other.Member: 0, "no-such": 0} {
		got, names, err := s.h.Jobs(ctx, s.head, Page{State: state})
		if err != nil || len(got.Items) != want || len(names) != 2 {
			t.Errorf("state %q: %d warps, %d names, %v; want %d, 2", state, len(got.Items), len(names), err, want)
		}
	}
	if got := jobStates("given", nil); got == "" {
		t.Error("without members, a state asks for every warp")
	}
}
