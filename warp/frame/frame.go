package frame

import (
	"fmt"
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// Peg is one peg of a frame. X runs across, Y down, from any corner.
type Peg struct {
	ID       string     `json:"peg"`
	X        measure.CM `json:"x_cm"`
	Y        measure.CM `json:"y_cm"`
	Diameter measure.CM `json:"diameter_cm"`
}

// Frame is a warping frame: its pegs, which two make the cross, and where a warp
// may start and turn.
type Frame struct {
	Pegs  []Peg     `json:"pegs"`
	Cross [2]string `json:"cross"`
	Start []string  `json:"start"`
	Turn  []string  `json:"turn"`
}

// Limits of a frame.
const (
	MaxPegs               = 64
	maxSize    measure.CM = 2000
	minPeg     measure.CM = 0.2
	maxPeg     measure.CM = 30
	resolution            = 0.1 // cm: excesses closer than this count as equal
)

// Validate finds everything that is wrong with a frame.
func (f Frame) Validate() check.Problems {
	var ps check.Problems
	if len(f.Pegs) > MaxPegs {
		ps.Wrong("pegs", "pegs-too-many", check.Args{"pegs": len(f.Pegs), "most": MaxPegs})
		return ps
	}
	if len(f.Pegs) < 4 {
		ps.Wrong("pegs", "pegs-too-few", check.Args{"pegs": len(f.Pegs)})
	}
	for i, p := range f.Pegs {
		at := "pegs." + p.ID
		if !(p.Diameter >= minPeg && p.Diameter <= maxPeg) {
			ps.Wrong(at, "peg-diameter", check.Args{"peg": p.ID, "diameter": p.Diameter, "low": minPeg, "high": maxPeg})
		}
		if !(math.Abs(float64(p.X)) <= float64(maxSize) && math.Abs(float64(p.Y)) <= float64(maxSize)) {
			ps.Wrong(at, "peg-far", check.Args{"peg": p.ID, "most": maxSize})
		}
		for _, q := range f.Pegs[:i] {
			if q.ID == p.ID {
				ps.Wrong(at, "peg-twice", check.Args{"peg": p.ID})
			} else if gap := math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)); gap <= float64(p.Diameter+q.Diameter)/2 {
				ps.Wrong(at, "pegs-overlap", check.Args{"peg": p.ID, "other": q.ID})
			}
		}
	}
	f.named("cross", f.Cross[:], &ps)
	f.named("start", f.Start, &ps)
	f.named("turn", f.Turn, &ps)
	if f.Cross[0] == f.Cross[1] {
		ps.Wrong("cross", "cross-one-peg", check.Args{"peg": f.Cross[0]})
	}
	if !ps.Failed() && !f.possible() {
		ps.Wrong("turn", "frame-no-way", nil)
	}
	return ps
}

// named checks that a role names pegs of the frame.
func (f Frame) named(role string, ids []string, ps *check.Problems) {
	if len(ids) == 0 {
		ps.Wrong(role, "frame-role-empty", check.Args{"role": role})
	}
	for i, id := range ids {
		if f.index(id) < 0 {
			ps.Wrong(fmt.Sprintf("%s[%d]", role, i), "peg-unknown", check.Args{"peg": id})
		}
	}
}

// possible says whether some start and some turn differ from the cross and from
// each other.
func (f Frame) possible() bool {
	for _, s := range f.Start {
		for _, t := range f.Turn {
			if s != t && !slices.Contains(f.Cross[:], s) && !slices.Contains(f.Cross[:], t) {
				return true
			}
		}
	}
	return false
}

func (f Frame) index(id string) int {
	return slices.IndexFunc(f.Pegs, func(p Peg) bool { return p.ID == id })
}

// Path is a way round the frame. Length is half the circuit: the ends laid
// outward and homeward differ a little, since the thread lies on the cross pegs
// by different sides.
type Path struct {
	Pegs      []string   `json:"pegs"`      // outward, from the start peg to the turning peg
	LeftHand  []bool     `json:"left_hand"` // whether each lies on the left of the thread, outward
	Length    measure.CM `json:"end_length_cm"`
	Circuit   measure.CM `json:"circuit_cm"`
	Outward   measure.CM `json:"outward_cm"` // from the middle of the wrap on the start peg to that on the turning peg
	Homeward  measure.CM `json:"homeward_cm"`
	Excess    measure.CM `json:"excess_cm"` // of Length over the length needed
	Crossings int        `json:"crossings"` // of the lines from peg to peg, outward
	Legs      []Leg      `json:"-"`         // of a whole circuit, in order of travel
	Out       int        `json:"-"`         // how many of the legs lead out to the turning peg
	// Proven says what is proven of a path that Find gives: that no path has a
	// smaller excess (in whole millimetres), that none as good has fewer pegs,
	// that none as good with as few pegs crosses itself less often.
	Proven Proven `json:"proven"`
}

// Proven is described with Path.
type Proven struct {
	Excess    bool `json:"least_excess"`
	Pegs      bool `json:"fewest_pegs"`
	Crossings bool `json:"fewest_crossings"`
}

// Leg is a straight stretch of thread and the arc that follows it on the peg it
// reaches.
type Leg struct {
	X1, Y1, X2, Y2 measure.CM
	Peg            string     // the peg it reaches; a cross peg it passes without touching is left out
	CX, CY, R      measure.CM // the peg
	From, Sweep    float64    // of the arc, in radians, Y down; Sweep 0: none
}

// Length is that of the leg and its arc.
func (l Leg) Length() measure.CM {
	return measure.CM(math.Hypot(float64(l.X2-l.X1), float64(l.Y2-l.Y1))) + l.arc()
}

func (l Leg) arc() measure.CM { return l.R * measure.CM(math.Abs(l.Sweep)) }
