package schedule

import (
	"math"
	"slices"

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
	latest, rest := t.latest, int32(0)
	for _, i := range t.rest {
		next := &b.net.tasks[i]
		latest, rest = next.latest, rest+next.least
	}
	from = b.opens(t, from)
	best = -1
	bestEnd := never
	for _, key := range b.byShare(t, r) {
		k := int32(uint32(key))
		o := &t.options[k]
		by := bestEnd - 1 // what ends later is not better
		if r.fair {
			by = max(by, latest)
		}
		if best >= 0 && (t.lead+o.work+t.tail > by-rest-from || bestEnd < never && r.misses > 0 && r.chance.Below(r.misses) == 0) {
			continue
		}
		end := b.endOfRest(t, k, b.fitBy(t, k, from, by-rest).end, by)
		if best < 0 || end < bestEnd {
			best, bestEnd = k, end
		}
		if r.fair && end <= latest {
			return k
		}
	}
	return best
}

// opens is when a task may start at the soonest, whoever does it: its places have
// room and its own calendar is open. Places that are full for weeks are passed once
// and not with each person.
func (b *board) opens(t *task, from int32) int32 {
	for len(t.needs) > 0 {
		first, last := t.open.run(from+t.lead, t.least-t.lead-t.tail, t.whole)
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
			break
		}
		from = later
	}
	return from
}

// byShare is the options of a task, who would have had least of what she wants
// first; of no more people than the rule looks at, beginning anywhere.
func (b *board) byShare(t *task, r *rule) []uint64 {
	size := len(t.options)
	begin, count := 0, size
	if r.look > 0 && size > r.look {
		begin, count = r.chance.Below(size), r.look
	}
	b.queue = b.queue[:0]
	for j := range count {
		k := (begin + j) % size
		share := math.Float32bits(b.share(&t.options[k])) // of numbers that are not negative the bits are in order
		b.queue = append(b.queue, uint64(share)<<32|uint64(k))
	}
	slices.Sort(b.queue)
	return b.queue
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
		next, k := &b.net.tasks[i], option
		if int(k) >= len(next.options) || next.options[k].line != line { // as a rule the same people do all of it
			k = next.optionOf(line)
		}
		end = b.fitBy(next, k, max(end, b.ready(i)), by).end
	}
	return end
}

// share is what a person would have had of what she wants; above all others if
// she wants nothing.
func (b *board) share(o *option) float32 {
	if o.line < 0 {
		return 0
	}
	w := b.net.people[o.line].wants
	if w == 0 {
		return math.MaxFloat32
	}
	return float32(b.given[o.line]+int64(o.work)) / float32(w)
}
