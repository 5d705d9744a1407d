package figure_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/figure"
	"urdir/measure"
)

func TestPlace_workedByHand(t *testing.T) {
	// 5 cells x 6 ends = 30 ends each. Band of 200 ends at 20/cm, margin 1 cm =
	// 20 ends a side: 160 ends of room. Spacing 1 cm = 20 ends: (160 + 20) /
	// (30 + 20) = 3.6, so 3 figures. They take 3 x 30 + 2 x 20 = 130; 70 are
	// left, 35 a side = 1.75 cm. The first end is 100 + 35 = 135, the next 50
	// further on each.
	c := chart(t, "xxxxx")
	got, ps := figure.Place(c, figure.Band{First: 100, Ends: 200, Sett: 20, Spacing: 1, Margin: 1})
	want := figure.Layout{Count: 3, Firsts: []int{135, 185, 235}, Ends: 30, Between: 20, Left: 35, Right: 35,
		Width: 1.5, LeftWidth: 1.75, RightWidth: 1.75}
	if d := cmp.Diff(want, got); d != "" || len(ps) > 0 {
		t.Errorf("%v\n%s", ps, d)
	}
}

func TestPlace_wider(t *testing.T) {
	// 4 figures of 30 ends, 3 spaces of 20 and two margins of 20 are 220 ends =
	// 11 cm; the band has 200 = 10 cm, where 3 fit.
	c := chart(t, "xxxxx")
	band := figure.Band{Ends: 200, Sett: 20, Spacing: 1, Margin: 1, Count: 4}
	_, ps := figure.Place(c, band)
	if got, want := ps.Error(), ": figure-wider band=10 count=4 ends=200 fits=3 needed=220 width=11"; got != want || !ps.Failed() {
		t.Errorf("got %s, want %s", got, want)
	}
	for name, b := range map[string]figure.Band{
		"one does not fit": {Ends: 29, Sett: 20}, "fewer than none": {Ends: 200, Sett: 20, Count: -2}, "no band": {Sett: 20}, "negative": {Ends: -5, Sett: 20},
	} {
		if _, ps := figure.Place(c, b); !ps.Failed() {
			t.Errorf("%s was placed", name)
		}
	}
}

func TestPlace_acrossFloatsBetweenFigures(t *testing.T) {
	// Two figures of 4 cells = 24 ends, the colour in cells 2 and 3, so 6 ends of
	// ground at either edge; 40 ends between them, 6 at each side of the band
	// (24 + 40 + 24 + 2 x 6 = 100). Between: 6 + 40 + 6 = 52 ends = 26 mm at
	// 20/cm. At the sides 6 + 6 = 12 ends = 6 mm.
	c := chart(t, ".xx.")
	c.Way, c.Limit = figure.Across, 25
	_, ps := figure.Place(c, figure.Band{Ends: 100, Sett: 20, Spacing: 2})
	if got, want := ps.Error(), "chart: float-back column=3 floats=1 length=26 limit=25 row=1 threads=52"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	// Touching, the two runs become one of 4 + 4 cells = 48 ends = 24 mm.
	c = chart(t, "xxxx")
	c.Way, c.Limit = figure.Across, 23
	_, ps = figure.Place(c, figure.Band{Ends: 48, Sett: 20})
	if got, want := ps.Error(), "chart: float-face column=4 floats=1 length=24 limit=23 row=1 threads=48"; got != want {
		t.Errorf("touching: got %s, want %s", got, want)
	}
	c.Way = figure.Each // butterflies turn between
	if _, ps = figure.Place(c, figure.Band{Ends: 48, Sett: 20}); len(ps) > 0 {
		t.Errorf("each: %v", ps)
	}
}

// paint lays one row of a band out end by end.
func paint(c figure.Chart, l figure.Layout, ends, row int) []int {
	band := make([]int, ends)
	for i, first := range l.Firsts {
		one := c
		if l.Mirror && i%2 == 1 {
			one = c.Mirrored()
		}
		for e := range one.Ends() {
			band[first-1+e] = one.At(row, e/c.Cell.Ends)
		}
	}
	return band
}

func TestPlace_acrossAgreesWithPaintedBand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		c.Way, c.Limit = figure.Across, 1e-3
		b := figure.Band{First: 1, Ends: c.Ends()*rapid.IntRange(2, 5).Draw(t, "times") + rapid.IntRange(6, 60).Draw(t, "more"), Sett: 20,
			Count:   rapid.IntRange(0, 2).Draw(t, "count"),
			Spacing: measure.CM(rapid.IntRange(0, 3).Draw(t, "mm")) / 10, Mirror: rapid.Bool().Draw(t, "mirror")}
		l, ps := figure.Place(c, b)
		// The longest stretch without a colour that a single figure does not show:
		// it touches a side of the band or a space between figures.
		want := 0
		for row := range c.Rows() {
			band := paint(c, l, b.Ends, row)
			for s := range 2 {
				if !slices.Contains(band, s+1) {
					continue
				}
				from := 0
				for e := 0; e <= b.Ends; e++ {
					if e < b.Ends && band[e] != s+1 {
						continue
					}
					inside := false
					for _, first := range l.Firsts {
						inside = inside || from > first-1 && e < first-1+l.Ends
					}
					if !inside {
						want = max(want, e-from)
					}
					from = e + 1
				}
			}
		}
		got := 0
		for _, p := range ps {
			if p.Code == "float-back" {
				got = p.Args["threads"].(int)
			}
		}
		if got != want {
			t.Fatalf("longest %d ends, painted %d, %+v\n%s", got, want, l, c)
		}
	})
}

func TestPlace_spacingToTheNearestEnd(t *testing.T) {
	// 1.3 mm at 20 ends/cm is 2.6 ends: 3. In steps of 2 that is 4.
	c := chart(t, "x")
	for _, tc := range []struct {
		spacing    measure.CM
		step, want int
	}{{0.13, 1, 3}, {0.13, 2, 4}, {-1, 1, 0}} {
		l, ps := figure.Place(c, figure.Band{Ends: 40, Sett: 20, Spacing: tc.spacing, Step: tc.step})
		if l.Between != tc.want || len(ps) > 0 {
			t.Errorf("%v cm in steps of %d: %d ends, want %d", float64(tc.spacing), tc.step, l.Between, tc.want)
		}
	}
	// A margin beyond all counting is taken as a million ends at each side.
	if _, ps := figure.Place(c, figure.Band{Ends: 40, Sett: 1e300, Margin: 1e7}); len(ps) != 1 || ps[0].Args["needed"].(int) != 2e6+6 {
		t.Errorf("an endless margin: %v", ps)
	}
}

func TestPlace_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		b := figure.Band{
			First: rapid.IntRange(1, 50).Draw(t, "first"), Ends: rapid.IntRange(0, 900).Draw(t, "band"), Sett: 20,
			Count:  rapid.IntRange(0, 5).Draw(t, "count"),
			Margin: 0.5, Spacing: 1.35, Step: rapid.IntRange(0, 3).Draw(t, "step"), Mirror: rapid.Bool().Draw(t, "mirror"),
		}
		l, ps := figure.Place(c, b)
		if ps.Failed() {
			return
		}
		if sum := l.Left + l.Count*l.Ends + (l.Count-1)*l.Between + l.Right; sum != b.Ends {
			t.Fatalf("%+v sums to %d of %d ends", l, sum, b.Ends)
		}
		step := max(1, b.Step)
		if l.Left < 10 || l.Right < l.Left || l.Right-l.Left >= 2*step || l.Left%step != 0 || len(l.Firsts) != l.Count {
			t.Fatalf("%+v is not centred in steps of %d", l, step)
		}
		for i, first := range l.Firsts {
			if want := b.First + l.Left + i*(l.Ends+l.Between); first != want {
				t.Fatalf("figure %d begins at %d, want %d", i, first, want)
			}
		}
		if b.Count == 0 { // one more would not fit
			b.Count = l.Count + 1
			if _, ps := figure.Place(c, b); !ps.Failed() {
				t.Fatalf("%d fit, but %d were placed", b.Count, l.Count)
			}
		}
	})
}
