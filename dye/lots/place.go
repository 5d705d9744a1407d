package lots

// batch is wants of one group that want a place.
type batch struct {
	group int
	wants []int32
	mass  int64
	from  int
}

func (j *job) batch(wants []int32) batch {
	b := batch{group: j.wants[wants[0]].group, wants: wants}
	for _, k := range wants {
		b.mass += j.wants[k].mass
		b.from = max(b.from, j.wants[k].from)
	}
	return b
}

// spot is a place for a batch, and what the plan costs more for it.
type spot struct {
	ok    bool
	cost  cost
	n     int // baths
	loads [MaxPots]int64
	days  [MaxStages]int
	pots  [MaxStages][MaxPots]int8
	after int
}

// finder looks for places. Chance makes it now and then overlook one, which keeps
// the search from always building the same.
type finder struct {
	*state
	chance *dice // nil: overlook nothing
}

// find is the cheapest place for a batch as a lot of its own.
func (f *finder) find(b *batch, best *spot) {
	if b.mass > f.job.line {
		return // no day would ever do
	}
	r := f.job.groups[b.group].recipe
	var try spot
	for n := 1; n <= len(r.cap); n++ {
		try.n = n
		f.job.deal(b.wants, n, try.loads[:])
		if try.loads[n-1] == 0 {
			break
		}
		if fitsEmpty(r.cap, try.loads[:n]) {
			f.fresh(b, r, &try, best)
		}
		f.fed(b, r, &try, best)
	}
}

// fresh tries the days from the earliest on. Later days cost no less in lateness
// and readiness, so it stops where no day to come can be cheaper.
func (f *finder) fresh(b *batch, r *recipe, try, best *spot) {
	try.after = -1
	last := len(r.waits) - 1
	work := f.job.bathWork(len(r.waits), try.n, false)
	for day := b.from + r.lead[last]; ; day++ {
		c := f.job.tally(b.wants, day+r.dry)
		c.work = work
		if best.ok && !c.less(best.cost) {
			return
		}
		if f.chance.overlooks() || !f.job.open(day) || !f.hangs(day, r.dry, b.mass) {
			continue
		}
		used := f.usedOn(day)
		if !fit(used, r.cap, try.loads[:try.n], &try.pots[last]) {
			continue
		}
		lit, ok := f.before(b, r, last, day, try)
		if !ok {
			continue
		}
		if used == 0 {
			lit++
		}
		try.days[last] = day
		c.work += costDay * int64(lit)
		if !best.ok || c.less(best.cost) {
			try.ok, try.cost = true, c
			*best = *try
		}
		if try.days[0] >= len(f.used) {
			return
		}
	}
}

// before places the stages before a stage on a day, with as few days newly lit
// as can be, and says how many.
func (f *finder) before(b *batch, r *recipe, stage, day int, try *spot) (lit int, ok bool) {
	if stage == 0 {
		return 0, true
	}
	w, k := r.waits[stage], stage-1
	var days [MaxStages]int
	var pots [MaxStages][MaxPots]int8
	for d := max(day-w.Max, b.from+r.lead[k]); d <= day-w.Min; d++ {
		used := f.usedOn(d)
		if f.chance.overlooks() || !f.job.open(d) || !fit(used, r.cap, try.loads[:try.n], &try.pots[k]) {
			continue
		}
		try.days[k] = d
		n, found := f.before(b, r, k, d, try)
		if !found {
			continue
		}
		if used == 0 {
			n++
		}
		if !ok || n < lit {
			ok, lit = true, n
			copy(days[:stage], try.days[:stage])
			copy(pots[:stage], try.pots[:stage])
			if n == 0 {
				break
			}
		}
	}
	if ok {
		copy(try.days[:stage], days[:stage])
		copy(try.pots[:stage], pots[:stage])
	}
	return lit, ok
}

// fit gives each load, heaviest first, the smallest free pot that takes it. No
// other choice fits more: what takes a load takes all lighter ones.
func fit(used uint32, caps, loads []int64, pots *[MaxPots]int8) bool {
	for k, l := range loads {
		p := 0
		for p < len(caps) && (used&(1<<p) != 0 || caps[p] < l) {
			p++
		}
		if p == len(caps) {
			return false
		}
		pots[k] = int8(p)
		used |= 1 << p
	}
	return true
}

// fed tries the baths that stronger lots leave.
func (f *finder) fed(b *batch, r *recipe, try, best *spot) {
	if r.left == 0 {
		return
	}
	last := len(r.waits) - 1
	for i, strong := range f.lots {
		if strong == nil || f.after[i] >= 0 || f.feeds[i] >= 0 || len(strong.loads) < try.n || !f.job.feeds(strong.group, b.group) {
			continue
		}
		day := f.job.next(strong.last())
		c := f.job.tally(b.wants, day+r.dry)
		c.work = f.job.bathWork(len(r.waits), try.n, true)
		if best.ok && !c.less(best.cost) || f.chance.overlooks() {
			continue
		}
		if day < b.from+r.lead[last] || !f.hangs(day, r.dry, b.mass) || !f.fitRest(b.group, strong, day, try.loads[:try.n], &try.pots[last]) {
			continue
		}
		lit, ok := f.before(b, r, last, day, try)
		if !ok {
			continue
		}
		if f.usedOn(day) == 0 {
			lit++
		}
		c.work += costDay * int64(lit)
		if try.days[last] = day; !best.ok || c.less(best.cost) {
			try.ok, try.cost, try.after = true, c, i
			*best = *try
		}
	}
}

// fitRest gives each load, heaviest first, the pot of a stronger lot that takes
// it and the least more.
func (f *finder) fitRest(pale int, strong *lot, day int, loads []int64, pots *[MaxPots]int8) bool {
	used := f.usedOn(day)
	caps := f.job.groups[pale].recipe.cap
	for k, l := range loads {
		found, room := -1, int64(0)
		for i, p := range strong.pots[len(strong.pots)-1] {
			most := min(caps[p], f.job.paleMost(strong.group, pale, strong.loads[i]))
			if used&(1<<p) == 0 && most >= l && (found < 0 || most < room) {
				found, room = int(p), most
			}
		}
		if found < 0 {
			return false
		}
		pots[k] = int8(found)
		used |= 1 << found
	}
	return true
}

// lot is the batch at its spot.
func (j *job) lot(b *batch, s *spot) *lot {
	r := j.groups[b.group].recipe
	n := len(r.waits)
	l := &lot{group: b.group, wants: b.wants, mass: b.mass, ready: s.days[n-1] + r.dry}
	l.loads = append(l.loads, s.loads[:s.n]...)
	l.days = append(l.days, s.days[:n]...)
	for k := range n {
		l.pots = append(l.pots, append([]int8(nil), s.pots[k][:s.n]...))
	}
	return l
}
