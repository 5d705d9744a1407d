package frame

import "math/bits"

// crossTable says which lines from peg to peg cross, so that the crossings of a
// way with itself can be counted leg by leg.
type crossTable struct {
	n, words int
	id       []int // of the leg between two pegs, by peg*n + peg
	crosses  []legSet
}

// legSet is a set of legs.
type legSet []uint64

func (b legSet) add(leg int)    { b[leg/64] |= 1 << (leg % 64) }
func (b legSet) remove(leg int) { b[leg/64] &^= 1 << (leg % 64) }

func newCrossTable(t *table) crossTable {
	n := t.n
	c := crossTable{n: n, words: (n*(n-1)/2 + 63) / 64, id: make([]int, n*n)}
	var ends [][2]int
	for i := range n {
		for j := range i {
			c.id[i*n+j], c.id[j*n+i] = len(ends), len(ends)
			ends = append(ends, [2]int{j, i})
		}
	}
	left := make([]int8, n*n*n) // the side of k from the line i to j
	for i := range n {
		for j := range n {
			for k := range n {
				switch a := (t.x[j]-t.x[i])*(t.y[k]-t.y[i]) - (t.y[j]-t.y[i])*(t.x[k]-t.x[i]); {
				case a > 1e-9:
					left[(i*n+j)*n+k] = 1
				case a < -1e-9:
					left[(i*n+j)*n+k] = -1
				}
			}
		}
	}
	for range ends {
		c.crosses = append(c.crosses, c.none())
	}
	for a, p := range ends {
		for b, q := range ends[:a] {
			on, off := (p[0]*n+p[1])*n, (q[0]*n+q[1])*n
			if left[on+q[0]]*left[on+q[1]] < 0 && left[off+p[0]]*left[off+p[1]] < 0 {
				c.crosses[a].add(b)
				c.crosses[b].add(a)
			}
		}
	}
	return c
}

func (c *crossTable) none() legSet { return make(legSet, c.words) }

func (c *crossTable) leg(a, b int) int { return c.id[a*c.n+b] }

// with counts how many of a set of legs a leg crosses.
func (c *crossTable) with(leg int, set legSet) int {
	n := 0
	for i, w := range c.crosses[leg] {
		n += bits.OnesCount64(w & set[i])
	}
	return n
}

// count is how often a way from peg to peg crosses itself.
func (c *crossTable) count(pegs []int) int {
	set, n := c.none(), 0
	for i := range len(pegs) - 1 {
		leg := c.leg(pegs[i], pegs[i+1])
		n += c.with(leg, set)
		set.add(leg)
	}
	return n
}
