package schedule

import (
	"math"

	"urdir/chance"
)

// rule is how the person for a task is chosen among those who may do it.
type rule struct {
	chosen []int32 // by task, the option; nil or -1: choose
	fair   bool    // who has had least of what she wants, if the orders are in time with her
	chance *chance.Stream
	misses int // one in so many is overlooked; zero: none
	look   int // at so many at most; zero: all
}

// place puts a task where the rule has it.
func (b *board) place(i int32, r *rule) {
	t := &b.net.tasks[i]
	from := b.ready(i)
	if len(r.chosen) > 0 && r.chosen[i] >= 0 {
		b.put(i, b.fit(t, r.chosen[i], from))
		return
	}
	if len(t.options) == 1 {
		b.put(i, b.fit(t, 0, from))
		return
	}
	k := b.choose(t, from, r)
	b.put(i, b.fit(t, k, from))
}

// choose is the option that ends first, or, by a fair rule, the one of the person
// who has had least among those with whom the orders are in time. Of steps that
// stay with one person it is the end of the last that counts: who could begin at
// once may be busy for long after.
func (b *board) choose(t *task, from int32, r *rule) (best int32) {
	if t.stay >= 0 && b.stays[t.stay].line >= 0 {
		return t.optionOf(b.stays[t.stay].line)
	}
	latest := t.latest
	if n := len(t.rest); n > 0 {
		latest = b.net.tasks[t.rest[n-1]].latest
	}
	from = b.opens(t, from)
	size := len(t.options)
	begin, count := 0, size
	if r.look > 0 && size > r.look {
		begin, count = r.chance.Below(size), r.look
	}
	best = -1
	bestEnd, bestShare, inTime := never, math.Inf(1), false
	for j := range count {
		k := int32((begin + j) % size)
		o, share := &t.options[k], b.share(&t.options[k])
		by := bestEnd - 1 // what ends later is not better
		switch {
		case inTime && share >= bestShare:
			continue
		case inTime:
			by = latest
		case share < bestShare:
			by++
		}
		if r.fair {
			by = max(by, latest)
		}
		if best >= 0 && (t.takes(o)+o.rest > by-from || bestEnd < never && r.misses > 0 && r.chance.Below(r.misses) == 0) {
			continue
		}
		end := b.endOfRest(t, k, b.fitBy(t, k, from, by-o.rest).end, by)
		if now := r.fair && end <= latest; now || best < 0 || !inTime && end <= by {
			best, bestEnd, bestShare, inTime = k, end, share, now
		}
	}
	return best
}

// opens is when a task may start at the soonest, whoever does it: someone has hours
// for it and its places have room. Nights, and places that are full for weeks, are
// passed once and not with each person.
func (b *board) opens(t *task, from int32) int32 {
	for {
		first, last := t.open.run(from+t.lead, t.work, t.whole)
		if first >= never {
			return never
		}
		from = first - t.lead
		later := from
		for d := range t.needs {
			at, _ := b.roomFor(&t.needs[d], from, last+t.tail)
			later = max(later, at)
		}
		if later == from {
			return from
		}
		from = later
	}
}

// endOfRest is when the last of the steps that stay with a person ends, if she does
// the first, by the option, until some time: never if that is after a time by which
// it must.
func (b *board) endOfRest(t *task, option, end, by int32) int32 {
	line := t.options[option].line
	for _, i := range t.rest {
		if end >= never {
			return never
		}
		next := &b.net.tasks[i]
		k := next.optionNear(option, line)
		end = b.fitBy(next, k, max(end, b.ready(i)), by).end
	}
	return end
}

// share is what a person would have had of what she wants; above all others if
// she wants nothing.
func (b *board) share(o *option) float64 {
	if o.line < 0 {
		return 0
	}
	w := b.net.people[o.line].wants
	if w == 0 {
		return math.MaxFloat64
	}
	return float64(b.given[o.line]+int64(o.work)) / float64(w)
}
