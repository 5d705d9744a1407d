package workshop

import (
	"slices"
	"strings"

	"urdir/measure"
)

// JobState is how far a warp is. It follows from its facts.
type JobState string

const (
	Waiting JobState = "waiting" // nobody has it
	Given   JobState = "given"   // a member has its yarn
	OnFrame JobState = "laid"
	OnLoom  JobState = "weaving"
	Off     JobState = "back"
)

// State is how far the warp is.
func (j Job) State() JobState {
	s := Waiting
	for _, f := range j.Facts {
		switch f.Kind {
		case GivenFact:
			s = Given
		case LaidFact:
			s = OnFrame
		case ToldFact:
			s = OnLoom
		case BackFact:
			s = Off
		}
	}
	return s
}

// Woven is how much has been told to be woven.
func (j Job) Woven() measure.CM {
	if j.State() == Off {
		return j.Length
	}
	for _, f := range slices.Backward(j.Facts) {
		if f.Kind == ToldFact {
			return min(f.CM, j.Length)
		}
	}
	return 0
}

// Share is how much of the warp is woven, 0 to 1.
func (j Job) Share() float64 {
	if j.Length <= 0 {
		return 0
	}
	return float64(j.Woven() / j.Length)
}

// Paid is what was paid for the warp.
func (j Job) Paid() bool {
	return slices.ContainsFunc(j.Facts, func(f Fact) bool { return f.Kind == PaidFact })
}

// Pay is what was agreed for the warp.
func (j Job) Pay() Money {
	for _, f := range slices.Backward(j.Facts) {
		if f.Kind == GivenFact {
			return f.Pay
		}
	}
	return Money{}
}

// heldStates is the states in which a member has a warp in her hands, as a list
// filters them.
func heldStates(member string) string {
	var out []string
	for _, s := range []JobState{Given, OnFrame, OnLoom} {
		out = append(out, string(s)+":"+member)
	}
	return strings.Join(out, ",")
}

// jobStates widens a state to that state with each member, as it is kept.
func jobStates(state string, ms []Kept[Member]) string {
	if state == "" || state == string(Waiting) || strings.Contains(state, ":") {
		return state
	}
	var out []string
	for s := range strings.SplitSeq(state, ",") {
		if s == string(Waiting) {
			out = append(out, s)
			continue
		}
		for _, m := range ms {
			out = append(out, s+":"+m.ID)
		}
	}
	if len(out) == 0 {
		return state // nobody has a warp: it is kept with no one
	}
	return strings.Join(out, ",")
}
