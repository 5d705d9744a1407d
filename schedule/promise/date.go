package promise

import (
	"math"
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/schedule"
)

// Date is a day by which an order is ready with a probability.
type Date struct {
	Order         string
	Asked         measure.Ratio // the probability asked for
	When          time.Time     // by which it is ready with it
	Day           schedule.Date // of When: what is promised
	Reached       measure.Ratio // probability to be ready by the end of that day; keep this with the promise
	StandardError time.Duration // of When, by the simulation alone
}

// By is the day by which an order is ready with a probability: the earliest end of
// a run that so many runs keep. The standard error is half the distance between
// the ends at
//
//	n p - sqrt(n p (1-p))  and  n p + sqrt(n p (1-p))
//
// of n runs in order, which asks for no form of the distribution (Woodruff, J.
// Amer. Statist. Assoc. 47, 1952, 635-646).
func (o *Order) By(p float64) (Date, check.Problems) {
	var ps check.Problems
	if !(p > 0 && p < 1) {
		ps.Wrong("probability", "promise-probability", nil)
		return Date{}, ps
	}
	n := float64(len(o.ready))
	at := o.ready[o.rank(n*p)]
	if at >= schedule.Never {
		ps.Wrong("orders."+o.Key, "promise-never", check.Args{"order": o.Key, "share": measure.Ratio(o.share(schedule.Never - 1))})
		return Date{}, ps
	}
	spread := math.Sqrt(n * p * (1 - p))
	low, high := o.ready[o.rank(n*p-spread)], o.ready[o.rank(n*p+spread)]
	d := Date{Order: o.Key, Asked: measure.Ratio(p), When: o.problem.When(at), StandardError: time.Duration(high-low) * time.Minute / 2}
	y, m, day := d.When.Date()
	d.Day = schedule.Date{Year: y, Month: m, Day: day}
	d.Reached = measure.Ratio(o.Chance(d.Day))
	return d, ps
}

// Chance is the share of runs in which the order is ready by the end of a day; of
// n runs at most n in n+1, since they cannot tell more.
func (o *Order) Chance(d schedule.Date) float64 {
	end := time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, o.problem.When(0).Location())
	return o.share(schedule.Minutes(end.Sub(o.problem.Begin) / time.Minute))
}

// Share is how many runs an order is ready in on a day.
type Share struct {
	Day  schedule.Date
	Runs int
}

// Days is on which days an order is ready in how many runs: every day from the
// first to the last, those between on which it never is too. never is in how many
// it is not ready in all the days looked at.
func (o *Order) Days() (days []Share, never int) {
	for i, m := range o.ready {
		if m >= schedule.Never {
			return days, len(o.ready) - i
		}
		y, month, d := o.problem.When(m).Date()
		day := schedule.Date{Year: y, Month: month, Day: d}
		if len(days) == 0 {
			days = append(days, Share{Day: day})
		}
		for last := days[len(days)-1].Day; last != day; last = days[len(days)-1].Day {
			y, month, d = time.Date(last.Year, last.Month, last.Day+1, 12, 0, 0, 0, o.problem.When(0).Location()).Date()
			days = append(days, Share{Day: schedule.Date{Year: y, Month: month, Day: d}})
		}
		days[len(days)-1].Runs++
	}
	return days, 0
}

// rank is the place in line of the k-th of the ends.
func (o *Order) rank(k float64) int {
	return min(max(int(math.Ceil(k-1e-9))-1, 0), len(o.ready)-1)
}

// share is how many of the ends are not after a time, of all but never all.
func (o *Order) share(m schedule.Minutes) float64 {
	n := 0
	for n < len(o.ready) && o.ready[n] <= m {
		n++
	}
	return min(float64(n)/float64(len(o.ready)), float64(len(o.ready))/float64(len(o.ready)+1))
}
