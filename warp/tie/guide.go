package tie

import (
	"urdir/check"
	"urdir/measure"
)

// Limits of a guide.
const (
	MaxMarks = 2000
	MaxTies  = 10000 // on one laying

	maxBundle            = 200
	maxShift  measure.CM = 10
)

// Figures used where a weaver has none of her own.
const (
	DefaultBefore measure.Ratio = 0.2 // from memory: 5 of 25 cm; the rest is lost at the heddles
	DefaultShift  measure.CM    = 0.3 // from memory
	DefaultBundle               = 12  // from memory
)

// Band is a stretch along the tied panel.
type Band struct {
	Finished measure.CM // opened out, finished
	Thread   Position   // length of an end in it, on the warp
	Fringe   bool       // beyond the cloth
}

// Slot is a panel that is woven on the warp, so many times in a row.
type Slot struct {
	Bands []Band
	Count int
	Tied  bool // the one the marks are of
}

// Warp is one laying of the warp that is tied.
type Warp struct {
	Ends     int
	Length   measure.CM // of an end, as laid
	Outward  measure.CM // of an odd pass on the frame; Length without a frame
	Homeward measure.CM // of an even pass; Length without a frame
	Waste    measure.CM // that cannot be woven
	Between  measure.CM // left between two panels
	Slots    []Slot     // in the order of weaving
}

// Guide is where to tie one laying of a warp; every laying is tied alike.
type Guide struct {
	Length   measure.CM `json:"end_length_cm"`
	Outward  measure.CM `json:"outward_cm"`  // of an odd pass; Length without a frame
	Homeward measure.CM `json:"homeward_cm"` // of an even pass; Length without a frame
	Before   measure.CM `json:"before_cm"`   // loom waste before the first panel
	Repeats  []Repeat   `json:"repeats"`     // of the panel on one laying
	Bundles  []Bundle   `json:"bundles"`     // from the left selvedge
	Ties     int        `json:"ties"`        // of all bundles, on one laying
}

// Repeat is where the panel lies on the warp, fringes included.
type Repeat struct {
	From Position `json:"from"`
	To   Position `json:"to"`
}

// Position is a length of thread from the end of the warp where weaving begins,
// for the middle, the low and the high end of the range of take-up.
type Position struct {
	Middle measure.CM `json:"middle_cm"`
	Low    measure.CM `json:"low_cm"`
	High   measure.CM `json:"high_cm"`
}

// Bundle is neighbouring ends tied as one.
type Bundle struct {
	First int   `json:"first_end"`
	Last  int   `json:"last_end"`
	Ends  int   `json:"ends"`
	Ties  []Tie `json:"ties"` // along the warp
}

// Tie is one binding of a bundle.
type Tie struct {
	Repeat int        `json:"repeat"` // of the panel, from 1
	From   Edge       `json:"from"`
	To     Edge       `json:"to"`
	Length measure.CM `json:"length_cm"` // of thread, at the middle
}

// Edge is where a tie begins or ends.
type Edge struct {
	Drawn measure.CM `json:"drawn_cm"` // along the finished panel
	At    Position   `json:"at"`
	// Where At.Middle lies on the frame, in the direction of laying.
	Outward  measure.CM `json:"outward_cm"`  // odd passes: from the middle of the start peg
	Homeward measure.CM `json:"homeward_cm"` // even passes: from the middle of the turning peg
	// Blur is the standard deviation of where the ends of a bundle show the
	// edge, in the finished cloth: the shift over the thread of a centimetre of
	// it. How far off At is moves the whole edge and does not blur it, since all
	// ends are taken up alike.
	Blur measure.CM `json:"blur_cm"`
}

// Make reckons the guide for the tied panel of a warp. Marks may overlap or
// touch: an end is tied once where they do. Bundles are as even as they can be.
//
// Problems have the paths "before", "shift", "bundle", "marks" and "marks[i]".
// The guide is only good when they have not Failed.
//
// Codes: those of Setup.Check, tie-marks-none, tie-marks-many, tie-ends,
// tie-length, tie-outside, tie-every, tie-too-many, and the caution tie-faint.
func Make(w Warp, marks []Mark, s Setup) (Guide, check.Problems) {
	ps := s.Check()
	a := w.tied()
	checkMarks(marks, w.Ends, a, &ps)
	if ps.Failed() {
		return Guide{}, ps
	}
	all := writeOut(marks, w.Ends, a.length, &ps)
	if ps.Failed() {
		return Guide{}, ps
	}
	g := Guide{Length: w.Length, Outward: w.Outward, Homeward: w.Homeward, Before: w.Waste * measure.CM(s.Before)}
	g.Repeats = w.repeats(g.Before)
	g.bind(all, w.Ends, a, s, &ps)
	if ps.Failed() {
		return Guide{}, ps
	}
	faint(all, a, s, &ps)
	return g, ps
}

// tied lays out the panel the marks are of.
func (w Warp) tied() along {
	for _, s := range w.Slots {
		if s.Tied {
			return lay(s.Bands)
		}
	}
	return along{}
}
