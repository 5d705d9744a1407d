package figure_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/figure"
)

// anyChart draws a chart at random.
func anyChart(t *rapid.T) figure.Chart {
	cols := rapid.IntRange(1, 24).Draw(t, "columns")
	rows := rapid.IntRange(1, 16).Draw(t, "rows")
	var b strings.Builder
	for range rows {
		for _, n := range rapid.SliceOfN(rapid.IntRange(0, 2), cols, cols).Draw(t, "row") {
			b.WriteByte(".xo"[n])
		}
		b.WriteByte('\n')
	}
	c, ps := figure.Parse(b.String(), two)
	if ps.Failed() {
		t.Fatalf("%v", ps)
	}
	c.Kind, c.Way = figure.Brocade, rapid.SampledFrom([]figure.Way{figure.Each, figure.Across}).Draw(t, "way")
	c.Cell = figure.Cell{Ends: rapid.IntRange(1, 8).Draw(t, "ends"), Picks: rapid.IntRange(1, 3).Draw(t, "picks")}
	return c
}

func TestMirroredTurned_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		before := c.String()
		m, turned := c.Mirrored(), c.Turned()
		for r := range c.Rows() {
			for col := range c.Columns() {
				other := c.Columns() - 1 - col
				if c.At(r, col) != m.At(r, other) || c.At(r, col) != turned.At(c.Rows()-1-r, other) {
					t.Fatalf("cell %d,%d of\n%s", r, col, c)
				}
			}
		}
		if got := m.Mirrored().String(); got != before {
			t.Fatalf("mirrored twice:\n%s\nwant\n%s", got, before)
		}
		if got := c.Inverted().Mirrored().String(); got != turned.String() {
			t.Fatalf("turned:\n%s\nwant\n%s", turned, got)
		}
		if c.String() != before {
			t.Fatalf("the chart itself changed to\n%s", c)
		}
	})
}

func TestRepeated(t *testing.T) {
	c := chart(t, "x.\n.o\n")
	got, ps := c.Repeated(3, 2)
	if want := "x.x.x.\n.o.o.o\nx.x.x.\n.o.o.o\n"; got.String() != want || len(ps) > 0 {
		t.Errorf("got\n%s%v\nwant\n%s", got, ps, want)
	}
	for _, tc := range []struct {
		across, up int
		want       string
	}{
		{0, 1, "chart: chart-repeat across=0 up=1"},
		{1, -1, "chart: chart-repeat across=1 up=-1"},
		{201, 1, "chart: chart-columns columns=402 most=400 row=1"},
		{1, 201, "chart: chart-rows most=400 rows=402"},
	} {
		if got, ps := c.Repeated(tc.across, tc.up); ps.Error() != tc.want || got.Rows() != 0 {
			t.Errorf("%d x %d: %v, want %s", tc.across, tc.up, ps, tc.want)
		}
	}
}

func TestJoined_standOnTheSameRow(t *testing.T) {
	tall := chart(t, "x\nx\no\n")
	// The same yarn under another sign becomes one colour.
	small, _ := figure.Parse("aa\n", []figure.Symbol{{Char: 'a', Yarn: "marigold"}})
	small.Kind, small.Cell = tall.Kind, tall.Cell
	got, ps := tall.Joined(small, 1)
	if want := "x...\nx...\no.oo\n"; got.String() != want || len(ps) > 0 || len(got.Symbols()) != 2 {
		t.Errorf("got\n%s%v\nwant\n%s", got, ps, want)
	}
	clash, _ := figure.Parse("x", []figure.Symbol{{Char: 'x', Yarn: "moss"}})
	if _, ps := tall.Joined(clash, 0); ps.Error() !=
		"chart: chart-join ends=6 otherEnds=0 otherPicks=0 picks=2\ncolours: chart-join-colour other=moss symbol=x yarn=indigo" {
		t.Errorf("clash: %v", ps)
	}
	if _, ps := tall.Joined(small, math.MaxInt); !ps.Failed() {
		t.Error("as many cells of ground as can be counted were accepted")
	}
}
