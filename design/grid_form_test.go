package design_test

import (
	"testing"

	"urdir/design"
	"urdir/figure"
)

func TestGrid_reformed(t *testing.T) {
	g := grid(t, "xo./x..")
	got, ps := g.Reformed(func(f *design.Form) { f.Kind, f.Limit = figure.PickUp, 12 })
	if want := (design.Form{Kind: figure.PickUp, Way: figure.Each, Cell: figure.Cell{Ends: 2, Picks: 1}, Limit: 12}); ps.Failed() || got.Form() != want || rows(got) != "xo./x.." {
		t.Errorf("%+v %s %v, want %+v", got.Form(), rows(got), ps, want)
	}
	three, _ := g.AddColour(figure.Symbol{Char: 'm', Yarn: "mist"})
	for _, tc := range []struct {
		g      design.Grid
		change func(*design.Form)
		want   string
	}{
		{three, func(f *design.Form) { f.Kind = figure.PickUp }, "colours design-pick-up-colours"},
		{g, func(f *design.Form) { f.Cell.Ends = 61 }, "cell.ends out-of-range"},
		{g, func(f *design.Form) { f.Cell.Picks = 0 }, "cell.picks out-of-range"},
		{g, func(f *design.Form) { f.Limit = -1 }, "float out-of-range"},
	} {
		got, ps := tc.g.Reformed(tc.change)
		if codes(ps) != tc.want || got.Form() != tc.g.Form() {
			t.Errorf("%v, form %+v; want %s and no change", ps, got.Form(), tc.want)
		}
	}
}

// Two signs for one yarn stay apart when a part of the grid is put back.
func TestPaste_twoSignsOfOneYarn(t *testing.T) {
	c, _ := figure.Parse("xo", []figure.Symbol{{Char: 'x', Yarn: "red"}, {Char: 'o', Yarn: "red"}})
	g := design.GridOf(c)
	if got, ps := g.Paste(0, 0, g.Mirrored()); ps.Failed() || rows(got) != "ox" {
		t.Errorf("%s %v, want ox", rows(got), ps)
	}
}

func TestGrid_setAndRemoveColour(t *testing.T) {
	g := grid(t, "xo./oo.")
	if got, ps := g.SetColour(1, figure.Symbol{Char: 'r', Yarn: "rust"}); ps.Failed() || rows(got) != "ro./oo." || got.Colours()[0].Yarn != "rust" {
		t.Errorf("set: %s %v %v", rows(got), got.Colours(), ps)
	}
	if got, ps := g.SetColour(1, figure.Symbol{Char: 'o', Yarn: "rust"}); codes(ps) != "colours colours-key" || rows(got) != "xo./oo." {
		t.Errorf("a sign that is taken: %s %v", rows(got), ps)
	}
	if got, ps := g.RemoveColour(1); ps.Failed() || rows(got) != ".o./oo." || len(got.Colours()) != 1 || got.Uses(1) != 3 || got.Uses(0) != 3 {
		t.Errorf("removed: %s %v %v", rows(got), got.Colours(), ps)
	}
	for _, n := range []int{0, 3} {
		_, set := g.SetColour(n, figure.Symbol{Char: 'r', Yarn: "rust"})
		if _, ps := g.RemoveColour(n); codes(ps) != "colours design-colour-none" || codes(set) != "colours design-colour-none" {
			t.Errorf("colour %d: %v, %v", n, ps, set)
		}
	}
	if rows(g) != "xo./oo." {
		t.Errorf("the first is now %s", rows(g))
	}
}
