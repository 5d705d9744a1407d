package rates

import (
	"math"

	"urdir/measure"
)

// Forecast is how long a task will take: log-normal minutes.
//
//	ln(minutes) = ln(Median) + Workshop z1 + Member z2 + Task z3,   z ~ N(0, 1)
//
// z1 is the same for all tasks of this kind, z2 for those of this member and kind,
// z3 is the task's own.
type Forecast struct {
	Median   measure.Minute `json:"median_min"`
	Workshop float64        `json:"workshop_log_sd"` // what is not known of the workshop's rate
	Member   float64        `json:"member_log_sd"`   // what is not known of the member's beside it
	Task     float64        `json:"task_log_sd"`     // from task to task
}

// Times is the forecast of so many units, from that of one.
func (f Forecast) Times(quantity measure.Count) Forecast {
	f.Median *= measure.Minute(quantity)
	return f
}

// Known is how well the rate is known: the standard deviation of ln(minutes) of
// the middle of all tasks of this member.
func (f Forecast) Known() float64 { return math.Hypot(f.Workshop, f.Member) }

// Sigma is the standard deviation of ln(minutes).
func (f Forecast) Sigma() float64 { return math.Hypot(f.Known(), f.Task) }

// Mean is the expected minutes, exp(mu + sigma^2/2): what a pay or a cost is
// reckoned with. It is above the median, since long delays are longer than
// savings.
func (f Forecast) Mean() measure.Minute {
	return f.Median * measure.Minute(math.Exp(f.Sigma()*f.Sigma()/2))
}

// Quantile is the minutes that are enough with probability p, exp(mu + sigma
// z(p)): 0 for p = 0, infinite for p = 1. Of a uniform random p it is a random
// task, by inversion (Devroye, Non-Uniform Random Variate Generation, 1986,
// II.2).
func (f Forecast) Quantile(p float64) measure.Minute {
	return f.Median * measure.Minute(math.Exp(f.Sigma()*Normal(p)))
}

// At is the minutes at a chance for the workshop, one for the member and one for
// the task, all in standard deviations.
func (f Forecast) At(workshop, member, task float64) measure.Minute {
	return f.Median * measure.Minute(math.Exp(f.Workshop*workshop+f.Member*member+f.Task*task))
}

// Normal is the standard normal quantile.
func Normal(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// tail is the chance to be as far from the middle as z or farther, on either
// side.
func tail(z float64) float64 { return math.Erfc(math.Abs(z) / math.Sqrt2) }
