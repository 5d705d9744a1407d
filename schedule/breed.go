package schedule

import "slices"

// breed makes a plan of one or two.
func (h *herd) breed() {
	a, b := h.parent(), h.parent()
	for tries := 0; a == b && tries < 5; tries++ {
		b = h.parent()
	}
	h.mother, h.father = a, b
	copy(h.child.chosen, a.chosen)
	n := len(a.list)
	switch h.chance.Below(10) {
	case 0, 1:
		h.father = a
		h.jitter(a)
	case 2:
		size := 1 + h.chance.Below(max(1, n*3/4))
		from := h.chance.Below(n - size + 1)
		h.block(a, b, from, from+size)
	default:
		from, to := h.chance.Below(n+1), h.chance.Below(n+1)
		h.child.list = h.child.list[:0]
		clear(h.inList)
		h.append(a, min(from, to))
		h.append(b, max(from, to))
		h.append(a, n)
	}
	h.mutate()
	h.grow()
}

// append adds units of a plan that are not in the child's list, until that has
// so many.
func (h *herd) append(a *beast, until int) {
	for _, u := range a.list {
		if len(h.child.list) >= until {
			return
		}
		if !h.inList[u] {
			h.inList[u] = true
			h.take(u, a)
		}
	}
}

// take adds a unit to the child's list, done by whom a plan has it.
func (h *herd) take(u int32, a *beast) {
	h.child.list = append(h.child.list, u)
	for _, i := range h.net.units[u].tasks {
		h.child.chosen[i] = a.chosen[i]
	}
}

// jitter puts a part of a plan in another order.
func (h *herd) jitter(a *beast) {
	n := len(a.list)
	size := 2 + h.chance.Below(max(1, n/3))
	from := h.chance.Below(max(1, n-size))
	wide := float64(1 + h.chance.Below(size))
	for k, u := range a.list {
		h.rank.key[u] = float64(k)
		if k >= from && k < from+size {
			h.rank.key[u] += wide * h.chance.Share()
		}
	}
	h.listByKey()
}

// listByKey is the child's list by the keys of the ranking, as far as what must
// come first allows.
func (h *herd) listByKey() {
	h.child.list = h.child.list[:0]
	h.rank.reset(h.net, h.every)
	for len(h.rank.heap) > 0 {
		u := h.rank.pop()
		h.child.list = append(h.child.list, u)
		h.rank.done(h.net, u)
	}
}

// sides of a block.
const (
	free = int8(iota)
	ahead
	inside
	beyond
)

// block keeps a part of the one plan together and has the rest in the order of
// the other, as much before the part as there was (after the magnet crossover of
// Zamani, EJOR 2013).
func (h *herd) block(a, b *beast, from, to int) {
	n := h.net
	clear(h.side)
	for _, u := range a.list[from:to] {
		h.side[u] = inside
	}
	room := from
	for _, u := range slices.Backward(a.list[:to]) {
		if h.side[u] == ahead {
			room--
		}
		if h.side[u] != free {
			h.mark(n.units[u].before, ahead)
		}
	}
	for _, u := range a.list[from:] {
		if h.side[u] >= inside {
			h.mark(n.units[u].behind, beyond)
		}
	}
	for _, u := range b.list {
		if h.side[u] != free {
			continue
		}
		h.side[u] = beyond
		if room > 0 {
			h.side[u] = ahead
			room--
		}
	}
	h.child.list = h.child.list[:0]
	for _, side := range []int8{ahead, inside, beyond} {
		from := b
		if side == inside {
			from = a
		}
		for _, u := range from.list {
			if h.side[u] == side {
				h.take(u, from)
			}
		}
	}
}

func (h *herd) mark(units []int32, side int8) {
	for _, u := range units {
		if h.side[u] == free {
			h.side[u] = side
		}
	}
}

// mutate swaps some neighbours in the list and makes a choice or a few anew.
func (h *herd) mutate() {
	l := h.child.list
	for k := 1; k < len(l); k++ {
		if h.chance.Below(swaps) == 0 && !slices.Contains(h.net.units[l[k]].before, l[k-1]) {
			l[k-1], l[k] = l[k], l[k-1]
		}
	}
	rare := max(choices, len(h.child.chosen)) // or a long project would hardly keep what was good
	for i := range h.child.chosen {
		t := &h.net.tasks[i]
		if size := len(t.options); size > 1 && h.chance.Below(rare) == 0 {
			h.child.chosen[i] = -1
			if t.stay < 0 {
				h.child.chosen[i] = int32(h.chance.Below(size+1)) - 1
			}
		}
	}
}
