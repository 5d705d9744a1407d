package tie

import (
	"math"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/measure"
)

// Mark is a part of the finished cloth that the dye must not reach: the ends
// First to Last, counted from 1 at the left selvedge, between two lengths along
// the panel (see the package comment).
type Mark struct {
	First  int        `json:"first_end"`
	Last   int        `json:"last_end"`
	From   measure.CM `json:"from_cm"`
	To     measure.CM `json:"to_cm"`
	Every  measure.CM `json:"every_cm,omitempty"` // comes again after so much, as long as it lies whole in the cloth; 0: it does not
	Mirror bool       `json:"mirror,omitempty"`   // the same once more, as seen from the right selvedge
}

// Ends is the ends of a mark as a weaver writes them: 10-40, or 10 alone.
func (m Mark) Ends() string {
	if m.Last == m.First {
		return strconv.Itoa(m.First)
	}
	return strconv.Itoa(m.First) + "-" + strconv.Itoa(m.Last)
}

// ParseEnds reads what Ends writes.
func ParseEnds(text string) (first, last int, ok bool) {
	a, b, two := strings.Cut(text, "-")
	first, err := strconv.Atoi(strings.TrimSpace(a))
	last = first
	if two && err == nil {
		last, err = strconv.Atoi(strings.TrimSpace(b))
	}
	return first, last, err == nil && 1 <= first && first <= last
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

// Check bounds the setup; a NaN is out of every bound.
//
// Codes: tie-before, tie-shift, tie-bundle, each with its path.
func (s Setup) Check() (ps check.Problems) {
	if !(s.Before >= 0 && s.Before <= 1) {
		ps.Wrong("before", "tie-before", check.Args{"share": s.Before})
	}
	if !(s.Shift >= 0 && s.Shift <= maxShift) {
		ps.Wrong("shift", "tie-shift", check.Args{"shift": s.Shift, "most": maxShift})
	}
	if s.Bundle < 1 || s.Bundle > maxBundle {
		ps.Wrong("bundle", "tie-bundle", check.Args{"ends": s.Bundle, "most": maxBundle})
	}
	return ps
}

// hair lets a mark reach the end of a cloth whose length is a sum of bands.
const hair measure.CM = 1e-6

func checkMarks(marks []Mark, ends int, a along, ps *check.Problems) {
	switch {
	case len(marks) == 0:
		ps.Wrong("marks", "tie-marks-none", nil)
		return
	case len(marks) > MaxMarks:
		ps.Wrong("marks", "tie-marks-many", check.Args{"marks": len(marks), "most": MaxMarks})
		return
	}
	start, end := a.ends()
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
		if !(m.Every >= 0) || m.Every > 0 && m.Every < m.To-m.From || math.IsInf(float64(m.Every), 1) {
			ps.Wrong(at(i), "tie-every", check.Args{"every": m.Every, "length": m.To - m.From})
		}
	}
}

// written is a mark written out: what repeats of it, and which mark it is from.
type written struct {
	Mark
	of int
}

// writeOut writes repeats and mirrored marks out. Repeats stay in the cloth,
// which is so long; nothing is gone wrong with the marks.
func writeOut(marks []Mark, ends int, length measure.CM, ps *check.Problems) (out []written) {
	for i, m := range marks {
		times := 1
		if m.Every > 0 {
			times = 1 + max(0, int(math.Floor(min(float64(MaxMarks), float64((length+hair-m.To)/m.Every)))))
		}
		for k := range times {
			one := Mark{First: m.First, Last: m.Last, From: m.From + m.Every*measure.CM(k), To: m.To + m.Every*measure.CM(k)}
			out = append(out, written{one, i})
			if m.Mirror {
				one.First, one.Last = ends+1-m.Last, ends+1-m.First
				out = append(out, written{one, i})
			}
		}
		if len(out) > MaxMarks {
			ps.Wrong("marks", "tie-marks-many", check.Args{"marks": len(out), "most": MaxMarks})
			return nil
		}
	}
	return out
}

// faint warns of marks that their own blur would wash out: shorter than the
// standard deviations of both edges together.
func faint(marks []written, a along, s Setup, ps *check.Problems) {
	said := map[int]bool{}
	for _, m := range marks {
		from, to := a.blur(m.From, s.Shift), a.blur(m.To, s.Shift)
		if m.To-m.From < from+to && !said[m.of] {
			said[m.of] = true
			ps.Look(at(m.of), "tie-faint", check.Args{"length": m.To - m.From, "blur": from + to})
		}
	}
}

// blur is the standard deviation of an edge in the cloth.
func (a along) blur(x, shift measure.CM) measure.CM {
	_, slope := a.position(x)
	return shift / measure.CM(slope)
}
