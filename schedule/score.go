package schedule

import "math"

// Score is what a plan is measured by, the most weighty first.
type Score struct {
	Broken int   `json:"broken"`          // waits not kept before what is fixed, steps without hours
	Late   int64 `json:"late_days"`       // days begun after the due time, each times the weight of its order
	Unfair int   `json:"unfair_permille"` // 1000 x (1 - fairness), rounded
	Lead   int64 `json:"lead_days"`       // days begun from when each order may begin to when it is ready
	Moved  int   `json:"moved"`           // steps of which a person was told otherwise
}

func (s Score) less(o Score) bool {
	switch {
	case s.Broken != o.Broken:
		return s.Broken < o.Broken
	case s.Late != o.Late:
		return s.Late < o.Late
	case s.Unfair != o.Unfair:
		return s.Unfair < o.Unfair
	case s.Lead != o.Lead:
		return s.Lead < o.Lead
	}
	return s.Moved < o.Moved
}

// Fairness is Jain's index of the shares of what each person wants, weighted by
// what she wants: 1 if all shares are the same. With g given and w wanted
//
//	(sum g)^2 / (sum w x sum g^2/w)
//
// which is the index of Jain, Chiu and Hawe (DEC-TR-301, 1984) where all want the
// same. Nobody wanting anything, or nothing given, is 1; persons who want nothing
// do not count.
func Fairness(given, wanted []Minutes) float64 {
	var sum, squares, wants float64
	for i, w := range wanted {
		if w <= 0 {
			continue
		}
		g := float64(given[i])
		sum += g
		squares += g * g / float64(w)
		wants += float64(w)
	}
	if sum == 0 {
		return 1
	}
	return sum * sum / (wants * squares)
}

// walk is a board whose score is kept.
type walk struct {
	*board
	ends  []int32 // of each order
	score Score
	early float64 // weighted lateness and lead, in days and parts of them
	lead  float64
	loose []int32 // tasks of which someone was told, and that may move
}

func newWalk(n *net) *walk {
	w := &walk{board: newBoard(n), ends: make([]int32, len(n.orders))}
	for i := range n.tasks {
		if t := &n.tasks[i]; t.told != nil && (!t.held || t.kept) {
			w.loose = append(w.loose, int32(i))
		}
	}
	return w
}

// refresh reckons the score anew, of which only some orders have changed.
func (w *walk) refresh(changed []int32) {
	for _, o := range changed {
		w.count(o, -1)
		w.ends[o] = w.end(o)
		w.count(o, 1)
	}
	w.rest()
}

// refreshAll reckons the score from nothing.
func (w *walk) refreshAll() {
	w.score, w.early, w.lead = Score{}, 0, 0
	for o := range w.ends {
		w.ends[o] = w.end(int32(o))
		w.count(int32(o), 1)
	}
	w.rest()
}

// end is when an order is ready.
func (w *walk) end(o int32) (end int32) {
	for _, i := range w.net.orders[o].tasks {
		end = max(end, w.spots[i].end)
	}
	return min(end, int32(w.net.problem.days()+1)*day+never/2)
}

func (w *walk) count(o int32, sign int64) {
	d, end := &w.net.orders[o], w.ends[o]
	if end > d.due {
		w.score.Late += sign * d.weight * int64((end-d.due+day-1)/day)
		w.early += float64(sign*d.weight) * float64(end-d.due) / day
	}
	if end > d.from {
		w.score.Lead += sign * int64((end-d.from+day-1)/day)
		w.lead += float64(sign) * float64(end-d.from) / day
	}
}

func (w *walk) rest() {
	w.score.Broken = w.broken
	w.score.Moved = 0
	for _, i := range w.loose {
		if w.moved(i) {
			w.score.Moved++
		}
	}
	var sum, squares, wants float64
	for i, p := range w.net.people {
		if p.wants == 0 {
			continue
		}
		g := float64(w.given[i])
		sum += g
		squares += g * g / float64(p.wants)
		wants += float64(p.wants)
	}
	w.score.Unfair = 0
	if sum > 0 {
		w.score.Unfair = int(math.Round(1000 * (1 - float64(sum*sum)/float64(wants*squares))))
	}
}

// moved reports whether a task is done by another person than was told, or a day
// or more off.
func (w *walk) moved(i int32) bool {
	t, s := &w.net.tasks[i], &w.spots[i]
	if s.option < 0 {
		return true
	}
	off := s.start - t.toldAt
	return t.options[s.option].line != t.toldBy || off >= day || off <= -day
}

// worth is a score as one number for the search to walk by, so that it can pass
// through worse plans; which plan is best is decided by less. The weights are our
// choice, far apart as less has them: a day late is worth a thousand days of lead.
func (w *walk) worth() float64 {
	return 1e7*float64(w.score.Broken) + dayLate*w.early + permilleUnfair*float64(w.score.Unfair) + w.lead + 2*float64(w.score.Moved)
}

// What a day late is worth, and a thousandth of unfairness, in days of lead.
const dayLate, permilleUnfair = 1000.0, 20.0
