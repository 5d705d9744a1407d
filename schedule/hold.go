package schedule

import (
	"cmp"
	"fmt"
	"slices"

	"urdir/check"
)

// hold places what is fixed: classes, then what has begun, then what people were
// told.
func (n *net) hold(b *board) (ps check.Problems) {
	var classes, begun, told []int32
	for i := range n.tasks {
		s := &n.problem.Steps[i]
		switch {
		case !s.At.IsZero():
			classes = append(classes, int32(i))
		case s.Told == nil:
		case s.Told.Begun:
			begun = append(begun, int32(i))
		case !s.Told.Free:
			told = append(told, int32(i))
		}
	}
	byStart := func(a, c int32) int { return cmp.Compare(n.tasks[a].toldAt, n.tasks[c].toldAt) }
	slices.SortStableFunc(begun, byStart)
	slices.SortStableFunc(told, byStart)
	slices.SortStableFunc(classes, func(a, c int32) int { return cmp.Compare(len(n.tasks[a].options), len(n.tasks[c].options)) })
	for _, i := range classes {
		n.holdClass(b, i, &ps)
	}
	for _, i := range begun {
		n.holdBegun(b, i, &ps)
	}
	for _, i := range told {
		n.holdTold(b, i, &ps)
	}
	return ps
}

func (n *net) wrongStep(i int32) (path string, args check.Args) {
	return fmt.Sprintf("steps[%d]", i), check.Args{"step": n.problem.Steps[i].Key}
}

// holdClass gives a class the person who has had least of those who are there.
func (n *net) holdClass(b *board, i int32, ps *check.Problems) {
	t, s := &n.tasks[i], &n.problem.Steps[i]
	t.held, t.whole, t.toldAt = true, true, n.problem.at(s.At)
	path, args := n.wrongStep(i)
	args["when"] = n.problem.say(Minutes(t.toldAt))
	best, found := spot{}, false
	there := false
	for k := range t.options {
		o := &t.options[k]
		first, _ := o.clock.run(t.toldAt, o.work, true)
		if there = there || first == t.toldAt; first != t.toldAt || t.cut && n.teaches(b, i, o) {
			continue
		}
		p := b.fit(t, int32(k), t.toldAt)
		if p.start == t.toldAt && (!found || b.share(o) < b.share(&t.options[best.option])) {
			best, found = p, true
		}
	}
	switch {
	case found:
		b.fit(t, best.option, t.toldAt) // for its places
		b.put(i, best)
	case !there:
		ps.Wrong(path+".at", "schedule-class-away", args)
	default:
		ps.Wrong(path+".at", "schedule-class-clash", args)
	}
}

// teaches reports whether a person whose hours of classes are cut out of her
// others has a class at the same time.
func (n *net) teaches(b *board, i int32, o *option) bool {
	at := n.tasks[i].toldAt
	for k := range n.tasks {
		s := &b.spots[k]
		if q := &n.tasks[k]; q.cut && s.option >= 0 && q.options[s.option].line == o.line && s.first < at+o.work && at < s.last {
			return true
		}
	}
	return false
}

// holdBegun goes on with what has begun as soon as the person can.
func (n *net) holdBegun(b *board, i int32, ps *check.Problems) {
	t := &n.tasks[i]
	path, args := n.wrongStep(i)
	k := t.optionOf(t.toldBy)
	args["person"] = t.told.Person
	if k < 0 {
		ps.Wrong(path+".told", "schedule-told-unable", args)
		return
	}
	t.held = true
	t.inPlaces(n, t.told.Places)
	s := b.fit(t, k, max(0, t.toldAt))
	if s.end >= never {
		ps.Wrong(path+".told", "schedule-left", args)
		return
	}
	b.put(i, s)
}

// holdTold leaves a task where it is, or lets it go if that is not possible.
func (n *net) holdTold(b *board, i int32, ps *check.Problems) {
	t := &n.tasks[i]
	path, args := n.wrongStep(i)
	if k := t.optionOf(t.toldBy); k >= 0 {
		needs := slices.Clone(t.needs)
		t.inPlaces(n, t.told.Places)
		s := b.fit(t, k, t.toldAt)
		if s.start == t.toldAt {
			t.held = true
			b.put(i, s)
			return
		}
		t.needs = needs
	}
	args["person"], args["when"] = t.told.Person, n.problem.say(Minutes(t.toldAt))
	ps.Look(path+".told", "schedule-told-broken", args)
}

// optionOf is the option of a person, or -1.
func (t *task) optionOf(line int32) int32 {
	return int32(slices.IndexFunc(t.options, func(o option) bool { return o.line == line }))
}

// optionNear is the same where it is mostly the option of some number: as a rule the same
// people do all that stays with one.
func (t *task) optionNear(k, line int32) int32 {
	if int(k) < len(t.options) && t.options[k].line == line {
		return k
	}
	return t.optionOf(line)
}

// say is a point in time for a message: date and hour.
func (p *Problem) say(m Minutes) string { return p.When(m).Format("2006-01-02 15:04") }
