package schedule

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// settle finishes a net whose tasks are not held or held already: units, and when
// each task would have to end.
func (n *net) settle() {
	rank := n.rank()
	n.makeUnits(rank)
	byRank := make([]int32, len(n.tasks))
	for i, r := range rank {
		byRank[r] = int32(i)
	}
	for _, i := range slices.Backward(byRank) {
		n.setLatest(&n.tasks[i])
	}
}

// choices finds what is looked at when someone is chosen for a task. The steps that
// stay with one person must have been left only who may do them all.
func (n *net) choices() {
	rank, open := n.rank(), map[string]*clock{}
	for i := range n.tasks {
		if t := &n.tasks[i]; !t.held {
			n.setRest(t, int32(i), rank)
			n.setOpen(t, open)
		}
	}
}

// setOpen finds when any who may do a task has hours for it; of steps that the same
// people may do it is found once.
func (n *net) setOpen(t *task, known map[string]*clock) {
	key := []byte(n.problem.Steps[t.step].Calendar)
	var clocks []*clock
	for k := range t.options {
		key = binary.AppendVarint(key, int64(t.options[k].line))
		clocks = append(clocks, t.options[k].clock)
	}
	if _, ok := known[string(key)]; !ok {
		known[string(key)] = together(clocks)
	}
	t.open = known[string(key)]
}

// setRest finds the steps that stay with whoever does a task and come after it, and how
// long they take with each.
func (n *net) setRest(t *task, i int32, rank []int32) {
	if t.stay < 0 {
		return
	}
	for _, j := range n.stays[t.stay].tasks {
		if !n.tasks[j].held && rank[j] > rank[i] {
			t.rest = append(t.rest, j)
		}
	}
	slices.SortFunc(t.rest, func(a, b int32) int { return cmp.Compare(rank[a], rank[b]) })
	for k := range t.options {
		o := &t.options[k]
		o.sum = o.work
		for _, j := range t.rest {
			next := &n.tasks[j]
			own := &next.options[next.optionNear(int32(k), o.line)]
			o.rest += next.takes(own)
			o.sum += own.work
		}
	}
}

// takes is how long a task takes at least by an option, nights included.
func (t *task) takes(o *option) int32 { return t.lead + o.clock.atLeast(o.work) + t.tail }

// rank is a place in line for each task, after all that it must come after;
// it is -1 for tasks in or behind a loop.
func (n *net) rank() []int32 {
	rank := make([]int32, len(n.tasks))
	left := make([]int, len(n.tasks))
	var ready []int32
	for i := range n.tasks {
		rank[i] = -1
		if left[i] = len(n.tasks[i].before); left[i] == 0 {
			ready = append(ready, int32(i))
		}
	}
	for k := 0; k < len(ready); k++ {
		rank[ready[k]] = int32(k)
		for _, e := range n.tasks[ready[k]].behind {
			if left[e.task]--; left[e.task] == 0 {
				ready = append(ready, e.task)
			}
		}
	}
	return rank
}

// setLatest is for tasks in descending rank.
func (n *net) setLatest(t *task) {
	t.latest, t.least, t.work = never, never, never
	slow := math.Inf(1)
	for _, o := range t.options {
		t.least, t.work = min(t.least, t.takes(&o)), min(t.work, o.work)
		slow = min(slow, float64(o.work)*o.clock.stretch())
	}
	for _, o := range t.orders {
		t.latest = min(t.latest, n.orders[o].due)
	}
	if n.single {
		t.latest = 0 // only the order of the tasks matters then
	}
	for _, e := range t.behind {
		next := &n.tasks[e.task]
		begin := next.begins()
		if !next.held {
			begin = next.latest - next.usual
		}
		if next.latest < never || next.held {
			t.latest = min(t.latest, begin-e.least)
		}
	}
	t.usual = int32(min(slow, 1<<29)) + t.lead + t.tail
}

// begins is when a held task does.
func (t *task) begins() int32 {
	if t.kept {
		return t.keptAt
	}
	return t.toldAt
}

// makeUnits joins tasks that may not lie for long between each other, and what
// stands between them.
func (n *net) makeUnits(rank []int32) {
	of := make([]int32, len(n.tasks))
	for i := range of {
		of[i] = int32(i)
	}
	root := func(i int32) int32 {
		for of[i] != i {
			of[i] = of[of[i]]
			i = of[i]
		}
		return i
	}
	for i := range n.tasks {
		for _, e := range n.tasks[i].before {
			if e.most < never && !n.tasks[i].held && !n.tasks[e.task].held {
				of[root(int32(i))] = root(e.task)
			}
		}
	}
	for n.joinLoops(root, of) {
	}
	index := map[int32]int32{}
	order := make([]int32, len(n.tasks))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Compare(rank[a], rank[b]) })
	for _, i := range order {
		if n.tasks[i].held {
			continue
		}
		r := root(i)
		u, ok := index[r]
		if !ok {
			u = int32(len(n.units))
			index[r] = u
			n.units = append(n.units, unit{})
		}
		n.tasks[i].unit = u
		n.units[u].tasks = append(n.units[u].tasks, i)
	}
	n.linkUnits()
}

func (n *net) linkUnits() {
	for u := range n.units {
		for _, i := range n.units[u].tasks {
			for _, e := range n.tasks[i].before {
				if v := n.tasks[e.task].unit; v >= 0 && v != int32(u) && !slices.Contains(n.units[u].before, v) {
					n.units[u].before = append(n.units[u].before, v)
					n.units[v].behind = append(n.units[v].behind, int32(u))
				}
			}
		}
	}
}

// joinLoops makes one of units that come each after the other, and reports
// whether there were any.
func (n *net) joinLoops(root func(int32) int32, of []int32) bool {
	next := map[int32][]int32{}
	var roots []int32
	for i := range n.tasks {
		r := root(int32(i))
		if r == int32(i) {
			roots = append(roots, r)
		}
		for _, e := range n.tasks[i].behind {
			if q := root(e.task); q != r {
				next[r] = append(next[r], q)
			}
		}
	}
	t := tarjan{next: next, index: map[int32]int{}, low: map[int32]int{}, on: map[int32]bool{}}
	joined := false
	for _, r := range roots {
		if t.index[r] == 0 {
			t.visit(r)
		}
	}
	for _, loop := range t.loops {
		for _, r := range loop[1:] {
			of[r] = loop[0]
			joined = true
		}
	}
	return joined
}

// tarjan finds strongly connected components (Tarjan, SIAM J. Comput. 1972).
type tarjan struct {
	next  map[int32][]int32
	index map[int32]int
	low   map[int32]int
	on    map[int32]bool
	stack []int32
	loops [][]int32
}

func (t *tarjan) visit(v int32) {
	t.index[v] = len(t.index) + 1
	t.low[v] = t.index[v]
	t.stack = append(t.stack, v)
	t.on[v] = true
	for _, w := range t.next[v] {
		if t.index[w] == 0 {
			t.visit(w)
			t.low[v] = min(t.low[v], t.low[w])
		} else if t.on[w] {
			t.low[v] = min(t.low[v], t.index[w])
		}
	}
	if t.low[v] != t.index[v] {
		return
	}
	k := slices.Index(t.stack, v)
	loop := slices.Clone(t.stack[k:])
	t.stack = t.stack[:k]
	for _, w := range loop {
		t.on[w] = false
	}
	if len(loop) > 1 {
		t.loops = append(t.loops, loop)
	}
}
