package lots

import (
	"cmp"
	"slices"

	"urdir/chance"
)

// Most lots taken out in one step; a day has no more pots than that.
const mostOut = 8

// pick chooses the lots to take out: some of one colour, of one recipe, of one
// day or two, or a late one and what stands before it.
func (s *Search) pick(st *state) {
	s.out = s.out[:0]
	at := s.any(st)
	l := st.lots[at]
	switch s.chance.Below(5) {
	case 0:
		s.outIf(st, at, 2+s.chance.Below(2), func(o *lot) bool { return o.group == l.group })
	case 1:
		family := s.job.groups[l.group].family
		s.outIf(st, at, 2+s.chance.Below(3), func(o *lot) bool { return s.job.groups[o.group].family == family })
	case 2:
		day := l.days[s.chance.Below(len(l.days))]
		s.outIf(st, at, mostOut, func(o *lot) bool { return slices.Contains(o.days, day) })
	case 3:
		first := l.days[0] - s.chance.Below(4)
		s.outIf(st, at, 2+s.chance.Below(4), func(o *lot) bool { return o.last() >= first && o.days[0] <= l.last() })
	default:
		at = s.late(st, at)
		last := st.lots[at].last()
		s.outIf(st, at, 2+s.chance.Below(3), func(o *lot) bool { return o.days[0] <= last })
	}
}

// any is a slot with a lot.
func (s *Search) any(st *state) int {
	for i := s.chance.Below(len(st.lots)); ; i = (i + 1) % len(st.lots) {
		if st.lots[i] != nil {
			return i
		}
	}
}

// late is the first slot from one on with a late lot, or the one.
func (s *Search) late(st *state, from int) int {
	for k := range st.lots {
		i := (from + k) % len(st.lots)
		if l := st.lots[i]; l != nil && s.job.tally(l.wants, l.ready).late > 0 {
			return i
		}
	}
	return from
}

// outIf takes a slot and others that are like it, in an order of chance, up to so
// many in all.
func (s *Search) outIf(st *state, at, most int, like func(*lot) bool) {
	s.out = append(s.out, at)
	start := s.chance.Below(len(st.lots))
	for k := range st.lots {
		i := (start + k) % len(st.lots)
		if l := st.lots[i]; len(s.out) < most && l != nil && i != at && like(l) {
			s.out = append(s.out, i)
		}
	}
}

// takeOut removes the chosen lots, and those that their baths feed, and leaves
// their yarn in the order in which it is to go back: whole lots or single wants,
// by chance, by due day, by mass, or strong before pale.
func (s *Search) takeOut(st *state) {
	s.left = s.left[:0]
	whole := s.chance.Below(3) == 0
	for _, i := range s.out {
		if st.lots[i] == nil {
			continue
		}
		if fed := st.feeds[i]; fed >= 0 {
			s.leave(st, fed, whole)
		}
		s.leave(st, i, whole)
	}
	chance.Shuffle(&s.chance.Stream, s.left)
	switch s.chance.Below(4) {
	case 0:
		slices.SortStableFunc(s.left, func(a, b []int32) int { return s.byDue(a[0], b[0]) })
	case 1:
		slices.SortStableFunc(s.left, func(a, b []int32) int { return cmp.Compare(s.mass(b), s.mass(a)) })
	case 2: // groups are by descending strength within a family
		slices.SortStableFunc(s.left, func(a, b []int32) int { return cmp.Compare(s.job.wants[a[0]].group, s.job.wants[b[0]].group) })
	}
}

func (s *Search) leave(st *state, i int, whole bool) {
	l, _ := st.take(i)
	if whole || len(l.wants) == 1 {
		s.left = append(s.left, l.wants)
		return
	}
	for k := range l.wants {
		s.left = append(s.left, l.wants[k:k+1:k+1])
	}
}

func (s *Search) mass(wants []int32) (m int64) {
	for _, k := range wants {
		m += s.job.wants[k].mass
	}
	return m
}
