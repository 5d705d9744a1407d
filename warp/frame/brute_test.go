package frame_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"urdir/measure"
	"urdir/warp/frame"
)

// TestFind_bruteForce compares the search with an enumeration of every chain on
// small frames. The enumeration measures a way with Frame.Measure, one way at a
// time, and knows nothing of bounds, levels or steps.
func TestFind_bruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for round := range 60 {
		f := random(r, 5+round%4)
		all := everyWay(f)
		longest := 0.0
		for _, w := range all {
			longest = math.Max(longest, w.length)
		}
		if got := f.Longest().Path.Length; math.Abs(float64(got)-longest) > 1e-6 {
			t.Errorf("frame %d: longest %v, by brute force %v", round, got, longest)
		}
		for range 6 {
			need := 20 + r.Float64()*(longest-15)
			want, ok := bestWay(all, need)
			got, ps := f.Find(measure.CM(need))
			if ok == ps.Failed() {
				t.Fatalf("frame %d need %.2f: %v, by brute force %v", round, need, ps, ok)
			}
			if !ok {
				continue
			}
			class := int(math.Floor((float64(got.Length) - need) / 0.1))
			if class != want.class || len(got.Pegs) != want.pegs || got.Crossings != want.crossings {
				t.Errorf("frame %d need %.2f: class %d pegs %d crossings %d (%v), by brute force %d %d %d",
					round, need, class, len(got.Pegs), got.Crossings, got.Pegs, want.class, want.pegs, want.crossings)
			}
			if !got.Proven.Excess || !got.Proven.Pegs || !got.Proven.Crossings {
				t.Errorf("frame %d need %.2f: small frame not proven: %+v", round, need, got.Proven)
			}
		}
	}
}

type wayFound struct {
	length          float64
	class           int
	pegs, crossings int
}

// everyWay enumerates every way of a frame.
func everyWay(f frame.Frame) []wayFound {
	var out []wayFound
	var grow func(pegs []string)
	grow = func(pegs []string) {
		for _, p := range f.Measure(pegs) {
			out = append(out, wayFound{length: float64(p.Length), pegs: len(p.Pegs), crossings: p.Crossings})
		}
		for _, q := range f.Pegs {
			if !has(pegs, q.ID) {
				grow(append(append([]string{}, pegs...), q.ID))
			}
		}
	}
	for _, s := range f.Start {
		grow([]string{s, f.Cross[0], f.Cross[1]})
		grow([]string{s, f.Cross[1], f.Cross[0]})
	}
	return out
}

func has(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
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

// TestMeasure_belts checks lengths against the belt of a machinery handbook.
// A belt round two equal pulleys, open: L = 2C + pi D. Four equal pegs in a row:
// the start, the cross pair, and the turn. Out and back on either side of the
// cross pegs is the open belt round the outer two, drawn over the cross pegs;
// between the cross pegs it crosses, as the crossed belt does:
// L = 2 sqrt(C^2 - D^2) + (pi + 2 asin(D/C)) D for two equal pulleys
// (standard belt-drive formulas, any machinery handbook; from memory).
func TestMeasure_belts(t *testing.T) {
	const d, c = 2.0, 30.0
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"D"}}
	for i, id := range []string{"A", "B", "C", "D"} {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: measure.CM(c * float64(i)), Diameter: d})
	}
	ways := f.Measure([]string{"A", "B", "C", "D"})
	if len(ways) != 2 {
		t.Fatalf("%d ways", len(ways))
	}
	// Open legs A-B and C-D twice each, the half circles at A and D, and between
	// B and C the straight part of the crossed belt with its extra wraps.
	alpha := math.Asin(d / c)
	want := 4*c + math.Pi*d + 2*math.Sqrt(c*c-d*d) + 4*(d/2)*alpha
	for _, w := range ways {
		if math.Abs(float64(w.Circuit)-want) > 1e-9 {
			t.Errorf("circuit %v, by the belt formulas %v", w.Circuit, want)
		}
	}
}

// TestMeasure_thinPegsAreThePolygon is geometry by hand, with pegs so thin that
// the way is a polygon, to the wraps (five pegs, at most a whole turn each of
// 0.63 cm, shared by two ends). Outward: 20 along the cross, then two legs of a
// 3-4-5 triangle, 50 each: 120. Homeward the thread passes C on the inside of
// the corner and so goes straight from D to B, sqrt(40^2 + 40^2) = 56.57:
// 50 + 56.57 + 10 = 116.57. The mean is 118.28.
func TestMeasure_thinPegsAreThePolygon(t *testing.T) {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"E"}}
	xy := [][2]float64{{0, 0}, {10, 0}, {20, 0}, {50, 40}, {20, 80}}
	for i, id := range []string{"A", "B", "C", "D", "E"} {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: measure.CM(xy[i][0]), Y: measure.CM(xy[i][1]), Diameter: 0.2})
	}
	got := float64(f.Measure([]string{"A", "B", "C", "D", "E"})[0].Length)
	if got < 118.28 || got > 118.28+5*0.63/2 {
		t.Errorf("end length %v, polygon 118.28", got)
	}
}

func TestFind_scalesWithTheFrame(t *testing.T) {
	f := board(4, 15, 80)
	g := f
	g.Pegs = append([]frame.Peg{}, f.Pegs...)
	for i := range g.Pegs {
		g.Pegs[i].X *= 2
		g.Pegs[i].Y *= 2
		g.Pegs[i].Diameter *= 2
	}
	ids := []string{"A", "B", "C", "R0", "L1", "R2", "L3"}
	a, b := f.Measure(ids)[0].Length, g.Measure(ids)[0].Length
	if math.Abs(float64(b-2*a)) > 1e-9 {
		t.Errorf("frame twice as large: %v, want %v", b, 2*a)
	}
}

func TestFind_mirroredFrameIsAsLong(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 20 {
		f := random(r, 10)
		g := f
		g.Pegs = append([]frame.Peg{}, f.Pegs...)
		for i := range g.Pegs {
			g.Pegs[i].X = -g.Pegs[i].X
		}
		need := measure.CM(100 + r.Float64()*300)
		a, pa := f.Find(need)
		b, pb := g.Find(need)
		if pa.Failed() != pb.Failed() || int(a.Excess/0.1) != int(b.Excess/0.1) || len(a.Pegs) != len(b.Pegs) {
			t.Errorf("need %v: %v %v, mirrored %v %v", need, a.Excess, a.Pegs, b.Excess, b.Pegs)
		}
	}
}

func TestFind_legsKeepClearOfPegs(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 30 {
		f := random(r, 14)
		p, ps := f.Find(measure.CM(80 + r.Float64()*300))
		if ps.Failed() {
			continue
		}
		for _, l := range p.Legs {
			for _, q := range f.Pegs {
				if d := fromLine(q, l); d < float64(q.Diameter)/2-1e-6 {
					t.Errorf("leg to %s passes %v cm from the centre of %s", l.Peg, d, q.ID)
				}
			}
		}
	}
}

// fromLine steps along a leg, so as not to repeat the formula under test.
func fromLine(q frame.Peg, l frame.Leg) float64 {
	best := math.Inf(1)
	for i := range 2001 {
		s := measure.CM(float64(i) / 2000)
		x, y := l.X1+s*(l.X2-l.X1), l.Y1+s*(l.Y2-l.Y1)
		best = math.Min(best, math.Hypot(float64(x-q.X), float64(y-q.Y)))
	}
	return best
}

func TestFind_shortAndLong(t *testing.T) {
	f := board(3, 20, 90)
	p, ps := f.Find(1)
	if ps.Failed() || p.Excess <= 0 {
		t.Errorf("a tiny need: %+v %v", p, ps)
	}
	_, ps = f.Find(5000)
	if !ps.Failed() || ps[0].Code != "frame-too-short" || ps[0].Args["longest"] != f.Longest().Path.Length {
		t.Errorf("a huge need: %v", ps)
	}
}

func TestValidate_findsEverything(t *testing.T) {
	f := frame.Frame{
		Pegs: []frame.Peg{{ID: "A", Diameter: 2}, {ID: "A", X: 50, Diameter: 2}, {ID: "B", X: 1, Diameter: 2},
			{ID: "C", X: 90, Diameter: -1}, {ID: "D", X: measure.CM(math.NaN()), Diameter: 2}},
		Cross: [2]string{"B", "B"}, Start: []string{"Z"},
	}
	got := map[string]bool{}
	for _, p := range f.Validate() {
		got[p.Code] = true
	}
	for _, code := range []string{"peg-twice", "pegs-overlap", "peg-diameter", "peg-far", "cross-one-peg", "peg-unknown", "frame-role-empty"} {
		if !got[code] {
			t.Errorf("%s not found in %v", code, f.Validate())
		}
	}
	few := frame.Frame{Pegs: []frame.Peg{{ID: "A", Diameter: 2}, {ID: "B", X: 20, Diameter: 2}, {ID: "C", X: 40, Diameter: 2}, {ID: "D", X: 60, Diameter: 2}},
		Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"B"}}
	if ps := few.Validate(); !ps.Failed() || ps[0].Code != "frame-no-way" {
		t.Errorf("turn on the cross: %v", ps)
	}
}
