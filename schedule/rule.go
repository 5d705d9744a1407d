package schedule

import (
	"cmp"
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
// who has had least among those with whom the orders are in time.
func (b *board) choose(t *task, from int32, r *rule) (best int32) {
	best = -1
	holder := int32(-1)
	if t.stay >= 0 {
		holder = b.stays[t.stay].line
	}
	bestEnd, bestShare, inTime := never, math.Inf(1), false
	size := len(t.options)
	begin, count := 0, size
	if r.look > 0 && size > r.look && holder < 0 {
		begin, count = r.chance.Below(size), r.look
	}
	for j := range count {
		k := begin + j
		if k >= size {
			k -= size
		}
		o := &t.options[k]
		if holder >= 0 && o.line != holder {
			continue
		}
		if bestEnd < never && holder < 0 && r.misses > 0 && r.chance.Below(r.misses) == 0 {
			continue
		}
		share := b.share(o)
		if inTime && share >= bestShare || !r.fair && best >= 0 && o.work+from > bestEnd {
			continue
		}
		end := b.fit(t, int32(k), from).end
		better := cmp.Or(cmp.Compare(end, bestEnd), cmp.Compare(share, bestShare)) < 0
		if r.fair && end <= t.latest {
			better = !inTime || share < bestShare
		} else if inTime {
			better = false
		}
		if better || best < 0 {
			best, bestEnd, bestShare = int32(k), end, share
			inTime = r.fair && end <= t.latest
		}
	}
	return best
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
