package workshop

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"urdir/internal/store"
	"urdir/measure"
)

// was is a state to come back to: stock, warps, pieces and thread, whatever
// their revisions.
type was struct {
	Stock  []store.Stock
	Jobs   []Job
	Pieces []Piece
	Thread Thread
}

func (s *shop) state(order string) (out was) {
	o := must(s.h.Order(ctx, s.head, order))
	out.Stock, out.Thread = s.stock(), o.Thread
	for _, j := range o.Jobs {
		out.Jobs = append(out.Jobs, j.Value)
	}
	for _, x := range o.Pieces {
		out.Pieces = append(out.Pieces, x.Value)
	}
	return out
}

// Everything told of a warp and of a piece can be taken back step by step, and
// leaves what was there before it.
func TestUndo_bringsBack(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		h := s.h
		o := s.running("scarf", 1)
		job := func() Kept[Job] { return must(h.Order(ctx, s.head, o.ID)).Jobs[0] }
		piece := func() Kept[Piece] { return must(h.Order(ctx, s.head, o.ID)).Pieces[0] }
		lot := o.Lines[0].Wants[0].Lot.ID
		undoJob := func() { must(h.UndoJob(ctx, s.head, job().ID, job().Revision)) }
		undoPiece := func() { must(h.UndoPiece(ctx, s.head, piece().ID, piece().Revision)) }
		steps := []struct {
			name string
			do   func()
			undo func()
		}{
			{"give out", func() { s.give(job(), s.weaver) }, undoJob},
			{"laid", func() { must(h.Laid(ctx, s.weaver, job().ID, job().Revision)) }, undoJob},
			{"told", func() { must(h.Tell(ctx, s.weaver, job().ID, job().Revision, 30, 0)) }, undoJob},
			{"told again", func() { must(h.Tell(ctx, s.weaver, job().ID, job().Revision, 0, 5)) }, undoJob},
			{"taken back", func() {
				must(h.TakeBack(ctx, s.dyer, job().ID, job().Revision, grams(s.in(Bag(job().ID))*3/4), map[string]measure.Gram{lot: 1.234}))
			}, undoJob},
			{"paid", func() { must(h.Paid(ctx, s.keeper, job().ID, job().Revision, Money{Minor: 5, Currency: "USD"}, "")) }, undoJob},
			{"finished", func() { must(h.Finish(ctx, s.seller, piece().ID, piece().Revision, 30.001, 150, 22, "")) }, undoPiece},
			{"delivered", func() { must(h.Deliver(ctx, s.seller, piece().ID, piece().Revision)) }, undoPiece},
			{"returned", func() { must(h.Return(ctx, s.seller, piece().ID, piece().Revision, "corta")) }, undoPiece},
			{"repaired", func() { must(h.Repair(ctx, s.seller, piece().ID, piece().Revision, "orilla")) }, undoPiece},
		}
		var before []was
		empty := cmpopts.EquateEmpty()
		for _, x := range steps {
			before = append(before, s.state(o.ID))
			x.do()
			after := s.state(o.ID)
			if cmp.Equal(before[len(before)-1], after) {
				t.Errorf("%s: nothing changed", x.name)
			}
			x.undo()
			if diff := cmp.Diff(before[len(before)-1], s.state(o.ID), empty); diff != "" {
				t.Errorf("%s and undone at once (-before +after):\n%s", x.name, diff)
			}
			x.do()
			if diff := cmp.Diff(after, s.state(o.ID), empty); diff != "" {
				t.Errorf("%s done again (-first +again):\n%s", x.name, diff)
			}
		}
		for i, step := range slices.Backward(steps) {
			step.undo()
			if diff := cmp.Diff(before[i], s.state(o.ID), empty); diff != "" {
				t.Errorf("all undone down to before %q (-before +after):\n%s", step.name, diff)
			}
		}
		_, err := h.UndoJob(ctx, s.head, job().ID, job().Revision)
		wantProblem(t, "nothing is left of the warp", err, "", "nothing-to-undo")
		_, err = h.UndoPiece(ctx, s.head, piece().ID, piece().Revision)
		wantProblem(t, "nothing is left of the piece", err, "", "nothing-to-undo")
		s.balanced()
	})
}

// What was taken back cannot be undone once its material has gone on.
func TestUndo_movedOn(t *testing.T) {
	undo := func(s *shop, id string) error {
		j := must(s.h.Job(ctx, s.head, id))
		before := s.everything()
		_, err := s.h.UndoJob(ctx, s.head, j.ID, j.Revision)
		if err != nil && s.everything() != before {
			s.Error("what was refused left something behind")
		}
		return err
	}
	finish := func(s *shop, id string, g measure.Gram) {
		x := must(s.h.Piece(ctx, s.head, id))
		must(s.h.Finish(ctx, s.seller, x.ID, x.Revision, g, 0, 0, ""))
	}
	t.Run("the cloth is cut", func(t *testing.T) {
		s := newShop(t, file(t))
		o := s.running("scarf", 2)
		j := s.woven(o.Jobs[0], s.weaver)
		finish(s, o.Pieces[0].ID, 1)
		wantProblem(t, "undo", undo(s, j.ID), "", "undo-moved-on")
		x := must(s.h.Piece(ctx, s.head, o.Pieces[0].ID))
		must(s.h.UndoPiece(ctx, s.seller, x.ID, x.Revision))
		if err := undo(s, j.ID); err != nil {
			t.Errorf("the piece undone, the warp cannot be: %v", err)
		}
		s.balanced()
	})
	t.Run("the yarn left over is gone", func(t *testing.T) {
		s := newShop(t, file(t))
		o := s.running("scarf", 1)
		j, lot := s.give(o.Jobs[0], s.weaver), o.Lines[0].Wants[0].Lot.ID
		j = must(s.h.TakeBack(ctx, s.dyer, j.ID, j.Revision, 0, map[string]measure.Gram{lot: 5}))
		must(0, s.h.Discard(ctx, s.dyer, lot, 5))
		wantProblem(t, "undo", undo(s, j.ID), "", "undo-moved-on")
		s.balanced()
	})
	t.Run("a warp that weighed nothing", func(t *testing.T) {
		// The bag is finished with a strap whose cloth was not weighed: no gram of the
		// strap is in the bag, yet the bag stands on it.
		s := newShop(t, file(t))
		o := s.running("bag", 1)
		var strap Kept[Job]
		for _, j := range o.Jobs {
			if j.Value.Warp != "strap" {
				s.woven(j, s.weaver)
				continue
			}
			strap = s.give(j, s.other)
			strap = must(s.h.TakeBack(ctx, s.dyer, strap.ID, strap.Revision, 0, nil))
		}
		finish(s, o.Pieces[0].ID, 20)
		wantProblem(t, "undo", undo(s, strap.ID), "", "undo-moved-on")
	})
}

// Undoing asks for the right of what is undone.
func TestUndo_rights(t *testing.T) {
	s := newShop(t, file(t))
	h := s.h
	o := s.running("scarf", 1)
	people := map[string]Person{"h": s.head, "d": s.dyer, "s": s.seller, "b": s.keeper, "m": s.weaver}
	job := func() Kept[Job] { return must(h.Order(ctx, s.head, o.ID)).Jobs[0] }
	for _, c := range []struct {
		fact FactKind
		do   func(j Kept[Job])
		may  string
	}{
		{GivenFact, func(j Kept[Job]) { s.give(j, s.weaver) }, "hd"},
		{LaidFact, func(j Kept[Job]) { must(h.Laid(ctx, s.weaver, j.ID, j.Revision)) }, "hdm"},
		{ToldFact, func(j Kept[Job]) { must(h.Tell(ctx, s.weaver, j.ID, j.Revision, 9, 0)) }, "hdm"},
		{BackFact, func(j Kept[Job]) { must(h.TakeBack(ctx, s.dyer, j.ID, j.Revision, 9, nil)) }, "hd"},
		{PaidFact, func(j Kept[Job]) { must(h.Paid(ctx, s.keeper, j.ID, j.Revision, Money{Minor: 9, Currency: "USD"}, "")) }, "hb"},
	} {
		c.do(job())
		for initial, p := range people {
			_, err := h.UndoJob(ctx, p, job().ID, job().Revision)
			if !strings.Contains(c.may, initial) {
				wantCode(t, string(c.fact)+" undone by "+string(p.Role), err, Denied)
				continue
			}
			if err != nil {
				t.Errorf("%s undone by %s: %v", c.fact, p.Role, err)
				continue
			}
			c.do(job())
		}
	}
	for kind, call := range undoRight {
		if needs[call] == "" {
			t.Errorf("undoing %s asks for the right of %q, which is no call", kind, call)
		}
	}
}

// The last change of a described thing can be taken back, as a new change.
func TestRestore(t *testing.T) {
	s := newShop(t, file(t))
	h := s.h
	c := s.customer()
	cl := s.cloth(example("scarf"))
	f := must(h.SaveFigure(ctx, s.seller, Kept[Figure]{Value: Figure{Name: "Pez", Sale: "no", Text: fish}}))
	l := must(h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Añil", Colour: "#112233"}}))
	m := must(h.SaveMember(ctx, s.head, Kept[Member]{Value: Member{Name: "Dorotea"}}))
	bag := must(h.Buy(ctx, s.dyer, Kept[Supply]{Value: Supply{What: "alum"}}, Purchase{Mass: 500}))
	own := must(h.SaveRecipe(ctx, s.dyer, "", 0, must(h.Recipe(ctx, s.dyer, "madder-cotton")).Text))
	set := must(h.Settings(ctx, s.head))
	cases := []struct {
		kind, id string
		revision int64
		change   func() error
		read     func() (any, int64)
		by, not  Person
	}{
		{"customer", c.ID, c.Revision, func() error { c.Value.Note = "otra"; _, err := h.SaveCustomer(ctx, s.head, c); return err },
			func() (any, int64) {
				v, _, err := h.Customer(ctx, s.head, c.ID)
				must(0, err)
				return v.Value, v.Revision
			}, s.seller, s.dyer},
		{"figure", f.ID, f.Revision, func() error { f.Value.Meaning = "otra"; _, err := h.SaveFigure(ctx, s.head, f); return err },
			func() (any, int64) { v := must(h.Figure(ctx, s.head, f.ID)); return v.Value, v.Revision }, s.dyer, s.keeper},
		{"lot", l.ID, l.Revision, func() error { l.Value.Note = "otra"; _, err := h.SaveLot(ctx, s.head, l); return err },
			func() (any, int64) { v, _, err := h.Lot(ctx, s.head, l.ID); must(0, err); return v.Value, v.Revision }, s.dyer, s.seller},
		{"member", m.ID, m.Revision, func() error { m.Value.Hours = 7; _, err := h.SaveMember(ctx, s.head, m); return err },
			func() (any, int64) {
				v, _, err := h.Member(ctx, s.head, m.ID)
				must(0, err)
				return v.Value, v.Revision
			}, s.head, s.seller},
		{"supply", bag.ID, bag.Revision, func() error { bag.Value.Note = "otra"; _, err := h.SaveSupply(ctx, s.head, bag); return err },
			func() (any, int64) { v := must(h.Supply(ctx, s.head, bag.ID)); return v.Value, v.Revision }, s.dyer, s.seller},
		{"recipe", own.Key, own.Revision, func() error {
			_, err := h.SaveRecipe(ctx, s.head, own.Key, own.Revision, own.Text+"# otra\n")
			return err
		},
			func() (any, int64) { v := must(h.Recipe(ctx, s.head, own.Key)); return v.Text, v.Revision }, s.dyer, s.seller},
		{"settings", settingsID, set.Revision, func() error { set.Value.Name = "Otro taller"; _, err := h.SaveSettings(ctx, s.head, set); return err },
			func() (any, int64) { v := must(h.Settings(ctx, s.head)); return v.Value, v.Revision }, s.head, s.dyer},
	}
	if len(cases)+1 != len(restorable) {
		t.Errorf("this test restores %d kinds and a cloth; there are %d", len(cases), len(restorable))
	}
	for _, x := range cases {
		before, first := x.read()
		wantProblem(t, x.kind+" that never changed", h.Restore(ctx, x.by, x.kind, x.id, first), "", "nothing-to-undo")
		must(0, x.change())
		changed, second := x.read()
		if cmp.Equal(before, changed) {
			t.Fatalf("%s: nothing changed", x.kind)
		}
		wantCode(t, x.kind+" by who may not change it", h.Restore(ctx, x.not, x.kind, x.id, second), Denied)
		wantCode(t, x.kind+" from an old page", h.Restore(ctx, x.by, x.kind, x.id, first), Conflict)
		must(0, h.Restore(ctx, x.by, x.kind, x.id, second))
		got, third := x.read()
		if diff := cmp.Diff(before, got); diff != "" || third != first+2 {
			t.Errorf("%s restored at revision %d, want %d (-before +now):\n%s", x.kind, third, first+2, diff)
		}
		must(0, h.Restore(ctx, x.by, x.kind, x.id, third))
		if got, _ := x.read(); !cmp.Equal(changed, got) {
			t.Errorf("%s: restoring what was restored does not bring the change again", x.kind)
		}
	}
	// The name of the workshop is kept in two places.
	must(0, h.Restore(ctx, s.head, "settings", settingsID, must(h.Settings(ctx, s.head)).Revision))
	if all := must(h.db.Workshops(ctx)); all[0].Name != must(h.Settings(ctx, s.head)).Value.Name {
		t.Errorf("the workshop is called %q, its settings say %q", all[0].Name, must(h.Settings(ctx, s.head)).Value.Name)
	}
	wantProblem(t, "an order", h.Restore(ctx, s.head, "order", "x", 1), "", "nothing-to-undo")
	wantProblem(t, "a customer that is not", h.Restore(ctx, s.head, "customer", "x", 1), "", "nothing-to-undo")

	first := cl.Value.Text
	cl.Value.Text = strings.Replace(first, "24 cm", "25 cm", 1)
	cl = must(h.SaveCloth(ctx, s.dyer, cl))
	must(0, h.Restore(ctx, s.seller, "cloth", cl.ID, cl.Revision))
	now, _, err := h.Cloth(ctx, s.head, cl.ID, 0)
	if err != nil || now.Value.Text != first || now.Value.Version != 3 {
		t.Errorf("cloth restored: version %d, %v, want the first file as version 3", now.Value.Version, err)
	}
	var kept []string
	for _, v := range must(h.Versions(ctx, s.head, cl.ID)) {
		kept = append(kept, v.Value.Text)
	}
	if diff := cmp.Diff([]string{first, cl.Value.Text, first}, kept); diff != "" {
		t.Errorf("versions, the last first (-want +got):\n%s", diff)
	}
	// A change of the name alone is no new version.
	now.Value.Name = "Bufanda"
	if now = must(h.SaveCloth(ctx, s.dyer, now)); now.Value.Version != 3 {
		t.Errorf("a new name makes version %d", now.Value.Version)
	}
}
