package schedule

import (
	"cmp"
	"slices"
)

// findLots finds the units that use places, but for those that stay with a person.
func (k *sketch) findLots() {
	n := k.net
	group := n.placeGroups()
	for u := range n.units {
		k.lotOf[u] = -1
		tasks := n.units[u].tasks
		if len(n.tasks[tasks[0]].needs) == 0 || slices.ContainsFunc(tasks, func(i int32) bool { return n.tasks[i].stay >= 0 }) {
			continue
		}
		k.lotOf[u] = int32(len(k.lots))
		k.lots = append(k.lots, lot{unit: int32(u), group: group[n.tasks[tasks[0]].needs[0].places[0]], ends: make([]int32, len(tasks))})
	}
	for l := range k.lots {
		k.addLot(int32(l), group)
	}
	for l := range k.lots {
		for _, q := range k.lots[l].waits {
			k.lots[q.lot].next = append(k.lots[q.lot].next, int32(l))
		}
		k.line = append(k.line, int32(l))
	}
	slices.SortFunc(k.line, func(a, b int32) int {
		x, y := &k.lots[a], &k.lots[b]
		return cmp.Or(cmp.Compare(x.group, y.group), cmp.Compare(x.at, y.at), cmp.Compare(a, b))
	})
	for at, l := range k.line {
		k.lots[l].place = at
	}
}

func (k *sketch) addLot(l int32, group []int32) {
	n, q := k.net, &k.lots[l]
	tasks := n.units[q.unit].tasks
	var all awaited
	before := int32(0)
	for x, i := range tasks {
		t := &n.tasks[i]
		own := k.awaits(i, func(j int32) bool { return n.tasks[j].unit == q.unit })
		all.least = max(all.least, own.least)
		for _, w := range own.waits {
			all.add(w)
		}
		if len(t.needs) > 0 && group[t.needs[0].places[0]] == q.group {
			q.mark, q.at, q.least = x, k.walk.spots[i].start, before
		}
		before += t.least
		for _, o := range t.orders {
			if !slices.Contains(k.orders[o].lots, l) {
				k.orders[o].lots = append(k.orders[o].lots, l)
			}
		}
	}
	q.least += all.least
	q.waits = all.waits
	k.setEnds(q)
}

// placeGroups is, for each line, a line that stands for all places that something
// chooses among.
func (n *net) placeGroups() []int32 {
	group := make([]int32, len(n.lines))
	for i := range group {
		group[i] = int32(i)
	}
	root := func(i int32) int32 {
		for group[i] != i {
			i = group[i]
		}
		return i
	}
	for i := range n.tasks {
		for _, d := range n.tasks[i].needs {
			for _, p := range d.places[1:] {
				group[root(p)] = root(d.places[0])
			}
		}
	}
	for i := range group {
		group[i] = root(int32(i))
	}
	return group
}

// awaited is what a step waits for: lots, and what is taken as it is.
type awaited struct {
	least int32
	waits []wait
}

// awaits finds what a step waits for, but for its own. What stands between a lot and the
// step takes as long as it does in the plan.
func (k *sketch) awaits(i int32, own func(int32) bool) (out awaited) {
	n := k.net
	out.least = n.tasks[i].release
	for _, e := range n.tasks[i].before {
		q, s := &n.tasks[e.task], &k.walk.spots[e.task]
		end := min(s.end, never/2)
		switch {
		case own != nil && own(e.task):
		case q.unit < 0 || k.lotOf[q.unit] < 0 && len(q.before) == 0:
			out.least = max(out.least, end+e.least)
		case k.lotOf[q.unit] >= 0:
			out.add(wait{k.lotOf[q.unit], slices.Index(n.units[q.unit].tasks, e.task), e.least})
		default:
			through, ok := k.through[e.task]
			if !ok {
				through = k.awaits(e.task, nil)
				k.through[e.task] = through
			}
			lag := e.least + end - min(s.start, never/2)
			out.least = max(out.least, through.least+lag)
			for _, w := range through.waits {
				w.lag += lag
				out.add(w)
			}
		}
	}
	return out
}

func (a *awaited) add(w wait) {
	if x := slices.IndexFunc(a.waits, func(v wait) bool { return v.lot == w.lot && v.step == w.step }); x >= 0 {
		a.waits[x].lag = max(a.waits[x].lag, w.lag)
	} else {
		a.waits = append(a.waits, w)
	}
}

// findStints finds the steps that stay with a person who may be another.
func (k *sketch) findStints() {
	n := k.net
	for s := range n.stays {
		tasks := slices.Clone(n.stays[s].tasks)
		slices.SortFunc(tasks, func(a, b int32) int { return cmp.Compare(len(n.tasks[b].rest), len(n.tasks[a].rest)) })
		first := &n.tasks[tasks[0]]
		spot := &k.walk.spots[tasks[0]]
		if len(first.options) < 2 || len(first.rest) != len(tasks)-1 || spot.option < 0 || first.options[spot.option].line < 0 ||
			slices.ContainsFunc(tasks, func(i int32) bool { return n.tasks[i].held }) {
			continue
		}
		last := tasks[len(tasks)-1]
		q := stint{option: spot.option, person: first.options[spot.option].line, options: first.options, orders: n.tasks[last].orders,
			free: -1, start: spot.start, end: k.walk.spots[last].end, stand: n.tasks[last].tail}
		id := int32(len(k.stints))
		for x, i := range tasks {
			p := part{task: i, awaited: k.awaits(i, func(j int32) bool { return slices.Contains(tasks[:x], j) })}
			for _, e := range n.tasks[i].before {
				if x > 0 && e.task == tasks[x-1] {
					p.lag = e.least
				}
			}
			for _, w := range p.waits {
				if l := &k.lots[w.lot]; !slices.Contains(l.stints, id) {
					l.stints = append(l.stints, id)
				}
			}
			q.parts = append(q.parts, p)
		}
		q.plain = k.isPlain(&q)
		for _, o := range q.orders {
			k.orders[o].stints = append(k.orders[o].stints, id)
		}
		k.stints = append(k.stints, q)
		k.queues[q.person] = append(k.queues[q.person], id)
	}
	for _, q := range k.queues {
		slices.SortStableFunc(q, func(a, b int32) int { return cmp.Compare(k.stints[a].end, k.stints[b].end) })
	}
}

// isPlain reports whether the steps of a stint take as long as one of all their work.
func (k *sketch) isPlain(q *stint) bool {
	last := len(q.parts) - 1
	for x := range q.parts {
		p := &q.parts[x]
		t := &k.net.tasks[p.task]
		if t.whole || x > 0 && (t.lead > 0 || p.lag > 0 || len(p.waits) > 0 || p.least > q.parts[0].least || len(t.options) != len(q.options)) || x < last && t.tail > 0 {
			return false
		}
		for y := range t.options {
			if t.options[y].line != q.options[y].line || t.options[y].clock != q.options[y].clock {
				return false
			}
		}
	}
	return true
}

// findFixed finds when people are busy with what does not change.
func (k *sketch) findFixed() {
	n := k.net
	k.fixed = make([][]span, len(n.people))
	moves := make([]bool, len(n.tasks))
	for s := range k.stints {
		for _, p := range k.stints[s].parts {
			moves[p.task] = true
		}
	}
	for i := range n.tasks {
		t, s := &n.tasks[i], &k.walk.spots[i]
		if moves[i] || t.cut || !t.held && t.stay < 0 || s.option < 0 || s.end >= never {
			continue
		}
		if l := t.options[s.option].line; l >= 0 {
			k.fixed[l] = append(k.fixed[l], span{s.first, s.last})
		}
	}
	for _, f := range k.fixed {
		slices.SortFunc(f, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	}
}

// findAfters finds what comes after the stints of each order.
func (k *sketch) findAfters() {
	n := k.net
	rank := n.rank()
	stintOf := map[int32]int32{} // by last step
	within := map[int32]bool{}
	for s := range k.stints {
		for _, p := range k.stints[s].parts {
			within[p.task] = true
		}
		stintOf[k.stints[s].parts[len(k.stints[s].parts)-1].task] = int32(s)
	}
	most := 0
	for o := range n.orders {
		tasks := slices.Clone(n.orders[o].tasks)
		slices.SortFunc(tasks, func(a, b int32) int { return cmp.Compare(rank[a], rank[b]) })
		index := map[int32]int32{}
		for _, i := range tasks {
			t := &n.tasks[i]
			if t.held || within[i] || k.lotOf[t.unit] >= 0 {
				continue
			}
			a := after{task: i, least: t.release}
			for _, e := range t.before {
				s, ok := stintOf[e.task]
				x, known := index[e.task]
				switch {
				case ok && slices.Contains(k.orders[o].stints, s):
					a.waits = append(a.waits, afterWait{s, -1, e.least})
				case known:
					a.waits = append(a.waits, afterWait{-1, x, e.least})
				default:
					a.least = max(a.least, min(k.walk.spots[e.task].end, never/2)+e.least)
				}
			}
			if len(a.waits) > 0 {
				index[i] = int32(len(k.orders[o].after))
				k.orders[o].after = append(k.orders[o].after, a)
			}
		}
		most = max(most, len(k.orders[o].after))
	}
	k.ends = make([]int32, most)
}
