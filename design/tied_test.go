package design_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/clothfile"
	"urdir/design"
	"urdir/plan"
	"urdir/warp/tie"
)

// Marks are added, changed and taken away; the cloth before stays as it was.
func TestTie(t *testing.T) {
	c := example(t, "scarf")
	before := string(clothfile.Write(c))
	a, b := tie.Mark{First: 1, Last: 20, From: 5, To: 9}, tie.Mark{First: 30, Last: 30, From: 2, To: 4, Every: 10, Mirror: true}
	one, ps := design.Tie(c, "scarf", a)
	two, ps2 := design.Tie(one, "scarf", b)
	changed, ps3 := design.SetTie(two, "scarf", 0, b)
	less, ps4 := design.Untie(changed, "scarf", 1)
	setup := tie.Setup{Before: 0.5, Shift: 1, Bundle: 3, AtTurn: true}
	set, ps5 := design.SetTying(less, "scarf", "#ffffff", setup)
	if ps.Failed() || ps2.Failed() || ps3.Failed() || ps4.Failed() || ps5.Failed() {
		t.Fatal(ps, ps2, ps3, ps4, ps5)
	}
	marks := func(c plan.Cloth) []tie.Mark {
		if c.Panels[0].Tied == nil {
			return nil
		}
		return c.Panels[0].Tied.Marks
	}
	for _, s := range []struct {
		name string
		c    plan.Cloth
		want []tie.Mark
	}{{"one", one, []tie.Mark{a}}, {"two", two, []tie.Mark{a, b}}, {"changed", changed, []tie.Mark{b, b}}, {"less", less, []tie.Mark{b}}, {"set", set, []tie.Mark{b}}} {
		if diff := cmp.Diff(s.want, marks(s.c)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", s.name, diff)
		}
	}
	if got := set.Panels[0].Tied; got.Setup != setup || got.Undyed != "#ffffff" {
		t.Errorf("set up: %+v", got)
	}
	if got := less.Panels[0].Tied; got.Setup != tie.NewSetup() || got.Undyed != plan.DefaultUndyed {
		t.Errorf("not as usual: %+v", got)
	}
	last, _ := design.Untie(less, "scarf", 0)
	none, _ := design.UntieAll(two, "scarf")
	for name, got := range map[string]plan.Cloth{"the first cloth": c, "without its last mark": last, "without any": none} {
		if text := string(clothfile.Write(got)); text != before {
			t.Errorf("%s:\n%s", name, cmp.Diff(before, text))
		}
	}
}

func TestTie_notThere(t *testing.T) {
	c := example(t, "scarf")
	one, _ := design.Tie(c, "scarf", tie.Mark{First: 1, Last: 2, To: 3})
	for name, do := range map[string]func() bool{
		"no such panel":  func() bool { _, ps := design.Tie(c, "shirt", tie.Mark{}); return ps.Failed() },
		"mark after all": func() bool { _, ps := design.SetTie(one, "scarf", 1, tie.Mark{}); return ps.Failed() },
		"mark before":    func() bool { _, ps := design.Untie(one, "scarf", -1); return ps.Failed() },
		"nothing tied":   func() bool { _, ps := design.Untie(c, "scarf", 0); return ps.Failed() },
	} {
		if !do() {
			t.Errorf("%s: done all the same", name)
		}
	}
}
