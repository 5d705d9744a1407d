package schedule

import (
	"cmp"
	"slices"
)

// addRooms gives places their lines. Places that hold one step at a time, are of
// one kind and size, and are named by nothing share a line that holds as many:
// steps that fit there by number can be dealt out to the places afterwards, since
// each stays in one from its start to its end.
func (n *net) addRooms() {
	type like struct {
		kind     string
		capacity int
	}
	p := n.problem
	n.rooms = make([][]int32, len(p.People))
	named := p.named()
	lines := map[like]int{}
	for i := range p.Places {
		q := &p.Places[i]
		k := like{q.Kind, q.capacity()}
		if at, ok := lines[k]; ok && !q.Shared && !named[q.Key] {
			n.lines[at]++
			n.rooms[at] = append(n.rooms[at], int32(i))
			continue
		}
		most := int32(1)
		if q.Shared {
			most = int32(q.capacity())
		} else if !named[q.Key] {
			lines[k] = len(n.lines)
		}
		n.lines = append(n.lines, most)
		n.rooms = append(n.rooms, []int32{int32(i)})
	}
}

// named is the places that a step or a person was told by name.
func (p *Problem) named() map[string]bool {
	out := map[string]bool{}
	for i := range p.Steps {
		for _, d := range p.Steps[i].Needs {
			out[d.Place] = true
		}
		if t := p.Steps[i].Told; t != nil {
			for _, key := range t.Places {
				out[key] = true
			}
		}
	}
	return out
}

// addNeeds finds the lines that have room enough for what a task needs.
func (n *net) addNeeds(t *task) {
	p := n.problem
	for _, d := range p.Steps[t.step].Needs {
		var in need
		amount := max(d.Amount, 1)
		var fit []int
		for l := len(p.People); l < len(n.lines); l++ {
			q := &p.Places[n.rooms[l][0]]
			if (d.Place == q.Key || d.Place == "" && d.Kind == q.Kind) && q.capacity() >= amount {
				fit = append(fit, l)
			}
		}
		size := func(l int) int { return p.Places[n.rooms[l][0]].capacity() }
		slices.SortStableFunc(fit, func(a, b int) int { return cmp.Compare(size(a), size(b)) })
		for _, l := range fit {
			in.places = append(in.places, int32(l))
			own := int32(1)
			if p.Places[n.rooms[l][0]].Shared {
				own = int32(amount)
			}
			in.amounts = append(in.amounts, own)
		}
		t.needs = append(t.needs, in)
	}
}

// inPlaces leaves a task only the places it is in already.
func (t *task) inPlaces(n *net, keys []string) {
	if len(keys) != len(t.needs) {
		return
	}
	for d, key := range keys {
		k := slices.IndexFunc(t.needs[d].places, func(l int32) bool {
			return slices.ContainsFunc(n.rooms[l], func(r int32) bool { return n.problem.Places[r].Key == key })
		})
		if k >= 0 {
			t.needs[d] = need{t.needs[d].places[k : k+1], t.needs[d].amounts[k : k+1]}
		}
	}
}

// amountOn is what a need takes of a line.
func (d *need) amountOn(line int32) int32 {
	for k, l := range d.places {
		if l == line {
			return d.amounts[k]
		}
	}
	return 0
}

// deal gives each need of each task a place: of those of its line, the one that
// has been free longest.
func (n *net) deal(s *shot) []int32 {
	places := make([]int32, n.needs)
	order := make([]int32, 0, len(n.tasks))
	for i := range n.tasks {
		if s.spots[i].end < never && len(n.tasks[i].needs) > 0 {
			order = append(order, int32(i))
		}
	}
	slices.SortStableFunc(order, func(a, b int32) int { return cmp.Compare(s.spots[a].start, s.spots[b].start) })
	freed := make([]int32, len(n.problem.Places))
	for i := range freed {
		freed[i] = -never
	}
	for _, i := range order {
		t := &n.tasks[i]
		for d := range t.needs {
			rooms := n.rooms[s.places[t.spot+d]]
			best := rooms[0]
			for _, r := range rooms {
				if freed[r] < freed[best] {
					best = r
				}
			}
			places[t.spot+d] = best
			freed[best] = max(freed[best], s.spots[i].end)
		}
	}
	return places
}
