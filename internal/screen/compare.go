package screen

import (
	"slices"
	"strings"

	"urdir/design"
	"urdir/internal/lang"
	"urdir/plan"
)

// Differing is what differs in one list of two cloths: the stripes of a warp, the
// bands of a panel, or the yarns.
type Differing struct {
	Title string
	Lines []Line
}

// Line is one row that differs. Was is empty for one that was added, Now for one
// that was taken away; Place counts the rows of the list it stands in from 1.
type Line struct {
	Place    int
	Was, Now string
}

// Differences lists row by row what differs between two cloths, in words.
func Differences(was, now plan.Cloth, w *lang.Words) (out []Differing) {
	a, b := (&Desk{words: w, steps: design.NewHistory(was, 0)}).rowLists(), (&Desk{words: w, steps: design.NewHistory(now, 0)}).rowLists()
	titles := b.titles
	for _, t := range a.titles {
		if !slices.Contains(titles, t) {
			titles = append(titles, t)
		}
	}
	for _, t := range titles {
		if lines := rowsApart(a.rows[t], b.rows[t]); len(lines) > 0 {
			out = append(out, Differing{t, lines})
		}
	}
	return out
}

// rowLists is a cloth's lists in order, each row as a text of its own.
type rowLists struct {
	titles []string
	rows   map[string][]string
}

func (d *Desk) rowLists() rowLists {
	out := rowLists{rows: map[string][]string{}}
	add := func(title string, rows []string) {
		out.titles = append(out.titles, title)
		out.rows[title] = rows
	}
	s := d.state()
	for _, l := range slices.Concat(s.Warps, s.Panels) {
		var rows []string
		for _, r := range l.Rows {
			rows = append(rows, d.rowText(r))
		}
		add(l.Title, rows)
	}
	var yarns []string
	for _, y := range d.steps.Now().Yarns {
		parts := []string{y.Label, y.Colour, d.fibre(y.Fibre), y.Spec.Count.String(), d.words.N("strands-n", y.Spec.Strands, nil)}
		yarns = append(yarns, strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ", "))
	}
	add(d.words.T("yarn-list", nil), yarns)
	return out
}

func (d *Desk) fibre(f string) string {
	if f == "" {
		return ""
	}
	return d.words.T("fibre-"+f, nil)
}

// rowText is a row without its place: depth, what it is, how large.
func (d *Desk) rowText(r Row) string {
	text := r.Word
	if len(r.Yarns) > 0 && r.Kind != "stripe" { // a band's weft
		text += ", " + r.Yarns[0].Label
	}
	if size := strings.TrimSpace(r.Size + " " + unitWord(d.words, r.Unit)); size != "" {
		text += ", " + size
	}
	return strings.Repeat(nest, r.Depth) + text
}

func unitWord(w *lang.Words, unit string) string {
	if unit == "" {
		return ""
	}
	return w.T("desk-unit-"+unit, nil)
}

// mostCells bounds the table that finds what two lists have in common.
const mostCells = 4_000_000

// rowsApart finds the fewest rows that were taken away and added, and puts a row
// taken away beside one that was added in its place. Lists too long for that are
// compared row by row.
func rowsApart(was, now []string) (out []Line) {
	if len(was)*len(now) > mostCells {
		return slices.DeleteFunc(beside(was, now, 0, 0), func(l Line) bool { return l.Was == l.Now })
	}
	same := common(was, now)
	for i, j := 0, 0; i < len(was) || j < len(now); {
		if i < len(was) && j < len(now) && was[i] == now[j] {
			i, j = i+1, j+1
			continue
		}
		from, to := i, j
		for (i < len(was) || j < len(now)) && (i == len(was) || j == len(now) || was[i] != now[j]) {
			if j == len(now) || i < len(was) && same[i+1][j] >= same[i][j+1] {
				i++
			} else {
				j++
			}
		}
		out = append(out, beside(was[from:i], now[to:j], from, to)...)
	}
	return out
}

// common says for every i and j how many rows was[i:] and now[j:] have in common,
// in order.
func common(was, now []string) [][]int {
	same := make([][]int, len(was)+1)
	for i := range same {
		same[i] = make([]int, len(now)+1)
	}
	for i, line := range slices.Backward(was) {
		for j := len(now) - 1; j >= 0; j-- {
			if line == now[j] {
				same[i][j] = same[i+1][j+1] + 1
			} else {
				same[i][j] = max(same[i+1][j], same[i][j+1])
			}
		}
	}
	return same
}

// beside pairs rows taken away with rows added, first with first.
func beside(was, now []string, from, to int) (out []Line) {
	for k := range max(len(was), len(now)) {
		l := Line{}
		if k < len(was) {
			l.Was, l.Place = strings.TrimLeft(was[k], nest), from+k+1
		}
		if k < len(now) {
			l.Now, l.Place = strings.TrimLeft(now[k], nest), to+k+1
		}
		out = append(out, l)
	}
	return out
}

// nest stands before a row for each group it is in, so that a row that was taken
// out of its group is another row.
const nest = "\u00a0"
