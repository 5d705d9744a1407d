package design_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/design"
	"urdir/warp"
)

func TestShuffle_byHand(t *testing.T) {
	first := []int{0}
	inside := "stripes: [2 sand, {mirror: [6 red, 4 mist, {alternate: [1 sand, 1 mist], over: 4}]}, 2 sand]"
	for _, tc := range []struct {
		name, stripes string
		path          []int
		count         int // 0: to the end
		want          string
	}{
		// The red selvedges stay; between them only mist, sand, mist keep apart what is one yarn.
		{"only one way", "stripes: [2 red, 6 mist, 8 mist, 4 sand, 2 red]", first, 0, "2 red, 6 mist, 4 sand, 8 mist, 2 red|2 red, 8 mist, 4 sand, 6 mist, 2 red"},
		{"no way", "stripes: [2 red, 4 mist, 6 mist, 8 mist, 2 red]", first, 0, "warps.body.stripes[0] design-shuffle-none"},
		{"mirrored as written", "stripes: [2 red, 4 mist, 6 sand, 8 red, 6 sand, 4 mist, 2 red]", first, 0,
			"2 red, 4 mist, 6 sand, 8 red, 6 sand, 4 mist, 2 red|2 red, 6 sand, 4 mist, 8 red, 4 mist, 6 sand, 2 red"},
		{"one stripe", "stripes: [2 red]", first, 0, "2 red"},
		// The alternation begins with sand, so it cannot lie first beside sand; across the axis mist may not come before it,
		// for behind it mist would follow upon its mist.
		{"with the axis", inside, []int{1, 0}, 3, "2 sand, m(4 mist, 6 red, 4 1sand+1mist), 2 sand|2 sand, m(4 mist, 4 1sand+1mist, 6 red), 2 sand"},
		{"up to the axis", inside, []int{1, 0}, 2, "2 sand, m(4 mist, 6 red, 4 1sand+1mist), 2 sand"},
		// The group of one is sand at its left and mist at its right.
		{"a mirror of one", "stripes: [2 red, 4 sand, {mirror: [{alternate: [1 sand, 1 mist], over: 4}]}, 6 mist, 2 red]", first, 0,
			"2 red, m(4 1sand+1mist), 4 sand, 6 mist, 2 red|2 red, 6 mist, m(4 1sand+1mist), 4 sand, 2 red|2 red, 4 sand, 6 mist, m(4 1sand+1mist), 2 red"},
		// Sand and red, mist and sand: the second is followed by the first again, sand by sand.
		{"alternations that follow on themselves", "stripes: [8 red, {repeat: 2, of: [{alternate: [1 sand, 1 red], over: 4}, {alternate: [1 mist, 1 sand], over: 4}]}, 8 mist]",
			[]int{1, 0}, 2, "warps.body.stripes[1].of[0] design-shuffle-none"},
		// Twice the same: red may not lie at both its ends, nor mist beside the 8 mist.
		{"a group that follows on itself", "stripes: [8 mist, {repeat: 2, of: [2 red, 4 sand, 6 red, 10 mist]}, 8 mist]", []int{1, 0}, 4,
			"8 mist, 2(2 red, 10 mist, 6 red, 4 sand), 8 mist|8 mist, 2(6 red, 10 mist, 2 red, 4 sand), 8 mist|" +
				"8 mist, 2(4 sand, 2 red, 10 mist, 6 red), 8 mist|8 mist, 2(4 sand, 6 red, 10 mist, 2 red), 8 mist"},
	} {
		c := cloth(t, tc.stripes, someBands)
		seen := map[string]bool{}
		for throw := range uint64(40) {
			count := tc.count
			if count == 0 {
				count = len(c.Warps[0].Order.Items)
			}
			out, ps := design.Shuffle(c, at(tc.path...), count, throw)
			again, _ := design.Shuffle(c, at(tc.path...), count, throw)
			got := order(out)
			if order(again) != got {
				t.Fatalf("%s: the same throw gave %s and %s", tc.name, got, order(again))
			}
			if ps.Failed() {
				got = codes(ps)
			}
			seen[got] = true
		}
		for want := range strings.SplitSeq(tc.want, "|") {
			if !seen[want] {
				t.Errorf("%s: never %s", tc.name, want)
			}
			delete(seen, want)
		}
		for got := range seen {
			t.Errorf("%s: %s", tc.name, got)
		}
	}
}

// Three thousand stripes of two yarns in turn: only turns in which the yarns
// come in turn again will do, and one is found.
func TestShuffle_long(t *testing.T) {
	c := cloth(t, "stripes: [{repeat: 1, of: [2 red, 2 sand]}]", someBands)
	var all []warp.Item
	for i := range warp.MaxStripes {
		s := plainStripe([]string{"red", "sand"}[i%2], 2+i)
		all = append(all, warp.Item{Stripe: &s})
	}
	c.Warps[0].Order.Items = all
	if out, ps := design.Shuffle(c, at(0), len(all), 7); ps.Failed() || order(out) == order(c) {
		t.Errorf("%v", ps)
	}
	if _, ps := design.Shuffle(c, along(0), 1, 7); codes(ps) != "panels.runner.bands[0] design-shuffle-stripes" {
		t.Errorf("bands: %v", ps)
	}
	if _, ps := design.Shuffle(c, at(1), len(all), 7); codes(ps) != "warps.body.stripes[1] design-range" {
		t.Errorf("beyond: %v", ps)
	}
}

// Half of the stripes are red: whoever lays sand beside mist early finds too late
// that the reds cannot be kept apart.
func TestShuffle_looksAhead(t *testing.T) {
	c := cloth(t, "stripes: [2 red]", someBands)
	var all []warp.Item
	for i := range 60 {
		s := plainStripe([]string{"red", "sand", "red", "mist"}[i%4], 2+i)
		all = append(all, warp.Item{Stripe: &s})
	}
	c.Warps[0].Order.Items = all
	for throw := range uint64(20) {
		if _, ps := design.Shuffle(c, at(0), len(all), throw); ps.Failed() {
			t.Errorf("throw %d: %v", throw, ps)
		}
	}
}

// touching counts neighbours of one yarn, one of them in the range and not both
// the same stripe, in the cloth as it lies.
func touching(at design.At, count int, even bool, lies []lying) (n int) {
	inside := func(p design.At) int {
		depth := len(at.Path) - 1
		if p.In != at.In || len(p.Path) <= depth || !slices.Equal(p.Path[:depth], at.Path[:depth]) {
			return -1
		}
		if i := p.Path[depth] - at.Path[depth]; i >= 0 && i < count {
			return i
		}
		return -1
	}
	for i := range lies[:len(lies)-1] {
		a, b := lies[i], lies[i+1]
		ia, ib := inside(a.at), inside(b.at)
		halves := ia >= 0 && ib >= 0 && even && ia+ib == count-1 // of an even mirror
		if a.right == b.left && (ia >= 0 || ib >= 0) && ia != ib && !halves {
			n++
		}
	}
	return n
}

// lying is a stripe as it lies in the cloth.
type lying struct {
	at          design.At
	left, right string
}

// What was shuffled touches nothing with one yarn, selvedges stay, and the same
// stripes are there.
func TestShuffle_properties(t *testing.T) {
	done := 0
	rapid.Check(t, func(t *rapid.T) {
		c := anyOrder(t)
		in := design.Stripes
		if len(c.Warps[0].Order.Border) > 0 && rapid.Bool().Draw(t, "in border") {
			in = design.Border
		}
		rows := design.Outline(c, in, "body")
		r := rapid.SampledFrom(rows).Draw(t, "row")
		count := rapid.IntRange(1, r.Of-r.Nth+1).Draw(t, "count")
		out, ps := design.Shuffle(c, r.At, count, rapid.Uint64().Draw(t, "throw"))
		if ps.Failed() {
			return
		}
		done++
		lie := func(order []design.At) (lies []lying) {
			flat, _ := out.Warps[0].Order.Expand()
			for i, s := range flat.Stripes {
				l := lying{order[i], s.Yarns[0].Yarn, s.Yarns[len(s.Yarns)-1].Yarn}
				if s.Back {
					l.left, l.right = l.right, l.left
				}
				lies = append(lies, l)
			}
			return lies
		}
		lies := lie(design.Written(out, design.Stripes, "body"))
		// Plain stripes that do not read the same from both sides are no mirror.
		var sizes []int
		for _, o := range rows {
			if len(o.At.Path) == len(r.At.Path) && slices.Equal(o.At.Path[:r.Depth], r.At.Path[:r.Depth]) && o.Nth >= r.Nth && o.Nth < r.Nth+count && o.Kind == design.RowStripe {
				sizes = append(sizes, o.Stripe.Ends)
			}
		}
		back := slices.Clone(sizes)
		slices.Reverse(back)
		even := len(sizes) < count || slices.Equal(back, sizes)
		if n := touching(r.At, count, even, lies); n > 0 {
			t.Fatalf("%d neighbours of one yarn, %d from %v\n%s\n%s", n, count, r.At.Path, order(c), order(out))
		}
		if a, b := sortedEnds(order(c)), sortedEnds(order(out)); a != b {
			t.Fatalf("other stripes: %s\n%s", order(c), order(out))
		}
		was, now := endByEnd(t, c), endByEnd(t, out)
		if was[0] != now[0] || was[len(was)-1] != now[len(now)-1] {
			t.Fatalf("a selvedge went: %s\n%s", order(c), order(out))
		}
		if mirror := reverse(was) == was; mirror && count == r.Of && len(r.At.Path) == 1 && reverse(now) != now {
			t.Fatalf("the mirror went: %s\n%s", order(c), order(out))
		}
	})
	if done < 20 {
		t.Errorf("only %d shuffles were possible", done)
	}
}

func reverse(s string) string {
	b := []byte(s)
	slices.Reverse(b)
	return string(b)
}

func sortedEnds(s string) string {
	parts := strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(",()|m ", r) })
	slices.Sort(parts)
	return strings.Join(parts, " ")
}
