package plan

import (
	"fmt"

	"urdir/check"
	"urdir/measure"
	"urdir/warp/tie"
)

// DefaultUndyed is the colour of yarn that no dye has reached: natural cotton,
// no source.
const DefaultUndyed = "#efe6d2"

// Tied says which parts of a panel are tied before its warp is dyed, so that
// they keep the colour the yarn had. Start from NewTied.
type Tied struct {
	Undyed string // "#rrggbb"
	Setup  tie.Setup
	Marks  []tie.Mark
}

// NewTied is tying with its defaults, and nothing tied yet.
func NewTied() Tied { return Tied{Undyed: DefaultUndyed, Setup: tie.NewSetup()} }

// TiedPlan is what is tied of a panel, and where on the stretched warp.
type TiedPlan struct {
	Undyed string     `json:"undyed"`
	Setup  tie.Setup  `json:"setup"`
	Marks  []tie.Mark `json:"marks"` // as written
	Ties   int        `json:"ties"`  // on one laying
	Guide  tie.Guide  `json:"-"`
}

// validateTied finds what is out of bounds in a panel's ties as written.
func (m *maker) validateTied(t *Tied, at string) {
	if t == nil {
		return
	}
	if !isColour(t.Undyed) {
		m.ps.Wrong(at+".undyed", "colour-unread", check.Args{"text": t.Undyed})
	}
	m.ps.Under(at, t.Setup.Check())
	if len(t.Marks) == 0 {
		m.ps.Wrong(at+".marks", "tie-marks-none", nil)
	}
	for i, k := range t.Marks[:min(len(t.Marks), tie.MaxMarks)] {
		if !(k.From < k.To) {
			m.ps.Wrong(fmt.Sprintf("%s.marks[%d]", at, i), "tie-length", check.Args{"from": k.From, "to": k.To})
		}
	}
}

// tieWarps reckons where each tied panel's warp is tied, now that the warps are
// laid.
func (m *maker) tieWarps() {
	for i := range m.in.Panels {
		t, pan := m.in.Panels[i].Tied, &m.out.Panels[i]
		if t == nil {
			continue
		}
		g, ps := tie.Make(m.tieWarp(pan), t.Marks, t.Setup)
		m.ps.Under("panels."+pan.Key+".tied", ps)
		pan.Tied = &TiedPlan{Undyed: t.Undyed, Setup: t.Setup, Marks: t.Marks, Ties: g.Ties, Guide: g}
	}
}

// tieWarp is one laying of a panel's warp, as package tie looks at it.
func (m *maker) tieWarp(tied *PanelPlan) tie.Warp {
	w := m.out.Warp(tied.Warp)
	out := tie.Warp{Ends: w.Ends, Length: w.LayLength(), Waste: w.Length.Waste}
	out.Outward, out.Homeward = out.Length, out.Length
	if w.Path != nil {
		out.Outward, out.Homeward = w.Path.Outward, w.Path.Homeward
	}
	panels := 0
	for _, s := range w.Slots {
		panels += s.Count
		for i := range m.out.Panels {
			if p := &m.out.Panels[i]; p.Key == s.Panel {
				out.Slots = append(out.Slots, tie.Slot{Bands: tieBands(p), Count: s.Count, Tied: p == tied})
			}
		}
	}
	if panels > 1 {
		out.Between = w.Length.Between / measure.CM(panels-1)
	}
	return out
}

// tieBands is the thread of an end in each band: loom length x (1 + take-up).
// What the plan holds as the loom length of a fringe has its twist in it.
func tieBands(p *PanelPlan) []tie.Band {
	out := make([]tie.Band, len(p.Bands))
	for i, b := range p.Bands {
		thread := tie.Position{Middle: b.Loom, Low: b.Loom, High: b.Loom}
		if b.Kind != Fringe && b.Kind != Open {
			of := func(takeUp measure.Ratio) measure.CM { return b.Loom * measure.CM(1+takeUp) }
			thread = tie.Position{Middle: of(b.TakeUp.Middle), Low: of(b.TakeUp.Low), High: of(b.TakeUp.High)}
		}
		out[i] = tie.Band{Finished: b.Made, Thread: thread, Fringe: b.Kind == Fringe}
	}
	return out
}

// Shown is the stretch of the opened-out panel that is seen of a band, from the
// beginning of the cloth, which is 0. A hem shows the half next to the cloth.
func (p *PanelPlan) Shown(b *BandPlan) (from, to measure.CM) {
	from, to = b.Begin, b.Begin+b.Made
	switch {
	case b.Seen >= b.Made:
	case from < p.CutLength/2:
		from = to - b.Seen
	default:
		to = from + b.Seen
	}
	return from, to
}

// Opened is where on the opened-out panel a place lies that is seen so far from
// the panel's lower edge, fringe included.
func (p *PanelPlan) Opened(seen measure.CM) measure.CM {
	at := measure.CM(0)
	for i := range p.Bands {
		b := &p.Bands[i]
		if seen <= at+b.Seen || i == len(p.Bands)-1 {
			from, to := p.Shown(b)
			return min(from+seen-at, to)
		}
		at += b.Seen
	}
	return seen
}

// SeenAt is how far from the panel's lower edge, fringe included, a place of the
// opened-out panel is seen; one that a hem hides is where the hem turns.
func (p *PanelPlan) SeenAt(opened measure.CM) measure.CM {
	at := measure.CM(0)
	for i := range p.Bands {
		b := &p.Bands[i]
		from, to := p.Shown(b)
		if opened <= to || i == len(p.Bands)-1 {
			return at + max(0, min(opened, to)-from)
		}
		at += b.Seen
	}
	return at
}
