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
	// Leftward says that the row begins at the right: the weaver's weft comes
	// from there. Only set for a single row.
	Leftward bool `json:"from_right"`
	// Mirror says that the runs go to the middle only: the last run is the
	// middle one, and the rest follow back in reverse.
	Mirror bool `json:"mirrored"`
	// First says, for pick-up, that the first yarn's shed is open.
	First bool  `json:"first_shed,omitempty"`
	Runs  []Run `json:"runs"`
}

// Run is so many neighbouring ends (pairs, for pick-up) treated alike. Symbol 0
// is ground: pass over them.
type Run struct {
	Symbol int `json:"symbol"`
	Cells  int `json:"cells"`
	Ends   int `json:"ends"`
}

// Read reads a chart row by row from the weaver's side, the bottom row first.
// Rows begin at alternate sides; rows alike that follow each other are said
// once, and a row that is its own mirror image is said to the middle.
func Read(c Chart) Reading {
	var out Reading
	out.Rows = make([]Row, 0, c.Rows())
	for n := range c.Rows() {
		r := c.Rows() - 1 - n
		if k := len(out.Rows); n > 0 && c.Kind == Brocade && slices.Equal(c.rows[r], c.rows[r+1]) {
			last := &out.Rows[k-1]
			last.To, last.Picks = n+1, last.Picks+c.Cell.Picks
			continue
		}
		out.Rows = append(out.Rows, c.readWoven(n, r))
	}
	return out
}

func (c Chart) readWoven(n, r int) Row {
	row := Row{From: n + 1, To: n + 1, Picks: c.Cell.Picks, Leftward: n%2 == 1, First: c.Kind == PickUp && n%2 == 0}
	cells := c.rows[r]
	row.Mirror = palindrome(cells)
	runs := make([]Run, 0, 8)
	for i := range cells {
		at := i
		if row.Leftward {
			at = len(cells) - 1 - i
		}
		if v := int(cells[at]); len(runs) == 0 || runs[len(runs)-1].Symbol != v {
			runs = append(runs, Run{Symbol: v})
		}
		last := &runs[len(runs)-1]
		last.Cells++
		last.Ends += c.Cell.Ends
	}
	if row.Mirror {
		// A palindrome has an odd number of runs: neighbours differ, so the
		// middle one is its own image.
		runs = runs[:len(runs)/2+1]
	}
	row.Runs = runs
	return row
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

func palindrome(cells []uint8) bool {
	for i, j := 0, len(cells)-1; i < j; i, j = i+1, j-1 {
		if cells[i] != cells[j] {
			return false
		}
	}
	return len(cells) > 2
}
