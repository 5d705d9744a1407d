package schedule

import (
	"fmt"
	"slices"

	"urdir/check"
)

// Never is when an order is ready whose work finds no hours.
const Never = Minutes(never)

// Turn is what a plan says of a step: who does it, and when it starts. A step for
// which the plan found no hours starts never; the first who may do it is asked.
type Turn struct {
	Person string // none for a step without hands
	Start  Minutes
}

// Replay is a plan that is run through again with work that takes other than was
// planned. People keep to what the plan says of who does what and what goes first,
// not to its hours: whoever is free begins, of her steps for which everything is
// there, the one that starts first in the plan. Nobody knows how long anything
// will take before it is done (parallel schedule generation; Kolisch, European J.
// Operational Research 90, 1996, 320-333). Steps between which there is a longest
// wait are planned together when the first begins. Nothing that a person was told
// begins before the time she was told unless it may move, and classes are held at
// their hours. Work that may not stop and fits no stretch of hours goes on after
// the longest.
//
// It is not for use by several goroutines at once.
type Replay struct {
	board   *board
	rule    rule
	classes []int32
	units   []int32 // in the order of their planned starts
	yields  []bool  // by unit: it takes what the others leave
	longest []int32 // by task, the longest stretch for work that may not stop
	run     dispatch
}

// NewReplay prepares a problem that is right, with a turn for each of its steps.
// Orders that give way go after all others, which are ready as if they were not
// there: new ones, of which no date was promised. They take what is left of hours
// and room, each step as early as it fits.
func NewReplay(p *Problem, turns []Turn, giveWay []string) (*Replay, check.Problems) {
	var ps check.Problems
	n := newNet(p)
	r := &Replay{rule: rule{chosen: make([]int32, len(n.tasks))}, longest: make([]int32, len(n.tasks))}
	for i := range n.tasks {
		t, s := &n.tasks[i], &p.Steps[i]
		if turns[i].Start < Never {
			r.rule.chosen[i] = n.optionOf(t, turns[i].Person)
		}
		if r.rule.chosen[i] < 0 {
			ps.Wrong(fmt.Sprintf("steps[%d]", i), "schedule-turn", check.Args{"step": s.Key, "person": turns[i].Person})
		}
		switch {
		case !s.At.IsZero():
			t.held, t.whole, t.toldAt = true, true, p.at(s.At)
			r.classes = append(r.classes, int32(i))
		case s.Told != nil && !s.Told.Begun && !s.Told.Free:
			t.release = max(t.release, t.toldAt)
		}
	}
	if ps.Failed() {
		return nil, ps
	}
	n.settle()
	for i := range n.tasks {
		r.longest[i] = n.tasks[i].options[r.rule.chosen[i]].clock.longest()
	}
	r.board = newBoard(n)
	r.line(turns)
	r.setYields(giveWay)
	r.run = newDispatch(n)
	return r, ps
}

// optionOf is the option of a person, or -1.
func (n *net) optionOf(t *task, person string) int32 {
	return int32(slices.IndexFunc(t.options, func(o option) bool {
		return o.line < 0 && person == "" || o.line >= 0 && n.problem.People[o.line].Key == person
	}))
}

// line sets the order of the units.
func (r *Replay) line(turns []Turn) {
	n := r.board.net
	rank := newRanking(len(n.units))
	for u := range n.units {
		rank.key[u] = float64(never)
		for _, i := range n.units[u].tasks {
			rank.key[u] = min(rank.key[u], float64(turns[i].Start))
		}
		if rank.left[u] = int32(len(n.units[u].before)); rank.left[u] == 0 {
			rank.push(int32(u))
		}
	}
	for len(rank.heap) > 0 {
		u := rank.pop()
		r.units = append(r.units, u)
		for _, v := range n.units[u].behind {
			if rank.left[v]--; rank.left[v] == 0 {
				rank.push(v)
			}
		}
	}
}

// setYields marks what serves only orders that give way, and nothing else waits for.
func (r *Replay) setYields(giveWay []string) {
	n := r.board.net
	r.yields = make([]bool, len(n.units))
	for _, u := range slices.Backward(r.units) {
		r.yields[u] = true
		for _, i := range n.units[u].tasks {
			for _, o := range n.tasks[i].orders {
				r.yields[u] = r.yields[u] && slices.Contains(giveWay, n.problem.Orders[o].Key)
			}
		}
		for _, v := range n.units[u].behind {
			r.yields[u] = r.yields[u] && r.yields[v]
		}
	}
}

// Run is when each order is ready, written to ready, if each step takes so much
// work; classes take theirs. Broken is how many waits are longer than they may be,
// and steps without hours.
func (r *Replay) Run(work, ready []Minutes) (broken int) {
	b, n := r.board, r.board.net
	b.clear()
	for i := range n.tasks {
		if t := &n.tasks[i]; !t.held {
			r.set(int32(i), int32(work[i]))
		}
	}
	for _, i := range r.classes {
		t := &n.tasks[i]
		b.put(i, b.fit(t, r.rule.chosen[i], t.toldAt))
	}
	r.dispatch()
	for _, u := range r.units {
		if r.yields[u] {
			b.build(&n.units[u], &r.rule)
		}
	}
	for o := range n.orders {
		ready[o] = 0
		for _, i := range n.orders[o].tasks {
			ready[o] = max(ready[o], Minutes(min(b.spots[i].end, never)))
		}
	}
	return b.broken
}

// set gives a task its work of a run.
func (r *Replay) set(i, work int32) {
	t := &r.board.net.tasks[i]
	o := &t.options[r.rule.chosen[i]]
	t.tail = int32(r.board.net.problem.Steps[i].Stand)
	o.work = work
	if t.whole {
		over := max(0, work-r.longest[i])
		o.work -= over
		t.tail += over
	}
}

// Turns is what a plan says of each step of its problem, in their order.
func (p *Plan) Turns(of *Problem) []Turn {
	jobs := map[string]*Job{}
	for i := range p.Jobs {
		jobs[p.Jobs[i].Step] = &p.Jobs[i]
	}
	turns := make([]Turn, len(of.Steps))
	for i := range turns {
		turns[i].Start = Never
		if j := jobs[of.Steps[i].Key]; j != nil {
			turns[i] = Turn{j.Person, j.Start}
		}
	}
	return turns
}
