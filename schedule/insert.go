package schedule

import (
	"slices"

	"urdir/check"
)

// Insert is a plan that leaves every step of a given plan where it is and places
// the others around it: a new order that disturbs none. A step that is no longer
// possible where it was, since the problem has changed, is placed anew, and with
// it what comes after it.
func Insert(p Problem, given Plan) (Plan, check.Problems) {
	s, ps := around(&p, &given)
	if ps.Failed() {
		return Plan{}, ps
	}
	return s.Plan(), ps
}

// around is a search that holds the better of two ways to place what a plan leaves
// open.
func around(p *Problem, given *Plan) (*Search, check.Problems) {
	n, base, ps := p.compile(given)
	if ps.Failed() {
		return nil, ps
	}
	s := &Search{net: n, walk: newWalk(n)}
	s.walk.copyFrom(base)
	s.walk.refreshAll()
	s.keep()
	open := n.all()
	if len(open) == 0 {
		return s, ps
	}
	var before shot
	before.from(s.walk)
	s.best.spots = nil
	rank := newRanking(len(n.units))
	for u := range n.units {
		t := &n.tasks[n.units[u].tasks[0]]
		rank.key[u] = float64(t.latest) - float64(t.usual)
	}
	for k := range 2 {
		if k > 0 {
			s.walk.load(&before)
		}
		s.serial(s.walk, open, &rank, &rule{fair: k == 1})
		s.walk.refreshAll()
		s.keep()
	}
	return s, ps
}

// keep holds the jobs of a plan where they are, if that is possible and so for all
// that comes before.
func (n *net) keep(b *board, given *Plan) {
	jobs := map[string]*Job{}
	for k := range given.Jobs {
		jobs[given.Jobs[k].Step] = &given.Jobs[k]
	}
	order := make([]int32, len(n.tasks))
	for i, r := range n.rank() {
		order[r] = int32(i)
	}
	for _, i := range order {
		t := &n.tasks[i]
		j := jobs[n.problem.Steps[i].Key]
		if t.held || j == nil || slices.ContainsFunc(t.before, func(e edge) bool { return b.spots[e.task].option < 0 }) {
			continue
		}
		k, at := n.optionOf(t, j.Person), int32(j.Start)
		if h := t.stay; k < 0 || at < b.ready(i) || h >= 0 && b.stays[h].line >= 0 && b.stays[h].line != t.options[k].line {
			continue
		}
		needs := slices.Clone(t.needs)
		t.inPlaces(n, j.Places) // another pot may be what the next one stands in
		if s := b.fit(t, k, at); s.start == at {
			t.held, t.kept, t.keptAt = true, true, at
			b.put(i, s)
			continue
		}
		t.needs = needs
	}
}
