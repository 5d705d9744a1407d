package tie

import (
	"fmt"

	"urdir/measure"
)

func at(mark int) string { return fmt.Sprintf("marks[%d]", mark) }

// stretch is a band: from and to along the finished panel, and the thread in it.
type stretch struct {
	from, to measure.CM
	start    Position // where its thread begins, from the beginning of the panel
	thread   Position // how long it is
}

// along is a panel from its first band to its last; 0 is where its cloth begins,
// and length where that ends.
type along struct {
	bands  []stretch
	length measure.CM
}

// lay puts bands one after the other. The first band that is no fringe begins
// at 0.
func lay(bands []Band) along {
	var out along
	x, origin, cloth := measure.CM(0), measure.CM(0), false
	var start Position
	for _, b := range bands {
		if !b.Fringe && !cloth {
			origin, cloth = x, true
		}
		if b.Finished <= 0 {
			continue
		}
		s := stretch{from: x, to: x + b.Finished, start: start, thread: b.Thread}
		out.bands = append(out.bands, s)
		x, start = s.to, start.plus(s.thread)
		if !b.Fringe {
			out.length = x - origin
		}
	}
	for i := range out.bands {
		out.bands[i].from -= origin
		out.bands[i].to -= origin
	}
	return out
}

// ends is where the panel begins and ends, fringes included.
func (a along) ends() (start, end measure.CM) {
	if len(a.bands) == 0 {
		return 0, 0
	}
	return a.bands[0].from, a.bands[len(a.bands)-1].to
}

// position is where a length along the finished panel lies on the thread, from
// the beginning of the panel, and how much thread there is to one of cloth.
func (a along) position(x measure.CM) (p Position, slope float64) {
	i := 0
	for i < len(a.bands)-1 && x > a.bands[i].to {
		i++
	}
	s := a.bands[i]
	share := (x - s.from) / (s.to - s.from)
	p = s.start.plus(s.thread.times(share))
	return p, float64(s.thread.Middle / (s.to - s.from))
}

func (p Position) plus(q Position) Position {
	return Position{p.Middle + q.Middle, p.Low + q.Low, p.High + q.High}
}

func (p Position) times(n measure.CM) Position {
	return Position{p.Middle * n, p.Low * n, p.High * n}
}

// repeats finds the panel wherever it is woven on one laying.
func (w Warp) repeats(before measure.CM) []Repeat {
	gap := Position{w.Between, w.Between, w.Between}
	here := Position{before, before, before}
	var out []Repeat
	for _, s := range w.Slots {
		whole := wholeOf(s.Bands)
		for range s.Count {
			end := here.plus(whole)
			if s.Tied {
				out = append(out, Repeat{here, end})
			}
			here = end.plus(gap)
		}
	}
	return out
}

// wholeOf is the thread of an end in a whole panel.
func wholeOf(bands []Band) (sum Position) {
	for _, b := range bands {
		if b.Finished > 0 {
			sum = sum.plus(b.Thread)
		}
	}
	return sum
}
