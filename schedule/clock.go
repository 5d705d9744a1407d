package schedule

// never is later than any time.
const never = int32(1) << 30

const day = 24 * 60

// clock is compiled hours: it answers when work that begins at some time ends. A
// nil clock runs day and night.
type clock struct {
	spans []span
	sum   []int32 // working minutes before each span
	days  []int32 // for each day, the first span that ends after its beginning
	reach []int32 // the span in which each multiple of mean is worked
	mean  int32   // working minutes of a span
	most  int32   // of the longest span
	daily int32   // working minutes of a day and a night at most, wherever they begin
}

func newClock(spans []span) *clock {
	c := &clock{spans: spans, sum: make([]int32, len(spans)+1)}
	for i, s := range spans {
		c.sum[i+1] = c.sum[i] + s.to - s.from
		c.most = max(c.most, s.to-s.from)
	}
	for i, k := 0, 0; i < len(spans); i++ {
		for k+1 < len(spans) && spans[k+1].from < spans[i].from+day {
			k++
		}
		c.daily = max(c.daily, c.sum[k+1]-c.sum[i]-max(0, spans[k].to-spans[i].from-day))
	}
	if n := len(spans); n > 0 {
		last := min(spans[n-1].to/day, 4000)
		i := int32(0)
		for d := range last + 1 {
			for int(i) < n && spans[i].to <= d*day {
				i++
			}
			c.days = append(c.days, i)
		}
		c.mean = max(1, c.sum[n]/int32(n))
		for k, i := int32(0), int32(0); k <= c.sum[n]; k += c.mean {
			for c.sum[i+1] < k {
				i++
			}
			c.reach = append(c.reach, i)
		}
	}
	return c
}

// next is the first span that ends after a time.
func (c *clock) next(t int32) int {
	i := 0
	if t > 0 && len(c.days) > 0 {
		i = int(c.days[min(int(t/day), len(c.days)-1)])
	}
	for i < len(c.spans) && c.spans[i].to <= t {
		i++
	}
	return i
}

// run is when work begun at a time or as soon after as there are hours begins and
// ends; never, never if hours run out. Whole work is within one span.
func (c *clock) run(t, work int32, whole bool) (first, last int32) {
	if c == nil {
		return t, t + work
	}
	i := c.next(t)
	if whole {
		for i < len(c.spans) && c.spans[i].to-max(t, c.spans[i].from) < work {
			i++
		}
	}
	if i == len(c.spans) {
		return never, never
	}
	first = max(t, c.spans[i].from)
	if last = first + work; last <= c.spans[i].to {
		return first, last
	}
	until := c.sum[i] + first - c.spans[i].from + work // in working minutes
	if until > c.sum[len(c.spans)] {
		return never, never
	}
	low := c.reach[until/c.mean]
	for c.sum[low+1] < until {
		low++
	}
	return first, c.spans[low].from + until - c.sum[low]
}

// before is the last working minute before a time, or -never.
func (c *clock) before(t int32) int32 {
	if c == nil {
		return t - 1
	}
	switch i := c.next(t - 1); {
	case i < len(c.spans) && c.spans[i].from < t:
		return t - 1
	case i > 0:
		return c.spans[i-1].to - 1
	}
	return -never
}

// minutes is how many working minutes there are before a time.
func (c *clock) minutes(t int32) int32 {
	if c == nil {
		return max(t, 0)
	}
	i := c.next(t)
	if i == len(c.spans) {
		return c.sum[i]
	}
	return c.sum[i] + max(0, t-c.spans[i].from)
}

// atLeast is how many minutes pass for so many of work, whenever it begins.
func (c *clock) atLeast(work int32) int32 {
	if c == nil || c.daily == 0 || work <= 0 {
		return work
	}
	nights := (work - 1) / c.daily
	return nights*day + work - nights*c.daily
}

// together is when any of some clocks runs.
func together(clocks []*clock) *clock {
	var all []span
	for _, c := range clocks {
		if c == nil {
			return nil
		}
		all = append(all, c.spans...)
	}
	return newClock(joined(all))
}

// longest is the longest span.
func (c *clock) longest() int32 {
	if c == nil {
		return never
	}
	return c.most
}

// stretch is how many minutes pass for one of work, on average.
func (c *clock) stretch() float64 {
	if c == nil || len(c.spans) == 0 {
		return 1
	}
	n := len(c.spans)
	return float64(c.spans[n-1].to-c.spans[0].from) / float64(c.sum[n])
}

// mirror is the clock with time running back from a moment.
func (c *clock) mirror(from int32) *clock {
	if c == nil {
		return nil
	}
	spans := make([]span, len(c.spans))
	for i, s := range c.spans {
		spans[len(spans)-1-i] = span{from - s.to, from - s.from}
	}
	return newClock(spans)
}

// line is how much of a place is in use, or of a person's time, over time: use
// from one change to the next. The first change is at the beginning of all time,
// the last to zero.
type line struct {
	most    int32
	changes []change
}

type change struct{ at, used int32 }

func (l *line) clear() { l.changes = append(l.changes[:0], change{at: -never}) }

// seek is the change that holds at a time.
func (l *line) seek(t int32) int {
	c := l.changes
	if n := len(c); c[n-1].at <= t { // the most frequent case
		return n - 1
	}
	low, high := 0, len(c)-1 // c[low].at <= t < c[high].at
	for low+1 < high {
		if mid := int(uint(low+high) >> 1); c[mid].at <= t {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// room is the earliest time from which an amount may be there, as far as can be
// told from a stretch of time: its beginning if the amount has room all along,
// or else the end of the last part where it has not.
func (l *line) room(from, to, amount int32) int32 {
	c := l.changes
	free := from
	if from >= to {
		return from // what takes no time takes no room
	}
	for i := l.seek(from); i < len(c) && c[i].at < to; i++ {
		if c[i].used+amount > l.most {
			free = c[i+1].at
		}
	}
	return free
}

// add adds to the use, or takes away.
func (l *line) add(from, to, amount int32) {
	if from >= to || amount == 0 {
		return
	}
	i := l.split(from)
	j := l.split(to)
	for k := i; k < j; k++ {
		l.changes[k].used += amount
	}
	l.join(j)
	l.join(i)
}

// split makes a change at a time.
func (l *line) split(t int32) int {
	i := l.seek(t)
	if l.changes[i].at == t {
		return i
	}
	l.changes = append(l.changes, change{})
	copy(l.changes[i+2:], l.changes[i+1:])
	l.changes[i+1] = change{t, l.changes[i].used}
	return i + 1
}

// join drops a change that changes nothing.
func (l *line) join(i int) {
	if i > 0 && l.changes[i].used == l.changes[i-1].used {
		l.changes = append(l.changes[:i], l.changes[i+1:]...)
	}
}
