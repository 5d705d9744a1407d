package frame_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"urdir/measure"
	"urdir/warp/frame"
)

// kind is an invented frame of about two dozen pegs.
type kind struct {
	name  string
	frame frame.Frame
}

func kinds() []kind {
	return []kind{
		{"two columns", board(10, 12, 100)},
		{"three columns", columns(0)},
		{"staggered", columns(6)},
		{"rim", rim()},
		{"random", random(rand.New(rand.NewPCG(1, 2)), 24)},
		{"random again", random(rand.New(rand.NewPCG(3, 4)), 24)},
	}
}

// crossAtTop begins a frame with the start and the cross in a row.
func crossAtTop(gap measure.CM) frame.Frame {
	f := frame.Frame{Cross: [2]string{"B", "C"}, Start: []string{"A"}}
	for i, id := range []string{"A", "B", "C"} {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: gap * measure.CM(i), Diameter: 2})
	}
	return f
}

// turnAt adds a peg at which a warp may also turn.
func turnAt(f *frame.Frame, id string, x, y measure.CM) {
	f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: x, Y: y, Diameter: 2})
	f.Turn = append(f.Turn, id)
}

func board(rows int, gap, width measure.CM) frame.Frame {
	f := crossAtTop(width / 3)
	for i := range rows {
		turnAt(&f, fmt.Sprintf("L%d", i), 0, gap*measure.CM(i+1))
		turnAt(&f, fmt.Sprintf("R%d", i), width, gap*measure.CM(i+1))
	}
	return f
}

func columns(shift measure.CM) frame.Frame {
	f := crossAtTop(30)
	for i := range 7 {
		for j := range 3 {
			turnAt(&f, fmt.Sprintf("P%d%d", i, j), 50*measure.CM(j), 15*measure.CM(i+1)+shift*measure.CM(j%2))
		}
	}
	return f
}

func rim() frame.Frame {
	f := crossAtTop(30)
	for i := range 6 {
		turnAt(&f, fmt.Sprintf("L%d", i), 0, 15*measure.CM(i+1))
		turnAt(&f, fmt.Sprintf("R%d", i), 120, 15*measure.CM(i+1))
	}
	for i := range 9 {
		turnAt(&f, fmt.Sprintf("B%d", i), 12*measure.CM(i+1), 100)
	}
	return f
}

// random has pegs at least 6 cm apart below the cross.
func random(r *rand.Rand, pegs int) frame.Frame {
	f := crossAtTop(15)
	f.Pegs[1].Y, f.Pegs[2].Y = 1, -1
	for len(f.Pegs) < pegs {
		scatter(r, &f)
	}
	return f
}

func scatter(r *rand.Rand, f *frame.Frame) {
	x, y := measure.CM(10+r.Float64()*110), measure.CM(10+r.Float64()*80)
	for _, p := range f.Pegs {
		if math.Hypot(float64(p.X-x), float64(p.Y-y)) < 6 {
			return
		}
	}
	turnAt(f, fmt.Sprintf("P%d", len(f.Pegs)), x, y)
}

// uneven is a small random frame with pegs of many sizes, at most 9 pegs, of
// which some may start and some may not turn.
func uneven(r *rand.Rand, pegs int) frame.Frame {
	f := random(r, pegs)
	for i := range f.Pegs {
		f.Pegs[i].Diameter = measure.CM(0.6 + 2.4*r.Float64())
	}
	if len(f.Turn) > 3 {
		f.Start = append(f.Start, f.Turn[0])
		f.Turn = f.Turn[2:]
	}
	return f
}
