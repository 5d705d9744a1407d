package screen_test

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/figure"
	"urdir/internal/lang"
	"urdir/internal/screen"
	"urdir/measure"
	"urdir/plan"
)

// calls says of every stroke which call of design.Grid it is.
var calls = map[string]func(design.Grid, screen.Stroke) (design.Grid, check.Problems){
	"pen": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return through(g, q.Cells, q.Value)
	},
	"erase": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return through(g, q.Cells, 0) },
	"line": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.Line(q.Cells[0][0], q.Cells[0][1], q.Cells[1][0], q.Cells[1][1], q.Value)
	},
	"fill": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.Fill(q.Cells[0][0], q.Cells[0][1], q.Value)
	},
	"block": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return cellByCell(g, *q.Region, q.Value)
	},
	"cut": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return cellByCell(g, *q.Region, 0) },
	"mirror": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return inPart(g, *q.Region, design.Grid.Mirrored)
	},
	"invert": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return inPart(g, *q.Region, design.Grid.Inverted)
	},
	"turn": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return inPart(g, *q.Region, design.Grid.Turned)
	},
	"repeat": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return g.Repeated(q.Across, q.Up) },
	"resize": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return g.Resize(q.Rows, q.Columns) },
	"crop":   func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return g.Copy(*q.Region) },
	"paste": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		part, _ := g.Copy(design.Region{Rows: 1, Columns: g.Columns()})
		return g.Paste(q.Cells[0][0], q.Cells[0][1], part)
	},
	"colour-add": func(g design.Grid, _ screen.Stroke) (design.Grid, check.Problems) {
		return g.AddColour(figure.Symbol{Char: 'q', Yarn: "moss"})
	},
	"colour-set": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.SetColour(q.Value, figure.Symbol{Char: 'q', Yarn: "moss"})
	},
	"colour-remove": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) { return g.RemoveColour(q.Value) },
	"kind": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.Reformed(func(f *design.Form) { f.Kind = figure.Kind(q.Kind) })
	},
	"way": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.Reformed(func(f *design.Form) { f.Way = figure.Way(q.Way) })
	},
	"cell": func(g design.Grid, q screen.Stroke) (design.Grid, check.Problems) {
		return g.Reformed(func(f *design.Form) { f.Cell = figure.Cell{Ends: q.Ends, Picks: q.Picked} })
	},
	"limit": func(g design.Grid, _ screen.Stroke) (design.Grid, check.Problems) {
		return g.Reformed(func(f *design.Form) { f.Limit = 12.5 })
	},
}

// through is a line from cell to cell.
func through(g design.Grid, cells [][2]int, value int) (design.Grid, check.Problems) {
	out, ps := g, check.Problems(nil)
	for i := range cells {
		a, b := cells[max(0, i-1)], cells[i]
		if out, ps = out.Line(a[0], a[1], b[0], b[1], value); ps.Failed() {
			return g, ps
		}
	}
	return out, ps
}

func cellByCell(g design.Grid, r design.Region, value int) (design.Grid, check.Problems) {
	out := g
	for row := r.Row; row < r.Row+r.Rows; row++ {
		for column := r.Column; column < r.Column+r.Columns; column++ {
			var ps check.Problems
			if out, ps = out.Set(row, column, value); ps.Failed() {
				return g, ps
			}
		}
	}
	return out, nil
}

func inPart(g design.Grid, r design.Region, change func(design.Grid) design.Grid) (design.Grid, check.Problems) {
	part, ps := g.Copy(r)
	if ps.Failed() {
		return g, ps
	}
	return g.Paste(r.Row, r.Column, change(part))
}

// Every stroke does what the call of design.Grid does, and is refused when it is.
func TestDrawing_strokesAreCalls(t *testing.T) {
	for _, name := range screen.StrokeNames() {
		if calls[name] == nil {
			t.Errorf("%s: no call to compare with", name)
			continue
		}
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				f := anyFigure(t)
				d, g := open(t, clothfile.WriteFigure(f)), design.GridOf(f.Chart)
				n := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
				q := screen.Stroke{Do: name, Value: n("value", 0, len(g.Colours())), Rows: n("rows", -1, 9), Columns: n("columns", 0, 9),
					Across: n("across", 0, 3), Up: n("up", 0, 3), Ends: n("ends", 0, 70), Picked: n("picked", 0, 70), Text: "12,5", Sign: "q", Yarn: "moss",
					Kind: rapid.SampledFrom([]string{"brocade", "pick-up"}).Draw(t, "kind"), Way: rapid.SampledFrom([]string{"each", "across"}).Draw(t, "way"),
					Region: &design.Region{Row: n("row", -1, 9), Column: n("column", -1, 9), Rows: n("of rows", 1, 4), Columns: n("of columns", 1, 4)}}
				for range n("cells", 2, 5) {
					q.Cells = append(q.Cells, [2]int{n("at row", -1, 9), n("at column", -1, 9)})
				}
				if name == "paste" {
					ask(t, d, screen.Stroke{Do: "copy", Region: &design.Region{Rows: 1, Columns: g.Columns()}})
				}
				want, ps := calls[name](g, q)
				s := ask(t, d, q)
				if ps.Failed() != (len(s.Refused) > 0) {
					t.Fatalf("refused: %v; the call: %v", s.Refused, ps)
				}
				if ps.Failed() {
					want = g
				}
				got := d.Grid()
				same := got.String() == want.String() && got.Form() == want.Form() && len(got.Colours()) == len(want.Colours())
				for i := range want.Colours() {
					same = same && got.Colours()[i] == want.Colours()[i]
				}
				if !same {
					t.Fatalf("drawn:\n%s%v\nthe call:\n%s%v", got, got.Form(), want, want.Form())
				}
			})
		})
	}
}

// Part of the whole is said when no part is chosen.
func TestDrawing_wholeWithoutPart(t *testing.T) {
	d := open(t, "colours: {x: figure}\nchart: |\n  x..\n  ...\n")
	ask(t, d, screen.Stroke{Do: "turn"})
	if got := d.Grid().String(); got != "...\n..x\n" {
		t.Errorf("turned:\n%s", got)
	}
	ask(t, d, screen.Stroke{Do: "block", Value: 1})
	if got := d.Grid().String(); got != "xxx\nxxx\n" {
		t.Errorf("coloured:\n%s", got)
	}
}

// What cannot be a figure is refused with words for it, and changes nothing.
func TestDrawing_refused(t *testing.T) {
	row := strings.Repeat(".", 2000)
	for name, text := range map[string]string{
		"2,000 x 2,000": "chart: |\n" + strings.Repeat("  "+row+"\n", 2000),
		"no chart":      "colours: {x: figure}\n",
		"not YAML":      "chart: [",
		"three picked":  "kind: pick-up\ncolours: {x: a, o: b, z: c}\nchart: |\n  x\n",
		"empty":         "",
	} {
		_, err := screen.OpenDrawing(text, "es", screen.Surroundings{})
		said := screen.ReadProblems(err, "es")
		if err == nil || len(said) == 0 || strings.Contains(said[0].Text, "[") && name != "not YAML" {
			t.Errorf("%s: %v, said %v", name, err, said)
		}
	}
	d := open(t, "colours: {x: figure}\nchart: |\n  x..\n  ...\n")
	before := d.Text()
	for name, q := range map[string]screen.Stroke{
		"2,000 x 2,000":   {Do: "resize", Rows: 2000, Columns: 2000},
		"a billion":       {Do: "resize", Rows: 1 << 40, Columns: 1 << 40},
		"repeat for ever": {Do: "repeat", Across: 1 << 40, Up: 1 << 40},
		"big text":        {Do: "text", Text: "chart: |\n" + strings.Repeat("  "+row+"\n", 2000)},
		"outside":         {Do: "fill", Cells: [][2]int{{5, 5}}, Value: 1},
		"nowhere":         {Do: "pen", Value: 1},
		"nothing":         {Do: "paint"},
		"density":         {Do: "density", Sett: "0", Picks: "much"},
		"part outside":    {Do: "copy", Region: &design.Region{Row: 1, Rows: 2, Columns: 2}},
	} {
		if s := ask(t, d, q); len(s.Refused) == 0 || strings.HasPrefix(s.Refused[0].Text, "[") || d.Text() != before {
			t.Errorf("%s: refused %v", name, s.Refused)
		}
	}
	if s := state(t, d.Ask("{")); len(s.Refused) != 1 {
		t.Errorf("no JSON: refused %v", s.Refused)
	}
}

// A cell is told in words: rows from the first woven one. Four cells of six ends
// at 22 ends/cm are 10.91 mm long; with a limit of 10 mm they are too long, and a
// fifth beside them cannot be added.
func TestDrawing_tell(t *testing.T) {
	d, err := screen.OpenDrawing("float: 10 mm\ncolours: {x: azul}\nchart: |\n  xxxx..\n  ......\n", "es", screen.Surroundings{
		Yarns: []screen.Chip{{Yarn: "azul", Label: "añil", Colour: "#123456"}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		row, column, colour int
		want                string
	}{
		{1, 4, 1, "renglón 1, cuadro 5: fondo"},
		{0, 0, 1, "renglón 2, cuadro 1: añil; en un flotado de 10,91\u202fmm, demasiado largo"},
		{0, 4, 1, "renglón 2, cuadro 5: fondo; no admite añil"},
		{2, 0, 1, ""},
	} {
		if got := d.Tell(c.row, c.column, c.colour); got != c.want {
			t.Errorf("row %d, column %d: %q, want %q", c.row, c.column, got, c.want)
		}
	}
	s := state(t, d.State())
	if s.Colours[1].Colour != "#123456" || len(s.Long) != 1 || s.Long[0] != (figure.Stretch{Columns: 4, Rows: 1, Length: s.Long[0].Length}) {
		t.Errorf("colours %v, floats %+v", s.Colours, s.Long)
	}
	// 6 ends at 22/cm by 2 picks at 6/cm: 2.727 by 3.333 mm.
	if s.Wide < 0.818 || s.Wide > 0.8182 {
		t.Errorf("a cell is %v wide by its height, want 0.81818", s.Wide)
	}
	if s = ask(t, d, screen.Stroke{Do: "density", Sett: "24", Picks: "8"}); s.Wide != 1 || s.Sett != "24" {
		t.Errorf("6 ends at 24/cm by 2 picks at 8/cm: %v wide", s.Wide)
	}
}

// The largest figure there is answers while a hand draws.
func TestDrawing_largest(t *testing.T) {
	c, ps := figure.Parse(strings.Repeat(strings.Repeat("x.", figure.MaxColumns/2)+"\n", figure.MaxRows), []figure.Symbol{{Char: 'x', Yarn: "a"}})
	if ps.Failed() {
		t.Fatal(ps)
	}
	c.Kind, c.Way, c.Cell, c.Limit = figure.Brocade, figure.Each, figure.Cell{Ends: 6, Picks: 2}, measure.MM(30)
	d := open(t, clothfile.WriteFigure(plan.Figure{Chart: c, Sale: plan.SaleYes}))
	start := time.Now()
	for i := range 20 {
		ask(t, d, screen.Stroke{Do: "pen", Value: 1, Cells: [][2]int{{i, 0}, {i, 399}}})
	}
	if each := time.Since(start) / 20; each > time.Second {
		t.Errorf("a stroke on 400 x 400 cells takes %v", each)
	} else {
		t.Logf("a stroke on 400 x 400 cells takes %v", each)
	}
}

// Every word a page needs is there, in every language.
func TestDrawingWords(t *testing.T) {
	for _, l := range lang.Languages {
		words, err := screen.DrawingWords(l)
		if err != nil || len(words) != len(screen.DrawingWordKeys()) {
			t.Fatalf("%s: %d words, %v", l, len(words), err)
		}
		for k, text := range words {
			if strings.HasPrefix(text, "[") {
				t.Errorf("%s: no words for %s", l, k)
			}
		}
	}
}
