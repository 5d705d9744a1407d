package schedule

import (
	"cmp"
	"slices"

	"urdir/measure"
)

// Plan is who does what when. Times are minutes from the problem's beginning;
// Problem.When makes them dates.
type Plan struct {
	Jobs      []Job         `json:"jobs"`   // by start
	Orders    []Ready       `json:"orders"` // as in the problem
	Shares    []Share       `json:"shares"` // of people who want work, as in the problem
	Fairness  measure.Ratio `json:"fairness"`
	Missing   []string      `json:"missing,omitempty"` // steps for which hours run out
	Score     Score         `json:"score"`
	Bound     Bound         `json:"bound"`
	Over      int64         `json:"over_days"`    // weighted days late above the bound
	Gap       measure.Ratio `json:"gap_fraction"` // the same as a share of the bound, if there is one
	Schedules int           `json:"schedules"`
}

// Job is a step in the plan. Hands work from First to Last, in the hours there
// are.
type Job struct {
	Step   string   `json:"step"`
	Person string   `json:"person,omitempty"`
	Places []string `json:"places,omitempty"`
	Start  Minutes  `json:"start_min"`
	First  Minutes  `json:"first_min"`
	Last   Minutes  `json:"last_min"`
	End    Minutes  `json:"end_min"`
	Work   Minutes  `json:"work_min"`
}

// Ready is when an order is.
type Ready struct {
	Order string  `json:"order"`
	Start Minutes `json:"start_min"`
	End   Minutes `json:"end_min"`
	Late  int     `json:"late_days"` // begun, unweighted
}

// Share is what a person has been given of what she wants, all in all.
type Share struct {
	Person string  `json:"person"`
	Given  Minutes `json:"given_min"`
	Wants  Minutes `json:"wants_min"`
}

// Plan is the best plan so far.
func (s *Search) Plan() Plan {
	p := s.net.report(&s.best)
	p.Bound, p.Schedules = s.Bound(), s.count
	if p.Over = p.Score.Late - p.Bound.Late; p.Bound.Late > 0 {
		p.Gap = measure.Ratio(float64(p.Over) / float64(p.Bound.Late))
	}
	return p
}

// Bound is what no plan that keeps all waits can be below; reckoned when it is first asked for.
func (s *Search) Bound() Bound {
	if s.bound == nil {
		b := s.net.bound()
		s.bound = &b
	}
	return *s.bound
}

func (n *net) report(s *shot) Plan {
	p := Plan{Score: s.score}
	in := n.problem
	given := make([]Minutes, len(n.people))
	for k, q := range in.People {
		given[k] = q.Given
	}
	places := n.deal(s)
	for i := range s.spots {
		sp, t := &s.spots[i], &n.tasks[i]
		if sp.end >= never {
			p.Missing = append(p.Missing, in.Steps[i].Key)
			continue
		}
		j := Job{Step: in.Steps[i].Key, Start: Minutes(sp.start), First: Minutes(sp.first), Last: Minutes(sp.last), End: Minutes(sp.end)}
		o := &t.options[sp.option]
		j.Work = Minutes(o.work)
		if o.line >= 0 {
			j.Person = in.People[o.line].Key
			given[o.line] += Minutes(o.work)
		}
		for d := range t.needs {
			j.Places = append(j.Places, in.Places[places[t.spot+d]].Key)
		}
		p.Jobs = append(p.Jobs, j)
	}
	slices.SortStableFunc(p.Jobs, func(a, b Job) int { return cmp.Compare(a.Start, b.Start) })
	for o := range n.orders {
		p.Orders = append(p.Orders, n.ready(s, o))
	}
	wanted := make([]Minutes, len(n.people))
	for k, q := range in.People {
		if wanted[k] = q.Wants; q.Wants > 0 {
			p.Shares = append(p.Shares, Share{q.Key, given[k], q.Wants})
		}
	}
	p.Fairness = measure.Ratio(Fairness(given, wanted))
	return p
}

// ready is when an order is begun and ready; one without steps is at once.
func (n *net) ready(s *shot, o int) Ready {
	r := Ready{Order: n.problem.Orders[o].Key}
	start := never
	for _, i := range n.orders[o].tasks {
		start = min(start, s.spots[i].start)
		r.End = max(r.End, Minutes(s.spots[i].end))
	}
	if start < never {
		r.Start = Minutes(start)
	}
	if late := int32(r.End) - n.orders[o].due; late > 0 {
		r.Late = int((late + day - 1) / day)
	}
	return r
}
