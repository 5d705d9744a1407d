package colour

import "urdir/check"

// DefaultLimit is the CIEDE2000 up to which a lot passes beside its standard:
// about twice what the eye sees side by side (from memory; agree your own).
const DefaultLimit DeltaE = 2

// closeShare of the limit is where a lot that passes is pointed out (our choice).
const closeShare = 0.75

// mostLimit is the largest limit that means anything: CIEDE2000 was fitted to small
// differences (our choice).
const mostLimit DeltaE = 20

// Verdict is how a lot stands to its standard.
type Verdict struct {
	Difference DeltaE // CIEDE2000
	Limit      DeltaE
	Parts      Parts
	Ways       []Way
	Accepted   bool // Difference is at most Limit
}

// Judged reports whether the limit meant anything.
func (v Verdict) Judged() bool { return v.Limit > 0 && v.Limit <= mostLimit }

// Judge compares a lot with its standard. Problems have no path:
//
//	lot-limit     the limit is not above 0 and at most 20
//	lot-rejected  the difference is above the limit
//	lot-close     caution: above three quarters of it
func Judge(lot, standard Lab, limit DeltaE) (Verdict, check.Problems) {
	var ps check.Problems
	v := Verdict{Difference(standard, lot), limit, PartsOf(standard, lot), WaysOf(standard, lot), false}
	v.Accepted = v.Judged() && v.Difference <= limit
	args := check.Args{"difference": float64(v.Difference), "limit": float64(limit)}
	switch {
	case !v.Judged():
		ps.Wrong("", "lot-limit", check.Args{"limit": float64(limit), "most": float64(mostLimit)})
	case !v.Accepted:
		ps.Wrong("", "lot-rejected", args)
	case v.Difference > closeShare*limit:
		ps.Look("", "lot-close", args)
	}
	return v, ps
}
