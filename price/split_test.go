package price_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/price"
)

// By hand: 100.00 among three is 33.34, 33.33, 33.33; and the textbook example of
// Hamilton's method, seats by population (from memory, worked by hand: quotas 10.06,
// 7.02, 3.92 of 21 give 10, 7, 4).
func TestSplit_byHand(t *testing.T) {
	for _, test := range []struct {
		total         int64
		weights, want []int64
	}{
		{100_00, []int64{1, 1, 1}, []int64{33_34, 33_33, 33_33}},
		{21, []int64{1006, 702, 392}, []int64{10, 7, 4}},
		{-100, []int64{1, 1, 1}, []int64{-33, -33, -34}},
		{5, []int64{0, 1}, []int64{0, 5}},
		{0, []int64{3, 4}, []int64{0, 0}},
	} {
		got, ps := price.Split(usd(test.total), test.weights)
		if len(got) != len(test.want) || ps != nil {
			t.Errorf("%d by %v: %v, %v", test.total, test.weights, got, ps)
			continue
		}
		for i := range got {
			if got[i] != usd(test.want[i]) {
				t.Errorf("%d by %v: %v, want %v", test.total, test.weights, got, test.want)
				break
			}
		}
	}
	for _, weights := range [][]int64{nil, {0, 0}, {3, -1}} {
		if _, ps := price.Split(usd(10), weights); !has(ps, check.Error, "split-weights") {
			t.Errorf("%v: %v", weights, ps)
		}
	}
}

// A split never loses or makes a minor unit, no part is a unit or more from exact,
// and equal weights differ by a unit at most.
func TestSplit_neverLosesAUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "total")
		weights := rapid.SliceOfN(rapid.Int64Range(0, 1_000_000), 1, 12).Draw(t, "weights")
		sum := int64(0)
		for _, w := range weights {
			sum += w
		}
		if sum == 0 {
			weights[0], sum = 1, 1
		}
		parts := sound(price.Split(usd(total), weights))
		got := int64(0)
		for i, p := range parts {
			got += p.Minor
			if off := p.Minor*sum - total*weights[i]; off >= sum || off <= -sum {
				t.Fatalf("%d by %v: part %d is %d", total, weights, i, p.Minor)
			}
			for k := range parts[:i] {
				if d := p.Minor - parts[k].Minor; weights[i] == weights[k] && d*d > 1 {
					t.Fatalf("%d by %v: equal weights have %d and %d", total, weights, p.Minor, parts[k].Minor)
				}
			}
		}
		if got != total {
			t.Fatalf("%d by %v adds up to %d", total, weights, got)
		}
	})
}

func TestSplit_large(t *testing.T) {
	parts := sound(price.Split(usd(price.MaxMinor), []int64{1 << 62, 1 << 62, 1 << 62}))
	if s, ok := price.Sum(parts...); !ok || s != usd(price.MaxMinor) {
		t.Errorf("%v", parts)
	}
}

// Whatever parts a lot is taken out in, all of them are booked at just its cost.
func TestTaken_addsUpToTheCost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cost := usd(rapid.Int64Range(0, 100_000).Draw(t, "cost"))
		parts := rapid.SliceOfN(rapid.Int64Range(1, 5_000), 1, 20).Draw(t, "parts")
		lot := int64(0)
		for _, p := range parts {
			lot += p
		}
		before, booked := int64(0), int64(0)
		for _, p := range parts {
			m := price.Taken(cost, lot, before, p)
			if m.Minor < 0 {
				t.Fatalf("%d of %d is booked at %v", p, lot, m)
			}
			before, booked = before+p, booked+m.Minor
		}
		if booked != cost.Minor {
			t.Fatalf("%v in parts %v: booked %d", cost, parts, booked)
		}
	})
	if got := price.Taken(usd(10), 0, 0, 1); got != usd(0) {
		t.Errorf("of no lot: %v", got)
	}
}

func TestCustomary(t *testing.T) {
	fives, halves, ninety := price.Customary{Step: 5_00}, price.Customary{Step: 50}, price.Customary{Step: 1_00, End: 90}
	for _, test := range []struct {
		c              price.Customary
		m, floor, want int64 // Nearest
		up             int64
	}{
		{fives, 101_00, 0, 100_00, 105_00},
		{fives, 103_00, 0, 105_00, 105_00},
		{fives, 101_00, 100_01, 105_00, 105_00}, // the nearest is below the floor
		{fives, 102_50, 0, 105_00, 105_00},      // half way: up
		{halves, 7_24, 0, 7_00, 7_50},
		{halves, 7_25, 0, 7_50, 7_50},
		{ninety, 12_00, 0, 11_90, 12_90},
		{ninety, 12_90, 0, 12_90, 12_90},
		{ninety, 5, 0, 90, 90},
		{price.Customary{}, 12_34, 0, 12_34, 12_34},
		{price.Customary{}, 12_34, 13_00, 13_00, 12_34},
	} {
		if got, above := test.c.Nearest(usd(test.m), usd(test.floor)), test.c.Up(usd(test.m)); got != usd(test.want) || above != usd(test.up) {
			t.Errorf("%+v: %d with floor %d is %v, up %v; want %d, %d", test.c, test.m, test.floor, got, above, test.want, test.up)
		}
	}
}

// A customary price is never below the floor, ends as it should, and is the nearest
// of those.
func TestCustomary_neverBelowTheFloor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := price.Customary{Step: rapid.Int64Range(1, 60).Draw(t, "step")}
		c.End = rapid.Int64Range(0, c.Step-1).Draw(t, "end")
		m, floor := rapid.Int64Range(0, 500).Draw(t, "m"), rapid.Int64Range(0, 500).Draw(t, "floor")
		got := c.Nearest(usd(m), usd(floor)).Minor
		if got < floor || got%c.Step != c.End {
			t.Fatalf("%+v: %d with floor %d is %d", c, m, floor, got)
		}
		var all []int64
		for p := c.End; p < 1200; p += c.Step {
			if p >= floor {
				all = append(all, p)
			}
		}
		away := func(p int64) int64 { return max(p-m, m-p) }
		best := slices.MinFunc(all, func(a, b int64) int { return int(away(a) - away(b)) })
		if away(best) < away(got) {
			t.Fatalf("%+v: %d with floor %d is %d; %d is nearer", c, m, floor, got, best)
		}
	})
}
