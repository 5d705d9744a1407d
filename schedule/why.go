package schedule

import (
	"slices"

	"urdir/check"
)

// Cause is what holds a step back.
type Cause string

const (
	FromBegin Cause = "begin" // it starts as soon as anything may: the chain ends
	FromTold  Cause = "told"  // someone was told so, or it is a class: the chain ends
	FromOrder Cause = "order" // nothing is done for the order before: the chain ends
	AfterStep Cause = "step"  // another step must have ended, and waited
	AfterWork Cause = "work"  // the person does another step until then
	AfterRoom Cause = "room"  // another step takes up the place until then
	NoHours   Cause = "hours" // the person has no hours, or not enough at a stretch
	NextStep  Cause = "next"  // the step after it cannot begin sooner, and it may not lie for long
	Unforced  Cause = "free"  // nothing: the plan has it so for the sake of others
)

// Link is one step of the chain that makes an order as late as it is, and what
// holds it back.
type Link struct {
	Step   string   `json:"step"`
	Cause  Cause    `json:"cause"`
	Other  string   `json:"other,omitempty"`  // the step that holds it back
	Person string   `json:"person,omitempty"` // whose work or hours it is
	Place  string   `json:"place,omitempty"`
	From   Minutes  `json:"from_min"`       // from when on it is held back
	To     Minutes  `json:"to_min"`         // until it starts
	Days   []string `json:"days,omitempty"` // names of the feasts and absences in between
}

// Why is the binding chain of an order in a plan of the problem, from its last
// step back to what nothing holds.
func Why(p Problem, plan Plan, order string) ([]Link, check.Problems) {
	s, ps := around(&p, &plan)
	if ps.Failed() {
		return nil, ps
	}
	w := why{s.net, s.walk, s.net.deal(&s.best)}
	w.load(&s.best)
	last := int32(-1)
	for i := range w.net.tasks {
		if slices.Contains(p.Steps[i].Orders, order) && w.spots[i].end < never && (last < 0 || w.spots[i].end > w.spots[last].end) {
			last = int32(i)
		}
	}
	var out []Link
	seen := map[int32]bool{}
	for i := last; i >= 0 && !seen[i]; {
		seen[i] = true
		var l Link
		l, i = w.link(i)
		out = append(out, l)
	}
	return out, ps
}

// why asks a board that is not changed.
type why struct {
	net *net
	*walk
	rooms []int32 // place of each need
}

// link is what holds a task back, and the task behind it, or -1.
func (w *why) link(i int32) (l Link, next int32) {
	t, s := &w.net.tasks[i], &w.spots[i]
	l = Link{Step: w.net.problem.Steps[i].Key, To: Minutes(s.start), From: Minutes(s.start)}
	if begun := t.told != nil && t.told.Begun; t.held && !t.kept && !begun {
		l.Cause = FromTold
		return l, -1
	}
	ready, before := w.readyBy(i)
	o := &t.options[s.option]
	if o.line >= 0 {
		l.Person = w.net.problem.People[o.line].Key
	}
	if ready < s.start {
		if other, cause := w.inTheWay(i, ready); cause != Unforced {
			return w.held(l, i, other, cause, ready)
		}
		if first, _ := o.clock.run(ready+t.lead, o.work, t.whole); first == s.first && o.clock != nil {
			l.Cause, l.From, l.Days = NoHours, Minutes(ready), w.closings(i, ready, s.first)
			return l, before
		}
		if j := w.mustFollow(i); j >= 0 {
			l.Cause, l.Other = NextStep, w.net.problem.Steps[j].Key
			return l, j
		}
		l.Cause, l.From = Unforced, Minutes(ready)
		return l, before
	}
	switch {
	case before >= 0:
		l.Cause, l.Other = AfterStep, w.net.problem.Steps[before].Key
	case ready > 0:
		l.Cause = FromOrder
	default:
		l.Cause = FromBegin
	}
	return l, before
}

// held fills a link with what is in the way.
func (w *why) held(l Link, i, other int32, cause Cause, ready int32) (Link, int32) {
	l.Cause, l.Other, l.From = cause, w.net.problem.Steps[other].Key, Minutes(ready)
	if cause == AfterRoom {
		t, q := &w.net.tasks[i], &w.net.tasks[other]
		for d := range t.needs {
			for e := range q.needs {
				if w.places[t.spot+d] == w.places[q.spot+e] {
					l.Place = w.net.problem.Places[w.rooms[t.spot+d]].Key
				}
			}
		}
	}
	return l, other
}

// readyBy is when what comes before a task lets it start, and which task that is,
// or -1.
func (w *why) readyBy(i int32) (at, before int32) {
	t := &w.net.tasks[i]
	at, before = t.release, -1
	for _, e := range t.before {
		if q := &w.spots[e.task]; q.option >= 0 && q.end+e.least > at {
			at, before = q.end+e.least, e.task
		}
	}
	return at, before
}

// inTheWay is the task that ends last of those that keep a task from starting in
// the working minute before it does.
func (w *why) inTheWay(i, ready int32) (other int32, cause Cause) {
	t, s := &w.net.tasks[i], &w.spots[i]
	o := &t.options[s.option]
	from := max(o.clock.before(s.first)-t.lead, ready)
	if t.whole { // the last minute from which all of it could have been done
		for from > ready && from < s.start {
			if first, _ := o.clock.run(from+t.lead, o.work, true); first < s.first {
				break
			}
			from = max(ready, o.clock.before(from))
		}
	}
	first, last := o.clock.run(from+t.lead, o.work, t.whole)
	if first >= s.first {
		return -1, Unforced
	}
	latest := -never
	for j := range w.spots {
		q, k := &w.spots[j], &w.net.tasks[j]
		if int32(j) == i || q.option < 0 || q.end >= never {
			continue
		}
		if by := &k.options[q.option]; o.line >= 0 && by.line == o.line && !k.cut && q.first < last && first < q.last && q.last <= s.first && q.last > latest {
			other, cause, latest = int32(j), AfterWork, q.last
		}
		if q.start < last+t.tail && first-t.lead < q.end && q.end <= s.start && q.end > latest && w.full(t, k, q, first-t.lead, last+t.tail) {
			other, cause, latest = int32(j), AfterRoom, q.end
		}
	}
	if latest == -never {
		return -1, Unforced
	}
	return other, cause
}

// full reports whether another task takes up what a task would need from a time to
// another, and no other place has room for it.
func (w *why) full(t, k *task, q *spot, from, to int32) bool {
	for d := range t.needs {
		if at, _ := w.roomFor(&t.needs[d], from, to); at == from {
			continue
		}
		for e := range k.needs {
			if slices.Contains(t.needs[d].places, w.places[k.spot+e]) && q.end > from {
				return true
			}
		}
	}
	return false
}

// mustFollow is a task that comes after one, and not long after; or -1.
func (w *why) mustFollow(i int32) int32 {
	for _, e := range w.net.tasks[i].behind {
		if e.most < never && w.spots[e.task].option >= 0 {
			return e.task
		}
	}
	return -1
}

// closings is the names of what closes a person's calendars on days from a time to
// another.
func (w *why) closings(i, from, to int32) (names []string) {
	p := w.net.problem
	s := &p.Steps[i]
	keys := []string{s.Calendar}
	if o := &w.net.tasks[i].options[w.spots[i].option]; o.line >= 0 {
		keys = append(keys, p.People[o.line].Calendars...)
	}
	for at := from; at < to+day; at += day {
		d, weekday := p.date(min(at, to))
		for _, k := range keys {
			c := w.net.hours.byKey[k]
			if c == nil {
				continue
			}
			if _, name := c.on(d, weekday, nil); name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}
