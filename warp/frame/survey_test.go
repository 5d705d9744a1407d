package frame_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"urdir/measure"
	"urdir/warp/frame"
)

func TestSurvey(t *testing.T) {
	fs := kinds()
	for _, name := range kindNames {
		f := fs[name]
		t0 := time.Now()
		l := f.Longest()
		tl := time.Since(t0)
		short, _ := f.Find(1)
		var mx time.Duration
		var sum time.Duration
		var e, p, c, n int
		for i := 0; i <= 40; i++ {
			need := short.Length + (l.Path.Length-short.Length)*measure.CM(i)/40
			t0 := time.Now()
			path, ps := f.Find(need)
			d := time.Since(t0)
			if ps.Failed() {
				t.Errorf("%s %d %v", name, i, ps)
			}
			n++
			sum += d
			mx = max(mx, d)
			if path.Proven.Excess {
				e++
			}
			if path.Proven.Pegs {
				p++
			}
			if path.Proven.Crossings {
				c++
			}
			if testing.Verbose() && (!path.Proven.Pegs || d > 30*time.Millisecond) {
				t.Logf("   %d need %.1f excess %.3f pegs %d cross %d %+v %v", i, float64(need), float64(path.Excess), len(path.Pegs), path.Crossings, path.Proven, d)
			}
		}
		t.Logf("%-10s pegs %d longest %.1f bound %.1f in %v; max %v mean %v; of %d proven %d %d %d", name, len(f.Pegs), float64(l.Path.Length), float64(l.Bound), tl, mx, sum/time.Duration(n), n, e, p, c)
	}
}

var kindNames = []string{"two", "three", "staggered", "rim", "random", "random2", "small"}

func kinds() map[string]frame.Frame {
	return map[string]frame.Frame{
		"two":       board(10, 12, 100),
		"three":     grid(7, 3, 0),
		"staggered": grid(7, 3, 6),
		"rim":       rim(),
		"random":    random(rand.New(rand.NewPCG(1, 2)), 24),
		"random2":   random(rand.New(rand.NewPCG(3, 4)), 24),
		"small":     random(rand.New(rand.NewPCG(3, 4)), 14),
	}
}

func cross() frame.Frame {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}}
	add(&f, "A", 0, 0)
	add(&f, "B", 30, 0)
	add(&f, "C", 60, 0)
	f.Turn = nil
	return f
}

func add(f *frame.Frame, id string, x, y measure.CM) {
	f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: x, Y: y, Diameter: 2})
	if len(f.Pegs) > 3 {
		f.Turn = append(f.Turn, id)
	}
}

func grid(rows, cols int, shift measure.CM) frame.Frame {
	f := cross()
	for i := range rows {
		for j := range cols {
			add(&f, string(rune('a'+i))+string(rune('0'+j)), 50*measure.CM(j), 15*measure.CM(i+1)+shift*measure.CM(j%2))
		}
	}
	return f
}

func rim() frame.Frame {
	f := cross()
	for i := range 6 {
		add(&f, "l"+string(rune('0'+i)), 0, 15*measure.CM(i+1))
		add(&f, "r"+string(rune('0'+i)), 120, 15*measure.CM(i+1))
	}
	for i := range 9 {
		add(&f, "b"+string(rune('0'+i)), 12*measure.CM(i+1), 100)
	}
	return f
}
