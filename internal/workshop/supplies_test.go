package workshop

import "testing"

// A purchase that was told by mistake goes out as it came in, and its cost with it,
// as long as it was the last thing that happened to the bag.
func TestUndoBuy(t *testing.T) {
	s := newShop(t, file(t))
	usual := Purchase{Mass: 500, Cost: Money{Minor: 300, Currency: "USD"}}
	bag := must(s.h.Buy(ctx, s.dyer, Kept[Supply]{Value: Supply{What: "alum"}}, usual))
	must(s.h.Buy(ctx, s.dyer, bag, Purchase{Mass: 5000, Cost: Money{Minor: 3000, Currency: "USD"}, Day: "2027-01-01"})) // before the first, by what was told
	view := must(s.h.Supply(ctx, s.dyer, bag.ID))
	byID := map[string]Kept[Purchase]{}
	for _, b := range view.Purchases {
		byID[b.ID] = b
	}
	last := byID[view.Undo]
	if last.Value.Mass != 5000 {
		t.Fatalf("to be undone: %+v of %+v", last, view.Purchases)
	}
	must(0, s.h.UndoBuy(ctx, s.dyer, last.ID, last.Revision))
	if view = must(s.h.Supply(ctx, s.dyer, bag.ID)); view.OnShelf != 500 || len(view.Purchases) != 1 || view.Purchases[0].Value.Cost.Minor != 300 {
		t.Errorf("after the undo: %+v", view)
	}
	s.balanced()
	wantCode(t, "undone twice", s.h.UndoBuy(ctx, s.dyer, last.ID, last.Revision), NotFound)

	must(s.h.Buy(ctx, s.dyer, bag, usual))
	must(0, s.h.Spoil(ctx, s.dyer, bag.ID, 1))
	view = must(s.h.Supply(ctx, s.dyer, bag.ID))
	if view.Undo != "" {
		t.Error("a purchase can be undone of which some is gone")
	}
	for _, b := range view.Purchases {
		wantProblem(t, "when some of it is gone", s.h.UndoBuy(ctx, s.dyer, b.ID, b.Revision), "", "undo-moved-on")
	}
	if view = must(s.h.Supply(ctx, s.dyer, bag.ID)); len(view.Purchases) != 2 || view.OnShelf != 999 {
		t.Errorf("after the refusal: %+v", view)
	}
	s.balanced()
}
