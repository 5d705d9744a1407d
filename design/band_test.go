package design_test

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/design"
	"urdir/examples"
	"urdir/measure"
	"urdir/plan"
)

// The bands after the edit are written by hand.
func TestEdit_bands(t *testing.T) {
	// 40 cm less two hems of 2 cm: the rest is 36 cm.
	const some = "{hem: 2 cm}, {woven: rest}, {hem: 2 cm}, {fringe: 5 cm}"
	open := plan.NewBand()
	open.Kind, open.Length = plan.Open, 3
	for _, tc := range []struct {
		name, bands string
		do          func(plan.Cloth) (plan.Cloth, check.Problems)
		want        string
	}{
		{"insert", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.InsertBand(c, along(1), open) },
			"hem 2, open 3, woven rest, hem 2, fringe 5"},
		{"insert a stripe", some, func(c plan.Cloth) (plan.Cloth, check.Problems) {
			return design.InsertStripe(c, along(1), plainStripe("red", 2))
		}, "panels.runner.bands[1] design-not-a-stripe"},
		{"insert among stripes", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.InsertBand(c, at(0), open) },
			"warps.body.stripes[0] design-not-a-band"},
		{"remove", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.Remove(c, along(0)) },
			"woven rest, hem 2, fringe 5"},
		{"move", some, func(c plan.Cloth) (plan.Cloth, check.Problems) {
			out, _, ps := design.Move(c, along(3), along(0))
			return out, ps
		}, "fringe 5, hem 2, woven rest, hem 2"},
		{"mirror", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.Mirror(c, along(0), 2) },
			"m(hem 2, woven rest), hem 2, fringe 5"},
		{"repeat", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.Repeat(c, along(0), 2, 2) },
			"2(hem 2, woven rest), hem 2, fringe 5"},
		{"length", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetLength(c, along(0), 2.5) },
			"hem 2.5, woven rest, hem 2, fringe 5"},
		{"length of the rest", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetLength(c, along(1), 2.5) },
			"panels.runner.bands[1] design-rest-fixed"},
		{"length below nothing", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetLength(c, along(0), -1) },
			"panels.runner.bands[0] size-out-of-range"},
		{"length that is no number", some, func(c plan.Cloth) (plan.Cloth, check.Problems) {
			return design.SetLength(c, along(0), measure.CM(math.NaN()))
		}, "panels.runner.bands[0] size-out-of-range"},
		{"rest", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetRest(c, along(2)) },
			"hem 2, woven 36, hem rest, fringe 5"},
		{"rest where it is", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetRest(c, along(1)) },
			"hem 2, woven rest, hem 2, fringe 5"},
		// Two rests share 36 cm; the other becomes 18.
		{"rest of two", "{hem: 2 cm}, {woven: rest}, {open: rest}, {hem: 2 cm}", func(c plan.Cloth) (plan.Cloth, check.Problems) {
			return design.SetRest(c, along(2))
		}, "hem 2, woven 18, open rest, hem 2"},
		// In a mirror the rest comes twice, 18 cm each, and the band across the axis takes all.
		{"rest in a mirror", "{mirror: [{hem: 2 cm}, {woven: rest}, {open: 4 cm}]}", func(c plan.Cloth) (plan.Cloth, check.Problems) {
			return design.SetRest(c, along(0, 2))
		}, "m(hem 2, woven 16, open rest)"},
		{"rest of a fringe", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetRest(c, along(3)) },
			"panels.runner.bands[3] fringe-rest"},
		{"kind", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetKind(c, along(0), plan.Open) },
			"open 2, woven rest, hem 2, fringe 5"},
		{"kind of the rest", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetKind(c, along(1), plan.Fringe) },
			"panels.runner.bands[1] fringe-rest"},
		{"figured without a figure", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetKind(c, along(1), plan.Figured) },
			"panels.runner.bands[1] design-no-figure; panels.runner.bands[1].chart figure-unknown"},
		{"no kind", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetKind(c, along(1), "seam") },
			"panels.runner.bands[1] design-kind"},
		{"unknown weft", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetWeft(c, along(1), "blue") },
			"panels.runner.bands[1].weft yarn-unknown"},
		{"too many picks", some, func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetPicks(c, along(1), 101) },
			"panels.runner.bands[1].picks out-of-range"},
		{"a group", "{mirror: [{hem: 2 cm}, {woven: rest}]}", func(c plan.Cloth) (plan.Cloth, check.Problems) { return design.SetPicks(c, along(0), 6) },
			"panels.runner.bands[0] design-not-a-band"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c, same := cloth(t, someStripes, tc.bands), cloth(t, someStripes, tc.bands)
			out, ps := tc.do(c)
			got := bands(out)
			if ps.Failed() {
				got = codes(ps)
			}
			if got != tc.want {
				t.Errorf("got %s\nwant %s", got, tc.want)
			}
			if !reflect.DeepEqual(c, same) || ps.Failed() && !reflect.DeepEqual(out, c) {
				t.Errorf("changed: %s, %s", bands(c), bands(out))
			}
		})
	}
}

func TestSetWeftAndPicks(t *testing.T) {
	c := cloth(t, someStripes, someBands)
	c, _ = design.SetWeft(c, along(0), "red")
	c, ps := design.SetPicks(c, along(0), 6)
	if b := c.Panels[0].Bands[0].Band; b.Weft != "red" || b.Picks != 6 || len(ps) > 0 {
		t.Errorf("%+v %v", b, ps)
	}
}

func TestSetPlace(t *testing.T) {
	c := example(t, "runner")
	for _, r := range design.Outline(c, design.Bands, c.Panels[0].Key) {
		if r.Band == nil || r.Band.Kind != plan.Figured {
			continue
		}
		p := r.Band.Place
		p.Count = 1
		out, ps := design.SetPlace(c, r.At, p)
		if ps.Failed() || design.Outline(out, design.Bands, c.Panels[0].Key)[0].At.In != design.Bands {
			t.Fatal(ps)
		}
		p.Figure = "nobody"
		if _, ps = design.SetPlace(c, r.At, p); codes(ps) != design.PathOf(c, r.At)+".chart figure-unknown" {
			t.Errorf("%v", ps)
		}
		return
	}
	t.Fatal("the runner has no figure")
}

func TestRemove_rest(t *testing.T) {
	c := cloth(t, someStripes, "{hem: 2 cm}, {woven: rest}")
	out, ps := design.Remove(c, along(1))
	if got, want := codes(ps), "panels.runner.bands design-rest-gone"; got != want || ps.Failed() || bands(out) != "hem 2" {
		t.Errorf("%s, %s; want %s", bands(out), got, want)
	}
}

// The seam at an end is no band of the panel's own: 36 cm are left as without it.
func TestSetRest_besideSeam(t *testing.T) {
	c := cloth(t, someStripes, "{hem: 2 cm}, {woven: rest}, {hem: 2 cm}")
	c.Panels[0].Seam.Bottom = 1
	out, ps := design.SetRest(c, along(2))
	if got, want := bands(out), "hem 2, woven 36, hem rest"; got != want || ps.Failed() {
		t.Errorf("%s %v, want %s", got, ps, want)
	}
	c.Name = "" // no plan can be made
	if _, ps := design.SetRest(c, along(2)); codes(ps) != "panels.runner.bands[1] design-rest-unknown" {
		t.Errorf("%v", ps)
	}
}

// Whichever band becomes the rest: there is one rest and the cloth is as long
// as before.
func TestSetRest_movesTheRest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := example(t, rapid.SampledFrom(examples.Kinds).Draw(t, "kind"))
		p := rapid.SampledFrom(c.Panels).Draw(t, "panel")
		at := rapid.SampledFrom(design.Written(c, design.Bands, p.Key)).Draw(t, "band")
		out, ps := design.SetRest(c, at)
		if ps.Failed() {
			return // a fringe
		}
		rests := 0
		for _, r := range design.Outline(out, design.Bands, p.Key) {
			if r.Band != nil && r.Band.Rest {
				rests++
			}
		}
		before, _ := plan.Make(c)
		after, ps := plan.Make(out)
		if rests != 1 || ps.Failed() {
			t.Fatalf("%d rests, %v", rests, ps)
		}
		if d := math.Abs(float64(before.Piece.Length - after.Piece.Length)); d > 1e-6 {
			t.Fatalf("the piece is %.3f cm off", d)
		}
	})
}
