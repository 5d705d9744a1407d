package design_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/design"
	"urdir/measure"
	"urdir/warp"
)

// Terms by hand; the Fibonacci numbers are OEIS A000045, without its first 1.
func TestSeries_terms(t *testing.T) {
	for s, want := range map[design.Series][]float64{
		design.Even: {1, 1, 1, 1, 1, 1}, design.Halves: {1, 2, 4, 8, 16, 32}, design.Thirds: {1, 3, 9, 27, 81, 243},
		design.Fibonacci: {1, 2, 3, 5, 8, 13},
	} {
		if got := s.Weights(6); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", s, got, want)
		}
	}
}

func TestApportion_byHand(t *testing.T) {
	for _, tc := range []struct {
		weights  []float64
		ends     int
		mirrored bool
		want     []int
	}{
		{[]float64{1, 2, 3, 5}, 220, false, []int{20, 40, 60, 100}},
		// 50 pairs in 7 parts: 7.14, 14.29, 28.57: one pair more for the last.
		{[]float64{1, 2, 4}, 100, false, []int{14, 28, 58}},
		// Mirrored 2 (1 + 2) + 4 = 10 parts of 50 pairs: 5, 10, 20.
		{[]float64{1, 2, 4}, 100, true, []int{10, 20, 40}},
		// 51 pairs: 5.1, 10.2, 20.4: the odd one across the axis.
		{[]float64{1, 2, 4}, 102, true, []int{10, 20, 42}},
		// 10 pairs in 31 parts: the least is a third of a pair.
		{[]float64{1, 2, 4, 8, 16}, 20, false, nil},
	} {
		if got := design.Apportion(tc.weights, tc.ends, tc.mirrored); !slices.Equal(got, tc.want) {
			t.Errorf("%v of %d: %v, want %v", tc.weights, tc.ends, got, tc.want)
		}
	}
}

// 100 tex, ends laid 2 m: an end is 0.2 g. 10 cm finished without shrinkage at
// 20 a cm are 200 ends, 40 g.
func wish() design.Wish {
	return design.Wish{
		Lots:  []design.Lot{{Yarn: "red", Have: 30, Tex: 100}, {Yarn: "sand", Have: 13.4, Tex: 100}},
		Width: 10, Sett: 20, Length: 200, Series: design.Halves,
	}
}

func ExamplePropose() {
	all, _ := design.Propose(wish())
	for _, p := range all {
		fmt.Printf("%s: red %.1f g, sand %.1f g left, %.0f %%\n", items(p.Items), p.Uses[0].Left, p.Uses[1].Left, 100*p.Share)
	}
	// 200 ends are 100 pairs, in 3, 31 and 7 parts: 33 and 67; 3, 6, 13, 26 and 52; 14, 29 and 57.

	// Output:
	// 66 sand, 134 red: red 3.2 g, sand 0.2 g left, 94 %
	// 6 red, 12 sand, 26 red, 52 sand, 104 red: red 2.8 g, sand 0.6 g left, 93 %
	// 28 red, 58 sand, 114 red: red 1.6 g, sand 1.8 g left, 91 %
}

// 100 pairs of ends by the weights 3 and 1: 75 and 25. Mirrored in three
// stripes red has 37.5 pairs at each side, so 37, and the pair that is over lies
// across the axis.
func TestPropose_weights(t *testing.T) {
	w := wish()
	w.Series, w.Lots[0].Weight, w.Lots[1].Weight, w.Mirrored = design.Weights, 3, 1, true
	all, ps := design.Propose(w)
	var got []string
	for _, p := range all {
		got = append(got, items(p.Items))
	}
	if want := "m(74 red, 52 sand)"; ps.Failed() || !slices.Contains(got, want) {
		t.Errorf("%q %v, want %s among them", got, ps, want)
	}
	w.Lots[1].Weight = 0
	if _, ps := design.Propose(w); !ps.Failed() || ps[0].Path != "lots.sand" {
		t.Errorf("%v for a lot without a weight", ps)
	}
}

func TestPropose_refused(t *testing.T) {
	for name, tc := range map[string]struct {
		mend func(*design.Wish)
		want string
	}{
		"nothing there":    {func(w *design.Wish) { w.Lots = nil }, "lots design-shelf-none"},
		"a yarn twice":     {func(w *design.Wish) { w.Lots[1].Yarn = "red" }, "lots design-shelf-twice"},
		"no series":        {func(w *design.Wish) { w.Series = "fifths" }, "series design-series"},
		"no width":         {func(w *design.Wish) { w.Width = 0 }, "width size-out-of-range"},
		"no number":        {func(w *design.Wish) { w.Width = measure.CM(math.NaN()) }, "width size-out-of-range"},
		"no length":        {func(w *design.Wish) { w.Length = 0 }, "length size-out-of-range"},
		"no sett":          {func(w *design.Wish) { w.Sett = 0 }, "sett out-of-range"},
		"shrunk to naught": {func(w *design.Wish) { w.Shrink = 1 }, "shrinkage out-of-range"},
		"no thread":        {func(w *design.Wish) { w.Lots[0].Tex = 0 }, "lots.red out-of-range"},
		"a wall":           {func(w *design.Wish) { w.Width = 2000 }, "width stripes-too-many-ends"},
		"too little":       {func(w *design.Wish) { w.Lots[0].Have = 10 }, " design-shelf-short"},
	} {
		w := wish()
		tc.mend(&w)
		if all, ps := design.Propose(w); codes(ps) != tc.want || all != nil {
			t.Errorf("%s: %s, want %s", name, codes(ps), tc.want)
		}
	}
	// 10 g are 50 ends, 13.4 g 67.
	w := wish()
	w.Lots[0].Have = 10
	if _, ps := design.Propose(w); ps[0].Args["ends"] != 200 || ps[0].Args["enough"] != 117 {
		t.Errorf("%v, want 117 of 200 ends", ps)
	}
}

// No proposal takes more than there is; the ends fill the width; a mirrored one
// reads the same from both sides; every stripe is within two ends of its part
// of the series; the best comes first; the same throw gives the same.
func TestPropose_properties(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		w := design.Wish{
			Width: measure.CM(rapid.IntRange(5, 90).Draw(t, "width")), Shrink: measure.Ratio(rapid.IntRange(0, 10).Draw(t, "shrink")) / 100,
			Sett: measure.PerCM(rapid.IntRange(8, 30).Draw(t, "sett")), Length: measure.CM(rapid.IntRange(100, 400).Draw(t, "length")),
			Series: rapid.SampledFrom(design.AllSeries).Draw(t, "series"), Mirrored: rapid.Bool().Draw(t, "mirrored"), Throw: rapid.Uint64().Draw(t, "throw"),
		}
		for i := range rapid.IntRange(1, 7).Draw(t, "lots") {
			w.Lots = append(w.Lots, design.Lot{Yarn: fmt.Sprint("y", i), Have: measure.Gram(rapid.IntRange(0, 600).Draw(t, "have")), Tex: measure.Tex(rapid.IntRange(50, 300).Draw(t, "tex")),
				Weight: float64(rapid.IntRange(1, 20).Draw(t, "weight"))})
		}
		all, ps := design.Propose(w)
		again, _ := design.Propose(w)
		if !reflect.DeepEqual(all, again) {
			t.Fatal("the same throw gave something else")
		}
		if ps.Failed() {
			return
		}
		found += len(all)
		room := warp.Room{Width: w.Width, Shrink: w.Shrink, Sett: w.Sett}
		for k, p := range all {
			flat, ps := warp.Order{Items: p.Items}.Expand()
			fit, more := warp.Fit(flat, room)
			if ps.Failed() || more.Failed() || len(fit.Stripes) != p.Stripes {
				t.Fatalf("%s: %v %v", items(p.Items), ps, more)
			}
			if fit.Ends != p.Ends || math.Abs(float64(p.Ends)-room.EndsFor(w.Width)) > 1+1e-9 {
				t.Fatalf("%s: %d and %d ends, wanted %.1f", items(p.Items), fit.Ends, p.Ends, room.EndsFor(w.Width))
			}
			ends, names := fit.Yarn()
			count := map[string]int{}
			for i, e := range ends {
				count[names[e]]++
				if w.Mirrored && names[e] != names[ends[len(ends)-1-i]] {
					t.Fatalf("%s does not mirror", items(p.Items))
				}
			}
			for i, l := range w.Lots {
				mass := float64(count[l.Yarn]) * float64(w.Length) / 100 * float64(l.Tex) / 1000
				if mass > float64(l.Have)+1e-9 || math.Abs(mass-float64(p.Uses[i].Used)) > 1e-6 {
					t.Fatalf("%s takes %.3f g of %.3f g, said %.3f", items(p.Items), mass, float64(l.Have), float64(p.Uses[i].Used))
				}
			}
			follows(t, w, p)
			if k > 0 && p.Share > all[k-1].Share+1e-8 {
				t.Fatalf("%d uses more than the one before", k)
			}
			for i := 1; i < len(fit.Stripes); i++ {
				if fit.Stripes[i].Yarns[0] == fit.Stripes[i-1].Yarns[0] {
					t.Fatalf("%s: neighbours of one yarn", items(p.Items))
				}
			}
		}
	})
	if found < 100 {
		t.Errorf("only %d proposals", found)
	}
}

// follows checks that stripes are in the ratio of the series: w(i+1)/w(i) is 1,
// 2 or 3, or for Fibonacci w(i) = w(i-1) + w(i-2), give and take two ends a
// stripe.
//
// For weights, the lots that are used share the ends by them, give and take two
// ends a stripe.
func follows(t *rapid.T, w design.Wish, p design.Proposal) {
	if w.Series == design.Weights {
		var sum float64
		for i, l := range w.Lots {
			if p.Uses[i].Ends > 0 {
				sum += l.Weight
			}
		}
		for i, l := range w.Lots {
			want := l.Weight / sum * float64(p.Ends)
			if got := float64(p.Uses[i].Ends); got > 0 && math.Abs(got-want) > 2*float64(p.Stripes)+1e-9 {
				t.Fatalf("%s: %.0f ends of %s, by its weight %.1f", items(p.Items), got, l.Yarn, want)
			}
		}
		return
	}
	list := p.Items
	if w.Mirrored {
		list = list[0].Mirror
	}
	sizes := make([]float64, len(list))
	for i, it := range list {
		sizes[i] = float64(it.Stripe.Ends)
	}
	if sizes[0] > sizes[len(sizes)-1] {
		slices.Reverse(sizes)
	}
	for i := 1; i < len(sizes); i++ {
		want, off := sizes[i-1], 4.0
		switch w.Series {
		case design.Halves:
			want, off = 2*want, 6
		case design.Thirds:
			want, off = 3*want, 8
		case design.Fibonacci:
			if off = 6; i == 1 {
				want *= 2
			} else {
				want += sizes[i-2]
			}
		}
		if math.Abs(sizes[i]-want) > off+1e-9 {
			t.Fatalf("%s: %v is not in %s", items(p.Items), sizes, w.Series)
		}
	}
}
