package frame_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"urdir/measure"
	"urdir/warp/frame"
)

// The standard belt-drive formulas, as in any machinery handbook (from memory):
// a belt round pulleys of diameters D and d, their centres C apart.
//
//	open     L = sqrt(4C^2 - (D-d)^2) + (D a1 + d a2)/2,  a = pi +- 2 asin((D-d)/2C)
//	crossed  L = sqrt(4C^2 - (D+d)^2) + (D+d)/2 x (pi + 2 asin((D+d)/2C))
//
// and nearly 2C + pi (D+d)/2 + (D-+d)^2/4C.
func openBelt(c, d1, d2 float64) float64 {
	a := 2 * math.Asin((d1-d2)/(2*c))
	return math.Sqrt(4*c*c-(d1-d2)*(d1-d2)) + (d1*(math.Pi+a)+d2*(math.Pi-a))/2
}

func crossedBelt(c, d1, d2 float64) float64 {
	return math.Sqrt(4*c*c-(d1+d2)*(d1+d2)) + (d1+d2)/2*(math.Pi+2*math.Asin((d1+d2)/(2*c)))
}

func nearlyBelt(c, d1, d2, across float64) float64 {
	return 2*c + math.Pi*(d1+d2)/2 + across*across/(4*c)
}

// row is a frame of four pegs in a row.
func row(x [4]measure.CM, d [4]measure.CM) frame.Frame {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"D"}}
	for i, id := range []string{"A", "B", "C", "D"} {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: x[i], Diameter: d[i]})
	}
	return f
}

// Four pegs in a row, out and back by either side of the cross pegs: an open belt
// from A to B, a crossed one from B to C, an open one from C to D. Where two belts
// meet on a peg, the thread leaves one for the other half way round, so that both
// together are a whole turn of the peg longer than the thread.
func TestMeasure_belts(t *testing.T) {
	for _, d := range [][4]measure.CM{{2, 2, 2, 2}, {3, 2, 2.5, 1}, {1, 2, 3, 3.5}} {
		f := row([4]measure.CM{0, 30, 50, 95}, d)
		c := func(i int) float64 { return float64(d[i]) }
		want := openBelt(30, c(0), c(1)) + crossedBelt(20, c(1), c(2)) + openBelt(45, c(2), c(3)) - math.Pi*(c(1)+c(2))
		near := nearlyBelt(30, c(0), c(1), c(0)-c(1)) + nearlyBelt(20, c(1), c(2), c(1)+c(2)) +
			nearlyBelt(45, c(2), c(3), c(2)-c(3)) - math.Pi*(c(1)+c(2))
		ways := f.Measure([]string{"A", "B", "C", "D"})
		if len(ways) != 2 {
			t.Fatalf("pegs of %v: %d ways, want 2", d, len(ways))
		}
		for _, w := range ways {
			if got := float64(w.Circuit); math.Abs(got-want) > 1e-9 || math.Abs(got-near) > 0.01 {
				t.Errorf("pegs of %v: circuit %v, belts %v, nearly %v", d, got, want, near)
			}
		}
	}
}

// Cross pegs so thin that the thread passes between them without touching leave
// one crossed belt round the start and the turning peg.
func TestMeasure_crossedBelt(t *testing.T) {
	f := row([4]measure.CM{0, 12, 32, 40}, [4]measure.CM{8, 0.2, 0.2, 4})
	want := crossedBelt(40, 8, 4)
	for _, w := range f.Measure([]string{"A", "B", "C", "D"}) {
		if got := float64(w.Circuit); math.Abs(got-want) > 1e-9 {
			t.Errorf("circuit %v, crossed belt %v", got, want)
		}
	}
}

// A belt round equal pulleys in a regular polygon is as long as the polygon and
// one circumference: every leg is a side, every wrap an equal part of a turn.
func TestMeasure_regularPolygons(t *testing.T) {
	for _, n := range []int{3, 6, 12} {
		const radius, d = 40.0, 3.0
		side := 2 * radius * math.Sin(math.Pi/float64(n))
		f := crossAtTop(15)
		pegs := []string{"A", "B", "C"}
		for i := range n {
			at := 2 * math.Pi * float64(i) / float64(n)
			id := fmt.Sprintf("P%d", i)
			f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: measure.CM(70 - radius*math.Cos(at)), Y: measure.CM(60 + radius*math.Sin(at)), Diameter: d})
			pegs = append(pegs, id)
		}
		turnAt(&f, "T", 70, 60) // the middle: the last corner turns as the others
		pegs = append(pegs, "T")
		ways := f.Measure(pegs)
		if len(ways) == 0 {
			t.Fatalf("%d pegs: no way", n)
		}
		first := slices.IndexFunc(ways[0].Legs, func(l frame.Leg) bool { return l.Peg == "P0" }) + 1
		for i := first; i < first+n-2; i++ { // legs that reach P1 to P(n-2), and their wraps
			l := ways[0].Legs[i]
			leg := math.Hypot(float64(l.X2-l.X1), float64(l.Y2-l.Y1))
			if math.Abs(leg-side) > 1e-9 || math.Abs(math.Abs(l.Sweep)-2*math.Pi/float64(n)) > 1e-9 {
				t.Errorf("%d pegs, to %s: leg %v, want %v; wrap %v, want %v", n, l.Peg, leg, side, l.Sweep, 2*math.Pi/float64(n))
			}
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
	xy := [][2]measure.CM{{0, 0}, {10, 0}, {20, 0}, {50, 40}, {20, 80}}
	for i, id := range []string{"A", "B", "C", "D", "E"} {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: xy[i][0], Y: xy[i][1], Diameter: 0.2})
	}
	for _, w := range f.Measure([]string{"A", "B", "C", "D", "E"}) {
		if got := float64(w.Length); got < 118.28 || got > 118.28+5*0.63/2 {
			t.Errorf("end length %v, polygon 118.28", got)
		}
		long, short := max(w.Outward, w.Homeward), min(w.Outward, w.Homeward)
		if d := float64(long - short); math.Abs(d-(120-116.57)) > 5*0.63 {
			t.Errorf("out and back differ by %v, polygon 3.43", d)
		}
	}
}

// Y runs down. From C down to D and up again to E, thread lies under D, which so
// is on the left of it; the cross pegs lie on different sides.
func TestPath_hands(t *testing.T) {
	f := crossAtTop(10)
	f.Pegs = append(f.Pegs, frame.Peg{ID: "D", X: 50, Y: 20, Diameter: 2})
	turnAt(&f, "E", 90, 0)
	for _, w := range f.Measure([]string{"A", "B", "C", "D", "E"}) {
		if !w.LeftHand[3] {
			t.Errorf("D on the right: %v", w.LeftHand)
		}
		if w.LeftHand[1] == w.LeftHand[2] {
			t.Errorf("both cross pegs on one side: %v", w.LeftHand)
		}
	}
}

func TestMeasure_scalesWithTheFrame(t *testing.T) {
	f := board(4, 15, 80)
	g := f
	g.Pegs = slices.Clone(f.Pegs)
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

func TestMeasure_refusesWhatIsNoWay(t *testing.T) {
	f := board(4, 15, 80)
	for name, pegs := range map[string][]string{
		"nothing": nil, "too few": {"A", "B", "C"}, "unknown": {"A", "B", "C", "R0", "Z"},
		"twice": {"A", "B", "C", "R0", "L1", "R0", "L3"}, "no start": {"L0", "B", "C", "R0", "L3"},
		"straight on": {"A", "B", "C", "R0", "L0", "L1", "L2"}, "through L1": {"A", "B", "C", "L0", "L2"},
	} {
		if ways := f.Measure(pegs); len(ways) != 0 {
			t.Errorf("%s: %d ways", name, len(ways))
		}
	}
}
