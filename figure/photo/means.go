package photo

import (
	"math"

	"urdir/chance"
)

// point is a colour and how much of the picture has it; also a group of them,
// with its mean.
type point struct {
	at     lab
	weight float64
}

const (
	beginnings = 10 // of which the best is kept
	rounds     = 60 // of bettering one
	exchanges  = 20 // of a group given up for another split
)

// means are the groups, at most k, whose points lie nearest to their means. The
// points differ from each other.
func means(points []point, k int) []point {
	k = min(k, len(points))
	var best *sorting
	least := math.Inf(1)
	dice := chance.Stream(1)
	for range beginnings {
		s := begin(points, k, &dice)
		s.better()
		if cost := s.cost(); cost < least {
			least, best = cost, s
		}
	}
	for range exchanges {
		s := best.exchanged()
		if s == nil {
			break
		}
		best = s
	}
	return best.groups
}

// exchanged is the best sorting found by giving up one group, whose points go
// to the nearest of the rest, and splitting another in two; nil if none is
// better. Moving single points cannot leave a rest in which two groups share
// what one could hold.
func (s *sorting) exchanged() (best *sorting) {
	least := s.cost() * (1 - 1e-9)
	for gone := range s.groups {
		for split := range s.groups {
			if gone == split {
				continue
			}
			t := s.exchange(gone, split)
			if t == nil {
				continue
			}
			t.better()
			if cost := t.cost(); cost < least {
				least, best = cost, t
			}
		}
	}
	return best
}

// exchange gives up one group and splits another at its point that costs most;
// nil if its mean is its only point.
func (s *sorting) exchange(gone, split int) *sorting {
	at := make([]lab, len(s.groups))
	for i, g := range s.groups {
		at[i] = g.at
	}
	most := 0.0
	for i, p := range s.points {
		if cost := p.weight * p.at.off(at[split]); s.in[i] == split && cost > most {
			most, at[gone] = cost, p.at
		}
	}
	if most == 0 {
		return nil
	}
	t := &sorting{points: s.points, in: make([]int, len(s.points)), groups: make([]point, len(s.groups))}
	for i, p := range s.points {
		t.in[i] = p.at.nearest(at)
	}
	t.settle()
	return t
}

// sorting is points sorted into groups.
type sorting struct {
	points []point
	groups []point
	in     []int // group of each point
}

// begin chooses points far from those already chosen: each with a chance as its
// squared distance to the nearest.
func begin(points []point, k int, dice *chance.Stream) *sorting {
	s := &sorting{points: points, in: make([]int, len(points))}
	far := make([]float64, len(points))
	for i, p := range points {
		far[i] = p.weight // the first: any of the picture
	}
	var at []lab
	for len(at) < k {
		c := points[pick(dice, far)].at
		for i, p := range points {
			d := p.weight * p.at.off(c)
			if len(at) == 0 || d < far[i] {
				far[i] = d
			}
		}
		at = append(at, c)
	}
	for i, p := range points {
		s.in[i] = p.at.nearest(at)
	}
	s.groups = make([]point, k)
	s.settle()
	return s
}

// settle puts every mean in the middle of its points.
func (s *sorting) settle() {
	sums := make([]point, len(s.groups))
	for i, p := range s.points {
		g := &sums[s.in[i]]
		g.weight += p.weight
		for j := range g.at {
			g.at[j] += p.weight * p.at[j]
		}
	}
	for i := range sums {
		if sums[i].weight > 0 {
			for j := range sums[i].at {
				sums[i].at[j] /= sums[i].weight
			}
		}
	}
	s.groups = sums
}

// better moves points, one at a time, to the group where they make the sum of
// squares least. Taking a point of weight w out of a group of weight W saves
// w W/(W-w) d^2, putting it in costs w W/(W+w) d^2 (Hartigan 1975, weighted). A
// group is never left empty: its only point is its mean.
func (s *sorting) better() {
	for range rounds {
		moved := false
		for i, p := range s.points {
			from := s.in[i]
			old := s.groups[from]
			if old.weight <= p.weight {
				continue
			}
			to, least := from, old.weight/(old.weight-p.weight)*p.at.off(old.at)*(1-1e-9)
			for j, g := range s.groups {
				if cost := g.weight / (g.weight + p.weight) * p.at.off(g.at); j != from && cost < least {
					to, least = j, cost
				}
			}
			if to != from {
				s.groups[from].add(p, -1)
				s.groups[to].add(p, 1)
				s.in[i], moved = to, true
			}
		}
		s.settle() // sheds the last bits of all the adding
		if !moved {
			return
		}
	}
}

// add puts a point into a group, or takes it out.
func (g *point) add(p point, sign float64) {
	w := g.weight + sign*p.weight
	for j := range g.at {
		g.at[j] = (g.weight*g.at[j] + sign*p.weight*p.at[j]) / w
	}
	g.weight = w
}

func (s *sorting) cost() (sum float64) {
	for i, p := range s.points {
		sum += p.weight * p.at.off(s.groups[s.in[i]].at)
	}
	return sum
}

// pick is an index with a chance as its weight.
func pick(dice *chance.Stream, weights []float64) int {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	at, last := dice.Share()*sum, 0
	for i, w := range weights {
		if w <= 0 {
			continue
		}
		if last = i; at < w {
			return i
		}
		at -= w
	}
	return last
}
