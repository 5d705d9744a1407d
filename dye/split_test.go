package dye_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/measure"
)

// By hand: 40 L filled to 80 % hold 32 L, at 30 L/kg 1066.7 g of fibre.
func TestSplit(t *testing.T) {
	pot := []dye.Pot{{Litres: 40}}
	for _, test := range []struct {
		lot, skein measure.Gram
		want       string
	}{
		{800, 0, "1 of 800 g"},
		{1066.6, 0, "1 of 1067 g"},
		{1067, 0, "2 of 534 g"},
		{3000, 100, "3 of 1000 g"},            // 10 skeins fit a bath
		{2100, 100, "3 of 700 g"},             // 21 skeins
		{1100, 100, "1 of 600 g, 1 of 500 g"}, // 11 skeins
		{850, 100, "1 of 850 g"},
	} {
		d, ps := dye.Split(test.lot, test.skein, 30, pot)
		if ps.Failed() {
			t.Errorf("%v: %v", test, ps)
			continue
		}
		got := ""
		for _, s := range d.Sizes {
			got += fmt.Sprintf(", %d of %.0f g", s.Baths, float64(s.Fibre))
		}
		if got != ", "+test.want {
			t.Errorf("%v g in skeins of %v g: %s, want %s", test.lot, test.skein, got[2:], test.want)
		}
	}
}

// Two pots of 32 L and one of 8 L: three baths of 30 L take two rounds.
func TestSplit_rounds(t *testing.T) {
	d, ps := dye.Split(3000, 100, 30, []dye.Pot{{Litres: 10}, {Litres: 40}, {Litres: 60, Fill: 0.55}})
	if ps.Failed() || d.Baths != 3 || d.Rounds != 2 || fmt.Sprint(d.Pots) != "[1 2]" {
		t.Errorf("%+v, %v", d, ps)
	}
}

func TestSplit_refused(t *testing.T) {
	for _, test := range []struct {
		lot, skein measure.Gram
		pots       []dye.Pot
		want       string
	}{
		{800, 500, []dye.Pot{{Litres: 10}}, "dye-skein-too-big"},
		{800, 100, nil, "dye-no-pot"},
		{800, 100, []dye.Pot{{Litres: -4}}, "dye-pot"},
		{0, 100, []dye.Pot{{Litres: 40}}, "dye-mass"},
		{300_000, 100, []dye.Pot{{Litres: 40}}, "dye-mass"},
		{800, -1, []dye.Pot{{Litres: 40}}, "dye-mass"},
	} {
		_, ps := dye.Split(test.lot, test.skein, 30, test.pots)
		if len(ps) != 1 || ps[0].Code != test.want {
			t.Errorf("%+v: %v, want %s", test, ps, test.want)
		}
	}
}

// Whatever the lot: the baths hold all of it, each fits, they differ by a skein
// at most, and one bath fewer would not do.
func TestSplit_fewestEqualBaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		skein := measure.Gram(rapid.IntRange(20, 300).Draw(t, "skein"))
		lot := measure.Gram(rapid.IntRange(20, 20_000).Draw(t, "lot"))
		liquor := measure.LPerKG(rapid.IntRange(10, 60).Draw(t, "liquor"))
		var pots []dye.Pot
		most := measure.Litre(0)
		for i := range rapid.IntRange(1, 4).Draw(t, "pots") {
			p := dye.Pot{Litres: measure.Litre(rapid.IntRange(5, 120).Draw(t, fmt.Sprint("pot", i))), Fill: measure.Ratio(rapid.Float64Range(0.3, 1).Draw(t, fmt.Sprint("fill", i)))}
			pots = append(pots, p)
			most = max(most, p.Holds())
		}
		d, ps := dye.Split(lot, skein, liquor, pots)
		if ps.Failed() {
			if len(ps) != 1 || ps[0].Code != "dye-skein-too-big" || liquor.For(min(lot, skein)) < most && liquor.For(skein) <= most {
				t.Fatalf("refused: %v", ps)
			}
			return
		}
		all, baths, skeins := measure.Gram(0), 0, 0
		for _, s := range d.Sizes {
			all += s.Fibre * measure.Gram(s.Baths)
			baths, skeins = baths+s.Baths, skeins+s.Baths*s.Skeins
			if s.Bath > most*(1+1e-6) {
				t.Fatalf("a bath of %v in a pot for %v", s.Bath, most)
			}
		}
		if n := len(d.Sizes); n == 2 && d.Sizes[0].Skeins-d.Sizes[1].Skeins != 1 || n > 2 {
			t.Fatalf("unlike baths: %+v", d.Sizes)
		}
		if diff := all - lot; diff > 1e-6 || diff < -1e-6 || baths != d.Baths || skeins != d.Skeins || d.Skein > skein+1e-9 {
			t.Fatalf("%v of %v g, %d and %d baths", all, lot, baths, d.Baths)
		}
		if fewer := d.Baths - 1; fewer > 0 {
			fullest := (d.Skeins + fewer - 1) / fewer
			if liquor.For(d.Skein*measure.Gram(fullest)) <= most*(1-1e-6) {
				t.Fatalf("%d baths would do", fewer)
			}
		}
	})
}
