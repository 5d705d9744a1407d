package figure

import "slices"

// Reading is a chart read aloud: rows in the order they are woven.
type Reading struct {
	Rows []Row `json:"rows"`
}

// Row is one row, or several alike that follow each other.
type Row struct {
	From  int `json:"from_row"` // counted from the first woven row, from 1
	To    int `json:"to_row"`
	Picks int `json:"picks"` // of all these rows
	// Leftward says that the row is read from the right. Rows are read from
	// alternate sides, odd ones from the left; with an odd number of picks to a
	// cell that is where the weft comes from. Several rows alike are read from
	// the left.
	Leftward bool `json:"from_right"`
	// Mirror says that the runs go to the middle only: the last run is the
	// middle one, and the rest follow back in reverse.
	Mirror bool `json:"mirrored"`
	// First says, for pick-up, that the first yarn's shed is open.
	First bool  `json:"first_shed,omitempty"`
	Runs  []Run `json:"runs"`
}

// Run is so many neighbouring ends (pairs, for pick-up) treated alike. Symbol 0
// is to pass over: ground, or pairs the open shed shows as they should be.
type Run struct {
	Symbol int `json:"symbol"`
	Cells  int `json:"cells"`
	Ends   int `json:"ends"`
}

// Read reads a chart row by row from the weaver's side, the bottom row first.
// Brocade rows alike that follow each other are said once; a row that is its
// own mirror image is said to the middle. In pick-up only what the hand changes
// is named: ends of the yarn whose shed is closed, to be picked up while their
// neighbours are dropped. How a row goes on over a band is a Course.
func Read(c Chart) Reading {
	rows := make([]Row, 0, c.Rows())
	runs := make([]Run, 0, c.countRuns()) // one store for all rows
	for woven := 1; woven <= c.Rows(); woven++ {
		r := c.Rows() - woven
		if c.Kind != PickUp && woven > 1 && slices.Equal(c.rows[r], c.rows[r+1]) {
			rows[len(rows)-1].extend(woven, c.Cell.Picks)
			continue
		}
		row := Row{From: woven, To: woven, Picks: c.Cell.Picks, Leftward: woven%2 == 0, First: c.Kind == PickUp && woven%2 == 1}
		start := len(runs)
		runs = c.appendRuns(runs, woven)
		row.Runs = runs[start:len(runs):len(runs)]
		if row.Leftward {
			slices.Reverse(row.Runs)
		}
		row.fold()
		rows = append(rows, row)
	}
	return Reading{Rows: rows}
}

// extend adds a row alike.
func (r *Row) extend(woven, picks int) {
	r.To, r.Picks = woven, r.Picks+picks
	if r.Leftward {
		r.Leftward = false
		if !r.Mirror {
			slices.Reverse(r.Runs)
		}
	}
}

// fold keeps the first half and the middle of runs that are their own mirror
// image. Their number is odd: neighbours differ, so the middle one is its own
// image.
func (r *Row) fold() {
	n := len(r.Runs)
	for i := range n / 2 {
		if r.Runs[i] != r.Runs[n-1-i] {
			return
		}
	}
	if n > 1 {
		r.Mirror, r.Runs = true, r.Runs[:n/2+1:n/2+1]
	}
}

// appendRuns adds the runs of a woven row from the left.
func (c Chart) appendRuns(runs []Run, woven int) []Run {
	start := len(runs)
	quiet := 0 // the symbol the open shed brings up by itself
	if c.Kind == PickUp {
		quiet = open(woven)
	}
	cells := c.rows[c.Rows()-woven]
	for from := 0; from < len(cells); {
		to := runEnd(cells, from)
		v := int(cells[from])
		if v == quiet {
			v = 0
		}
		if k := len(runs) - 1; k >= start && runs[k].Symbol == v {
			runs[k].Cells += to - from
			runs[k].Ends += (to - from) * c.Cell.Ends
		} else {
			runs = append(runs, Run{Symbol: v, Cells: to - from, Ends: (to - from) * c.Cell.Ends})
		}
		from = to
	}
	return runs
}

// countRuns is the most runs a reading can have.
func (c Chart) countRuns() (n int) {
	for _, cells := range c.rows {
		for i, v := range cells {
			if i == 0 || v != cells[i-1] {
				n++
			}
		}
	}
	return n
}

// Full gives a row's runs from edge to edge.
func (r Row) Full() []Run {
	if !r.Mirror {
		return r.Runs
	}
	out := slices.Clone(r.Runs)
	for i := len(r.Runs) - 2; i >= 0; i-- {
		out = append(out, r.Runs[i])
	}
	return out
}
