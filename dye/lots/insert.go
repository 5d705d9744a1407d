package lots

import "slices"

// insert puts wants of one group where the plan costs least: as a lot of their
// own, or with a lot there is, which may then move. It fails only if they are too
// much for the pots or the line, which a single want never is.
func (f *finder) insert(wants []int32) bool {
	b := f.job.batch(wants)
	var own spot
	f.find(&b, &own)
	host := -1
	var with spot
	var merged batch
	for i, l := range f.lots {
		if l == nil || l.group != b.group || f.chance.overlooks() {
			continue
		}
		m := f.job.batch(merge(l.wants, wants))
		var s spot
		if f.feeds[i] >= 0 {
			f.widen(i, &m, &s)
		} else {
			s = f.move(i, &m)
		}
		if s.ok && (host < 0 || s.cost.less(with.cost)) {
			host, with, merged = i, s, m
		}
	}
	switch {
	case host >= 0 && (!own.ok || !own.cost.less(with.cost)):
		f.replace(host, &merged, &with)
	case own.ok:
		f.put(f.slot(), f.job.lot(&b, &own), own.after)
	default:
		return false
	}
	return true
}

func merge(a, b []int32) []int32 {
	out := make([]int32, 0, len(a)+len(b))
	out = append(append(out, a...), b...)
	slices.Sort(out)
	return out
}

// move finds the best place for a lot with more wants; the cost is what the plan
// costs more than now.
func (f *finder) move(i int, m *batch) (s spot) {
	before := f.cost
	l, after := f.take(i)
	saved := before.minus(f.cost)
	f.find(m, &s)
	f.put(i, l, after)
	s.cost = s.cost.minus(saved)
	return s
}

// widen adds wants to a lot whose bath feeds another: in the same pots on the
// same days.
func (f *finder) widen(i int, m *batch, s *spot) {
	l, pale := f.lots[i], f.lots[f.feeds[i]]
	r := f.job.groups[l.group].recipe
	n, last := len(l.loads), len(l.days)-1
	more := f.job.batch(without(m.wants, l.wants))
	if more.from > l.days[0] || !f.hangs(l.last(), r.dry, more.mass) {
		return
	}
	f.job.deal(m.wants, n, s.loads[:])
	for k, day := range l.days {
		s.days[k] = day
		var own uint32
		for _, p := range l.pots[k] {
			own |= 1 << p
		}
		if !fit(^own, r.cap, s.loads[:n], &s.pots[k]) {
			return
		}
	}
	for k, load := range pale.loads {
		at := slices.Index(s.pots[last][:n], pale.pots[len(pale.pots)-1][k])
		if load > f.job.paleMost(l.group, pale.group, s.loads[at]) {
			return
		}
	}
	s.ok, s.n, s.after = true, n, -1
	s.cost = f.job.tally(more.wants, l.ready)
}

// without is what of a is not in b; both ascend.
func without(a, b []int32) []int32 {
	out := make([]int32, 0, len(a)-len(b))
	for _, v := range a {
		if _, found := slices.BinarySearch(b, v); !found {
			out = append(out, v)
		}
	}
	return out
}

// replace puts a batch where a lot was, at its spot.
func (f *finder) replace(i int, b *batch, s *spot) {
	fed := f.feeds[i]
	if fed < 0 {
		f.take(i)
		f.put(i, f.job.lot(b, s), s.after)
		return
	}
	pale, _ := f.take(fed)
	f.take(i)
	f.put(i, f.job.lot(b, s), -1)
	f.put(fed, pale, i)
}
