package tie_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/measure"
	"urdir/plan"
	"urdir/warp/tie"
)

// 9.5 cm of the finished cloth are 9.5 / 0.95 = 10 cm on the loom and
// 10 x 1.06944703 = 10.6944703 cm of thread, 10.5085742 to 10.9105358. A fifth
// of the waste, 5 cm, lies before.
//
// Of 38 cm (40 on the loom) an end takes 40 x 1.09105358 + 25 = 68.6421432 cm at
// the high end; laid homeward, 68.6421432 - 15.6944703 = 52.9476729.
//
// A cm of cloth is 10.6944703 / 9.5 = 1.1257337 of thread, so that ends which
// slide by 0.3 cm blur an edge by 0.3 / 1.1257337 = 0.2664929.
func TestMake_onePanel(t *testing.T) {
	p := small(1, panel("runner", band(plan.Woven, 38)))
	g, ps := guide(p, "runner", []tie.Mark{{First: 1, Last: 24, From: 9.5, To: 19}}, tie.NewSetup())
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	if len(g.Bundles) != 2 || len(g.Bundles[0].Ties) != 1 || g.Ties != 2 {
		t.Fatalf("guide %+v", g)
	}
	e := g.Bundles[0].Ties[0]
	near(t, "before", g.Before, 5)
	near(t, "end", g.Length, 68.6421432)
	near(t, "from", e.From.At.Middle, 15.6944703)
	near(t, "from, low", e.From.At.Low, 15.5085742)
	near(t, "from, high", e.From.At.High, 15.9105358)
	near(t, "to", e.To.At.Middle, 26.3889406)
	near(t, "length", e.Length, 10.6944703)
	near(t, "outward", e.From.Outward, 15.6944703)
	near(t, "homeward", e.From.Homeward, 52.9476729)
	near(t, "blur", e.From.Blur, 0.2664929)
	near(t, "panel's end", g.Repeats[0].To.Middle, 5+40*(1+middle))
}

// Nothing shrinks: 10 cm are 10 on the loom.
func TestMake_noShrinkage(t *testing.T) {
	c := small(1, panel("runner", band(plan.Woven, 40)))
	c.Shrink.Length = 0
	g, _ := guide(c, "runner", []tie.Mark{{First: 1, Last: 1, From: 10, To: 30}}, tie.NewSetup())
	near(t, "from", g.Bundles[0].Ties[0].From.At.Middle, 15.6944703)
	near(t, "to", g.Bundles[0].Ties[0].To.At.Middle, 5+30*(1+middle))
}

// Two of a piece with fringe and hem. The fringe is 4.75 / 0.95 x 1.2 = 6 cm;
// a hem of 2 cm is 2 x 2 + 1 = 5 cm opened out. An end takes
// 6 + (38 + 5) / 0.95 x 1.06944703 = 54.4065499 cm, so the second begins at
// 5 + 54.4065499 + 3 = 62.4065499 and its cloth 6 cm later. Half the fringe is
// 3 cm of thread.
func TestMake_twoPiecesWithFringe(t *testing.T) {
	p := small(2, panel("runner", band(plan.Fringe, 4.75), band(plan.Woven, 38), band(plan.Hem, 2)))
	g, ps := guide(p, "runner", []tie.Mark{{First: 101, Last: 101, From: -2.375, To: 43}}, tie.NewSetup())
	if len(ps) > 0 || len(g.Repeats) != 2 {
		t.Fatalf("%v %+v", ps, g.Repeats)
	}
	ties := g.Bundles[0].Ties
	near(t, "first, from", ties[0].From.At.Middle, 5+3)
	near(t, "first, to", ties[0].To.At.Middle, 5+54.4065499)
	near(t, "second panel", g.Repeats[1].From.Middle, 62.4065499)
	near(t, "second panel, low", g.Repeats[1].From.Low, 5+6+45.2631579*(1+low)+3)
	near(t, "second, from", ties[1].From.At.Middle, 65.4065499)
	near(t, "second, high", ties[1].To.At.High, 5+3+2*(6+45.2631579*(1+high)))
	near(t, "blur", ties[1].To.Blur, 0.3/1.1257337)
}

// Thread in an open band is as long as the band: 9.5 / 0.95 = 10 cm.
func TestMake_openBand(t *testing.T) {
	p := small(1, panel("runner", band(plan.Woven, 19), band(plan.Open, 9.5), band(plan.Woven, 9.5)))
	g, ps := guide(p, "runner", []tie.Mark{
		{First: 1, Last: 1, From: 19, To: 28.5}, {First: 3, Last: 3, From: 9.5, To: 33.25}}, tie.NewSetup())
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	open, across := g.Bundles[0].Ties[0], g.Bundles[1].Ties[0]
	near(t, "open", open.Length, 10)
	near(t, "open, from", open.From.At.Middle, 5+20*(1+middle))
	near(t, "across", across.Length, 10*(1+middle)+10+5*(1+middle))
}

// A bag and its strap on one warp: the strap lies after the bag and the space.
func TestMake_twoPanelsOnOneWarp(t *testing.T) {
	bag, strap := panel("bag", band(plan.Woven, 38)), panel("strap", band(plan.Woven, 19))
	strap.Count = 2
	c := small(1, bag, strap)
	c.Join = plan.JoinApart
	g, ps := guide(c, "strap", []tie.Mark{{First: 1, Last: 1, From: 0, To: 9.5}}, tie.NewSetup())
	if len(ps) > 0 || len(g.Repeats) != 2 {
		t.Fatalf("%v %+v", ps, g)
	}
	near(t, "first strap", g.Repeats[0].From.Middle, 5+40*(1+middle)+3)
	near(t, "second strap", g.Repeats[1].From.Middle, 5+60*(1+middle)+6)
	near(t, "second strap's tie", g.Bundles[0].Ties[1].To.At.Middle, 5+70*(1+middle)+6)
}

// On a frame, out and back are one circuit, and the way from the start peg to a
// tie is the same whether the end was laid outward or homeward.
func TestMake_frame(t *testing.T) {
	c := small(1, panel("runner", band(plan.Woven, 95)))
	c.Frame = pegs()
	path := mustPlan(t, c).Warps[0].Path
	mark := []tie.Mark{{First: 1, Last: 2, From: 19, To: 38}}
	g, _ := guide(c, "runner", mark, tie.NewSetup())
	near(t, "circuit", g.Outward+g.Homeward, float64(path.Circuit))
	near(t, "end", g.Length, float64(path.Circuit)/2)
	e := g.Bundles[0].Ties[0].From
	near(t, "outward", e.Outward, 5+20*(1+middle))
	near(t, "homeward", e.Homeward, float64(path.Homeward)-(5+20*(1+middle)))
	s := tie.NewSetup()
	s.AtTurn = true
	g, _ = guide(c, "runner", mark, s)
	e = g.Bundles[0].Ties[0].From
	near(t, "woven from the turning peg, outward", e.Outward, float64(path.Outward)-(5+20*(1+middle)))
	near(t, "woven from the turning peg, homeward", e.Homeward, 5+20*(1+middle))
}

func TestMake_bundles(t *testing.T) {
	p := small(1, panel("runner", band(plan.Woven, 38)))
	for _, c := range []struct {
		name  string
		most  int
		marks []tie.Mark
		want  string // first-last of each bundle and its ties, as drawn
	}{
		{"25 ends are three bundles, not 12, 12 and 1", 12, []tie.Mark{{First: 1, Last: 25, From: 0, To: 5}}, "1-8[0 5] 9-16[0 5] 17-25[0 5] "},
		{"as many as fit", 25, []tie.Mark{{First: 1, Last: 25, From: 0, To: 5}}, "1-25[0 5] "},
		{"marks that meet along the ends are one tie", 12, []tie.Mark{{First: 1, Last: 4, From: 5, To: 9}, {First: 1, Last: 4, From: 2, To: 5}}, "1-4[2 9] "},
		{"marks that meet across are one bundle", 12, []tie.Mark{{First: 5, Last: 8, From: 2, To: 5}, {First: 1, Last: 4, From: 2, To: 5}}, "1-8[2 5] "},
		{"a cross", 12, []tie.Mark{{First: 1, Last: 9, From: 10, To: 12}, {First: 4, Last: 6, From: 5, To: 20}}, "1-3[10 12] 4-6[5 20] 7-9[10 12] "},
		{"ends between are left alone", 12, []tie.Mark{{First: 1, Last: 2, From: 0, To: 5}, {First: 4, Last: 5, From: 0, To: 5}}, "1-2[0 5] 4-5[0 5] "},
		{"two ties on an end", 12, []tie.Mark{{First: 7, Last: 8, From: 20, To: 25}, {First: 7, Last: 8, From: 0, To: 5}}, "7-8[0 5][20 25] "},
		{"one inside another", 12, []tie.Mark{{First: 1, Last: 2, From: 0, To: 30}, {First: 1, Last: 2, From: 5, To: 9}}, "1-2[0 30] "},
	} {
		s := tie.NewSetup()
		s.Bundle = c.most
		g, ps := guide(p, "runner", c.marks, s)
		got := ""
		for _, b := range g.Bundles {
			got += fmt.Sprintf("%d-%d", b.First, b.Last)
			for _, e := range b.Ties {
				got += fmt.Sprintf("[%v %v]", e.From.Drawn, e.To.Drawn)
			}
			got += " "
		}
		if len(ps) > 0 || got != c.want {
			t.Errorf("%s: %q, want %q (%v)", c.name, got, c.want, ps)
		}
	}
}

// 38 cm of cloth take a mark of 4 cm every 12 cm at 1, 13 and 25 cm; at 37 it
// would leave the cloth, though not the fringe. Of 250 ends, 11 to 20 are 231 to
// 240 from the other side.
func TestMake_repeatsAndMirrors(t *testing.T) {
	c := small(1, panel("runner", band(plan.Fringe, 9.5), band(plan.Woven, 38), band(plan.Fringe, 9.5)))
	g, ps := guide(c, "runner", []tie.Mark{{First: 11, Last: 20, From: 1, To: 5, Every: 12, Mirror: true}}, tie.NewSetup())
	if len(ps) > 0 || len(g.Bundles) != 2 || g.Ties != 6 {
		t.Fatalf("%v %+v", ps, g)
	}
	for i, first := range []int{11, 231} {
		b := g.Bundles[i]
		if b.First != first || b.Last != first+9 || len(b.Ties) != 3 {
			t.Errorf("bundle %+v", b)
		}
		for k, e := range b.Ties {
			near(t, "from", e.From.Drawn, float64(1+12*k))
			near(t, "to", e.To.Drawn, float64(5+12*k))
		}
	}
	all, _ := guide(c, "runner", []tie.Mark{{First: 1, Last: 1, From: 2, To: 14, Every: 12}}, tie.NewSetup())
	if e := all.Bundles[0].Ties; len(e) != 1 || e[0].To.Drawn != 38 {
		t.Errorf("marks that meet, to the very end of the cloth: %+v", e)
	}
}

func TestMake_problems(t *testing.T) {
	p := small(1, panel("runner", band(plan.Fringe, 4.75), band(plan.Woven, 38)))
	one := []tie.Mark{{First: 1, Last: 12, From: 0, To: 10}}
	set := func(before measure.Ratio, shift measure.CM, bundle int) tie.Setup {
		return tie.Setup{Before: before, Shift: shift, Bundle: bundle}
	}
	nan := measure.CM(math.NaN())
	many := make([]tie.Mark, 2000) // each a tie of its own on 250 bundles of an end: 500 000
	for i := range many {
		many[i] = tie.Mark{First: 1, Last: 250, From: measure.CM(i) * 0.019, To: measure.CM(i)*0.019 + 0.01}
	}
	for _, c := range []struct {
		name  string
		marks []tie.Mark
		setup tie.Setup
		want  []string
	}{
		{"no marks", nil, tie.NewSetup(), []string{"marks tie-marks-none"}},
		{"marks without number", slices.Repeat(one, 2001), tie.NewSetup(), []string{"marks tie-marks-many"}},
		{"end 0", []tie.Mark{{First: 0, Last: 3, From: 0, To: 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"251 of 250", []tie.Mark{{First: 1, Last: 251, From: 0, To: 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"ends backwards", []tie.Mark{{First: 9, Last: 3, From: 0, To: 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"backwards along", []tie.Mark{{First: 1, Last: 3, From: 5, To: 4}}, tie.NewSetup(), []string{"marks[0] tie-length"}},
		{"no number", []tie.Mark{{First: 1, Last: 3, From: nan, To: 4}}, tie.NewSetup(), []string{"marks[0] tie-length"}},
		{"before the fringe", []tie.Mark{{First: 1, Last: 3, From: -4.8, To: 4}}, tie.NewSetup(), []string{"marks[0] tie-outside"}},
		{"past the end", []tie.Mark{{First: 1, Last: 3, From: 30, To: 38.1}, {First: 1, Last: 3, From: 1, To: measure.CM(math.Inf(1))}}, tie.NewSetup(),
			[]string{"marks[0] tie-outside", "marks[1] tie-outside"}},
		{"again before it has ended", []tie.Mark{{First: 1, Last: 3, From: 1, To: 5, Every: 3.9}}, tie.NewSetup(), []string{"marks[0] tie-every"}},
		{"again backwards", []tie.Mark{{First: 1, Last: 3, From: 1, To: 5, Every: -5}}, tie.NewSetup(), []string{"marks[0] tie-every"}},
		{"again for ever", []tie.Mark{{First: 1, Last: 3, From: 0, To: 0.01, Every: 0.01}}, tie.NewSetup(), []string{"marks tie-marks-many"}},
		{"more than all the waste", one, set(1.1, 0.3, 12), []string{"before tie-before"}},
		{"a shift of no number", one, set(0, nan, 12), []string{"shift tie-shift"}},
		{"an empty bundle", one, set(0, 0.3, 0), []string{"bundle tie-bundle"}},
		{"a bundle no hand ties", one, set(0, 0.3, 201), []string{"bundle tie-bundle"}},
		{"ties without number", many, set(0, 0, 1), []string{"marks tie-too-many"}},
		// At its beginning a panel's blur is the shift, 0.3 / 1.1257 = 0.27 cm, at either edge.
		{"half a centimetre washes out", []tie.Mark{{First: 1, Last: 12, From: 0, To: 0.5}}, tie.NewSetup(), []string{"marks[0] tie-faint"}},
		{"six tenths do not", []tie.Mark{{First: 1, Last: 12, From: 0, To: 0.6}}, tie.NewSetup(), nil},
	} {
		g, ps := guide(p, "runner", c.marks, c.setup)
		if diff := cmp.Diff(c.want, codes(ps)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		if ps.Failed() == (len(g.Bundles) > 0) {
			t.Errorf("%s: %d bundles", c.name, len(g.Bundles))
		}
	}
}
