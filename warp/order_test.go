package warp_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"urdir/measure"
	"urdir/warp"
)

// The orders are written out by hand, as a weaver reads them aloud.
func TestExpand_written(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"plain", "stripes: [12 red, 3 cm sand, 2 parts mist]", "red sand mist"},
		{"repeat", "stripes: [2 red, {repeat: 2, of: [4 sand, 2 mist]}]", "red sand mist sand mist"},
		{"mirror keeps its last item across the axis", "stripes: [{mirror: [2 red, 4 sand, 6 mist]}]", "red sand mist sand red"},
		{"a group across the axis", "stripes: [{mirror: [2 red, {repeat: 2, of: [4 sand]}]}]", "red sand sand red"},
		{"a mirror of a mirror", "stripes: [{mirror: [{mirror: [2 red, 4 sand]}, 6 mist]}]", "red sand red mist red sand red"},
		{"border, back again at the far edge", "border: [2 red, 4 sand], stripes: [6 mist]", "red sand mist sand red"},
		{"alternation, turned round by the mirror", "stripes: [{mirror: [{alternate: [2 red, 1 sand], over: 6}, 3 mist]}]", "red+sand mist <red+sand"},
	} {
		flat, ps := order(t, c.text).Expand()
		var words []string
		for _, s := range flat.Stripes {
			var lays []string
			for _, l := range s.Yarns {
				lays = append(lays, l.Yarn)
			}
			word := strings.Join(lays, "+")
			if s.Back && len(lays) > 1 {
				word = "<" + word
			}
			words = append(words, word)
		}
		if got := strings.Join(words, " "); got != c.want || len(ps) > 0 {
			t.Errorf("%s: %q %v, want %q", c.name, got, ps, c.want)
		}
	}
}

// Ends written out by hand.
func TestYarn_endByEnd(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"one and one", "stripes: [{alternate: [1 a, 1 b], over: 6}]", "ababab"},
		{"two and one, cut in mid-pattern", "stripes: [{alternate: [2 a, 1 b], over: 7}]", "aabaaba"},
		{"mirrored, the far side reads backwards", "stripes: [{mirror: [{alternate: [2 a, 1 b], over: 7}, 2 c]}]", "aabaabaccabaabaa"},
		{"border", "border: [2 a, 1 b], stripes: [3 c]", "aabcccbaa"},
		{"a yarn twice in one alternation", "stripes: [{alternate: [1 a, 1 b, 2 a], over: 8}]", "abaaabaa"},
	} {
		_, f := fit(t, order(t, c.text), warp.Room{Sett: 10})
		if got := strings.Join(yarns(f), ""); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// Groups by hand: stripes of one number get the same ends.
func TestExpand_ties(t *testing.T) {
	for _, c := range []struct {
		name, text  string
		alike, twin []int
	}{
		{"none", "stripes: [2 red, 4 sand]", []int{0, 1}, []int{0, 1}},
		{"a repeat is alike but no mirror image", "stripes: [2 red, {repeat: 2, of: [4 sand]}]", []int{0, 1, 1}, []int{0, 1, 2}},
		{"mirror", "stripes: [{mirror: [2 red, 4 sand]}]", []int{0, 1, 0}, []int{0, 1, 0}},
		{"symmetric as written", "stripes: [2 red, 4 sand, 2 red]", []int{0, 1, 0}, []int{0, 1, 0}},
		{"not symmetric: sizes differ", "stripes: [2 red, 4 sand, 3 red]", []int{0, 1, 2}, []int{0, 1, 2}},
		{"not symmetric: a b and a b", "stripes: [{alternate: [1 a, 1 b], over: 4}, {alternate: [1 a, 1 b], over: 4}]", []int{0, 1}, []int{0, 1}},
		{"symmetric: a b and b a", "stripes: [{alternate: [1 a, 1 b], over: 4}, {alternate: [1 b, 1 a], over: 4}]", []int{0, 0}, []int{0, 0}},
	} {
		flat, _ := order(t, c.text).Expand()
		if !slices.Equal(flat.Alike, c.alike) || !slices.Equal(flat.Twin, c.twin) {
			t.Errorf("%s: alike %v twin %v, want %v %v", c.name, flat.Alike, flat.Twin, c.alike, c.twin)
		}
	}
}

// Names come as they are met from the left, and only those met.
func TestYarn_names(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"stripes: [{mirror: [{alternate: [1 a, 1 b], over: 1}, 1 c]}]", "a c"},
		{"border: [2 d], stripes: [{alternate: [2 a, 1 b], over: 3}]", "d a b"},
	} {
		_, f := fit(t, order(t, c.text), warp.Room{Sett: 10})
		if _, names := f.Yarn(); strings.Join(names, " ") != c.want {
			t.Errorf("%s: %v, want %s", c.text, names, c.want)
		}
	}
}

func deep(n int) warp.Item {
	it := plain("red", 1)
	for range n {
		it = warp.Item{Repeat: 1, Of: []warp.Item{it}}
	}
	return it
}

func TestExpand_problems(t *testing.T) {
	stripe := func(s warp.Stripe) []warp.Item { return []warp.Item{{Stripe: &s}} }
	red := []warp.Lay{{Yarn: "red"}}
	for _, c := range []struct {
		name, want string
		items      []warp.Item
	}{
		{"empty", "stripes stripes-none", nil},
		{"two sizes", "stripes[0] stripe-size", stripe(warp.Stripe{Yarns: red, Ends: 3, Share: 1})},
		{"no size", "stripes[0] stripe-size", stripe(warp.Stripe{Yarns: red})},
		{"negative", "stripes[0] stripe-negative", stripe(warp.Stripe{Yarns: red, Width: -1})},
		{"no yarn", "stripes[0] stripe-no-yarn", stripe(warp.Stripe{Ends: 3})},
		{"too many ends", "stripes[0] stripes-too-many-ends", stripe(warp.Stripe{Yarns: red, Ends: warp.MaxEnds + 1})},
		{"lay of none", "stripes[0].alternate[1] lay-ends", stripe(warp.Stripe{Ends: 4, Yarns: []warp.Lay{{"red", 1}, {"sand", 0}}})},
		{"lay of too many", "stripes[0].alternate[0] lay-ends", stripe(warp.Stripe{Ends: 4, Yarns: []warp.Lay{{"red", warp.MaxEnds + 1}, {"sand", 1}}})},
		{"repeat 0", "stripes[1].repeat repeat-too-few", []warp.Item{plain("red", 1), {Of: []warp.Item{plain("red", 1)}}}},
		{"repeat of nothing", "stripes[1] group-empty", []warp.Item{plain("red", 1), {Repeat: 1 << 62}}},
		{"mirror of nothing", "stripes[1] group-empty", []warp.Item{plain("red", 1), {Mirror: []warp.Item{}}}},
		{"inside a group", "stripes[0].of[0].mirror[1] stripe-size", []warp.Item{{Repeat: 2, Of: []warp.Item{{Mirror: []warp.Item{plain("red", 1), plain("red", 0)}}}}}},
		{"too deep", "stripes" + strings.Repeat("[0].of", warp.MaxDepth) + " stripes-too-deep", []warp.Item{deep(warp.MaxDepth)}},
		{"too many", "stripes stripes-too-many", []warp.Item{{Repeat: warp.MaxStripes + 1, Of: []warp.Item{plain("red", 1)}}}},
		{"repeats that multiply", "stripes stripes-too-many", []warp.Item{{Repeat: 2000, Of: []warp.Item{{Repeat: 2000, Of: []warp.Item{plain("red", 1)}}}}}},
		// 2^62 x 4 is 0 in 64 bits.
		{"a repeat whose product wraps", "stripes stripes-too-many", []warp.Item{plain("red", 1),
			{Repeat: 1 << 62, Of: []warp.Item{plain("red", 1), plain("sand", 1), plain("red", 1), plain("sand", 1)}}}},
	} {
		_, ps := warp.Order{Items: c.items}.Expand()
		if got := codes(ps); !slices.Equal(got, []string{c.want}) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Both edges and every place are looked at before giving up.
func TestExpand_allProblemsAtOnce(t *testing.T) {
	bad := plain("red", 0)
	_, ps := warp.Order{Border: []warp.Item{bad}, Items: []warp.Item{bad, plain("red", 2), bad}}.Expand()
	want := []string{"stripes[0] stripe-size", "stripes[2] stripe-size", "border[0] stripe-size"}
	if got := codes(ps); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestExpand_atTheLimits(t *testing.T) {
	most := warp.Order{Items: []warp.Item{{Repeat: warp.MaxStripes, Of: []warp.Item{plain("red", 1)}}}}
	if flat, ps := most.Expand(); len(ps) > 0 || len(flat.Stripes) != warp.MaxStripes {
		t.Errorf("%d stripes: %v", len(flat.Stripes), ps)
	}
	if _, ps := (warp.Order{Items: []warp.Item{deep(warp.MaxDepth - 1)}}).Expand(); len(ps) > 0 {
		t.Errorf("as deep as may be: %v", ps)
	}
}

// An order from anyone's file ends in a plan of bounded size or in problems.
func FuzzOrder(f *testing.F) {
	for _, text := range []string{
		"stripes: [12 red, 3 parts mist, 2 cm sand]",
		"border: [2 red], stripes: [{mirror: [2 red, {alternate: [1 red, 2 sand], over: 1 part}]}]",
		"stripes: [{repeat: 4611686018427387904, of: [1 a, 1 b, 1 c, 1 d]}]",
		"stripes: [{repeat: 3, of: [{repeat: 5, of: [{mirror: [1 a, 2 b]}]}]}], fit: scale",
	} {
		f.Add(text, 30.0, 0.05, 12.0)
	}
	f.Fuzz(func(t *testing.T, text string, width, shrink, sett float64) {
		o, ps := readOrder(text)
		room := warp.Room{
			Width:  measure.CM(bound(width, 0, 200)),
			Shrink: measure.Ratio(bound(shrink, 0, 0.6)),
			Sett:   measure.PerCM(bound(sett, 0.5, 150))}
		if ps.Failed() {
			return
		}
		flat, ps := o.Expand()
		if ps.Failed() {
			return
		}
		if len(flat.Stripes) > warp.MaxStripes {
			t.Fatalf("%d stripes", len(flat.Stripes))
		}
		got, ps := warp.Fit(flat, room)
		if !ps.Failed() {
			wholeFit(t, flat, got)
			running(t, got, 2)
		}
	})
}

func ExampleOrder_Expand() {
	red, sand := []warp.Lay{{Yarn: "red"}}, []warp.Lay{{Yarn: "sand"}}
	o := warp.Order{Items: []warp.Item{{Mirror: []warp.Item{
		{Stripe: &warp.Stripe{Yarns: red, Ends: 8}},
		{Stripe: &warp.Stripe{Yarns: sand, Share: 1}},
	}}}}
	flat, _ := o.Expand()
	// 10 cm finished at 20 ends per cm, and 5 per cent narrower than on the loom.
	fit, _ := warp.Fit(flat, warp.Room{Width: 10, Shrink: 0.05, Sett: 20})
	for _, w := range warp.Wind(fit, 1) {
		fmt.Println(w.Ends, "ends,", w.Circuits(), "circuits, from", w.From)
	}
	fmt.Println(fit.Ends, "ends of", fmt.Sprintf("%.1f", fit.Wanted))
	// Output:
	// 8 ends, 4 circuits, from start
	// 194 ends, 97 circuits, from start
	// 8 ends, 4 circuits, from start
	// 210 ends of 210.5
}
