package tie

import (
	"fmt"

	"urdir/measure"
	"urdir/plan"
)

func at(mark int) string { return fmt.Sprintf("marks[%d]", mark) }

// stretch is a band: from and to along the finished panel, and the thread in it.
type stretch struct {
	from, to measure.CM
	start    Position // where its thread begins, from the beginning of the panel
	thread   Position // how long it is
}

// stretches goes along a panel. The first band that is no fringe begins at 0.
func stretches(p plan.PanelPlan) []stretch {
	var out []stretch
	x, origin, cloth := measure.CM(0), measure.CM(0), false
	var start Position
	for _, b := range p.Bands {
		if b.Kind != plan.Fringe && !cloth {
			origin, cloth = x, true
		}
		if b.Made <= 0 {
			continue
		}
		s := stretch{from: x, to: x + b.Made, start: start, thread: threadOf(b)}
		out = append(out, s)
		x, start = s.to, start.plus(s.thread)
	}
	for i := range out {
		out[i].from -= origin
		out[i].to -= origin
	}
	return out
}

// threadOf is the thread of an end in a band: loom length x (1 + take-up). What
// the plan holds as the loom length of a fringe has its twist in it.
func threadOf(b plan.BandPlan) Position {
	if b.Kind == plan.Fringe || b.Kind == plan.Open {
		return Position{b.Loom, b.Loom, b.Loom}
	}
	of := func(takeUp measure.Ratio) measure.CM { return b.Loom * measure.CM(1+takeUp) }
	return Position{of(b.TakeUp.Middle), of(b.TakeUp.Low), of(b.TakeUp.High)}
}

// position is where a length along the finished panel lies on the thread, from
// the beginning of the panel, and how much thread there is to one of cloth.
func position(along []stretch, x measure.CM) (p Position, slope float64) {
	i := 0
	for i < len(along)-1 && x > along[i].to {
		i++
	}
	s := along[i]
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
func repeats(p plan.Plan, w *plan.WarpPlan, panel string, before measure.CM) []Repeat {
	panels := 0
	for _, s := range w.Slots {
		panels += s.Count
	}
	gap := measure.CM(0)
	if panels > 1 {
		gap = w.Length.Between / measure.CM(panels-1)
	}
	here := Position{before, before, before}
	var out []Repeat
	for _, s := range w.Slots {
		whole := wholeOf(p, s.Panel)
		for range s.Count {
			end := here.plus(whole)
			if s.Panel == panel {
				out = append(out, Repeat{here, end})
			}
			here = end.plus(Position{gap, gap, gap})
		}
	}
	return out
}

// wholeOf is the thread of an end in a whole panel.
func wholeOf(p plan.Plan, panel string) (sum Position) {
	for i := range p.Panels {
		if p.Panels[i].Key != panel {
			continue
		}
		for _, s := range stretches(p.Panels[i]) {
			sum = sum.plus(s.thread)
		}
	}
	return sum
}
