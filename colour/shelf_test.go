package colour_test

import (
	"math"
	"slices"
	"testing"

	"urdir/colour"
)

func TestShelf(t *testing.T) {
	at := func(l, c, h float64) colour.Lab { return colour.LCh{L: l, C: c, H: degrees(h)}.Lab() }
	names := []string{"black", "indigo", "bare", "rose", "madder", "weld", "grey", "violet", "moss", "crimson", "pale crimson"}
	colours := []colour.Lab{at(15, 3, 270), at(30, 30, 270), at(88, 7, 85), at(70, 20, 5), at(45, 50, 38), at(80, 70, 95), at(50, 1, 10),
		at(40, 35, 320), at(45, 25, 120), at(35, 45, 350), at(60, 45, 350)}
	var got []string
	for _, i := range colour.Shelf(colours) {
		got = append(got, names[i])
	}
	want := []string{"pale crimson", "crimson", "rose", "madder", "weld", "moss", "indigo", "violet", "bare", "grey", "black"}
	if !slices.Equal(got, want) {
		t.Errorf("%v; want %v", got, want)
	}
	if got := colour.Shelf([]colour.Lab{{L: 50, A: 20}, {L: 50, A: 20}, {L: 50}, {L: 50}}); !slices.Equal(got, []int{0, 1, 2, 3}) {
		t.Errorf("equal colours change places: %v", got)
	}
}

func TestNearest(t *testing.T) {
	wish := colour.Lab{L: 50, A: 2.5}
	// Of Sharma and others, pairs 17 to 24: 27.1492, 22.8977, 1.0000 and 31.9030 from
	// the wish.
	got := colour.Nearest(wish, []colour.Lab{{L: 73, A: 25, B: -18}, {L: 61, A: -5, B: 29}, {L: 50, A: 3.2972}, {L: 56, A: -27, B: -3}})
	for i, want := range []struct {
		index int
		away  float64
	}{{2, 1}, {1, 22.8977}, {0, 27.1492}, {3, 31.9030}} {
		if got[i].Index != want.index || math.Abs(float64(got[i].Difference)-want.away) > 0.00005 {
			t.Errorf("place %d: %+v; want %+v", i, got[i], want)
		}
	}
	if got := colour.Nearest(wish, nil); len(got) != 0 {
		t.Errorf("of nothing: %v", got)
	}
}

// Pair 26 of Sharma and others is 1.2630 apart; pair 17, 27.1492.
func TestJudge(t *testing.T) {
	a, b := sharma[25].a, sharma[25].b
	for _, test := range []struct {
		limit    colour.DeltaE
		accepted bool
		want     []string
	}{
		{2, true, nil},
		{1.5, true, []string{" lot-close?"}},
		{1.263, true, []string{" lot-close?"}},
		{1.2, false, []string{" lot-rejected"}},
		{0, false, []string{" lot-limit"}},
		{-1, false, []string{" lot-limit"}},
		{20.1, false, []string{" lot-limit"}},
		{colour.DeltaE(math.NaN()), false, []string{" lot-limit"}},
	} {
		v, ps := colour.Judge(b, a, test.limit)
		wantCodes(t, "limit", ps, test.want...)
		if v.Accepted != test.accepted || math.Abs(float64(v.Difference)-1.2630) > 0.00005 || v.Parts != colour.PartsOf(a, b) {
			t.Errorf("limit %v: %+v", test.limit, v)
		}
	}
	v, ps := colour.Judge(sharma[16].b, sharma[16].a, colour.DefaultLimit)
	wantCodes(t, "far", ps, " lot-rejected")
	if !slices.Equal(v.Ways, []colour.Way{colour.Lighter, colour.Redder, colour.Bluer}) { // nearly grey: along the axes
		t.Errorf("%v", v.Ways)
	}
	if ps[0].Args["limit"] != 2.0 || math.Abs(ps[0].Args["difference"].(float64)-27.1492) > 0.00005 {
		t.Errorf("%v", ps[0].Args)
	}
}
