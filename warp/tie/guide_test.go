package tie_test

import (
	"fmt"
	"math"
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
// Blur at 9.5 cm: 10 x (0.09105358 - 0.05085742) / sqrt(12) = 0.1160363;
// sqrt(0.3^2 + 0.1160363^2) = 0.3216588; a cm of cloth is 1.1257337 of thread:
// 0.2857326.
func TestMake_onePanel(t *testing.T) {
	p := mustPlan(t, small(1, panel("runner", band(plan.Woven, 38))))
	g, ps := tie.Make(p, "runner", []tie.Mark{{First: 1, Last: 24, From: 9.5, To: 19}}, tie.NewSetup())
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	if len(g.Bundles) != 2 || len(g.Bundles[0].Ties) != 1 || g.Ties != 2 || g.Layings != 1 {
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
	near(t, "blur", e.From.Blur, 0.3216588)
	near(t, "blur in the cloth", e.From.Cloth, 0.2857326)
	near(t, "panel's end", g.Repeats[0].To.Middle, 5+40*(1+middle))
}

// Nothing shrinks: 10 cm are 10 on the loom.
func TestMake_noShrinkage(t *testing.T) {
	c := small(1, panel("runner", band(plan.Woven, 40)))
	c.Shrink.Length = 0
	g, _ := tie.Make(mustPlan(t, c), "runner", []tie.Mark{{First: 1, Last: 1, From: 10, To: 30}}, tie.NewSetup())
	near(t, "from", g.Bundles[0].Ties[0].From.At.Middle, 15.6944703)
	near(t, "to", g.Bundles[0].Ties[0].To.At.Middle, 5+30*(1+middle))
}

// Two of a piece with fringe and hem. The fringe is 4.75 / 0.95 x 1.2 = 6 cm;
// a hem of 2 cm is 2 x 2 + 1 = 5 cm opened out. An end takes
// 6 + (38 + 5) / 0.95 x 1.06944703 = 54.4065499 cm, so the second begins at
// 5 + 54.4065499 + 3 = 62.4065499 and its cloth 6 cm later. Half the fringe is
// 3 cm of thread.
func TestMake_twoPiecesWithFringe(t *testing.T) {
	p := mustPlan(t, small(2, panel("runner", band(plan.Fringe, 4.75), band(plan.Woven, 38), band(plan.Hem, 2))))
	g, ps := tie.Make(p, "runner", []tie.Mark{{First: 101, Last: 101, From: -2.375, To: 43}}, tie.NewSetup())
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
	// Each panel begins where its own ties say: both are blurred alike.
	near(t, "blur", ties[1].To.Blur, float64(ties[0].To.Blur))
}

// Thread in an open band is as long as the band: 9.5 / 0.95 = 10 cm.
func TestMake_openBand(t *testing.T) {
	p := mustPlan(t, small(1, panel("runner", band(plan.Woven, 19), band(plan.Open, 9.5), band(plan.Woven, 9.5))))
	g, ps := tie.Make(p, "runner", []tie.Mark{
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
	g, ps := tie.Make(mustPlan(t, c), "strap", []tie.Mark{{First: 1, Last: 1, From: 0, To: 9.5}}, tie.NewSetup())
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
	p := mustPlan(t, c)
	path := p.Warps[0].Path
	mark := []tie.Mark{{First: 1, Last: 2, From: 19, To: 38}}
	g, _ := tie.Make(p, "runner", mark, tie.NewSetup())
	near(t, "circuit", g.Outward+g.Homeward, float64(path.Circuit))
	near(t, "end", g.Length, float64(path.Circuit)/2)
	e := g.Bundles[0].Ties[0].From
	near(t, "outward", e.Outward, 5+20*(1+middle))
	near(t, "homeward", e.Homeward, float64(path.Homeward)-(5+20*(1+middle)))
	s := tie.NewSetup()
	s.AtTurn = true
	g, _ = tie.Make(p, "runner", mark, s)
	e = g.Bundles[0].Ties[0].From
	near(t, "woven from the turning peg, outward", e.Outward, float64(path.Outward)-(5+20*(1+middle)))
	near(t, "woven from the turning peg, homeward", e.Homeward, 5+20*(1+middle))
}

func TestMake_bundles(t *testing.T) {
	p := mustPlan(t, small(1, panel("runner", band(plan.Woven, 38))))
	for _, c := range []struct {
		name  string
		most  int
		marks []tie.Mark
		want  string // first-last of each bundle and its ties, as drawn
	}{
		{"25 ends are three bundles, not 12, 12 and 1", 12, []tie.Mark{{1, 25, 0, 5}}, "1-8[0 5] 9-16[0 5] 17-25[0 5] "},
		{"as many as fit", 25, []tie.Mark{{1, 25, 0, 5}}, "1-25[0 5] "},
		{"marks that meet along the ends are one tie", 12, []tie.Mark{{1, 4, 5, 9}, {1, 4, 2, 5}}, "1-4[2 9] "},
		{"marks that meet across are one bundle", 12, []tie.Mark{{5, 8, 2, 5}, {1, 4, 2, 5}}, "1-8[2 5] "},
		{"a cross", 12, []tie.Mark{{1, 9, 10, 12}, {4, 6, 5, 20}}, "1-3[10 12] 4-6[5 20] 7-9[10 12] "},
		{"ends between are left alone", 12, []tie.Mark{{1, 2, 0, 5}, {4, 5, 0, 5}}, "1-2[0 5] 4-5[0 5] "},
		{"two ties on an end", 12, []tie.Mark{{7, 8, 20, 25}, {7, 8, 0, 5}}, "7-8[0 5][20 25] "},
		{"one inside another", 12, []tie.Mark{{1, 2, 0, 30}, {1, 2, 5, 9}}, "1-2[0 30] "},
	} {
		s := tie.NewSetup()
		s.Bundle = c.most
		g, ps := tie.Make(p, "runner", c.marks, s)
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

func TestMake_problems(t *testing.T) {
	p := mustPlan(t, small(1, panel("runner", band(plan.Fringe, 4.75), band(plan.Woven, 38))))
	one := []tie.Mark{{1, 12, 0, 10}}
	set := func(before measure.Ratio, shift measure.CM, bundle int) tie.Setup {
		return tie.Setup{Before: before, Shift: shift, Bundle: bundle}
	}
	nan := measure.CM(math.NaN())
	many := make([]tie.Mark, 2000) // each a tie of its own on 250 bundles of an end: 500 000
	for i := range many {
		many[i] = tie.Mark{1, 250, measure.CM(i) * 0.019, measure.CM(i)*0.019 + 0.01}
	}
	for _, c := range []struct {
		name  string
		panel string
		marks []tie.Mark
		setup tie.Setup
		want  []string
	}{
		{"no such panel", "scarf", one, tie.NewSetup(), []string{"panel tie-panel-unknown"}},
		{"no marks", "runner", nil, tie.NewSetup(), []string{"marks tie-marks-none"}},
		{"marks without number", "runner", make([]tie.Mark, 2001), tie.NewSetup(), []string{"marks tie-marks-many"}},
		{"end 0", "runner", []tie.Mark{{0, 3, 0, 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"251 of 250", "runner", []tie.Mark{{1, 251, 0, 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"ends backwards", "runner", []tie.Mark{{9, 3, 0, 5}}, tie.NewSetup(), []string{"marks[0] tie-ends"}},
		{"backwards along", "runner", []tie.Mark{{1, 3, 5, 4}}, tie.NewSetup(), []string{"marks[0] tie-length"}},
		{"no number", "runner", []tie.Mark{{1, 3, nan, 4}}, tie.NewSetup(), []string{"marks[0] tie-length"}},
		{"before the fringe", "runner", []tie.Mark{{1, 3, -4.8, 4}}, tie.NewSetup(), []string{"marks[0] tie-outside"}},
		{"past the end", "runner", []tie.Mark{{1, 3, 30, 38.1}, {1, 3, 1, measure.CM(math.Inf(1))}}, tie.NewSetup(),
			[]string{"marks[0] tie-outside", "marks[1] tie-outside"}},
		{"more than all the waste", "runner", one, set(1.1, 0.3, 12), []string{"setup tie-before"}},
		{"a shift of no number", "runner", one, set(0, nan, 12), []string{"setup tie-shift"}},
		{"an empty bundle", "runner", one, set(0, 0.3, 0), []string{"setup tie-bundle"}},
		{"a bundle no hand ties", "runner", one, set(0, 0.3, 201), []string{"setup tie-bundle"}},
		{"ties without number", "runner", many, set(0, 0, 1), []string{"marks tie-too-many"}},
		// At its beginning a panel's blur is the shift, 0.3 / 1.1257 = 0.27 cm, at either edge.
		{"half a centimetre washes out", "runner", []tie.Mark{{1, 12, 0, 0.5}}, tie.NewSetup(), []string{"marks[0] tie-faint"}},
		{"six tenths do not", "runner", []tie.Mark{{1, 12, 0, 0.6}}, tie.NewSetup(), nil},
	} {
		g, ps := tie.Make(p, c.panel, c.marks, c.setup)
		if diff := cmp.Diff(c.want, codes(ps)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		if ps.Failed() == (len(g.Bundles) > 0) {
			t.Errorf("%s: %d bundles", c.name, len(g.Bundles))
		}
	}
}
