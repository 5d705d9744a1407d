package design_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"urdir/check"
	"urdir/design"
	"urdir/examples"
	"urdir/plan"
	"urdir/warp"
)

// Every order after the edit is written by hand.
func TestEdit_stripes(t *testing.T) {
	type result struct {
		c  plan.Cloth
		ps check.Problems
	}
	res := func(c plan.Cloth, ps check.Problems) result { return result{c, ps} }
	moved := func(c plan.Cloth, _ design.At, ps check.Problems) result { return result{c, ps} }
	for _, tc := range []struct {
		name, stripes string
		do            func(plan.Cloth) result
		want          string // the order, or the problems
	}{
		{"insert first", someStripes, func(c plan.Cloth) result { return res(design.InsertStripe(c, at(0), plainStripe("mist", 6))) },
			"6 mist, 20 red, 2(10 sand, 4 mist), 1part red"},
		{"insert last in a group", someStripes, func(c plan.Cloth) result { return res(design.InsertStripe(c, at(1, 2), plainStripe("red", 2))) },
			"20 red, 2(10 sand, 4 mist, 2 red), 1part red"},
		{"insert beyond", someStripes, func(c plan.Cloth) result { return res(design.InsertStripe(c, at(4), plainStripe("red", 2))) },
			"warps.body.stripes design-not-there"},
		{"insert an unknown yarn", someStripes, func(c plan.Cloth) result { return res(design.InsertStripe(c, at(0), plainStripe("blue", 2))) },
			"warps.body.stripes[0] yarn-unknown"},
		{"insert nothing", someStripes, func(c plan.Cloth) result { return res(design.InsertStripe(c, at(0), plainStripe("red", 0))) },
			"warps.body.stripes[0] stripe-size"},
		{"remove", someStripes, func(c plan.Cloth) result { return res(design.Remove(c, at(1, 0))) }, "20 red, 2(4 mist), 1part red"},
		{"remove the last of a group, and the group goes", "stripes: [20 red, {repeat: 2, of: [10 sand]}]",
			func(c plan.Cloth) result { return res(design.Remove(c, at(1, 0))) }, "20 red"},
		{"remove the only stripe", "stripes: [20 red]", func(c plan.Cloth) result { return res(design.Remove(c, at(0))) },
			"warps.body.stripes design-last"},
		{"duplicate a group", someStripes, func(c plan.Cloth) result { return res(design.Duplicate(c, at(1))) },
			"20 red, 2(10 sand, 4 mist), 2(10 sand, 4 mist), 1part red"},
		{"move back", someStripes, func(c plan.Cloth) result { return moved(design.Move(c, at(2), at(0))) },
			"1part red, 20 red, 2(10 sand, 4 mist)"},
		{"move into a group", someStripes, func(c plan.Cloth) result { return moved(design.Move(c, at(0), at(1, 1))) },
			"2(10 sand, 20 red, 4 mist), 1part red"},
		{"move out of a group of one", "stripes: [20 red, {repeat: 2, of: [10 sand]}]",
			func(c plan.Cloth) result { return moved(design.Move(c, at(1, 0), at(0))) }, "10 sand, 20 red"},
		{"move into itself", someStripes, func(c plan.Cloth) result { return moved(design.Move(c, at(1), at(1, 0))) },
			"warps.body.stripes[1] design-move-inside"},
		{"move to another list", someStripes, func(c plan.Cloth) result { return moved(design.Move(c, at(1), along(0))) },
			"warps.body.stripes[1] design-move-elsewhere"},
		{"repeat", someStripes, func(c plan.Cloth) result { return res(design.Repeat(c, at(0), 2, 3)) },
			"3(20 red, 2(10 sand, 4 mist)), 1part red"},
		{"repeat too many neighbours", someStripes, func(c plan.Cloth) result { return res(design.Repeat(c, at(1), 3, 3)) },
			"warps.body.stripes[1] design-range"},
		{"repeat no times", someStripes, func(c plan.Cloth) result { return res(design.Repeat(c, at(1), 1, 0)) },
			"warps.body.stripes[1].repeat repeat-too-few"},
		{"repeat beyond all bounds", someStripes, func(c plan.Cloth) result { return res(design.Repeat(c, at(0), 3, 1<<40)) },
			"warps.body.stripes design-too-many"},
		{"mirror", someStripes, func(c plan.Cloth) result { return res(design.Mirror(c, at(1, 0), 2)) },
			"20 red, 2(m(10 sand, 4 mist)), 1part red"},
		{"set times", someStripes, func(c plan.Cloth) result { return res(design.SetTimes(c, at(1), 5)) },
			"20 red, 5(10 sand, 4 mist), 1part red"},
		{"set times of a stripe", someStripes, func(c plan.Cloth) result { return res(design.SetTimes(c, at(0), 5)) },
			"warps.body.stripes[0] design-not-a-group"},
		{"ungroup", someStripes, func(c plan.Cloth) result { return res(design.Ungroup(c, at(1))) }, "20 red, 10 sand, 4 mist, 1part red"},
		{"ungroup a stripe", someStripes, func(c plan.Cloth) result { return res(design.Ungroup(c, at(0))) },
			"warps.body.stripes[0] design-not-a-group"},
		{"set ends", someStripes, func(c plan.Cloth) result { return res(design.SetSize(c, at(1, 1), design.Size{Ends: 8})) },
			"20 red, 2(10 sand, 8 mist), 1part red"},
		{"set width", someStripes, func(c plan.Cloth) result { return res(design.SetSize(c, at(0), design.Size{Width: 1.5})) },
			"1.5cm red, 2(10 sand, 4 mist), 1part red"},
		{"set share", someStripes, func(c plan.Cloth) result { return res(design.SetSize(c, at(0), design.Size{Share: 2})) },
			"2part red, 2(10 sand, 4 mist), 1part red"},
		{"set two sizes", someStripes, func(c plan.Cloth) result { return res(design.SetSize(c, at(0), design.Size{Ends: 2, Share: 2})) },
			"warps.body.stripes[0] stripe-size"},
		{"set the size of a group", someStripes, func(c plan.Cloth) result { return res(design.SetSize(c, at(1), design.Size{Ends: 2})) },
			"warps.body.stripes[1] design-not-a-stripe"},
		{"recolour", someStripes, func(c plan.Cloth) result { return res(design.Recolour(c, at(1, 0), 0, "red")) },
			"20 red, 2(10 red, 4 mist), 1part red"},
		{"recolour a yarn it has not", someStripes, func(c plan.Cloth) result { return res(design.Recolour(c, at(0), 1, "red")) },
			"warps.body.stripes[0] design-no-such-yarn"},
		{"alternate", someStripes, func(c plan.Cloth) result { return res(design.Alternate(c, at(0), "sand", 2, 1)) },
			"20 2red+1sand, 2(10 sand, 4 mist), 1part red"},
		{"alternate by none", someStripes, func(c plan.Cloth) result { return res(design.Alternate(c, at(0), "sand", 2, 0)) },
			"warps.body.stripes[0].alternate[1] lay-ends"},
		{"plain", "stripes: [{alternate: [2 red, 1 sand], over: 6}]", func(c plan.Cloth) result { return res(design.Plain(c, at(0), 1)) }, "6 sand"},
		{"split", someStripes, func(c plan.Cloth) result { return res(design.Split(c, at(0), 8)) },
			"8 red, 12 red, 2(10 sand, 4 mist), 1part red"},
		// 2 and 1 cut after 4 ends: aab a|ab aab: it goes on with one a.
		{"split an alternation", "stripes: [{alternate: [2 red, 1 sand], over: 9}]", func(c plan.Cloth) result { return res(design.Split(c, at(0), 4)) },
			"4 2red+1sand, 5 1red+1sand+1red"},
		{"split across the axis", "stripes: [{mirror: [4 sand, 10 red]}]", func(c plan.Cloth) result { return res(design.Split(c, at(0, 1), 4)) },
			"m(4 sand, 1(4 red, 6 red))"},
		// 250 ends less 20 and 2 x 14: the share is 202 ends; half of them is half a share.
		{"split a share", someStripes, func(c plan.Cloth) result { return res(design.Split(c, at(2), 101)) },
			"20 red, 2(10 sand, 4 mist), 0.5part red, 0.5part red"},
		{"split off nothing", someStripes, func(c plan.Cloth) result { return res(design.Split(c, at(0), 20)) },
			"warps.body.stripes[0] design-split-size"},
		{"join", "stripes: [8 red, 12 sand]", func(c plan.Cloth) result { return res(design.Join(c, at(0))) }, "20 red"},
		{"join ends and a share", "stripes: [8 red, 1 part sand]", func(c plan.Cloth) result { return res(design.Join(c, at(0))) },
			"warps.body.stripes[0] design-join-size"},
		{"join in a group, which stays", "stripes: [{repeat: 1, of: [8 red, 12 red]}]", func(c plan.Cloth) result { return res(design.Join(c, at(0, 0))) },
			"1(20 red)"},
		{"join with nothing", "stripes: [8 red, 1 part sand]", func(c plan.Cloth) result { return res(design.Join(c, at(1))) },
			"warps.body.stripes[1] design-join-last"},
		{"fit to", "stripes: [20 red, 120 sand, 20 red]", func(c plan.Cloth) result { return res(design.FitTo(c, at(1), 20)) },
			"20 red, 1part sand, 20 red"},
		// The share of two parts is 250 - 50 = 200 ends: 50 ends beside it are half a part.
		{"fit to beside a share", "stripes: [50 red, 2 parts sand]", func(c plan.Cloth) result { return res(design.FitTo(c, at(0), 12)) },
			"0.5part red, 2part sand"},
		{"fit to by a share", "stripes: [50 red, 2 parts sand]", func(c plan.Cloth) result { return res(design.FitTo(c, at(1), 12)) },
			"50 red, 2part sand"},
		// 125 ends each before rounding, which makes one 124 and one 126: the share stays what it is.
		{"fit to by one of two shares", "stripes: [1 part red, 1 part sand]", func(c plan.Cloth) result { return res(design.FitTo(c, at(1), 12)) },
			"1part red, 1part sand"},
		// 2 x 1500 less the one across the axis, and one: 3000, the most.
		{"as many as may be", "stripes: [{repeat: 1499, of: [2 red]}, 2 sand, 2 mist]", func(c plan.Cloth) result { return res(design.Mirror(c, at(0), 2)) },
			"m(1499(2 red), 2 sand), 2 mist"},
		{"fit to no width", someStripes, func(c plan.Cloth) result { return res(design.FitTo(c, at(0), 0)) },
			"warps.body size-out-of-range"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c, same := cloth(t, tc.stripes, someBands), cloth(t, tc.stripes, someBands)
			r := tc.do(c)
			got := order(r.c)
			if r.ps.Failed() {
				got = codes(r.ps)
				if !reflect.DeepEqual(r.c, c) {
					t.Errorf("refused, but the cloth changed: %s", order(r.c))
				}
			}
			if got != tc.want {
				t.Errorf("got %s\nwant %s", got, tc.want)
			}
			if !reflect.DeepEqual(c, same) {
				t.Errorf("the cloth given was changed: %s", order(c))
			}
		})
	}
}

func TestEdit_border(t *testing.T) {
	c := cloth(t, "border: [4 red], stripes: [1 part sand]", someBands)
	edge := design.At{In: design.Border, Key: "body", Path: []int{1}}
	c, ps := design.InsertStripe(c, edge, plainStripe("mist", 2))
	if got, want := order(c), "4 red, 2 mist | 1part sand"; got != want || len(ps) > 0 {
		t.Errorf("%s %v, want %s", got, ps, want)
	}
	// Both borders count: 2 x 1500 stripes and one more are too many.
	_, ps = design.Repeat(c, edge, 1, 1500)
	if got, want := codes(ps), "warps.body.border design-too-many"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestEdit_tooDeep(t *testing.T) {
	c := cloth(t, "stripes: [4 red]", someBands)
	for depth := 2; ; depth++ {
		next, ps := design.Repeat(c, at(0), 1, 1)
		if ps.Failed() {
			if got, want := codes(ps), "warps.body.stripes design-too-deep"; depth != warp.MaxDepth+1 || got != want {
				t.Errorf("at %d: %s, want %s at %d", depth, got, want, warp.MaxDepth+1)
			}
			return
		}
		if _, ps := next.Warps[0].Order.Expand(); ps.Failed() {
			t.Fatal(ps)
		}
		c = next
	}
}

func TestMove_tellsWhere(t *testing.T) {
	c := cloth(t, "stripes: [2 red, {repeat: 2, of: [10 sand]}, {mirror: [4 mist, 6 red]}]", someBands)
	// The group of one goes with its only stripe, so the mirror becomes second.
	out, now, ps := design.Move(c, at(1, 0), at(2, 1))
	if got, want := order(out), "2 red, m(4 mist, 10 sand, 6 red)"; got != want || len(ps) > 0 || !slices.Equal(now.Path, []int{1, 1}) {
		t.Errorf("%s at %v %v, want %s at [1 1]", got, now.Path, ps, want)
	}
}

func TestPathOf_andBack(t *testing.T) {
	c := cloth(t, "stripes: [2 red, {repeat: 2, of: [10 sand, {mirror: [4 mist, 6 red]}]}]", "{mirror: [{woven: 2 cm}, {woven: rest}]}")
	for _, tc := range []struct {
		at   design.At
		want string
	}{
		{at(1, 1, 0), "warps.body.stripes[1].of[1].mirror[0]"},
		{along(0, 1), "panels.runner.bands[0].mirror[1]"},
		{design.At{In: design.Border, Key: "body", Path: []int{0}}, "warps.body.border[0]"},
	} {
		got := design.PathOf(c, tc.at)
		back, ok := design.AtOf(got + ".ends")
		if got != tc.want || !ok || !reflect.DeepEqual(back, tc.at) {
			t.Errorf("%v is %s, want %s; back %v %t", tc.at, got, tc.want, back, ok)
		}
	}
	for _, path := range []string{"", "frame", "warps.body", "warps.body.stripes", "warps.body.stripes[x]", "panels.runner.bands[", "yarns.red.colour"} {
		if at, ok := design.AtOf(path); ok {
			t.Errorf("%q is %v", path, at)
		}
	}
}

// An order that is too long already can be made shorter, not longer.
func TestEdit_tooManyBefore(t *testing.T) {
	c := cloth(t, "stripes: [2 red, 2 sand]", someBands)
	c.Warps[0].Order.Items[0] = warp.Item{Repeat: warp.MaxStripes, Of: []warp.Item{c.Warps[0].Order.Items[0]}}
	if _, ps := design.Duplicate(c, at(1)); codes(ps) != "warps.body.stripes design-too-many" {
		t.Errorf("%v", ps)
	}
	if out, ps := design.Remove(c, at(1)); ps.Failed() || order(out) != "3000(2 red)" {
		t.Errorf("%s %v", order(out), ps)
	}
}

// A stripe or band of the plan is the one its address names.
func TestWritten_agreesWithPlan(t *testing.T) {
	for _, kind := range examples.Kinds {
		c := example(t, kind)
		p, ps := plan.Make(c)
		if ps.Failed() {
			t.Fatal(ps)
		}
		for _, w := range p.Warps {
			places := design.Written(c, design.Stripes, w.Key)
			if len(places) != len(w.Stripes) {
				t.Fatalf("%s: %d addresses, %d stripes", kind, len(places), len(w.Stripes))
			}
			rows := design.Outline(c, design.Stripes, w.Key)
			rows = append(rows, design.Outline(c, design.Border, w.Key)...)
			for i, s := range w.Stripes {
				r := rows[slices.IndexFunc(rows, func(r design.Row) bool { return reflect.DeepEqual(r.At, places[i]) })]
				if !slices.Equal(r.Stripe.Yarns, s.Yarns) {
					t.Errorf("%s, stripe %d: %v, the plan has %v", kind, i, r.Stripe.Yarns, s.Yarns)
				}
			}
			fit, _, ps := design.Fit(c, w.Key)
			if ps.Failed() || !reflect.DeepEqual(fit.Stripes, w.Stripes) {
				t.Errorf("%s: fitted otherwise than in the plan: %v", kind, ps)
			}
		}
		for _, pan := range p.Panels {
			places := design.Written(c, design.Bands, pan.Key)
			rows := design.Outline(c, design.Bands, pan.Key)
			i := 0
			for _, b := range pan.Bands {
				if b.Kind == plan.SeamBand {
					continue
				}
				r := rows[slices.IndexFunc(rows, func(r design.Row) bool { return reflect.DeepEqual(r.At, places[i]) })]
				if r.Band.Kind != b.Kind {
					t.Errorf("%s, band %d: %s, the plan has %s", kind, i, r.Band.Kind, b.Kind)
				}
				i++
			}
			if i != len(places) {
				t.Errorf("%s: %d addresses, %d bands", kind, len(places), i)
			}
		}
	}
}

func TestOutline_byHand(t *testing.T) {
	c := cloth(t, "stripes: [20 red, {repeat: 2, of: [10 sand, {alternate: [1 mist, 1 sand], over: 4}]}, 1 part red]", someBands)
	type row struct {
		kind                                              design.RowKind
		depth, nth, of, holds, times, copies, first, ends int
	}
	want := []row{
		{design.RowStripe, 0, 1, 3, 0, 0, 1, 1, 20},
		{design.RowRepeat, 0, 2, 3, 2, 2, 0, 0, 0},
		{design.RowStripe, 1, 1, 2, 0, 0, 2, 21, 10},
		{design.RowAlternation, 1, 2, 2, 0, 0, 2, 31, 4},
		{design.RowStripe, 0, 3, 3, 0, 0, 1, 49, 202},
	}
	var got []row
	for _, r := range design.Outline(c, design.Stripes, "body") {
		got = append(got, row{r.Kind, r.Depth, r.Nth, r.Of, r.Holds, r.Times, r.Copies, r.First, r.Ends})
	}
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if rows := design.Outline(c, design.Stripes, "nobody"); rows != nil {
		t.Errorf("of no warp: %v", rows)
	}
}

// What is read as an address, written out, is the beginning of what was read.
func FuzzAtOf(f *testing.F) {
	for _, path := range []string{"warps.body.stripes[1].of[0].ends", "panels.p.bands[0].mirror[2]", "warps.a.b.border[3]", "warps..stripes[", "warps.x.stripes[-1]"} {
		f.Add(path)
	}
	f.Fuzz(func(t *testing.T, path string) {
		at, ok := design.AtOf(path)
		if !ok {
			return
		}
		head := design.PathOf(plan.Cloth{}, at) // of no cloth: the list alone
		if !strings.HasPrefix(path, head+"[") || len(at.Path) == 0 {
			t.Errorf("%q is %+v, %q", path, at, head)
		}
		for _, i := range at.Path {
			if i < 0 {
				t.Errorf("%q is %v", path, at.Path)
			}
		}
	})
}
