package tie

import (
	"math"
	"slices"
	"strings"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
)

// Limits of a guide.
const (
	MaxMarks = 2000
	MaxTies  = 50000 // on one laying

	maxBundle            = 200
	maxShift  measure.CM = 10
)

// Figures used where a weaver has none of her own.
const (
	DefaultBefore measure.Ratio = 0.2 // from memory: 5 of 25 cm; the rest is lost at the heddles
	DefaultShift  measure.CM    = 0.3 // from memory
	DefaultBundle               = 12  // from memory
)

// Mark is a part of the finished cloth that the dye must not reach: the ends
// First to Last, counted from 1 at the left selvedge, between two lengths along
// the panel (see the package comment).
type Mark struct {
	First int        `json:"first_end"`
	Last  int        `json:"last_end"`
	From  measure.CM `json:"from_cm"`
	To    measure.CM `json:"to_cm"`
}

// Setup is how the warp is stretched and tied. Start from NewSetup: here zero
// means zero.
type Setup struct {
	Before measure.Ratio `json:"waste_before_fraction"` // share of the loom waste that lies before the first panel
	Shift  measure.CM    `json:"shift_cm"`              // standard deviation of how far ends slide past each other
	Bundle int           `json:"bundle_ends"`           // the most ends tied as one
	AtTurn bool          `json:"begins_at_turning_peg"` // weaving begins at the end that lay on the turning peg
}

// NewSetup is a setup with its defaults.
func NewSetup() Setup {
	return Setup{Before: DefaultBefore, Shift: DefaultShift, Bundle: DefaultBundle}
}

// Guide is where to tie one laying of a warp; every laying is tied alike.
type Guide struct {
	Panel    string     `json:"panel"`
	Warp     string     `json:"warp"`
	Layings  int        `json:"layings"`
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
	// edge, as thread and as it will look: sqrt(shift^2 + spread^2). The spread
	// is the range of take-up from the beginning of the panel, taken as a
	// rectangular distribution: range / sqrt(12) (JCGM 100:2008, 4.3.7).
	Blur  measure.CM `json:"blur_cm"`
	Cloth measure.CM `json:"blur_in_cloth_cm"`
}

// Make reckons the guide for a panel of a plan. Marks may overlap or touch: an
// end is tied once where they do. Bundles are as even as they can be.
//
// Problems have the paths "panel", "setup" and "marks[i]". The guide is only
// good when they have not Failed.
//
// Codes: tie-panel-unknown, tie-marks-none, tie-marks-many, tie-ends,
// tie-length, tie-outside, tie-before, tie-shift, tie-bundle, tie-too-many, and
// the caution tie-faint.
func Make(p plan.Plan, panel string, marks []Mark, s Setup) (Guide, check.Problems) {
	var ps check.Problems
	i := slices.IndexFunc(p.Panels, func(q plan.PanelPlan) bool { return q.Key == panel })
	if i < 0 {
		ps.Wrong("panel", "tie-panel-unknown", check.Args{"panel": panel, "known": panelKeys(p)})
		return Guide{}, ps
	}
	w := p.Warp(p.Panels[i].Warp)
	if w == nil {
		ps.Wrong("panel", "tie-panel-unknown", check.Args{"panel": panel, "known": panelKeys(p)})
		return Guide{}, ps
	}
	along := stretches(p.Panels[i])
	s.check(&ps)
	checkMarks(marks, w.Ends, along, &ps)
	if ps.Failed() {
		return Guide{}, ps
	}
	g := Guide{
		Panel: panel, Warp: w.Key, Layings: w.Layings, Length: w.LayLength(),
		Before: w.Length.Waste * measure.CM(s.Before),
	}
	g.Outward, g.Homeward = g.Length, g.Length
	if w.Path != nil {
		g.Outward, g.Homeward = w.Path.Outward, w.Path.Homeward
	}
	g.Repeats = repeats(p, w, panel, g.Before)
	g.bind(marks, w.Ends, along, s, &ps)
	if ps.Failed() {
		return Guide{}, ps
	}
	faint(marks, along, s, &ps)
	return g, ps
}

func panelKeys(p plan.Plan) string {
	keys := make([]string, len(p.Panels))
	for i := range p.Panels {
		keys[i] = p.Panels[i].Key
	}
	return strings.Join(keys, ", ")
}

// check bounds the setup; a NaN is out of every bound.
func (s Setup) check(ps *check.Problems) {
	if !(s.Before >= 0 && s.Before <= 1) {
		ps.Wrong("setup", "tie-before", check.Args{"share": s.Before})
	}
	if !(s.Shift >= 0 && s.Shift <= maxShift) {
		ps.Wrong("setup", "tie-shift", check.Args{"shift": s.Shift, "most": maxShift})
	}
	if s.Bundle < 1 || s.Bundle > maxBundle {
		ps.Wrong("setup", "tie-bundle", check.Args{"ends": s.Bundle, "most": maxBundle})
	}
}

// hair lets a mark reach the end of a cloth whose length is a sum of bands.
const hair measure.CM = 1e-6

func checkMarks(marks []Mark, ends int, along []stretch, ps *check.Problems) {
	switch {
	case len(marks) == 0:
		ps.Wrong("marks", "tie-marks-none", nil)
		return
	case len(marks) > MaxMarks:
		ps.Wrong("marks", "tie-marks-many", check.Args{"marks": len(marks), "most": MaxMarks})
		return
	}
	var start, end measure.CM
	if len(along) > 0 {
		start, end = along[0].from, along[len(along)-1].to
	}
	for i, m := range marks {
		if m.First < 1 || m.First > m.Last || m.Last > ends {
			ps.Wrong(at(i), "tie-ends", check.Args{"first": m.First, "last": m.Last, "ends": ends})
		}
		switch {
		case !(m.From < m.To):
			ps.Wrong(at(i), "tie-length", check.Args{"from": m.From, "to": m.To})
		case m.From < start-hair || m.To > end+hair:
			ps.Wrong(at(i), "tie-outside", check.Args{"from": m.From, "to": m.To, "start": start, "end": end})
		}
	}
}

// faint warns of marks that their own blur would wash out: shorter than the
// standard deviations of both edges together.
func faint(marks []Mark, along []stretch, s Setup, ps *check.Problems) {
	for i, m := range marks {
		_, from := blur(along, m.From, s.Shift)
		_, to := blur(along, m.To, s.Shift)
		if m.To-m.From < from+to {
			ps.Look(at(i), "tie-faint", check.Args{"length": m.To - m.From, "blur": from + to})
		}
	}
}

// blur is the standard deviation at a length along the panel, as thread and in
// the cloth.
func blur(along []stretch, x, shift measure.CM) (thread, cloth measure.CM) {
	p, slope := position(along, x)
	spread := float64(p.High-p.Low) / math.Sqrt(12)
	thread = measure.CM(math.Hypot(float64(shift), spread))
	return thread, thread / measure.CM(slope)
}
