package schedule

import (
	"slices"
)

// setEnds reckons when the steps of a lot end from its mark on, if anyone who may does
// each at once, and whether no step lies for too long before the next.
func (k *sketch) setEnds(l *lot) {
	n := k.net
	tasks := n.units[l.unit].tasks
	l.keeps = true
	for x := range tasks {
		l.ends[x] = l.at
		if x < l.mark {
			continue
		}
		t, at := &n.tasks[tasks[x]], l.at
		most := at
		if x > l.mark {
			most = never
		}
		for _, e := range t.before {
			if y := slices.Index(tasks[:x], e.task); y >= l.mark {
				at = max(at, l.ends[y]+e.least)
				most = min(most, l.ends[y]+min(e.most, never/2))
			}
		}
		first, last := t.open.run(at+t.lead, t.work, t.whole)
		l.ends[x] = min(last, never/2) + t.tail
		l.keeps = l.keeps && first-t.lead <= most
	}
}

// inTurn reports whether a lot may be when it is, after what it waits for, and before
// what waits for it.
func (k *sketch) inTurn(l int32) bool {
	q := &k.lots[l]
	follows := func(q *lot) bool {
		at := q.least
		for _, w := range q.waits {
			at = max(at, k.lots[w.lot].ends[w.step]+w.lag)
		}
		return q.at >= at
	}
	return q.keeps && follows(q) && !slices.ContainsFunc(q.next, func(m int32) bool { return !follows(&k.lots[m]) })
}

// ready is when a part of a stint may begin, if the person can from a time on.
func (k *sketch) ready(p *part, from int32) int32 {
	at := max(from, p.least)
	for _, w := range p.waits {
		at = max(at, k.lots[w.lot].ends[w.step]+w.lag)
	}
	return at
}

// time is when a stint begins and ends if its person can begin from a time on.
func (k *sketch) time(s *stint, from int32) (start, end int32) {
	if s.plain {
		first := k.first(s)
		o := &s.options[s.option]
		start, end = k.run(s.person, o.clock, k.ready(&s.parts[0], from)+first.lead, o.sum, false)
		return start - first.lead, end + s.stand
	}
	end = from
	for x := range s.parts {
		t := &k.net.tasks[s.parts[x].task]
		o := &t.options[t.optionOf(s.person)]
		first, last := k.run(s.person, o.clock, k.ready(&s.parts[x], end+s.parts[x].lag)+t.lead, o.work, t.whole)
		if x == 0 {
			start = first - t.lead
		}
		end = last + t.tail
	}
	return start, end
}

// run is when work that a person begins at a time or after is done, past what is fixed;
// half of never if not at all.
func (k *sketch) run(person int32, c *clock, at, work int32, whole bool) (first, last int32) {
	for again := true; again; {
		again = false
		if first, last = c.run(at, work, whole); first >= never {
			return never / 2, never / 2
		}
		for _, f := range k.fixed[person] {
			if f.from < last && f.to > first {
				at, again = f.to, true
			}
		}
	}
	return first, last
}

// endOf is when an order is ready.
func (k *sketch) endOf(o int32) (end int32) {
	q := &k.orders[o]
	for _, s := range q.stints {
		end = max(end, k.stints[s].end)
	}
	for x := range q.after {
		a := &q.after[x]
		at := a.least
		for _, w := range a.waits {
			if w.stint >= 0 {
				at = max(at, k.stints[w.stint].end+w.lag)
			} else {
				at = max(at, k.ends[w.after]+w.lag)
			}
		}
		t := &k.net.tasks[a.task]
		_, last := t.open.run(at+t.lead, t.work, t.whole)
		k.ends[x] = min(last, never/2) + t.tail
		end = max(end, k.ends[x])
	}
	return end
}

// settle reckons anew what was spoilt and gives what it costs more.
func (k *sketch) settle() (more float64) {
	for _, p := range k.spoilt {
		k.retime(p)
	}
	k.spoilt = k.spoilt[:0]
	for _, o := range k.touched {
		q := &k.orders[o]
		k.before.costs = append(k.before.costs, oldCost{o, q.cost})
		more -= q.cost
		q.cost = k.costOf(o)
		more += q.cost
		q.touched = false
	}
	k.touched = k.touched[:0]
	return more
}

// retime reckons the queue of a person. What begins as it did stays as it is.
func (k *sketch) retime(p int32) {
	free := int32(0)
	for _, id := range k.queues[p] {
		s := &k.stints[id]
		if free != s.free || s.spoilt {
			k.before.stints = append(k.before.stints, oldStint{id, s.free, s.start, s.end})
			was := s.end
			s.free, s.spoilt = free, false
			if s.start, s.end = k.time(s, free); s.end != was {
				for _, o := range s.orders {
					k.touch(o)
				}
			}
		}
		free = s.end - s.stand
	}
}

// revert takes back what was reckoned with a change, after the change itself.
func (k *sketch) revert() {
	k.spoilt = k.spoilt[:0]
	for _, b := range slices.Backward(k.before.stints) {
		s := &k.stints[b.stint]
		s.free, s.start, s.end = b.free, b.start, b.end
	}
	for _, b := range k.before.costs {
		k.orders[b.order].cost = b.cost
	}
}
