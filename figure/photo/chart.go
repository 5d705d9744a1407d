package photo

import (
	"cmp"
	"image"
	"math"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
)

// Automatic lets Chart choose the ground: what most of the edge is.
const Automatic = -1

// Options say how a picture becomes a chart. Start from NewOptions: here zero
// means zero.
type Options struct {
	Columns int
	Rows    int // 0: as many as keep the picture's shape with cells of this size
	// The size of a cell in the cloth, where Rows is 0.
	CellWidth, CellHeight measure.MM
	Colours               int      // to find, the ground among them, where Yarns is empty
	Yarns                 []string // colours to use, "#rrggbb"
	Ground                int      // index into Yarns, or into the colours found; or Automatic
	Islands               bool     // leave cells that are unlike all eight around them
	Run                   int      // fewest cells side by side in a row; 1 for no limit
}

// NewOptions is a chart of so many columns, in three colours, of square cells.
func NewOptions(columns int) Options {
	return Options{Columns: columns, CellWidth: 1, CellHeight: 1, Colours: 3, Ground: Automatic, Run: 1}
}

// Grid is a picture in cells. Symbols are the colours besides the ground that
// occur, in the order of Yarns or of their share in the picture.
type Grid struct {
	Columns int      `json:"columns"`
	Rows    int      `json:"rows"`
	Ground  Symbol   `json:"ground"`
	Symbols []Symbol `json:"symbols"`
	Cells   []uint8  `json:"-"` // row by row from the top; 0 is ground, n is symbol n-1
}

// Symbol is a colour of a grid. Share is its part of the cells.
type Symbol struct {
	Colour
	Char rune `json:"-"`
	Yarn int  `json:"index"` // into Yarns, or into the colours found
}

// At is the colour of a cell: 0 for ground, n for symbol n-1. Row 0 is the top.
func (g Grid) At(row, column int) int { return int(g.Cells[row*g.Columns+column]) }

// String draws the grid as figure.Parse reads it.
func (g Grid) String() string {
	var b strings.Builder
	for i, c := range g.Cells {
		if c == 0 {
			b.WriteRune(figure.Ground)
		} else {
			b.WriteRune(g.Symbols[c-1].Char)
		}
		if (i+1)%g.Columns == 0 {
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// signs are the characters of the symbols.
const signs = "xoabcdefghij"

// Figure is the grid as a chart, with a yarn's key for each of its symbols.
func (g Grid) Figure(yarns []string) (figure.Chart, check.Problems) {
	symbols := make([]figure.Symbol, len(g.Symbols))
	for i, s := range g.Symbols {
		symbols[i].Char = s.Char
		if i < len(yarns) {
			symbols[i].Yarn = yarns[i]
		}
	}
	return figure.Parse(g.String(), symbols)
}

// Chart makes cells of a picture: the mean light of each, the nearest of the
// colours, the ground, and then only what can be woven. Problems have the
// paths of the options.
//
// Codes: photo-empty, photo-large, photo-columns, photo-rows, photo-cell,
// photo-colours, photo-yarn, photo-ground, photo-run, and the caution
// photo-blank.
func Chart(img image.Image, o Options) (Grid, check.Problems) {
	ps := usable(img)
	if ps.Failed() {
		return Grid{}, ps
	}
	rows := o.rows(img.Bounds().Dx(), img.Bounds().Dy(), &ps)
	o.check(rows, &ps)
	if ps.Failed() {
		return Grid{}, ps
	}
	var colours []lab
	var names []string
	for _, h := range o.palette(img) {
		l, ok := read6(h)
		if !ok {
			ps.Wrong("yarns", "photo-yarn", check.Args{"colour": h})
			return Grid{}, ps
		}
		colours, names = append(colours, l.lab()), append(names, strings.ToLower(h))
	}
	if o.Ground >= len(colours) {
		ps.Wrong("ground", "photo-ground", check.Args{"ground": o.Ground + 1, "colours": len(colours)})
		return Grid{}, ps
	}
	m := mosaic{columns: o.Columns, rows: rows, colours: colours}
	for _, l := range cells(img, o.Columns, rows) {
		m.seen = append(m.seen, l.lab())
		m.cells = append(m.cells, m.seen[len(m.seen)-1].nearest(colours))
	}
	ground := o.Ground
	if ground == Automatic {
		ground = m.edge()
	}
	if !o.Islands {
		m.dropIslands()
	}
	m.lengthen(o.Run)
	g := m.grid(names, ground)
	if len(g.Symbols) == 0 {
		ps.Look("", "photo-blank", check.Args{"colour": g.Ground.Hex})
	}
	return g, ps
}

func (o Options) palette(img image.Image) []string {
	if len(o.Yarns) > 0 {
		return o.Yarns
	}
	var out []string
	for _, c := range mainColours(img, o.Colours) {
		out = append(out, c.Hex)
	}
	return out
}

// rows keeps the picture's shape: height of it / height of a cell.
func (o Options) rows(w, h int, ps *check.Problems) int {
	if o.Rows != 0 {
		return o.Rows
	}
	cell := float64(o.CellWidth / o.CellHeight)
	if !(o.CellWidth > 0 && o.CellHeight > 0 && cell > 0 && !math.IsInf(cell, 0)) {
		ps.Wrong("cell", "photo-cell", check.Args{"width": o.CellWidth, "height": o.CellHeight})
		return 1
	}
	rows := math.Round(float64(o.Columns) * float64(h) / float64(w) * cell)
	return int(min(max(1, rows), math.MaxInt32))
}

func (o Options) check(rows int, ps *check.Problems) {
	if o.Columns < 1 || o.Columns > figure.MaxColumns {
		ps.Wrong("columns", "photo-columns", check.Args{"columns": o.Columns, "most": figure.MaxColumns})
	}
	if rows < 1 || rows > figure.MaxRows {
		ps.Wrong("rows", "photo-rows", check.Args{"rows": rows, "most": figure.MaxRows})
	}
	n := len(o.Yarns)
	if n == 0 {
		n = o.Colours
	}
	if n < 1 || n > MaxColours {
		ps.Wrong("colours", "photo-colours", check.Args{"colours": n, "most": MaxColours})
	}
	if o.Ground < Automatic {
		ps.Wrong("ground", "photo-ground", check.Args{"ground": o.Ground + 1, "colours": n})
	}
	if o.Run < 1 || o.Run > max(1, o.Columns) {
		ps.Wrong("run", "photo-run", check.Args{"run": o.Run, "columns": o.Columns})
	}
}

// read6 reads "#rrggbb".
func read6(h string) (light, bool) {
	if len(h) != 7 || h[0] != '#' {
		return light{}, false
	}
	n, err := strconv.ParseUint(h[1:], 16, 32)
	return lightOf(uint8(n>>16), uint8(n>>8), uint8(n)), err == nil
}

// grid numbers the colours that occur, ground first.
func (m *mosaic) grid(names []string, ground int) Grid {
	count := m.count(func(int) bool { return true })
	symbol := func(i int) Symbol {
		return Symbol{Colour: Colour{names[i], measure.Ratio(float64(count[i]) / float64(len(m.cells)))}, Yarn: i}
	}
	g := Grid{Columns: m.columns, Rows: m.rows, Ground: symbol(ground), Cells: make([]uint8, len(m.cells))}
	g.Ground.Char = figure.Ground
	number := make([]uint8, len(names))
	for i, n := range count {
		if n > 0 && i != ground {
			s := symbol(i)
			s.Char = rune(signs[len(g.Symbols)])
			g.Symbols = append(g.Symbols, s)
			number[i] = uint8(len(g.Symbols))
		}
	}
	for i, c := range m.cells {
		g.Cells[i] = number[c]
	}
	return g
}

// edge is the colour that most cells of the edge have; of several, the one that
// most cells have.
func (m *mosaic) edge() int {
	edge := m.count(func(i int) bool {
		r, c := i/m.columns, i%m.columns
		return r == 0 || c == 0 || r == m.rows-1 || c == m.columns-1
	})
	all := m.count(func(int) bool { return true })
	best := 0
	for i := range edge {
		if cmp.Or(cmp.Compare(edge[i], edge[best]), cmp.Compare(all[i], all[best])) > 0 {
			best = i
		}
	}
	return best
}

func (m *mosaic) count(which func(int) bool) []int {
	n := make([]int, len(m.colours))
	for i, c := range m.cells {
		if which(i) {
			n[c]++
		}
	}
	return n
}
