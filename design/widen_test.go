package design_test

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"urdir/design"
	"urdir/examples"
	"urdir/plan"
	"urdir/warp"
)

// Ten centimetres of cloth at 25 ends a cm are 250 ends: 20 red, 230 sand. The
// edge between them goes five ends to the right.
func ExampleWidenAt() {
	c := plan.NewCloth()
	c.Shrink.Width = 0
	c.Yarns = []plan.Yarn{plan.NewYarn("red"), plan.NewYarn("sand")}
	w := plan.NewWarp("body")
	w.Sett = 25
	red, sand := plainStripe("red", 20), plainStripe("sand", 0)
	sand.Share = 1
	w.Order.Items = []warp.Item{{Stripe: &red}, {Stripe: &sand}}
	p := plan.NewPanel("scarf")
	p.Warp, p.Width = "body", 10
	c.Warps, c.Panels = []plan.Warp{w}, []plan.Panel{p}

	c, at, _ := design.WidenAt(c, "body", 20, 5)
	fmt.Println(design.PathOf(c, at))
	for _, r := range design.Outline(c, design.Stripes, "body") {
		fmt.Printf("%d of %d: %s, %d ends\n", r.Nth, r.Of, r.Stripe.Yarns[0].Yarn, r.Ends)
	}
	// Output:
	// warps.body.stripes[0]
	// 1 of 2: red, 25 ends
	// 2 of 2: sand, 224 ends
}

// The warp has 250 ends (9.6 cm / 0.96 x 25), an end is 0.4 mm wide on the loom
// and 0.384 mm finished.
func TestWidenAt_byHand(t *testing.T) {
	for _, tc := range []struct {
		name, stripes string
		end, delta    int
		want, code    string
	}{
		{"ends stay ends", someStripes, 20, 6, "26 red, 2(10 sand, 4 mist), 1part red", ""},
		{"the nearest edge", someStripes, 24, 6, "26 red, 2(10 sand, 4 mist), 1part red", ""},
		{"the second copy of a stripe in a group", someStripes, 44, 2, "20 red, 2(12 sand, 4 mist), 1part red", ""},
		{"at the left selvedge, outward", someStripes, 0, -4, "24 red, 2(10 sand, 4 mist), 1part red", ""},
		{"never less than one end", someStripes, 20, -40, "1 red, 2(10 sand, 4 mist), 1part red", ""},
		// 250 - 2 x 14 = 222 and the share keeps 2.
		{"shares keep two ends", someStripes, 20, 1000, "220 red, 2(10 sand, 4 mist), 1part red", ""},
		// Twice a stripe: (250 - 20 - 8 - 2) / 2 = 110.
		{"every copy counts", someStripes, 44, 1000, "20 red, 2(110 sand, 4 mist), 1part red", ""},
		// The share is 202 ends. (Of 250 ends 3 parts in 5 are 150.)
		{"a share becomes ends", someStripes, 250, -2, "20 red, 2(10 sand, 4 mist), 200 red", "warps.body.stripes design-no-share"},
		{"a share beside a share becomes ends", "stripes: [3 parts red, 2 parts sand]", 150, 5, "155 red, 2part sand", ""},
		// 1.92 cm are 50 ends; 10 more are 10 x 0.0384 = 0.384 cm: 2.304, to a tenth of a mm 2.3.
		{"cm stay cm", "stripes: [1.92 cm red, 1 part sand]", 50, 10, "2.3cm red, 1part sand", ""},
		{"cm never less than an end", "stripes: [1.92 cm red, 1 part sand]", 50, -80, "0.04cm red, 1part sand", ""},
		{"a mirrored copy", "stripes: [{mirror: [20 red, 1 part sand]}]", 250, 4, "m(24 red, 1part sand)", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c, same := cloth(t, tc.stripes, someBands), cloth(t, tc.stripes, someBands)
			out, _, ps := design.WidenAt(c, "body", tc.end, tc.delta)
			if got := order(out); got != tc.want || codes(ps) != tc.code {
				t.Errorf("got %s (%s)\nwant %s (%s)", got, codes(ps), tc.want, tc.code)
			}
			if !reflect.DeepEqual(c, same) {
				t.Error("the cloth given was changed")
			}
		})
	}
	if _, _, ps := design.WidenAt(plan.Cloth{}, "body", 1, 1); codes(ps) != "warps.body design-not-there" {
		t.Errorf("no warp: %v", ps)
	}
}

// Wherever an edge is dragged: a warp with shares still fits, and the stripe
// named is the one that changed, alone.
func TestWidenAt_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := example(t, rapid.SampledFrom(examples.Kinds).Draw(t, "kind"))
		w := rapid.SampledFrom(c.Warps).Draw(t, "warp")
		out, at, ps := design.WidenAt(c, w.Key, rapid.IntRange(-10, 2000).Draw(t, "end"), rapid.IntRange(-3000, 3000).Draw(t, "delta"))
		if ps.Failed() {
			t.Fatal(ps)
		}
		shares := false
		before, after := append(design.Outline(c, design.Stripes, w.Key), design.Outline(c, design.Border, w.Key)...),
			append(design.Outline(out, design.Stripes, w.Key), design.Outline(out, design.Border, w.Key)...)
		for i, r := range before {
			now := after[i].Stripe
			if r.Stripe != nil && !reflect.DeepEqual(r.At, at) && !reflect.DeepEqual(r.Stripe, now) {
				t.Fatalf("%v changed, not %v", r.At, at)
			}
			shares = shares || now != nil && now.Share > 0
		}
		if _, _, ps = design.Fit(out, w.Key); shares && ps.Failed() {
			t.Fatalf("%v\n%s", ps, items(out.Warps[0].Order.Items))
		}
	})
}

// After FitTo the stripes fill any width that leaves something to the share.
func TestFitTo_fills(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyOrder(t)
		places := design.Written(c, design.Stripes, "body")
		at := rapid.SampledFrom(places).Draw(t, "at")
		copies := 0
		for _, p := range places {
			if reflect.DeepEqual(p, at) {
				copies++
			}
		}
		fit, room, _ := design.Fit(c, "body")
		wider := room.WidthOf(float64(fit.Ends + 2*copies + rapid.IntRange(0, 200).Draw(t, "more"))) // a share has two ends at least
		out, ps := design.FitTo(c, at, wider)
		if ps.Failed() {
			t.Fatal(ps)
		}
		got, room, ps := design.Fit(out, "body")
		if ps.Failed() {
			t.Fatal(ps)
		}
		// For warp.Fit an odd stripe that cuts an alternation costs 16, an end off 4: so it may be four ends off for each copy.
		if off := math.Abs(float64(got.Ends) - room.EndsFor(wider)); off > max(2, 4*float64(copies)) {
			t.Fatalf("%d ends, wanted %.1f", got.Ends, room.EndsFor(wider))
		}
	})
}
