package schedule

import (
	"cmp"
	"slices"
)

// mostTorn is how many orders are torn at once. Measured; our choice, as are the shares
// of the ways to choose them: in most of the tears it is a late order, as lateness is
// what a plan is measured by first.
const mostTorn = 4

// pick chooses what to tear: a late order and one that holds what it waits for; a
// late order and what is worked for at the same time as its end; orders at the same
// time, orders that use the same person or place, or any; whole, or from some step
// on.
func (t *tear) pick() {
	t.out, t.hurried = t.out[:0], -1
	centre := int32(t.chance.Below(len(t.units)))
	most := 1 + t.chance.Below(mostTorn)
	t.orders = append(t.orders[:0], centre)
	switch way := t.chance.Below(10); {
	case way < 6:
		t.hurried = t.lateOne(centre)
		t.orders[0] = t.hurried
		t.holder()
	case way == 6:
		t.orders[0] = t.lateOne(centre)
		_, to := t.reach(t.orders[0])
		t.alsoBetween(most, to-int32(day*(2+t.chance.Below(20))), to)
	case way == 7:
		from, to := t.reach(centre)
		t.alsoBetween(most, from, to)
	case way == 8:
		line, at := t.anyLine(centre)
		t.also(most, func(o int32) bool { return t.uses(o, line, at-near, at+near) })
	default:
		t.also(most, func(int32) bool { return true })
	}
	for _, o := range t.orders {
		t.tearOrder(o, t.hurried >= 0 || t.chance.Below(2) == 0)
	}
}

// near is how long before and after a time a line is used near it.
const near = 10 * day

// holder adds an order that holds, while a step of the first waits, the place that it
// waits for, or the person if it needs no place.
func (t *tear) holder() {
	i := t.waiting(t.orders[0])
	if i < 0 {
		return
	}
	k, s := &t.net.tasks[i], &t.walk.spots[i]
	lines := t.walk.places[k.spot : k.spot+len(k.needs)]
	if len(lines) == 0 {
		lines = []int32{k.options[s.option].line}
	}
	from, to := t.walk.ready(i), s.start
	t.also(2, func(o int32) bool {
		return slices.ContainsFunc(lines, func(line int32) bool { return t.uses(o, line, from, to) })
	})
}

// waiting is a step of an order that waits for something else than what comes
// before it: by chance, the more likely the longer it waits; -1 if none does.
func (t *tear) waiting(o int32) int32 {
	step, longest := int32(-1), int32(-1)
	for _, i := range t.net.orders[o].tasks {
		s := &t.walk.spots[i]
		if t.net.tasks[i].held || s.start >= never {
			continue
		}
		if wait := s.start - t.walk.ready(i); wait > 0 {
			if wait = int32(t.chance.Below(int(wait))); wait > longest {
				step, longest = i, wait
			}
		}
	}
	return step
}

// alsoBetween adds orders that are worked for between two times.
func (t *tear) alsoBetween(most int, from, to int32) {
	t.also(most, func(o int32) bool {
		a, b := t.reach(o)
		return a < to && from < b
	})
}

// also adds orders that are like the first, in an order of chance, up to so many
// in all.
func (t *tear) also(most int, like func(o int32) bool) {
	n := len(t.units)
	begin := t.chance.Below(n)
	for k := range n {
		if len(t.orders) >= most {
			return
		}
		if o := int32((begin + k) % n); o != t.orders[0] && like(o) {
			t.orders = append(t.orders, o)
		}
	}
}

// reach is from when to when an order is worked for.
func (t *tear) reach(o int32) (from, to int32) {
	from = never
	for _, i := range t.net.orders[o].tasks {
		from = min(from, t.walk.spots[i].start)
	}
	return from, t.walk.ends[o]
}

// anyLine is a person or a place that some step of an order uses, and when.
func (t *tear) anyLine(o int32) (line, at int32) {
	tasks := t.net.orders[o].tasks
	if len(tasks) == 0 {
		return -1, 0
	}
	i := tasks[t.chance.Below(len(tasks))]
	k, s := &t.net.tasks[i], &t.walk.spots[i]
	if n := len(k.needs); n > 0 && t.chance.Below(2) == 0 {
		return t.walk.places[k.spot+t.chance.Below(n)], s.start
	}
	return k.options[s.option].line, s.start
}

// uses reports whether an order uses a line between two times.
func (t *tear) uses(o, line, from, to int32) bool {
	for _, i := range t.net.orders[o].tasks {
		k, s := &t.net.tasks[i], &t.walk.spots[i]
		if s.start >= to || s.end <= from {
			continue
		}
		if k.options[s.option].line == line || slices.Contains(t.walk.places[k.spot:k.spot+len(k.needs)], line) {
			return true
		}
	}
	return false
}

// lateOne is the first late order from one on, or the one.
func (t *tear) lateOne(from int32) int32 {
	n := int32(len(t.units))
	for k := range n {
		if o := (from + k) % n; t.walk.ends[o] > t.net.orders[o].due {
			return o
		}
	}
	return from
}

// tearOrder adds the units of an order to what is taken out, from the last to the
// first, each with all that comes after it; or only some of the last.
func (t *tear) tearOrder(o int32, whole bool) {
	units := t.units[o]
	if len(units) == 0 {
		return
	}
	start := func(u int32) int32 { return t.walk.spots[t.net.units[u].tasks[0]].start }
	slices.SortFunc(units, func(a, b int32) int { return cmp.Or(cmp.Compare(start(b), start(a)), cmp.Compare(a, b)) })
	most := len(units)
	if !whole {
		most = 1 + t.chance.Below(most)
	}
	for _, u := range units[:most] {
		before := len(t.out)
		if !t.tearUnit(u) {
			for _, v := range t.out[before:] {
				t.isOut[v] = false
			}
			t.out = t.out[:before]
			return
		}
	}
}

// tearUnit adds a unit and all that comes after it, unless that is too much.
func (t *tear) tearUnit(u int32) bool {
	if t.isOut[u] {
		return true
	}
	if len(t.out) >= mostOut {
		return false
	}
	t.isOut[u] = true
	t.out = append(t.out, u)
	for _, v := range t.net.units[u].behind {
		if !t.tearUnit(v) {
			return false
		}
	}
	return true
}
