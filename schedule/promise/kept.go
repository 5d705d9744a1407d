package promise

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
	"urdir/schedule/rates"
)

// Past is a promise whose day is over. Leave out those whose day is still to
// come, kept or not: only early ones could be kept by now, and promises would look
// better than they are.
type Past struct {
	Probability measure.Ratio `json:"probability_fraction"` // with which the day was promised
	Late        int           `json:"late_days"`            // ready so many days after it; early is below zero; not ready yet: up to today
}

// How promises were kept.
const (
	TooFew   = "too-few"     // no more can be said
	Agrees   = "agrees"      // the probability promised is in the interval
	Bold     = "too-bold"    // fewer were kept than was promised: days were too early
	Cautious = "too-careful" // more were kept: days could be earlier
)

// wide is an interval that says nothing: at 80 % that of fewer than 25 promises.
// Our choice.
const wide = 0.3

// Record is how a number of promises were kept.
type Record struct {
	Promises int           `json:"promises"`
	Kept     int           `json:"kept"`
	Promised measure.Ratio `json:"promised_fraction"` // probability, on average
	Share    measure.Ratio `json:"kept_fraction"`
	Low      measure.Ratio `json:"low_fraction"` // Share's interval of 95 %
	High     measure.Ratio `json:"high_fraction"`
	Verdict  string        `json:"verdict"`
	Loss     float64       `json:"loss_days"`       // pinball loss, on average
	Shift    int           `json:"shift_days"`      // had all been promised so many days later, the loss would have been least
	Shifted  float64       `json:"shift_loss_days"` // that loss
}

// Calibration is how all promises were kept, and those of each probability.
type Calibration struct {
	All  Record   `json:"all"`
	Rows []Record `json:"rows"` // by probability, rising; whole hundredths together
}

// Calibrate compares promises with what happened. No promises are too few, and no
// problem.
func Calibrate(past []Past) (Calibration, check.Problems) {
	var ps check.Problems
	rows := map[int][]Past{}
	for i, p := range past {
		if !(p.Probability > 0 && p.Probability < 1) {
			ps.Wrong(fmt.Sprintf("past[%d].probability", i), "promise-probability", nil)
			continue
		}
		h := int(math.Round(float64(p.Probability) * 100))
		rows[h] = append(rows[h], p)
	}
	if ps.Failed() {
		return Calibration{}, ps
	}
	c := Calibration{All: record(past), Rows: make([]Record, 0, len(rows))}
	for _, own := range rows {
		c.Rows = append(c.Rows, record(own))
	}
	slices.SortFunc(c.Rows, func(a, b Record) int { return cmp.Compare(a.Promised, b.Promised) })
	return c, ps
}

func record(past []Past) Record {
	r := Record{Promises: len(past), Verdict: TooFew, High: 1}
	if len(past) == 0 {
		return r
	}
	for _, p := range past {
		if p.Late <= 0 {
			r.Kept++
		}
		r.Promised += p.Probability / measure.Ratio(len(past))
	}
	r.Share = measure.Ratio(r.Kept) / measure.Ratio(r.Promises)
	low, high := Wilson(r.Kept, r.Promises, 0.95)
	r.Low, r.High = measure.Ratio(low), measure.Ratio(high)
	switch {
	case r.High < r.Promised:
		r.Verdict = Bold
	case r.Low > r.Promised:
		r.Verdict = Cautious
	case high-low < wide:
		r.Verdict = Agrees
	}
	r.Loss = loss(past, 0)
	r.Shift, r.Shifted = best(past)
	return r
}

// best is the number of days later for which the loss is least, the nearest to
// none if there are several. The loss is convex, with its corners at Late.
func best(past []Past) (shift int, least float64) {
	least = loss(past, 0)
	for _, p := range past {
		l := loss(past, p.Late)
		if l < least-1e-12 || l < least+1e-12 && abs(p.Late) < abs(shift) {
			shift, least = p.Late, l
		}
	}
	return shift, least
}

func abs(n int) int { return max(n, -n) }

// loss is the mean pinball loss had all been promised so many days later.
func loss(past []Past, shift int) float64 {
	sum := 0.0
	for _, p := range past {
		sum += Pinball(float64(p.Late), float64(shift), float64(p.Probability))
	}
	return sum / float64(len(past))
}

// Pinball is the loss of a promise q with probability p when y happens:
//
//	p (y - q) if y >= q, otherwise (1-p) (q - y)
//
// Its expectation is least when q is the p-quantile of y, so neither bold nor
// careful promises make it small, only right ones (Koenker and Bassett,
// Econometrica 46, 1978, 33-50; Gneiting and Raftery, J. Amer. Statist. Assoc.
// 102, 2007, 359-378, 6.1).
func Pinball(y, q, p float64) float64 {
	if y >= q {
		return p * (y - q)
	}
	return (1 - p) * (q - y)
}

// Wilson is the interval for a share of which k of n were seen: the shares that
// are less than z of their own standard deviations from k/n (Wilson, J. Amer.
// Statist. Assoc. 22, 1927, 209-212). It is right for few cases and for shares near
// 0 and 1 (Newcombe, Statistics in Medicine 17, 1998, 857-872). n is at least 1.
func Wilson(k, n int, confidence float64) (low, high float64) {
	z := rates.Normal(0.5 + confidence/2)
	z2, m, p := z*z, float64(n), float64(k)/float64(n)
	middle := (p + z2/(2*m)) / (1 + z2/m)
	half := z * math.Sqrt(p*(1-p)/m+z2/(4*m*m)) / (1 + z2/m)
	return max(0, min(p, middle-half)), min(1, max(p, middle+half)) // p is inside, whatever the rounding
}
