package schedule

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Bound is what no plan can be below.
type Bound struct {
	Late int64 `json:"late_days"` // weighted
}

// pool is people or places of which some tasks need one, and what orders need of
// it at least: minutes, or amount times minutes.
type pool struct {
	lines []int32
	need  []float64 // by order
	tasks []int32
	each  []float64 // need of each task
}

// bound is the weighted days late of the sum of two: days that each order is late
// if it is the only one, and, where that is more, days on which orders that are
// due cannot all be ready since people or places are too few.
func (n *net) bound() Bound {
	heads := n.heads()
	alone := make([]int32, len(n.orders)) // end of each order
	for o := range n.orders {
		for _, i := range n.orders[o].tasks {
			alone[o] = max(alone[o], heads[i])
		}
	}
	pools := n.pools()
	if n.single && len(n.orders) > 0 {
		for k := range pools {
			alone[0] = max(alone[0], n.crowded(&pools[k], heads))
		}
	}
	return Bound{n.lateBound(pools, alone)}
}

// heads is the end of each task if there are people and places enough.
func (n *net) heads() []int32 {
	end := make([]int32, len(n.tasks))
	order := make([]int32, len(n.tasks))
	for i, r := range n.rank() {
		order[r] = int32(i)
	}
	for _, i := range order {
		t := &n.tasks[i]
		at := t.release
		for _, e := range t.before {
			at = max(at, min(end[e.task]+e.least, never))
		}
		if t.held {
			at = t.begins()
		}
		end[i] = never
		for k := range t.options {
			_, last := t.options[k].clock.run(at, t.options[k].work, t.whole)
			end[i] = min(end[i], last+t.tail)
		}
		if t.held { // who does it is settled, but not here
			end[i] = min(end[i], at+t.least)
		}
	}
	return end
}

// pools is the people and places that tasks choose among, and all people.
func (n *net) pools() (out []pool) {
	index := map[string]int{}
	add := func(lines []int32) {
		key := fmt.Sprint(lines)
		if _, ok := index[key]; !ok && len(lines) > 0 && len(out) < mostPools {
			index[key] = len(out)
			out = append(out, pool{lines: lines, need: make([]float64, len(n.orders))})
		}
	}
	var all []int32
	for k := range n.people {
		all = append(all, int32(k))
	}
	add(all)
	for i := range n.tasks {
		t := &n.tasks[i]
		add(t.people())
		for d := range t.needs {
			add(slices.Sorted(slices.Values(t.needs[d].places)))
		}
	}
	for k := range out {
		n.fill(&out[k])
	}
	return out
}

// mostPools keeps the bound quick where everyone may do other things; our choice.
const mostPools = 60

// people is the lines of who may do a task; none if it may be done without.
func (t *task) people() (out []int32) {
	for _, o := range t.options {
		if o.line < 0 || o.work == 0 {
			return nil
		}
		out = append(out, o.line)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// fill adds up what tasks need of a pool that can do them nowhere else. A batch
// that orders share counts for none of them.
func (n *net) fill(p *pool) {
	within := func(lines []int32) bool {
		return len(lines) > 0 && !slices.ContainsFunc(lines, func(l int32) bool { _, ok := slices.BinarySearch(p.lines, l); return !ok })
	}
	for i := range n.tasks {
		t := &n.tasks[i]
		need := 0.0
		if within(t.people()) {
			work := t.options[0].work
			for _, o := range t.options {
				work = min(work, o.work)
			}
			need = float64(work)
		}
		for _, d := range t.needs {
			if within(d.places) {
				need += float64(slices.Min(d.amounts)) * float64(t.least)
			}
		}
		if need > 0 {
			p.tasks = append(p.tasks, int32(i))
			p.each = append(p.each, need)
			if len(t.orders) == 1 {
				p.need[t.orders[0]] += need
			}
		}
	}
}

// have is what a pool has of minutes, or amount times minutes, before a time.
func (n *net) have(p *pool, t int32) (have float64) {
	for _, l := range p.lines {
		if int(l) >= len(n.people) {
			have += float64(n.lines[l]) * float64(max(t, 0))
			continue
		}
		have += float64(n.hours.person(&n.problem.People[l], "", nil).minutes(t))
	}
	return have
}

// crowded is the end of a lone order by a pool that has no calendars: tasks that
// cannot begin before some time, and have much to come after them, fill it for so
// long at least.
func (n *net) crowded(p *pool, ends []int32) (end int32) {
	room := 0.0
	for _, l := range p.lines {
		if int(l) < len(n.people) && n.hours.person(&n.problem.People[l], "", nil) != nil {
			return 0
		}
		room += float64(n.lines[l])
	}
	tails := n.tails()
	byTail := make([]int, len(p.tasks))
	for k := range byTail {
		byTail[k] = k
	}
	slices.SortStableFunc(byTail, func(a, b int) int { return cmp.Compare(tails[p.tasks[b]], tails[p.tasks[a]]) })
	for _, first := range p.tasks {
		head := ends[first] - n.tasks[first].least
		sum := 0.0
		for _, k := range byTail {
			if i := p.tasks[k]; ends[i]-n.tasks[i].least >= head {
				sum += p.each[k]
				end = max(end, head+int32(math.Ceil(sum/room-1e-9))+tails[i])
			}
		}
	}
	return end
}

// tails is the least time from the end of each task to the end of all.
func (n *net) tails() []int32 {
	out := make([]int32, len(n.tasks))
	order := make([]int32, len(n.tasks))
	for i, r := range n.rank() {
		order[r] = int32(i)
	}
	for _, i := range slices.Backward(order) {
		for _, e := range n.tasks[i].behind {
			out[i] = max(out[i], e.least+n.tasks[e.task].least+out[e.task])
		}
	}
	return out
}

// lateBound adds up day by day. At a time, orders due by then that are not ready
// count their weight. Those that are ready have had, of a pool, no more than there
// was of it; the most weight that allows, parts of orders allowed too, leaves the
// least that is late. Pools are looked at apart, and each order alone.
func (n *net) lateBound(pools []pool, alone []int32) (late int64) {
	due := make([]int32, len(n.orders)) // on the same hour of some day
	last, most := int32(0), int32(0)
	for o := range n.orders {
		due[o] = never
		if d := n.orders[o].due; d < never {
			due[o] = int32(math.Ceil(float64(d)/day)) * day
			last = max(last, due[o])
			most = max(most, alone[o])
			if due[o] < 0 { // no order is ready before the beginning
				late += n.orders[o].weight * int64(-due[o]/day)
				due[o] = 0
			}
		}
	}
	orders := make([][]int32, len(pools))
	for k := range pools {
		orders[k] = n.byNeed(&pools[k])
	}
	for t := int32(0); t <= max(last, most, int32(n.problem.days())*day); t += day {
		worst := 0.0
		for o := range n.orders {
			if due[o] <= t && alone[o] > t {
				worst += float64(n.orders[o].weight)
			}
		}
		for k := range pools {
			worst = max(worst, n.unready(&pools[k], orders[k], t, due, alone))
		}
		late += int64(math.Ceil(worst - 1e-6))
	}
	return late
}

// byNeed is the orders by what they need of a pool for a unit of weight.
func (n *net) byNeed(p *pool) []int32 {
	out := make([]int32, len(n.orders))
	for o := range out {
		out[o] = int32(o)
	}
	slices.SortStableFunc(out, func(a, b int32) int {
		return cmp.Compare(p.need[a]*float64(n.orders[b].weight), p.need[b]*float64(n.orders[a].weight))
	})
	return out
}

func (n *net) unready(p *pool, orders []int32, t int32, due, alone []int32) (late float64) {
	have := n.have(p, t)
	for _, o := range orders {
		w := float64(n.orders[o].weight)
		switch need := p.need[o]; {
		case due[o] > t:
		case alone[o] > t:
			late += w
		case need <= have:
			have -= need
		default:
			late += w * (need - have) / need
			have = 0
		}
	}
	return late
}
