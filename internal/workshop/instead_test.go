package workshop

import (
	"math"
	"testing"

	"urdir/colour"
	"urdir/measure"
)

// A lot in another's place: the plan is the same but for its looks, the need is
// the plan's, and there is enough for as many pieces as can be planned from it.
func TestInstead(t *testing.T) {
	s, order, _ := dyeShop(t, file(t))
	line := order.Lines[0]
	red := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Rojo de feria", Letter: "F", Colour: "#b03a2c", Fibre: "cotton", Count: "Ne 8/2"}}))
	must(0, s.h.Receive(ctx, s.dyer, red.ID, 100, Money{}, ""))
	other := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Lana", Colour: "#202020", Fibre: "wool", Count: "Nm 6/2"}}))
	must(0, s.h.Receive(ctx, s.dyer, other.ID, 100, Money{}, ""))

	ask := must(s.h.LotInCloth(ctx, s.seller, line.Cloth.ID, 0, "", ""))
	if ask.Chosen() || len(ask.Yarns) != 3 || len(ask.Lots) != 4 {
		t.Fatalf("nothing chosen: %d yarns, %d lots", len(ask.Yarns), len(ask.Lots))
	}
	got := must(s.h.LotInOrder(ctx, s.seller, order.ID, line.ID, "rojo", red.ID))
	want := colour.Difference(Lot{Colour: "#a8442f"}.Lab(), Lot{Colour: "#b03a2c"}.Lab())
	if !got.Chosen() || !got.Alike || got.Yarn.Key != "rojo" || math.Abs(float64(got.Apart-want)) > 1e-9 || len(got.Ways) == 0 {
		t.Fatalf("instead: %+v", got)
	}
	if got.Lots[len(got.Lots)-1].ID != other.ID {
		t.Errorf("the wool is not last: %v", got.Lots)
	}
	if changes := Changes(got.Was.Plan, got.Now.Plan); len(changes) != 0 {
		t.Errorf("another lot of the same yarn changes %v", changes)
	}
	for _, y := range got.Now.Plan.Yarns {
		if y.Key == "rojo" && (y.Colour != "#b03a2c" || y.Label != "Rojo de feria") {
			t.Errorf("drawn in %s, as %q", y.Colour, y.Label)
		}
	}
	need := func(pieces int) measure.Gram {
		sheet := Sheet{Text: dyed, Quantity: pieces, Frame: frameOf(s)}
		for _, y := range sheet.Make().Plan.Yarns {
			if y.Key == "rojo" {
				return y.Mass
			}
		}
		return 0
	}
	if got.Need != need(1) || got.Pieces < 1 || need(got.Pieces) > 100 || need(got.Pieces+1) <= 100 {
		t.Errorf("needs %v, enough for %d: that takes %v, one more %v", got.Need, got.Pieces, need(got.Pieces), need(got.Pieces+1))
	}
	if wool := must(s.h.LotInOrder(ctx, s.seller, order.ID, line.ID, "rojo", other.ID)); wool.Alike {
		t.Error("wool is taken for cotton")
	}
	for name, err := range map[string]error{
		"no such yarn":  errOf(s.h.LotInCloth(ctx, s.seller, line.Cloth.ID, 0, "verde", red.ID)),
		"no such lot":   errOf(s.h.LotInCloth(ctx, s.seller, line.Cloth.ID, 0, "rojo", "nada")),
		"no such line":  errOf(s.h.LotInOrder(ctx, s.seller, order.ID, "nada", "rojo", red.ID)),
		"no such cloth": errOf(s.h.LotInCloth(ctx, s.seller, "nada", 0, "rojo", red.ID)),
	} {
		wantCode(t, name, err, NotFound)
	}
}

func errOf[T any](_ T, err error) error { return err }

func frameOf(s *shop) string {
	s.Helper()
	set := must(s.h.Settings(ctx, s.head))
	if len(set.Value.Frames) == 0 {
		return ""
	}
	return set.Value.Frames[0].Text
}
