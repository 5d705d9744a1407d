package frame_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"urdir/measure"
	"urdir/warp/frame"
)

// board is an invented frame: two columns of pegs, the cross at the top.
func board(rows int, gap, width measure.CM) frame.Frame {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}}
	add := func(id string, x, y measure.CM) {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: x, Y: y, Diameter: 2})
	}
	add("A", 0, 0)
	add("B", width/3, 0)
	add("C", width*2/3, 0)
	for i := range rows {
		add(fmt.Sprintf("L%d", i), 0, gap*measure.CM(i+1))
		add(fmt.Sprintf("R%d", i), width, gap*measure.CM(i+1))
		f.Turn = append(f.Turn, fmt.Sprintf("L%d", i), fmt.Sprintf("R%d", i))
	}
	return f
}

func random(r *rand.Rand, pegs int) frame.Frame {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}}
	place := func(id string, x, y float64) bool {
		for _, p := range f.Pegs {
			if math.Hypot(float64(p.X)-x, float64(p.Y)-y) < 6 {
				return false
			}
		}
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: measure.CM(x), Y: measure.CM(y), Diameter: 2})
		return true
	}
	place("A", 0, 0)
	place("B", 15, 1)
	place("C", 30, -1)
	for len(f.Pegs) < pegs {
		id := fmt.Sprintf("P%d", len(f.Pegs))
		if place(id, 10+r.Float64()*110, 10+r.Float64()*80) {
			f.Turn = append(f.Turn, id)
		}
	}
	return f
}

func TestFind_everyNeedOnALargeFrame(t *testing.T) {
	for name, f := range map[string]frame.Frame{"board": board(10, 12, 100), "random": random(rand.New(rand.NewPCG(1, 2)), 24)} {
		longest := f.Longest()
		t.Logf("%s longest %.1f bound %.1f pegs %d", name, float64(longest.Path.Length), float64(longest.Bound), len(longest.Path.Pegs))
		for need := measure.CM(60); need < longest.Path.Length; need += 83.7 {
			p, ps := f.Find(need)
			if ps.Failed() || p.Length < need-1e-9 {
				t.Fatalf("%s need %v: %v %v", name, need, p.Length, ps)
			}
			sum := measure.CM(0)
			for _, l := range p.Legs {
				sum += l.Length()
			}
			if math.Abs(float64(sum-p.Circuit)) > 1e-6 {
				t.Errorf("%s need %v: legs add up to %v, circuit %v", name, need, sum, p.Circuit)
			}
			t.Logf("%s need %.1f excess %.3f pegs %d cross %d %+v", name, float64(need), float64(p.Excess), len(p.Pegs), p.Crossings, p.Proven)
		}
	}
}

func BenchmarkFind24(b *testing.B) {
	for name, f := range map[string]frame.Frame{"board": board(10, 12, 100), "random": random(rand.New(rand.NewPCG(1, 2)), 24)} {
		for _, need := range []measure.CM{100, 250, 400, 800, 1500, 2000} {
			b.Run(fmt.Sprintf("%s/%v", name, need), func(b *testing.B) {
				for range b.N {
					f.Find(need)
				}
			})
		}
	}
}
