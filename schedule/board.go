package schedule

// board is tasks placed in time, with what they take of people and places.
type board struct {
	net    *net
	lines  []line
	spots  []spot
	places []int32 // lines of each need
	stays  []holder
	given  []int64 // minutes of paid work of each person
	broken int     // waits that are not kept, tasks that found no time
	lower  []int32 // starts that the search for a unit's place has ruled out
	try    []int32 // places being tried
	floor  int32   // nothing starts before
}

// spot is where a task is. Hands work from first to last.
type spot struct {
	option      int32 // -1: not placed
	start, end  int32
	first, last int32
}

// holder is who has a stay, and how many tasks of it are placed.
type holder struct{ line, tasks int32 }

func newBoard(n *net) *board {
	b := &board{net: n, lines: make([]line, len(n.lines)), spots: make([]spot, len(n.tasks)), places: make([]int32, n.needs),
		stays: make([]holder, len(n.stays)), given: make([]int64, len(n.people)), lower: make([]int32, len(n.tasks)), try: make([]int32, 16)}
	b.clear()
	return b
}

func (b *board) clear() {
	for i := range b.lines {
		b.lines[i].most = b.net.lines[i]
		b.lines[i].clear()
	}
	for i := range b.spots {
		b.spots[i].option = -1
		b.lower[i] = 0
	}
	for i := range b.stays {
		b.stays[i] = holder{-1, 0}
	}
	for i := range b.given {
		b.given[i] = b.net.people[i].given
	}
	b.broken = 0
}

// copyFrom makes this board the same as another of the same net.
func (b *board) copyFrom(o *board) {
	for i := range b.lines {
		b.lines[i].changes = append(b.lines[i].changes[:0], o.lines[i].changes...)
	}
	copy(b.spots, o.spots)
	copy(b.places, o.places)
	copy(b.stays, o.stays)
	copy(b.given, o.given)
	b.broken = o.broken
}

// ready is when what stands before a task lets it start.
func (b *board) ready(i int32) int32 {
	t := &b.net.tasks[i]
	at := max(t.release, b.lower[i], b.floor)
	for _, e := range t.before {
		if s := &b.spots[e.task]; s.option >= 0 {
			at = max(at, min(s.end+e.least, never))
		}
	}
	return at
}

// fit is the first place in time of a task from a moment on, done by one of its
// options; the end is never if there is none. Its places are left in try.
func (b *board) fit(t *task, k int32, from int32) spot { return b.fitBy(t, k, from, never) }

// fitBy is the same for a task that must end by a time: the end is never, too, if
// it cannot.
func (b *board) fitBy(t *task, k int32, from, by int32) (s spot) {
	o := &t.options[k]
	s.option = k
	for s.start = from; ; {
		s.first, s.last = o.clock.run(s.start+t.lead, o.work, t.whole)
		if s.first >= never || s.last > by-t.tail {
			s.start, s.end = never, never
			return s
		}
		s.start, s.end = s.first-t.lead, s.last+t.tail
		later := s.start
		if o.line >= 0 {
			later = b.lines[o.line].room(s.first, s.last, 1) - t.lead
		}
		if later == s.start {
			for d := range t.needs {
				at, place := b.roomFor(&t.needs[d], s.start, s.end)
				b.try[d] = place
				later = max(later, at)
			}
		}
		if later == s.start {
			return s
		}
		s.start = later
	}
}

// roomFor is where a need has room from a time to another, or the earliest time
// from which it may have.
func (b *board) roomFor(d *need, from, to int32) (at, place int32) {
	at = never
	for k, p := range d.places {
		free := b.lines[p].room(from, to, d.amounts[k])
		if free == from {
			return from, p
		}
		if free < at {
			at, place = free, p
		}
	}
	return at, place
}

// put places a task, in the places of try.
func (b *board) put(i int32, s spot) {
	t := &b.net.tasks[i]
	copy(b.places[t.spot:], b.try[:len(t.needs)])
	b.occupy(t, &s, 1)
	b.spots[i] = s
	b.broken += b.breaks(t, &s)
	if t.stay >= 0 {
		h := &b.stays[t.stay]
		h.line = t.options[s.option].line
		h.tasks++
	}
}

// take takes a task away again and leaves its places in try.
func (b *board) take(i int32) spot {
	t, s := &b.net.tasks[i], b.spots[i]
	copy(b.try, b.places[t.spot:t.spot+len(t.needs)])
	b.occupy(t, &s, -1)
	b.broken -= b.breaks(t, &s) // with those that are there now, whoever came first
	b.spots[i].option = -1
	if t.stay >= 0 {
		h := &b.stays[t.stay]
		if h.tasks--; h.tasks == 0 {
			h.line = -1
		}
	}
	return s
}

func (b *board) occupy(t *task, s *spot, sign int32) {
	if s.end >= never {
		return
	}
	if o := &t.options[s.option]; o.line >= 0 {
		if !t.cut {
			b.lines[o.line].add(s.first, s.last, sign)
		}
		b.given[o.line] += int64(sign) * int64(o.work)
	}
	for d := range t.needs {
		b.lines[b.try[d]].add(s.start, s.end, sign*t.needs[d].amountOn(b.try[d]))
	}
}

// breaks counts the waits to tasks that are placed that a task does not keep, and
// whether it has found no time.
func (b *board) breaks(t *task, s *spot) (broken int) {
	if s.end >= never {
		broken = 1
	}
	for _, e := range t.before {
		if q := &b.spots[e.task]; q.option >= 0 && s.start < never && q.end < never && (s.start < q.end+e.least || s.start-q.end > e.most) {
			broken++
		}
	}
	for _, e := range t.behind {
		if q := &b.spots[e.task]; q.option >= 0 && s.end < never && q.end < never && (q.start < s.end+e.least || q.start-s.end > e.most) {
			broken++
		}
	}
	return broken
}

// mostTries is how often a unit is begun again, later, since one of its tasks
// would have to wait too long; our choice.
const mostTries = 100

// build places a unit as early as the rule has it.
func (b *board) build(u *unit, r *rule) {
	for k, tries := 0, 0; k < len(u.tasks); k++ {
		i := u.tasks[k]
		b.place(i, r)
		if len(u.tasks) == 1 {
			return
		}
		if again, short := b.waits(i); again >= 0 && tries < mostTries {
			tries++
			at := k
			for ; u.tasks[at] != again; at-- {
				b.take(u.tasks[at])
			}
			s := b.take(again)
			b.lower[again] = s.start + short
			k = at - 1
		}
	}
	for _, i := range u.tasks {
		b.lower[i] = 0
	}
}

// waits is a task of the same unit that ended too long before a task, and by how
// much; -1 if there is none.
func (b *board) waits(i int32) (before, short int32) {
	t, s := &b.net.tasks[i], &b.spots[i]
	if s.end >= never {
		return -1, 0
	}
	for _, e := range t.before {
		if q := &b.spots[e.task]; s.start-q.end > e.most && b.net.tasks[e.task].unit == t.unit && q.end < never {
			return e.task, s.start - q.end - e.most
		}
	}
	return -1, 0
}
