package lots

import "slices"

// What the work weighs; see the objective in the package comment.
const (
	costDay   = 3
	costBath  = 2
	costFresh = 1
)

// cost is a plan's objective, the most weighty first.
type cost struct{ late, work, ready int64 }

func (c cost) less(d cost) bool {
	if c.late != d.late {
		return c.late < d.late
	}
	if c.work != d.work {
		return c.work < d.work
	}
	return c.ready < d.ready
}

func (c cost) plus(d cost) cost  { return cost{c.late + d.late, c.work + d.work, c.ready + d.ready} }
func (c cost) minus(d cost) cost { return cost{c.late - d.late, c.work - d.work, c.ready - d.ready} }

// lot is some wants of a group in equal baths. It never changes: another takes
// its place.
type lot struct {
	group int
	wants []int32 // ascending
	mass  int64
	loads []int64  // of each bath, descending
	days  []int    // of each stage
	pots  [][]int8 // of each stage, by bath
	ready int      // day on which it is dry
}

func (l *lot) last() int { return l.days[len(l.days)-1] }

// state is a plan, or part of one. Lots stand in slots; links are slots or -1.
type state struct {
	job   *job
	lots  []*lot // nil: a free slot
	after []int  // the lot whose bath it uses
	feeds []int  // the lot that uses its bath
	used  []uint32
	hung  []int64 // mass on the line, by day
	cost  cost
}

func newState(j *job) *state { return &state{job: j} }

func (s *state) copyFrom(o *state) {
	s.job, s.cost = o.job, o.cost
	s.lots = append(s.lots[:0], o.lots...)
	s.after = append(s.after[:0], o.after...)
	s.feeds = append(s.feeds[:0], o.feeds...)
	s.used = append(s.used[:0], o.used...)
	s.hung = append(s.hung[:0], o.hung...)
}

func (s *state) usedOn(day int) uint32 {
	if day < len(s.used) {
		return s.used[day]
	}
	return 0
}

// hangs reports whether the line takes a mass, hung from a day on.
func (s *state) hangs(day, dry int, mass int64) bool {
	for d := day; d < day+dry && d < len(s.hung); d++ {
		if s.hung[d]+mass > s.job.line {
			return false
		}
	}
	return mass <= s.job.line
}

func (s *state) grow(days int) {
	for len(s.used) < days {
		s.used = append(s.used, 0)
		s.hung = append(s.hung, 0)
	}
}

// slot is a free slot.
func (s *state) slot() int {
	if i := slices.Index(s.lots, nil); i >= 0 {
		return i
	}
	s.lots = append(s.lots, nil)
	s.after = append(s.after, -1)
	s.feeds = append(s.feeds, -1)
	return len(s.lots) - 1
}

// put places a lot in a free slot; after is the slot of the lot whose bath it
// uses, or -1. It must fit.
func (s *state) put(i int, l *lot, after int) {
	s.lots[i], s.after[i], s.feeds[i] = l, after, -1
	if after >= 0 {
		s.feeds[after] = i
	}
	dry := s.job.groups[l.group].recipe.dry
	s.grow(l.last() + dry)
	for k, d := range l.days {
		if s.used[d] == 0 {
			s.cost.work += costDay
		}
		for _, p := range l.pots[k] {
			s.used[d] |= 1 << p
		}
	}
	for d := l.last(); d < l.last()+dry; d++ {
		s.hung[d] += l.mass
	}
	s.cost = s.cost.plus(s.job.own(l, after >= 0))
}

// take removes a lot that no other is fed by.
func (s *state) take(i int) (l *lot, after int) {
	l, after = s.lots[i], s.after[i]
	s.lots[i], s.after[i] = nil, -1
	if after >= 0 {
		s.feeds[after] = -1
	}
	for k, d := range l.days {
		for _, p := range l.pots[k] {
			s.used[d] &^= 1 << p
		}
		if s.used[d] == 0 {
			s.cost.work -= costDay
		}
	}
	for d := l.last(); d < l.ready; d++ {
		s.hung[d] -= l.mass
	}
	s.cost = s.cost.minus(s.job.own(l, after >= 0))
	return l, after
}

// own is what a lot costs apart from its days.
func (j *job) own(l *lot, fed bool) cost {
	c := j.tally(l.wants, l.ready)
	c.work = j.bathWork(len(l.days), len(l.loads), fed)
	return c
}

func (j *job) bathWork(stages, baths int, fed bool) int64 {
	w := int64(costBath * stages * baths)
	if !fed {
		w += int64(costFresh * baths)
	}
	return w
}

// tally is lateness and readiness of wants dry on a day.
func (j *job) tally(wants []int32, ready int) (c cost) {
	c.ready = int64(ready * len(wants))
	for _, k := range wants {
		if w := &j.wants[k]; ready > w.due {
			c.late += w.weight * int64(ready-w.due)
		}
	}
	return c
}
