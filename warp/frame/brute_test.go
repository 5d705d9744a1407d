package frame_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"urdir/measure"
	"urdir/warp/frame"
)

// wayFound is one way by brute force.
type wayFound struct {
	length          float64
	class           int
	pegs, crossings int
}

// everyWay enumerates and measures every way of a frame.
func everyWay(f frame.Frame) []wayFound {
	var out []wayFound
	var grow func(pegs []string)
	grow = func(pegs []string) {
		if slices.Contains(f.Turn, pegs[len(pegs)-1]) {
			for _, sense := range []float64{1, -1} {
				if circuit, ok := oracle(f, pegs, sense); ok {
					out = append(out, wayFound{length: circuit / 2, pegs: len(pegs), crossings: crossed(f, pegs)})
				}
			}
		}
		for _, q := range f.Pegs {
			if !slices.Contains(pegs, q.ID) {
				grow(append(slices.Clone(pegs), q.ID))
			}
		}
	}
	for _, s := range f.Start {
		grow([]string{s, f.Cross[0], f.Cross[1]})
		grow([]string{s, f.Cross[1], f.Cross[0]})
	}
	return out
}

// bestWay is the objective said again, in the plainest way.
func bestWay(all []wayFound, need float64) (best wayFound, ok bool) {
	for _, w := range all {
		if w.length < need-1e-9 {
			continue
		}
		w.class = int(math.Floor((w.length - need) / 0.1))
		if !ok || w.class < best.class ||
			w.class == best.class && (w.pegs < best.pegs || w.pegs == best.pegs && w.crossings < best.crossings) {
			best, ok = w, true
		}
	}
	return best, ok
}

// TestFind_bruteForce compares the search with an enumeration of every way on
// small frames, which knows nothing of tables, bounds, levels or steps.
func TestFind_bruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for round := range 60 {
		f := uneven(r, 5+round%5)
		if ps := f.Validate(); ps.Failed() {
			t.Fatal(ps)
		}
		all := everyWay(f)
		shortest, longest := math.Inf(1), 0.0
		for _, w := range all {
			shortest, longest = math.Min(shortest, w.length), math.Max(longest, w.length)
		}
		got := f.Longest()
		if math.Abs(float64(got.Path.Length)-longest) > 1e-6 || math.Abs(float64(got.Bound)-longest) > 1e-5 {
			t.Errorf("frame %d: longest %v, bound %v, by brute force %v", round, got.Path.Length, got.Bound, longest)
		}
		for range 12 {
			compare(t, f, all, shortest-5+r.Float64()*(longest-shortest+10))
		}
	}
}

func compare(t *testing.T, f frame.Frame, all []wayFound, need float64) {
	t.Helper()
	want, ok := bestWay(all, need)
	got, ps := f.Find(measure.CM(need))
	if ok == ps.Failed() {
		t.Fatalf("need %.2f: %v, by brute force %v", need, ps, ok)
	}
	if !ok {
		return
	}
	class := int(math.Floor(float64(got.Excess) / 0.1))
	if class != want.class || len(got.Pegs) != want.pegs || got.Crossings != want.crossings {
		t.Errorf("need %.2f: class %d pegs %d crossings %d (%v), by brute force %d %d %d",
			need, class, len(got.Pegs), got.Crossings, got.Pegs, want.class, want.pegs, want.crossings)
	}
	if got.Proven != (frame.Proven{Excess: true, Pegs: true, Crossings: true}) {
		t.Errorf("need %.2f: small frame not proven: %+v", need, got.Proven)
	}
}

// A frame with one peg more that stands clear of every leg has all the ways it
// had, so its best excess is no worse.
func TestFind_onePegMoreIsNoWorse(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	for round := range 40 {
		f := uneven(r, 6+round%3)
		g := f
		g.Pegs = append(slices.Clone(f.Pegs), frame.Peg{ID: "far", X: -40, Y: 60, Diameter: 2})
		for range 5 {
			need := measure.CM(60 + r.Float64()*200)
			before, ps := f.Find(need)
			if ps.Failed() {
				continue
			}
			after, ps := g.Find(need)
			if ps.Failed() || int(after.Excess/0.1) > int(before.Excess/0.1) {
				t.Errorf("need %v: excess %v, with one peg more %v %v", need, before.Excess, after.Excess, ps)
			}
		}
	}
}

func TestFind_mirroredFrameIsAsLong(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 20 {
		f := uneven(r, 9)
		g := f
		g.Pegs = slices.Clone(f.Pegs)
		for i := range g.Pegs {
			g.Pegs[i].X = -g.Pegs[i].X
		}
		need := measure.CM(100 + r.Float64()*200)
		a, pa := f.Find(need)
		b, pb := g.Find(need)
		if pa.Failed() != pb.Failed() || int(a.Excess/0.1) != int(b.Excess/0.1) || len(a.Pegs) != len(b.Pegs) || a.Crossings != b.Crossings {
			t.Errorf("need %v: %v %v, mirrored %v %v", need, a.Excess, a.Pegs, b.Excess, b.Pegs)
		}
	}
}
