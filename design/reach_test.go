package design_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/design"
	"urdir/examples"
	"urdir/measure"
	"urdir/plan"
)

// With a warp for each piece the need is the same for every piece: what is
// there over the need of one is the number of pieces.
func TestReach_perPiece(t *testing.T) {
	c := cloth(t, someStripes, someBands)
	c.Warps[0].Lay, c.Pieces = plan.LayPerPiece, 6
	p, _ := plan.Make(c)
	red := p.Yarn("red").Mass / 6
	s, ps := design.Reach(c, map[string]measure.Gram{"red": red * 5.5, "sand": 1e6, "mist": red * 1e4})
	if ps.Failed() {
		t.Fatal(ps)
	}
	got := s.Yarns[0]
	if got.Yarn != "red" || got.Pieces != 5 || s.Pieces != 5 || s.Order != 6 || math.Abs(float64(got.Short-red/2)) > 1e-9 {
		t.Errorf("enough for %d of %d, short of %.3f g; want 5 of 6, %.3f g", got.Pieces, s.Order, float64(got.Short), float64(red/2))
	}
	if s.Yarns[1].Pieces != design.MostPieces || s.Yarns[1].Short != 0 {
		t.Errorf("a ton is enough for %d pieces", s.Yarns[1].Pieces)
	}
	if s, _ = design.Reach(c, nil); s.Pieces != 0 {
		t.Errorf("an empty shelf is enough for %d", s.Pieces)
	}
}

// On one warp a hundred metres long at most (package plan's bound), with 25 cm
// of waste and no frame, only so many pieces can be planned at all.
func TestReach_longestWarp(t *testing.T) {
	c := cloth(t, someStripes, someBands)
	p, _ := plan.Make(c)
	l := p.Warps[0].Length
	each := float64(l.Panels + l.High + c.Warps[0].Between)
	want := int((10000 - float64(l.Waste) + float64(c.Warps[0].Between)) / each)
	s, _ := design.Reach(c, map[string]measure.Gram{"red": 1e9, "sand": 1e9, "mist": 1e9})
	if s.Most != want || s.Pieces != want {
		t.Errorf("%d and %d pieces, want %d", s.Most, s.Pieces, want)
	}
}

func TestReach_noPlan(t *testing.T) {
	c := cloth(t, someStripes, someBands)
	c.Name = ""
	if _, ps := design.Reach(c, nil); codes(ps) != "name name-missing" {
		t.Errorf("%v", ps)
	}
}

// Exactly so far: the shelf is enough for the pieces said and not for one more.
func TestReach_exact(t *testing.T) {
	plans := map[string]plan.Plan{}
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(examples.Kinds).Draw(t, "kind")
		c := example(t, kind)
		shelf := map[string]measure.Gram{}
		for _, y := range c.Yarns {
			shelf[y.Key] = measure.Gram(rapid.IntRange(0, 3000).Draw(t, "g"))
		}
		s, ps := design.Reach(c, shelf)
		if ps.Failed() {
			t.Fatal(ps)
		}
		need := func(pieces, yarn int) measure.Gram {
			key := fmt.Sprint(kind, pieces)
			p, ok := plans[key]
			if !ok {
				c.Pieces = pieces
				var ps check.Problems
				if p, ps = plan.Make(c); ps.Failed() {
					t.Fatal(ps)
				}
				plans[key] = p
			}
			return p.Yarns[yarn].Mass
		}
		for i, y := range s.Yarns {
			if y.Pieces > 0 && need(y.Pieces, i) > y.Have || y.Pieces < s.Most && need(y.Pieces+1, i) <= y.Have {
				t.Fatalf("%+v", y)
			}
			if (y.Short > 0) != (y.Pieces < s.Order) || y.Pieces < s.Pieces {
				t.Fatalf("%+v of %+v", y, s)
			}
		}
	})
}
