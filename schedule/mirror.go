package schedule

// mirror is the net with time running back from a moment: what came before comes
// after, what stood after hands stands before them. A plan of one is, read
// backward, a plan of the other.
func (n *net) mirror(from int32) *net {
	m := *n
	m.tasks = make([]task, len(n.tasks))
	clocks := map[*clock]*clock{nil: nil}
	mirrored := func(c *clock) *clock {
		if _, ok := clocks[c]; !ok {
			clocks[c] = c.mirror(from)
		}
		return clocks[c]
	}
	for i := range n.tasks {
		t := n.tasks[i]
		t.lead, t.tail = t.tail, t.lead
		t.before, t.behind = t.behind, t.before
		t.release = 0
		t.rest = nil // who does each is chosen by then
		t.open = mirrored(t.open)
		t.options = make([]option, len(n.tasks[i].options))
		for k, o := range n.tasks[i].options {
			o.clock, o.rest = mirrored(o.clock), 0
			t.options[k] = o
		}
		m.tasks[i] = t
	}
	m.units = make([]unit, len(n.units))
	for u := range n.units {
		old := &n.units[u]
		m.units[u] = unit{before: old.behind, behind: old.before}
		for k := range old.tasks {
			m.units[u].tasks = append(m.units[u].tasks, old.tasks[len(old.tasks)-1-k])
		}
	}
	return &m
}

// mirror is a spot with time running back from a moment.
func (s spot) mirror(from int32) spot {
	s.start, s.end = from-s.end, from-s.start
	s.first, s.last = from-s.last, from-s.first
	return s
}
