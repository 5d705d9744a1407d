package screen

import (
	"encoding/json"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/figure"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
)

// DrawingState is what a page shows of a drawing.
type DrawingState struct {
	Rows    int              `json:"rows"`
	Columns int              `json:"columns"`
	Cells   []string         `json:"cells"` // a row each from the top: a digit a cell, 0 for ground, base 36
	Kind    figure.Kind      `json:"kind"`
	Way     figure.Way       `json:"way"`
	Ends    int              `json:"ends"` // of a cell
	Picked  int              `json:"picked"`
	Limit   string           `json:"limit"` // mm, as typed; empty for none
	Sett    string           `json:"sett"`
	Picks   string           `json:"picks"`
	Wide    float64          `json:"wide"` // a cell's width by its height
	Size    string           `json:"size"` // in words
	Colours []Colour         `json:"colours"`
	Open    []int            `json:"open"` // in pick-up, the colour whose shed is open in each row; 0 if it has none
	Long    []figure.Stretch `json:"long"` // floats over the limit
	Said    []Said           `json:"problems"`
	Refused []Said           `json:"refused"`
	Undo    string           `json:"undo"`
	Redo    string           `json:"redo"`
	Clip    bool             `json:"clip"` // something was copied
}

// Colour is a colour of a drawing; the first is the ground.
type Colour struct {
	Sign   string `json:"sign"`
	Yarn   string `json:"yarn"`
	Label  string `json:"label"`
	Colour string `json:"colour"` // empty for the ground
	Uses   int    `json:"uses"`   // cells
}

// State is everything a page shows, as JSON.
func (d *Drawing) State() string {
	b, err := json.Marshal(d.state())
	if err != nil {
		b, _ = json.Marshal(map[string]string{"error": err.Error()})
	}
	return string(b)
}

func (d *Drawing) state() DrawingState {
	g, w := d.Grid(), d.words
	c, _ := g.Chart()
	f := g.Form()
	s := DrawingState{Rows: g.Rows(), Columns: g.Columns(), Kind: f.Kind, Way: f.Way, Ends: f.Cell.Ends, Picked: f.Cell.Picks,
		Sett: w.Num(float64(d.sett), 2), Picks: w.Num(float64(d.picks), 2), Clip: d.clip != nil,
		Wide:    float64(f.Cell.Ends) / float64(d.sett) / (float64(f.Cell.Picks) / float64(d.picks)),
		Colours: d.colours(g), Open: sheds(c), Long: append([]figure.Stretch{}, c.TooLong(d.sett, d.picks)...),
		Said: say(w, c.Check(d.sett, d.picks)), Refused: say(w, d.said)}
	s.Size = w.T("drawing-size", check.Args{"columns": g.Columns(), "rows": g.Rows(), "width": c.Width(d.sett), "height": c.Height(d.picks)})
	if f.Limit > 0 {
		s.Limit = w.Num(float64(f.Limit), 2)
	}
	for r := range g.Rows() {
		var b strings.Builder
		for k := range g.Columns() {
			b.WriteString(strconv.FormatInt(int64(g.At(r, k)), 36))
		}
		s.Cells = append(s.Cells, b.String())
	}
	if did, ok := d.steps.CanUndo(); ok {
		s.Undo = w.T("drawing-did-"+did, nil)
	}
	if did, ok := d.steps.CanRedo(); ok {
		s.Redo = w.T("drawing-did-"+did, nil)
	}
	return s
}

// Sayings are problems in words.
func Sayings(w *lang.Words, ps check.Problems) []Said { return say(w, ps) }

func say(w *lang.Words, ps check.Problems) []Said {
	out := []Said{} // an empty list, and not nothing, for scripts
	for _, p := range ps {
		what, mend := w.Problem(p)
		out = append(out, Said{Caution: p.Severity == check.Caution, Text: what + " " + mend})
	}
	return out
}

// sheds are the colours whose shed is open in each row of pick-up.
func sheds(c figure.Chart) []int {
	out := []int{}
	if c.Kind != figure.PickUp {
		return out
	}
	ground, _ := design.NewGrid(c, c.Rows(), 1)
	plain, _ := ground.Chart()
	for r := range c.Rows() {
		up := plain.Up(r, 0) + 1
		if up > len(c.Symbols()) {
			up = 0
		}
		out = append(out, up)
	}
	return out
}

// colours are ground and colours of a grid, as the yarns at hand look, or else
// as a figure by itself does.
func (d *Drawing) colours(g design.Grid) []Colour {
	out := []Colour{{Sign: string(figure.Ground), Label: d.words.T("drawing-ground", nil), Uses: g.Uses(0)}}
	one, _ := figure.Parse(string(figure.Ground), g.Colours())
	one.Cell = figure.Cell{Ends: 1, Picks: 1}
	alone, _, _ := plan.Alone(plan.Figure{Chart: one})
	for i, s := range g.Colours() {
		o := Colour{Sign: string(s.Char), Yarn: s.Yarn, Label: s.Yarn, Uses: g.Uses(i + 1)}
		if i < len(alone.Yarns) {
			o.Colour = alone.Yarns[i].Colour
		}
		for _, y := range d.yarns {
			if y.Yarn == s.Yarn {
				o.Label, o.Colour = y.Label, y.Colour
			}
		}
		out = append(out, o)
	}
	return out
}

// Tell says what a cell is, for those who do not see it. Rows count from the
// first woven, as the weaver's.
func (d *Drawing) Tell(row, column, colour int) string {
	g, w := d.Grid(), d.words
	if row < 0 || row >= g.Rows() || column < 0 || column >= g.Columns() {
		return ""
	}
	all := d.colours(g)
	out := []string{w.T("drawing-cell", check.Args{"row": g.Rows() - row, "column": column + 1, "colour": all[g.At(row, column)].Label})}
	c, _ := g.Chart()
	for _, s := range c.TooLong(d.sett, d.picks) {
		if row >= s.Row && row < s.Row+s.Rows && column >= s.Column && column < s.Column+s.Columns {
			out = append(out, w.T(map[bool]string{false: "drawing-cell-float", true: "drawing-cell-back"}[s.Back], check.Args{"length": s.Length}))
		}
	}
	if colour >= 0 && colour < len(all) && d.barred(g, row, column, colour) {
		out = append(out, w.T("drawing-cell-barred", check.Args{"colour": all[colour].Label}))
	}
	return strings.Join(out, "; ")
}

// Barred lists the cells of a part that cannot take a colour without a float
// over the limit, as JSON: row x columns + column.
func (d *Drawing) Barred(part design.Region, colour int) string {
	g, out := d.Grid(), []int{}
	for r := max(0, part.Row); r < min(g.Rows(), part.Row+part.Rows); r++ {
		for c := max(0, part.Column); c < min(g.Columns(), part.Column+part.Columns); c++ {
			if g.At(r, c) != colour && d.barred(g, r, c, colour) {
				out = append(out, r*g.Columns()+c)
			}
		}
	}
	b, _ := json.Marshal(out) // whole numbers
	return string(b)
}

// barred says whether a cell may not become a colour: design.Grid.Allowed, which
// is asked once for each line of cells, since only the line matters.
func (d *Drawing) barred(g design.Grid, row, column, colour int) bool {
	f := g.Form()
	if f.Limit <= 0 || colour > len(g.Colours()) {
		return false
	}
	line, at := design.Region{Row: row, Rows: 1, Columns: g.Columns()}, column
	if f.Kind == figure.PickUp {
		line, at = design.Region{Column: column, Rows: g.Rows(), Columns: 1}, row
	}
	part, _ := g.Copy(line)
	key := lineKey(part, d.sett, d.picks)
	if _, ok := d.bars[key]; !ok {
		if len(d.bars) > mostLines {
			clear(d.bars)
		}
		d.bars[key] = make([]uint16, max(line.Rows, line.Columns))
	}
	known := d.bars[key]
	if known[at] == 0 {
		known[at] = 1 // asked
		for _, v := range part.Allowed(row-line.Row, column-line.Column, d.sett, d.picks) {
			known[at] |= 2 << v
		}
	}
	return known[at]&(2<<colour) == 0
}

// mostLines is how many lines of cells Barred remembers.
const mostLines = 4 * figure.MaxColumns

func lineKey(line design.Grid, sett, picks measure.PerCM) string {
	f := line.Form()
	b, _ := json.Marshal([]any{f.Kind, f.Way, f.Cell, float64(f.Limit), float64(sett), float64(picks), len(line.Colours())})
	return string(b) + line.String()
}

// DrawingWords are the words a page needs around a drawing.
func DrawingWords(language string) (map[string]string, error) {
	w, err := lang.For(language)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, k := range drawingWords {
		out[k] = w.T("drawing-"+k, nil)
	}
	return out, nil
}

// drawingWords are named without "drawing-".
var drawingWords = []string{
	"board", "keys", "keys-text", "tools", "pen", "line", "fill", "erase", "select", "move-view",
	"undo", "redo", "closer", "away", "whole", "colours", "chosen", "part", "part-none",
	"mirror", "invert", "turn", "copy", "cut", "paste", "block", "crop", "all",
	"repeat", "across", "up", "repeat-do", "resize", "rows", "columns", "resize-do",
	"colour-add", "colour-remove", "sign", "yarn", "weave", "kind", "brocade", "pick-up", "way", "each", "across-way",
	"cell-ends", "cell-picks", "limit", "limit-hint", "sett", "picks", "density-hint", "repeated-alt", "every-other", "between",
	"legend", "legend-float", "legend-back", "legend-barred", "legend-row", "unread", "line-start",
}
