package frame_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"urdir/measure"
	"urdir/warp/frame"
)

// On large frames not all can be proven, but a way is never short, its legs add
// up to the circuit, and the least excess is proven nearly always.
func TestFind_everyNeedOnLargeFrames(t *testing.T) {
	needs, proven := 0, 0
	for _, k := range kinds() {
		longest := k.frame.Longest()
		if longest.Bound < longest.Path.Length || longest.Bound > longest.Path.Length*1.15 {
			t.Errorf("%s: longest %v, bound %v", k.name, longest.Path.Length, longest.Bound)
		}
		for i := range 11 {
			need := 80 + (longest.Path.Length-80)*measure.CM(i)/10
			p, ps := k.frame.Find(need)
			if ps.Failed() || p.Length < need-1e-8 {
				t.Fatalf("%s need %v: %v %v", k.name, need, p.Length, ps)
			}
			sum := measure.CM(0)
			for _, l := range p.Legs {
				sum += l.Length()
			}
			if math.Abs(float64(sum-p.Circuit)) > 1e-6 {
				t.Errorf("%s need %v: legs add up to %v, circuit %v", k.name, need, sum, p.Circuit)
			}
			if need > 250 && p.Excess > 1 { // shorter ways are too few to come near every need
				t.Errorf("%s need %v: excess %v", k.name, need, p.Excess)
			}
			needs++
			if p.Proven.Excess {
				proven++
			}
		}
	}
	t.Logf("least excess proven for %d of %d", proven, needs)
	if proven*20 < needs*19 {
		t.Errorf("least excess proven for %d of %d only", proven, needs)
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

// The drawing goes on where it was: a leg begins where the arc before it ends.
func TestPath_legsJoin(t *testing.T) {
	for _, k := range kinds() {
		p, ps := k.frame.Find(400)
		if ps.Failed() {
			t.Fatal(ps)
		}
		for i, l := range p.Legs {
			next := p.Legs[(i+1)%len(p.Legs)]
			x := float64(l.CX) + float64(l.R)*math.Cos(l.From+l.Sweep)
			y := float64(l.CY) + float64(l.R)*math.Sin(l.From+l.Sweep)
			if d := math.Hypot(x-float64(next.X1), y-float64(next.Y1)); d > 1e-6 {
				t.Errorf("%s: leg %d ends %v cm from where the next begins", k.name, i, d)
			}
		}
		if d := math.Abs(float64(p.Outward + p.Homeward - p.Circuit)); d > 1e-9 || math.Abs(float64(p.Outward-p.Homeward)) > 60 {
			t.Errorf("%s: out %v, back %v, circuit %v", k.name, p.Outward, p.Homeward, p.Circuit)
		}
	}
}

func TestFind_shortAndLong(t *testing.T) {
	f := board(3, 20, 90)
	p, ps := f.Find(1)
	shortest := math.Inf(1)
	for _, w := range everyWay(f) {
		shortest = math.Min(shortest, w.length)
	}
	if ps.Failed() || math.Abs(float64(p.Length)-shortest) > 0.1 || !p.Proven.Excess {
		t.Errorf("a tiny need: %v %v, shortest %v", p.Length, ps, shortest)
	}
	_, ps = f.Find(5000)
	if !ps.Failed() || ps[0].Code != "frame-too-short" || ps[0].Args["longest"] != f.Longest().Path.Length {
		t.Errorf("a huge need: %v", ps)
	}
}

// What Longest gives, Find must find.
func TestFind_theLongest(t *testing.T) {
	frames := kinds()
	r := rand.New(rand.NewPCG(8, 1))
	for i := range 12 {
		frames = append(frames, kind{"random", random(r, 12+i/2)})
	}
	for i, k := range frames {
		longest := k.frame.Longest().Path.Length
		if p, ps := k.frame.Find(longest); ps.Failed() || p.Excess > 0.1 {
			t.Errorf("%d %s: %v %v", i, k.name, p.Excess, ps)
		}
	}
}

// The same pegs named in another order are searched in another order. What is
// proven of one way must hold against the other.
func TestFind_provenHoldsInAnyOrder(t *testing.T) {
	for _, k := range kinds() {
		other := k.frame
		other.Pegs, other.Turn = slices.Clone(k.frame.Pegs), slices.Clone(k.frame.Turn)
		slices.Reverse(other.Pegs)
		slices.Reverse(other.Turn)
		for need := measure.CM(700); need < 1900; need += 173 {
			a, pa := k.frame.Find(need)
			b, pb := other.Find(need)
			if pa.Failed() || pb.Failed() {
				continue
			}
			holds(t, k.name, need, a, b)
			holds(t, k.name, need, b, a)
		}
	}
}

// holds checks what is proven of path a against another way for the same need.
func holds(t *testing.T, name string, need measure.CM, a, b frame.Path) {
	t.Helper()
	ca, cb := int(a.Excess/0.1), int(b.Excess/0.1)
	switch {
	case a.Proven.Excess && cb < ca,
		a.Proven.Pegs && cb == ca && len(b.Pegs) < len(a.Pegs),
		a.Proven.Crossings && cb == ca && len(b.Pegs) == len(a.Pegs) && b.Crossings < a.Crossings:
		t.Errorf("%s need %v: proven %+v of excess %v, %d pegs, %d crossings; but %v, %d, %d is a way", name, need,
			a.Proven, a.Excess, len(a.Pegs), a.Crossings, b.Excess, len(b.Pegs), b.Crossings)
	}
}

// All pegs in a row, and a thick one before the only turning peg: the thread
// cannot go through it, and to go straight on is no turn.
func TestFind_blocked(t *testing.T) {
	f := crossAtTop(20)
	f.Pegs = append(f.Pegs, frame.Peg{ID: "W", X: 65, Diameter: 20})
	turnAt(&f, "D", 90, 0)
	if ps := f.Validate(); ps.Failed() {
		t.Fatal(ps)
	}
	_, ps := f.Find(100)
	if !ps.Failed() || ps[0].Code != "frame-blocked" {
		t.Errorf("problems %v", ps)
	}
	if l := f.Longest(); l.Path.Length != 0 || l.Bound != 0 {
		t.Errorf("longest %v, bound %v", l.Path.Length, l.Bound)
	}
}

// As many pegs as a frame can have, all of which may start and turn.
func TestFind_mostPegs(t *testing.T) {
	f := random(rand.New(rand.NewPCG(1, 2)), frame.MaxPegs)
	f.Start = append(f.Start, f.Turn...)
	if ps := f.Validate(); ps.Failed() {
		t.Fatal(ps)
	}
	for _, need := range []measure.CM{300, 900, 2000, 4000} {
		if p, ps := f.Find(need); ps.Failed() || p.Length < need-1e-8 || p.Excess > 1 {
			t.Errorf("need %v: %v %v", need, p.Excess, ps)
		}
	}
}

func TestFind_needsThatAreNone(t *testing.T) {
	for _, k := range kinds() {
		shortest, ps := k.frame.Find(0)
		if ps.Failed() || !shortest.Proven.Excess {
			t.Errorf("%s: shortest %+v %v", k.name, shortest.Proven, ps)
		}
		if p, ps := k.frame.Find(-5); ps.Failed() || p.Length != shortest.Length {
			t.Errorf("%s: need -5: %v %v", k.name, p.Length, ps)
		}
		for _, need := range []float64{math.NaN(), math.Inf(1)} {
			if _, ps := k.frame.Find(measure.CM(need)); !ps.Failed() {
				t.Errorf("%s: need %v has a way", k.name, need)
			}
		}
	}
}

func TestFind_sameTwice(t *testing.T) {
	for _, k := range kinds() {
		a, _ := k.frame.Find(777)
		b, _ := k.frame.Find(777)
		if a.Length != b.Length || a.Crossings != b.Crossings || len(a.Legs) != len(b.Legs) {
			t.Errorf("%s: %v then %v", k.name, a.Pegs, b.Pegs)
		}
	}
}

func TestValidate_findsEverything(t *testing.T) {
	f := frame.Frame{
		Pegs: []frame.Peg{{ID: "A", Diameter: 2}, {ID: "A", X: 50, Diameter: 2}, {ID: "B", X: 1, Diameter: 2},
			{ID: "C", X: 90, Diameter: measure.CM(math.NaN())}, {ID: "D", X: measure.CM(math.NaN()), Diameter: 2}},
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
}

func TestValidate_wholeFrame(t *testing.T) {
	f := crossAtTop(20)
	turnAt(&f, "D", 60, 0)
	if ps := f.Validate(); ps.Failed() {
		t.Errorf("four pegs in a row: %v", ps)
	}
	f.Turn = []string{"B"}
	if ps := f.Validate(); !ps.Failed() || ps[0].Code != "frame-no-way" {
		t.Errorf("turn on the cross: %v", ps)
	}
	f.Pegs = make([]frame.Peg, frame.MaxPegs+1)
	if ps := f.Validate(); len(ps) != 1 || ps[0].Code != "pegs-too-many" {
		t.Errorf("65 pegs: %v", ps)
	}
}
