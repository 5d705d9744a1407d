package learned

import "math"

// root makes of the sums of groups what they explain. With s the sums of the
// offsets of each group, which are zero over every recipe,
//
//	between = s' G^ s        G = sum over recipes of diag(n) - n n' / baths
//
// n the numbers of the recipe's baths in each group, G^ a generalised inverse: the
// sum of squares that groups explain in a linear model that has the recipes
// already (Searle, Linear Models, 1971; from memory). G is the Laplacian of a graph
// of groups that are joined by recipes: its rank is groups less parts of the graph.
// A root is the inverse of its Cholesky factor, without the groups that follow
// from others; most of it is zero where recipes have plants of their own.
type root [][]entry

type entry struct {
	group int
	by    float64
}

// between is the sum of squares between groups.
func (r root) between(sums []Shift) (squares float64) {
	for _, line := range r {
		var s Shift
		for _, e := range line {
			s = s.plus(sums[e.group].times(e.by))
		}
		squares += s.square()
	}
	return squares
}

// root makes the root by the Gram-Schmidt process: each group less what groups
// before it tell already.
func (b *blocks) root() (out root) {
	g := b.laplacian()
	for j := range g {
		line := make([]float64, len(g))
		line[j] = 1
		for _, before := range out {
			along := 0.0
			for _, e := range before {
				along += e.by * g[e.group][j]
			}
			for _, e := range before {
				line[e.group] -= along * e.by
			}
		}
		square := 0.0
		for i := range line {
			if line[i] == 0 {
				continue
			}
			for k := range line {
				square += line[i] * g[i][k] * line[k]
			}
		}
		if square <= rounding*g[j][j] { // follows from groups before it
			continue
		}
		var kept []entry
		for i, v := range line {
			if v != 0 {
				kept = append(kept, entry{i, v / math.Sqrt(square)})
			}
		}
		out = append(out, kept)
	}
	return out
}

// laplacian is G.
func (b *blocks) laplacian() [][]float64 {
	g := make([][]float64, len(b.names))
	for i := range g {
		g[i] = make([]float64, len(g))
	}
	for _, counts := range b.counts {
		n := 0
		for _, c := range counts {
			n += c
		}
		for i, c := range counts {
			if c == 0 {
				continue
			}
			g[i][i] += float64(c)
			for k, d := range counts {
				g[i][k] -= float64(c*d) / float64(n)
			}
		}
	}
	return g
}
