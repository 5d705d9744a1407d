package screen

import (
	"slices"
	"strings"
	"unicode/utf8"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
)

// Stroke is one thing asked of a drawing. Cells are given as row and column,
// both from 0, from the top left.
type Stroke struct {
	Do     string         `json:"do"`
	Trial  bool           `json:"trial"` // only to be looked at; the next thing asked ends it
	Cells  [][2]int       `json:"cells"`
	Value  int            `json:"value"`  // a colour: 0 is ground
	Region *design.Region `json:"region"` // the part chosen; none is the whole

	Rows    int    `json:"rows"`
	Columns int    `json:"columns"`
	Across  int    `json:"across"`
	Up      int    `json:"up"`
	Text    string `json:"text"` // as typed: a figure, or the longest float
	Sign    string `json:"sign"`
	Yarn    string `json:"yarn"`
	Kind    string `json:"kind"`
	Way     string `json:"way"`
	Ends    int    `json:"ends"`
	Picked  int    `json:"picked"` // picks of a cell
	Sett    string `json:"sett"`   // as typed, ends a centimetre
	Picks   string `json:"picks"`
}

// stroke is a change of the grid.
type stroke = func(*Drawing, design.Grid, Stroke) (design.Grid, check.Problems)

// strokes is everything that changes a drawing, by name; the words for undo are
// "drawing-did-" and it.
var strokes = map[string]stroke{
	"pen": pen,
	"erase": func(d *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		q.Value = 0
		return pen(d, g, q)
	},
	"line": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		a, b := q.cell(0), q.cell(1)
		return g.Line(a[0], a[1], b[0], b[1], q.Value)
	},
	"fill": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return g.Fill(q.cell(0)[0], q.cell(0)[1], q.Value)
	},
	"block": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return block(g, q.part(g), q.Value)
	},
	"mirror": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return within(g, q, design.Grid.Mirrored)
	},
	"invert": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return within(g, q, design.Grid.Inverted)
	},
	"turn": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return within(g, q, design.Grid.Turned)
	},
	"repeat": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return g.Repeated(q.Across, q.Up)
	},
	"resize": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return g.Resize(q.Rows, q.Columns)
	},
	"crop": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) { return g.Copy(q.part(g)) },
	"cut": func(d *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		if d.copy(q); d.said.Failed() {
			return g, d.said
		}
		return block(g, q.part(g), 0)
	},
	"paste": func(d *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		if d.clip == nil {
			return g, nil
		}
		return g.Paste(q.cell(0)[0], q.cell(0)[1], *d.clip)
	},
	"colour-add": addColour,
	"colour-set": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return coloured(g, q, func(s figure.Symbol) (design.Grid, check.Problems) { return g.SetColour(q.Value, s) })
	},
	"colour-remove": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return g.RemoveColour(q.Value)
	},
	"kind": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return choice(g, "kind", q.Kind, []string{string(figure.Brocade), string(figure.PickUp)}, func(f *design.Form) { f.Kind = figure.Kind(q.Kind) })
	},
	"way": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return choice(g, "way", q.Way, []string{string(figure.Each), string(figure.Across)}, func(f *design.Form) { f.Way = figure.Way(q.Way) })
	},
	"cell": func(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
		return g.Reformed(func(f *design.Form) { f.Cell = figure.Cell{Ends: q.Ends, Picks: q.Picked} })
	},
	"limit": limit,
}

// cell is a cell of the stroke; one that was not given lies outside.
func (q Stroke) cell(i int) [2]int {
	if i >= len(q.Cells) {
		return [2]int{-1, -1}
	}
	return q.Cells[i]
}

// part is the part chosen, or the whole.
func (q Stroke) part(g design.Grid) design.Region {
	if q.Region != nil {
		return *q.Region
	}
	return design.Region{Rows: g.Rows(), Columns: g.Columns()}
}

// pen draws from each cell of the stroke to the next.
func pen(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
	a := q.cell(0)
	out, ps := g.Set(a[0], a[1], q.Value)
	for _, b := range q.Cells[min(1, len(q.Cells)):] {
		if ps.Failed() {
			return g, ps
		}
		out, ps = out.Line(a[0], a[1], b[0], b[1], q.Value)
		a = b
	}
	return out, ps
}

// block makes every cell of a part one colour.
func block(g design.Grid, r design.Region, value int) (design.Grid, check.Problems) {
	out, ps := g.Copy(r) // for its check of the part
	if ps.Failed() {
		return g, ps
	}
	for row := range out.Rows() {
		if out, ps = out.Line(row, 0, row, out.Columns()-1, value); ps.Failed() {
			return g, ps
		}
	}
	return g.Paste(r.Row, r.Column, out)
}

// within changes the part chosen and puts it back where it was.
func within(g design.Grid, q Stroke, change func(design.Grid) design.Grid) (design.Grid, check.Problems) {
	if q.Region == nil {
		return change(g), nil
	}
	part, ps := g.Copy(*q.Region)
	if ps.Failed() {
		return g, ps
	}
	return g.Paste(q.Region.Row, q.Region.Column, change(part))
}

// signs are what a new colour is drawn with, the first that is free.
const signs = "xoabcdefghijklmn"

func addColour(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
	if q.Sign == "" {
		q.Sign = freeSign(g.Colours())
	}
	return coloured(g, q, g.AddColour)
}

func freeSign(taken []figure.Symbol) string {
	for _, s := range signs {
		free := true
		for _, t := range taken {
			free = free && t.Char != s
		}
		if free {
			return string(s)
		}
	}
	return ""
}

// coloured reads the sign and the yarn that were typed, and has a cloth file's
// reader look at them.
func coloured(g design.Grid, q Stroke, set func(figure.Symbol) (design.Grid, check.Problems)) (design.Grid, check.Problems) {
	var ps check.Problems
	ch, size := utf8.DecodeRuneInString(q.Sign)
	if size == 0 || size != len(q.Sign) {
		ps.Wrong("colours", "colours-key", check.Args{"key": clipped(q.Sign)})
		return g, ps
	}
	if q.Yarn == "" {
		ps.Wrong("colours", "field-empty", nil)
		return g, ps
	}
	s := figure.Symbol{Char: ch, Yarn: q.Yarn}
	c, ps := figure.Parse(string(figure.Ground), []figure.Symbol{s})
	if ps.Failed() {
		return g, ps
	}
	c.Kind, c.Way, c.Cell = figure.Brocade, figure.Each, figure.Cell{Ends: 1, Picks: 1}
	read, ps := clothfile.ReadFigure(figureKey, clothfile.WriteFigure(plan.Figure{Chart: c}))
	if ps.Failed() || len(read.Figures) != 1 || len(read.Figures[0].Chart.Symbols()) != 1 {
		return g, ps
	}
	return set(read.Figures[0].Chart.Symbols()[0])
}

// clipped keeps a message short.
func clipped(s string) string {
	if r := []rune(s); len(r) > 8 {
		return string(r[:8]) + "…"
	}
	return s
}

// choice is a change of form to one of some words.
func choice(g design.Grid, path, word string, of []string, change func(*design.Form)) (design.Grid, check.Problems) {
	if slices.Contains(of, word) {
		return g.Reformed(change)
	}
	var ps check.Problems
	ps.Wrong(path, "value-choice", check.Args{"text": clipped(word), "choices": strings.Join(of, ", ")})
	return g, ps
}

// limit sets the longest float; none is typed as nothing or 0.
func limit(_ *Drawing, g design.Grid, q Stroke) (design.Grid, check.Problems) {
	var ps check.Problems
	v, code := 0.0, ""
	if q.Text != "" {
		v, code = measure.ParseNumber(q.Text)
	}
	if code != "" {
		ps.Wrong("float", code, check.Args{"text": q.Text, "unit": "mm", "want": []string{"mm"}})
		return g, ps
	}
	return g.Reformed(func(f *design.Form) { f.Limit = measure.MM(v) })
}
