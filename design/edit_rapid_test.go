package design_test

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/design"
	"urdir/examples"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// anyPlace is the address of any row of any list of a cloth, and sometimes of
// nothing.
func anyPlace(t *rapid.T, c plan.Cloth) design.At {
	var rows []design.At
	for _, w := range c.Warps {
		for _, in := range []design.In{design.Stripes, design.Border} {
			for _, r := range design.Outline(c, in, w.Key) {
				rows = append(rows, r.At)
			}
		}
	}
	for _, p := range c.Panels {
		for _, r := range design.Outline(c, design.Bands, p.Key) {
			rows = append(rows, r.At)
		}
	}
	at := rapid.SampledFrom(rows).Draw(t, "at")
	if n := rapid.IntRange(0, 9).Draw(t, "beside"); n == 0 {
		at.Path = append(slices.Clone(at.Path), 1)
	}
	return at
}

// anyEdit does any one edit.
func anyEdit(t *rapid.T, c plan.Cloth) (plan.Cloth, check.Problems) {
	at, n := anyPlace(t, c), rapid.IntRange(-1, 7).Draw(t, "n")
	yarn := rapid.SampledFrom(c.Yarns).Draw(t, "yarn").Key
	size := rapid.SampledFrom([]design.Size{{Ends: n}, {Width: measure.CM(n) / 2}, {Share: float64(n)}}).Draw(t, "size")
	edits := map[string]func() (plan.Cloth, check.Problems){
		"insert stripe": func() (plan.Cloth, check.Problems) { return design.InsertStripe(c, at, plainStripe(yarn, n)) },
		"insert band":   func() (plan.Cloth, check.Problems) { return design.InsertBand(c, at, plan.NewBand()) },
		"remove":        func() (plan.Cloth, check.Problems) { return design.Remove(c, at) },
		"duplicate":     func() (plan.Cloth, check.Problems) { return design.Duplicate(c, at) },
		"move": func() (plan.Cloth, check.Problems) {
			out, _, ps := design.Move(c, at, anyPlace(t, c))
			return out, ps
		},
		"repeat":      func() (plan.Cloth, check.Problems) { return design.Repeat(c, at, n, n+1) },
		"mirror":      func() (plan.Cloth, check.Problems) { return design.Mirror(c, at, n) },
		"times":       func() (plan.Cloth, check.Problems) { return design.SetTimes(c, at, n*400) },
		"ungroup":     func() (plan.Cloth, check.Problems) { return design.Ungroup(c, at) },
		"size":        func() (plan.Cloth, check.Problems) { return design.SetSize(c, at, size) },
		"recolour":    func() (plan.Cloth, check.Problems) { return design.Recolour(c, at, n, yarn) },
		"alternate":   func() (plan.Cloth, check.Problems) { return design.Alternate(c, at, yarn, n, 2) },
		"plain":       func() (plan.Cloth, check.Problems) { return design.Plain(c, at, n) },
		"split":       func() (plan.Cloth, check.Problems) { return design.Split(c, at, n) },
		"join":        func() (plan.Cloth, check.Problems) { return design.Join(c, at) },
		"shuffle":     func() (plan.Cloth, check.Problems) { return design.Shuffle(c, at, n, uint64(n)) },
		"fit to":      func() (plan.Cloth, check.Problems) { return design.FitTo(c, at, measure.CM(n)*10) },
		"length":      func() (plan.Cloth, check.Problems) { return design.SetLength(c, at, measure.CM(n)) },
		"rest":        func() (plan.Cloth, check.Problems) { return design.SetRest(c, at) },
		"weft":        func() (plan.Cloth, check.Problems) { return design.SetWeft(c, at, yarn) },
		"picks":       func() (plan.Cloth, check.Problems) { return design.SetPicks(c, at, measure.PerCM(n)) },
		"kind fringe": func() (plan.Cloth, check.Problems) { return design.SetKind(c, at, plan.Fringe) },
		"kind figure": func() (plan.Cloth, check.Problems) { return design.SetKind(c, at, plan.Figured) },
		"widen": func() (plan.Cloth, check.Problems) {
			out, _, ps := design.WidenAt(c, c.Warps[0].Key, n*30, n*17-40)
			return out, ps
		},
	}
	names := make([]string, 0, len(edits))
	for name := range edits {
		names = append(names, name)
	}
	slices.Sort(names)
	return edits[rapid.SampledFrom(names).Draw(t, "edit")]()
}

// Several edits one after the other never change what they were given, never
// make an order that cannot be written, and leave nothing that the plan would
// refuse as wrong in itself; only that things do not add up may follow.
func TestEdit_keepsTheClothSound(t *testing.T) {
	adds := []string{"stripes-do-not-fit", "stripes-too-wide", "stripes-width-differs", "stripes-share-no-width", "stripes-too-many-ends",
		"bands-do-not-add", "bands-too-long", "rest-without-length", "figure-taller", "figure-wider", "figure-no-pairs", "figure-odd-rows",
		"picks-too-close", "panels-differ", "warp-too-long", "frame-too-short", "seams-too-wide", "figure-not-for-sale", "band-kind"}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(examples.Kinds).Draw(t, "kind")
		c, same := example(t, kind), example(t, kind)
		first := c
		for range rapid.IntRange(1, 5).Draw(t, "edits") {
			next, ps := anyEdit(t, c)
			if ps.Failed() && !reflect.DeepEqual(next, c) {
				t.Fatalf("refused, but changed: %v", ps)
			}
			c = next
			_, ps = plan.Make(c)
			for _, p := range ps {
				if p.Severity == check.Error && !slices.Contains(adds, p.Code) {
					t.Fatalf("%v\n%s\n%s", p, order(c), bands(c))
				}
			}
		}
		if !reflect.DeepEqual(first, same) {
			t.Fatal("the cloth given was changed")
		}
	})
}

// anyOrder is a cloth of any stripes, in groups or not.
func anyOrder(t *rapid.T) plan.Cloth {
	c := plan.NewCloth()
	for _, key := range []string{"a", "b", "c", "d"} {
		c.Yarns = append(c.Yarns, plan.NewYarn(key))
	}
	w := plan.NewWarp("body")
	w.Sett = 20
	w.Order.Items = anyItems(t, 2)
	if rapid.Bool().Draw(t, "border") {
		w.Order.Border = anyItems(t, 0)
	}
	c.Warps = []plan.Warp{w}
	p := plan.NewPanel("runner")
	p.Warp = "body"
	c.Panels = []plan.Panel{p}
	return c
}

func anyItems(t *rapid.T, depth int) (out []warp.Item) {
	yarns := rapid.SampledFrom([]string{"a", "b", "c", "d"})
	for range rapid.IntRange(1, 6).Draw(t, "items") {
		kind := 0
		if depth > 0 {
			kind = rapid.IntRange(0, 5).Draw(t, "kind")
		}
		switch kind {
		case 4:
			out = append(out, warp.Item{Repeat: rapid.IntRange(1, 3).Draw(t, "times"), Of: anyItems(t, depth-1)})
		case 5:
			out = append(out, warp.Item{Mirror: anyItems(t, depth-1)})
		default:
			s := plainStripe(yarns.Draw(t, "yarn"), rapid.IntRange(1, 30).Draw(t, "ends"))
			if rapid.IntRange(0, 4).Draw(t, "alternate") == 0 {
				s.Yarns = []warp.Lay{{Yarn: s.Yarns[0].Yarn, Ends: rapid.IntRange(1, 3).Draw(t, "own")}, {Yarn: yarns.Draw(t, "other"), Ends: rapid.IntRange(1, 3).Draw(t, "others")}}
			}
			out = append(out, warp.Item{Stripe: &s})
		}
	}
	return out
}

// endByEnd is the yarn of every end.
func endByEnd(t interface{ Fatal(...any) }, c plan.Cloth) string {
	fit, _, ps := design.Fit(c, "body")
	if ps.Failed() {
		t.Fatal(ps)
	}
	ends, names := fit.Yarn()
	var b strings.Builder
	for _, e := range ends {
		b.WriteString(names[e])
	}
	return b.String()
}

// Splitting a stripe changes no end of the cloth, and joining brings the order
// back.
func TestSplit_joinedAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyOrder(t)
		places := design.Written(c, design.Stripes, "body")
		at := rapid.SampledFrom(places).Draw(t, "at")
		split, ps := design.Split(c, at, rapid.IntRange(1, 29).Draw(t, "ends"))
		if ps.Failed() {
			return
		}
		if got, want := endByEnd(t, split), endByEnd(t, c); got != want {
			t.Fatalf("%s\n%s\n%s\n%s", order(c), order(split), want, got)
		}
		first := at
		if len(design.Outline(split, at.In, "body")) == len(design.Outline(c, at.In, "body"))+2 {
			first.Path = append(slices.Clone(at.Path), 0) // across an axis
		}
		joined, ps := design.Join(split, first)
		// A group laid once with one stripe across an axis is left out, which changes no cloth.
		once := regexp.MustCompile(`\b1\(([^(),]+)\)`)
		if ps.Failed() || once.ReplaceAllString(order(joined), "$1") != once.ReplaceAllString(order(c), "$1") {
			t.Fatalf("%s\n%s\n%s\n%v", order(c), order(split), order(joined), ps)
		}
	})
}

// A group made and undone is the order as it was; a mirror of a mirror, or a
// group laid once, is the same cloth.
func TestGroup_undone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyOrder(t)
		n := len(c.Warps[0].Order.Items)
		i := rapid.IntRange(0, n-1).Draw(t, "from")
		count := rapid.IntRange(1, n-i).Draw(t, "count")
		mirrored, ps := design.Mirror(c, at(i), count)
		if ps.Failed() {
			t.Fatal(ps)
		}
		back, _ := design.Ungroup(mirrored, at(i))
		repeated, _ := design.Repeat(c, at(i), count, 3)
		again, _ := design.Ungroup(repeated, at(i))
		if order(back) != order(c) || order(again) != order(c) {
			t.Fatalf("%s became %s and %s", order(c), order(back), order(again))
		}
		twice, _ := design.Mirror(mirrored, at(i), 1)
		if got, want := endByEnd(t, twice), endByEnd(t, mirrored); got != want {
			t.Fatalf("mirrored twice: %s, want %s", got, want)
		}
		once, _ := design.Repeat(c, at(i), count, 1)
		if got, want := endByEnd(t, once), endByEnd(t, c); got != want {
			t.Fatalf("laid once: %s, want %s", got, want)
		}
	})
}
