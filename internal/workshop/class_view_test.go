package workshop

import (
	"slices"
	"testing"
)

// What must be ready for a class stands in the order of its days and ends before
// it; a draft is shown as it would be prepared.
func TestClass_view(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		s.running("bag", 1)
		draft := s.draft(example("class"), 2)
		must(s.h.SaveClass(ctx, s.seller, draft.ID, draft.Revision, &Class{Day: "2031-06-17", From: 540, To: 780, Seats: 4, Learners: 2}))
		o := s.class("2031-06-10", 3)
		for id, kits := range map[string]int{o.ID: 3, draft.ID: 2} {
			v := must(s.h.Class(ctx, s.head, id))
			dressed := 0
			for i, k := range v.Tasks {
				if i > 0 && k.End.Before(v.Tasks[i-1].End) {
					t.Errorf("%s comes after %s", k.Key, v.Tasks[i-1].Key)
				}
				if k.Kind == DressTask {
					dressed++
				}
			}
			if v.Kits != kits || dressed != kits || v.Hands == 0 || v.Teaching != 240 || v.Gives != "Hilaria" || v.Over || v.Problems.Failed() {
				t.Errorf("%d warps, %d on looms, %v of hands, %v of teaching by %q, %v", v.Kits, dressed, v.Hands, v.Teaching, v.Gives, v.Problems)
			}
			if last := v.Tasks[len(v.Tasks)-1]; last.Kind != ClassTask {
				t.Errorf("it ends with %s", last.Kind)
			}
		}
		all, names, err := s.h.Classes(ctx, s.head)
		if must(0, err); len(all) != 2 || all[0].ID != o.ID || names[o.Value.Customer] == "" {
			t.Errorf("classes: %+v, %v", all, names)
		}
	})
}

func TestClass_learners(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.class("2031-06-10", 3)
	revision := must(s.h.Order(ctx, s.head, o.ID)).Revision
	for n := 4; n <= 8; n++ {
		k := must(s.h.Learners(ctx, s.seller, o.ID, revision, 1))
		revision = k.Revision
		if k.Value.Class.Learners != n {
			t.Errorf("%d learners, want %d", k.Value.Class.Learners, n)
		}
	}
	_, err := s.h.Learners(ctx, s.seller, o.ID, revision, 1)
	wantProblem(t, "one too many", err, "learners", "class-full")
	if v := must(s.h.Class(ctx, s.head, o.ID)); !slices.Contains(codesAt(v.Problems), "class class-kits") {
		t.Errorf("three warps for eight learners: %v", v.Problems)
	}
	_, err = s.h.Learners(ctx, s.seller, o.ID, revision-1, -1)
	wantCode(t, "an old page", err, Conflict)
	bag := s.running("bag", 1)
	_, err = s.h.Learners(ctx, s.seller, bag.ID, bag.Revision, 1)
	wantProblem(t, "no class", err, "", "class-none")
	_, err = s.h.SaveClass(ctx, s.seller, bag.ID, bag.Revision, &Class{Day: "2031-01-10", From: 540, To: 780, Seats: 4})
	wantProblem(t, "in the past", err, "day", "class-past")
}

// An order that is past its day and not ready is late; one that is ready is not.
func TestLateOrders(t *testing.T) {
	s := calendarShop(t, file(t))
	ready, waits := s.running("scarf", 1), s.running("scarf", 1)
	s.woven(ready.Jobs[0], s.weaver)
	must(s.h.Finish(ctx, s.seller, ready.Pieces[0].ID, ready.Pieces[0].Revision, 10, 150, 20, ""))
	of := func() map[string]bool {
		l, _, err := s.h.Orders(ctx, s.seller, Page{})
		return must(s.h.LateOrders(ctx, s.seller, must(l, err).Items))
	}
	if late := of(); late[ready.ID] || late[waits.ID] {
		t.Errorf("before its day: %v", late)
	}
	s.clock.at = s.clock.at.AddDate(1, 0, 0)
	if late := of(); late[ready.ID] || !late[waits.ID] {
		t.Errorf("after it: %v", late)
	}
	early := Order{Customer: ready.Value.Customer, Taken: "2031-05-02", Due: "2031-05-01", Lines: []Line{{Cloth: ready.Value.Lines[0].Cloth, Quantity: 1}}}
	_, err := s.h.SaveOrder(ctx, s.seller, Kept[Order]{Value: early})
	wantProblem(t, "due before it was taken", err, "due", "order-due-early")
	x := must(s.h.Piece(ctx, s.seller, ready.Pieces[0].ID))
	must(s.h.Deliver(ctx, s.seller, x.ID, x.Revision))
	_, err = s.h.PromiseFor(ctx, s.seller, Ask{Order: ready.ID})
	wantProblem(t, "nothing left to wait for", err, "order", "promise-ready")
}
