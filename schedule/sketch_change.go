package schedule

import (
	"math"
	"slices"

	"urdir/chance"
)

// A sketch cools from melted to frozen, in the unit of worth; neighbours is how many lots
// before and after one are near it; what is late does not take a place so much later, as
// only a faster person could make good for that. Measured; our choice.
const (
	melted, frozen = 1500.0, 100.0
	neighbours     = 10
	muchLater      = 4 * day
)

// change tries so many changes, and reports whether that was all.
func (k *sketch) change(c *chance.Stream, changes int) bool {
	heat := melted * math.Pow(frozen/melted, float64(k.done)/float64(k.most))
	take := func(more float64) bool { return more <= 0 || more < 20*heat && c.Share() < math.Exp(-more/heat) }
	for range changes {
		k.before.stints, k.before.costs = k.before.stints[:0], k.before.costs[:0]
		o := c.Below(len(k.orders))
		if c.Below(4) > 0 { // mostly one that is late
			o = k.lateOrder(o)
		}
		q := &k.orders[o]
		late := k.isLate(q)
		switch way := c.Below(10); {
		case way < 4:
			if len(q.lots) > 0 {
				l := q.lots[c.Below(len(q.lots))]
				if m := k.partner(l, c); !late || k.lots[m].at < k.lots[l].at {
					k.swapLots(l, m, take)
				}
			}
		case len(q.stints) == 0:
		case way < 8:
			k.hand(q.stints[c.Below(len(q.stints))], c, take)
		default:
			a, b := q.stints[c.Below(len(q.stints))], int32(c.Below(len(k.stints)))
			if !late || k.stints[b].start <= k.stints[a].start+muchLater {
				k.swapStints(a, b, take)
			}
		}
	}
	k.done += changes
	return k.done >= k.most
}

// swapLots has two lots take each other's times.
func (k *sketch) swapLots(a, b int32, take func(float64) bool) {
	x, y := &k.lots[a], &k.lots[b]
	if x.group != y.group || x.at == y.at {
		return
	}
	swap := func() {
		x.at, y.at = y.at, x.at
		k.setEnds(x)
		k.setEnds(y)
	}
	swap()
	if !k.inTurn(a) || !k.inTurn(b) {
		swap()
		return
	}
	for _, l := range []*lot{x, y} {
		for _, s := range l.stints {
			k.stints[s].spoilt = true
			k.spoil(k.stints[s].person)
		}
	}
	if !take(k.settle()) {
		swap()
		k.revert()
		return
	}
	k.line[x.place], k.line[y.place] = b, a
	x.place, y.place = y.place, x.place
}

// partner is a lot that another may change times with: any, or every second time one
// of the nearest before and after it, with which there is more often something to gain.
func (k *sketch) partner(a int32, c *chance.Stream) int32 {
	if c.Below(2) == 0 {
		return int32(c.Below(len(k.lots)))
	}
	at := k.lots[a].place + c.Below(2*neighbours) - neighbours
	if at < 0 || at >= len(k.line) {
		return a
	}
	return k.line[at]
}

// hand gives a stint to anybody, at any place among what she has or, every second time,
// about when it is.
func (k *sketch) hand(id int32, c *chance.Stream, take func(float64) bool) {
	s := &k.stints[id]
	was, wasOption, option := s.person, s.option, int32(c.Below(len(s.options)))
	person := s.options[option].line
	if person < 0 || !s.plain && !k.mayDo(s, person) {
		return
	}
	from := slices.Index(k.queues[was], id)
	k.queues[was] = slices.Delete(k.queues[was], from, from+1)
	to := c.Below(len(k.queues[person]) + 1)
	if c.Below(2) == 0 {
		to = 0
		for to < len(k.queues[person]) && k.stints[k.queues[person][to]].start < s.start {
			to++
		}
		to = max(0, to-c.Below(2))
	}
	k.queues[person] = slices.Insert(k.queues[person], to, id)
	fair := k.fair.cost()
	k.seat(id, person, option)
	if !take(k.settle() + k.fair.cost() - fair) {
		k.queues[person] = slices.Delete(k.queues[person], to, to+1)
		k.queues[was] = slices.Insert(k.queues[was], from, id)
		k.seat(id, was, wasOption)
		k.revert()
	}
}

// swapStints has two stints take each other's places.
func (k *sketch) swapStints(a, b int32, take func(float64) bool) {
	x, y := &k.stints[a], &k.stints[b]
	if x.person == y.person || !k.mayDo(x, y.person) || !k.mayDo(y, x.person) {
		return
	}
	swap := func() {
		p, q := x.person, y.person
		i, j := slices.Index(k.queues[p], a), slices.Index(k.queues[q], b)
		k.queues[p][i], k.queues[q][j] = b, a
		k.seat(a, q, k.first(x).optionOf(q))
		k.seat(b, p, k.first(y).optionOf(p))
	}
	fair := k.fair.cost()
	swap()
	if !take(k.settle() + k.fair.cost() - fair) {
		swap()
		k.revert()
	}
}

// seat gives a stint and its hours to a person.
func (k *sketch) seat(id, person, option int32) {
	s := &k.stints[id]
	k.spoil(s.person)
	k.spoil(person)
	k.before.stints = append(k.before.stints, oldStint{id, s.free, s.start, s.end})
	k.fair.give(k.net, s.person, -float64(s.options[s.option].sum))
	s.person, s.option, s.free = person, option, -1
	k.fair.give(k.net, person, float64(s.options[option].sum))
}

// first is the first step of a stint.
func (k *sketch) first(s *stint) *task { return &k.net.tasks[s.parts[0].task] }

// mayDo reports whether a person may do all of a stint.
func (k *sketch) mayDo(s *stint, person int32) bool {
	if s.plain { // the same people may do all of it
		return k.first(s).optionOf(person) >= 0
	}
	return !slices.ContainsFunc(s.parts, func(p part) bool { return k.net.tasks[p.task].optionOf(person) < 0 })
}
