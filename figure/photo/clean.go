package photo

// mosaic is a grid in the making. Its cells are indices into colours; seen is
// what the picture has there.
type mosaic struct {
	columns, rows int
	colours       []lab
	seen          []lab
	cells         []int
}

// around lists the cells beside one, corners too.
func (m *mosaic) around(i int) []int {
	out := make([]int, 0, 8)
	r, c := i/m.columns, i%m.columns
	for y := max(0, r-1); y <= min(m.rows-1, r+1); y++ {
		for x := max(0, c-1); x <= min(m.columns-1, c+1); x++ {
			if n := y*m.columns + x; n != i {
				out = append(out, n)
			}
		}
	}
	return out
}

// dropIslands gives every cell unlike all around it the colour that most of
// those have; of several, the one nearest to what the picture has there. It then
// has a cell like it beside it, and so has that cell, so that going over the
// grid once leaves no island. A cell alone has nothing around it.
func (m *mosaic) dropIslands() {
	for i, c := range m.cells {
		n := make([]int, len(m.colours))
		near := m.around(i)
		for _, j := range near {
			n[m.cells[j]]++
		}
		if n[c] > 0 || len(near) == 0 {
			continue
		}
		best := m.cells[near[0]]
		for k := range n {
			if n[k] > n[best] || n[k] == n[best] && m.seen[i].off(m.colours[k]) < m.seen[i].off(m.colours[best]) {
				best = k
			}
		}
		m.cells[i] = best
	}
}

// run is cells of one colour side by side in a row, from first up to last.
type run struct{ first, last, colour int }

func (r run) cells() int { return r.last - r.first }

// lengthen gives runs of fewer than so many cells to a neighbour, the shortest
// first, until none is left in any row.
func (m *mosaic) lengthen(least int) {
	for r := range m.rows {
		row := m.cells[r*m.columns : (r+1)*m.columns]
		for {
			runs := runsOf(row)
			short := 0
			for i := range runs {
				if runs[i].cells() < runs[short].cells() {
					short = i
				}
			}
			if len(runs) < 2 || runs[short].cells() >= least {
				break
			}
			to := m.heir(runs, short, r)
			for x := runs[short].first; x < runs[short].last; x++ {
				row[x] = to
			}
		}
	}
}

// heir is the colour of the longer neighbour; of two as long, of the one nearer
// to what the picture has in the run.
func (m *mosaic) heir(runs []run, i, row int) int {
	switch {
	case i == 0:
		return runs[1].colour
	case i == len(runs)-1:
		return runs[i-1].colour
	}
	left, right := runs[i-1], runs[i+1]
	if left.cells() != right.cells() {
		if left.cells() > right.cells() {
			return left.colour
		}
		return right.colour
	}
	var off [2]float64
	for x := runs[i].first; x < runs[i].last; x++ {
		seen := m.seen[row*m.columns+x]
		off[0] += seen.off(m.colours[left.colour])
		off[1] += seen.off(m.colours[right.colour])
	}
	if off[1] < off[0] {
		return right.colour
	}
	return left.colour
}

func runsOf(row []int) (out []run) {
	for x, c := range row {
		if x == 0 || c != row[x-1] {
			out = append(out, run{x, x, c})
		}
		out[len(out)-1].last = x + 1
	}
	return out
}
