package schedule

import (
	"cmp"
	"slices"
)

// mostTorn is how many orders are torn at once. Measured; our choice, as are the shares
// of the ways to choose them: in half of the tears it is a late order, as lateness is
// what a plan is measured by first.
const mostTorn = 4

// pick chooses what to tear: orders at the same time, orders that use the same
// person or place, a late order and what stands before it, or any; whole, or from
// some step on.
func (t *tear) pick() {
	t.out = t.out[:0]
	centre := int32(t.chance.Below(len(t.units)))
	most := 1 + t.chance.Below(mostTorn)
	t.orders = append(t.orders[:0], centre)
	switch way := t.chance.Below(20); {
	case way < 3:
		from, to := t.reach(centre)
		t.also(most, func(o int32) bool {
			a, b := t.reach(o)
			return a < to && from < b
		})
	case way < 6:
		line, at := t.anyLine(centre)
		t.also(most, func(o int32) bool { return t.uses(o, line, at) })
	case way < 17:
		t.orders[0] = t.lateOne(centre)
		_, to := t.reach(t.orders[0])
		from := to - int32(day*(2+t.chance.Below(20)))
		t.also(most, func(o int32) bool {
			a, b := t.reach(o)
			return a < to && from < b
		})
	default:
		t.also(most, func(int32) bool { return true })
	}
	for _, o := range t.orders {
		t.tearOrder(o, t.chance.Below(2) == 0)
	}
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

// uses reports whether an order uses a line at a time, or not much before or
// after it.
func (t *tear) uses(o, line, at int32) bool {
	const near = 10 * day
	for _, i := range t.net.orders[o].tasks {
		k, s := &t.net.tasks[i], &t.walk.spots[i]
		if s.start > at+near || s.end < at-near {
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
