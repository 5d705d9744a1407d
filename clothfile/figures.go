package clothfile

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
)

// figures reads the charts. The drawing is read last, because it needs the
// colours.
func (r *reader) figures(n ast.Node, path string, c *plan.Cloth) {
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		if !goodKey(e.key) {
			r.ps.Wrong(at, "key-bad", check.Args{"key": clip(e.key)})
			continue
		}
		f := plan.Figure{Key: e.key}
		kind, way := figure.Brocade, figure.Each
		cell := figure.Cell{}
		var limit measure.MM
		var symbols []figure.Symbol
		var drawing string
		var block ast.Node
		written, legend := false, true
		r.mapping(e.value, at, fields{
			"kind":  toChoice(r, &kind, figure.Brocade, figure.PickUp),
			"way":   toChoice(r, &way, figure.Each, figure.Across),
			"cell":  func(n ast.Node, path string) { r.cell(n, path, &cell) },
			"float": to(r, measure.ParseDiameter, &limit),
			"colours": func(n ast.Node, path string) {
				before := len(r.ps)
				symbols = r.colours(n, path)
				legend = len(r.ps) == before
			},
			"chart": func(n ast.Node, path string) {
				block = n
				drawing, written = r.text(n, path)
			},
			"origin":  r.toText(&f.Origin),
			"meaning": r.toText(&f.Meaning),
			"owner":   r.toText(&f.Owner),
			"sale":    toChoice(r, &f.Sale, plan.SaleYes, plan.SaleNo, plan.SaleAsk),
			"ask":     r.toText(&f.Ask),
		})
		if f.Owner == "" && f.Sale == "" {
			f.Sale = plan.SaleYes // our own drawing
		}
		if block == nil {
			r.ps.Wrong(at, "chart-missing", check.Args{"figure": e.key})
			continue
		}
		if !written || !legend { // without colours every sign of the drawing would be unknown
			continue
		}
		f.Chart = r.chart(drawing, block, at, symbols)
		f.Chart.Kind, f.Chart.Way, f.Chart.Limit = kind, way, limit
		f.Chart.Cell = cellFor(kind, cell)
		c.Figures = append(c.Figures, f)
	}
}

// cellFor gives a chart its usual cell: six ends by two picks are nearly square
// in brocade; in pick-up a cell is a pair of ends and one pick, always.
func cellFor(kind figure.Kind, cell figure.Cell) figure.Cell {
	if kind == figure.PickUp {
		return figure.Cell{Ends: 2, Picks: 1}
	}
	if cell.Ends == 0 {
		cell.Ends = 6
	}
	if cell.Picks == 0 {
		cell.Picks = 2
	}
	return cell
}

func (r *reader) cell(n ast.Node, path string, c *figure.Cell) {
	r.mapping(n, path, fields{"ends": r.toCount(&c.Ends), "picks": r.toCount(&c.Picks)})
}

// colours reads which character of the drawing is which yarn.
func (r *reader) colours(n ast.Node, path string) []figure.Symbol {
	var out []figure.Symbol
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		ch, size := utf8.DecodeRuneInString(e.key)
		// Brackets are counted before the file is parsed, see tooDeep.
		if size != len(e.key) || ch == figure.Ground || ch == ' ' || strings.ContainsRune("[]{}", ch) {
			r.ps.Wrong(at, "colours-key", check.Args{"key": clip(e.key)})
			continue
		}
		if yarn, ok := r.text(e.value, at); ok {
			out = append(out, figure.Symbol{Char: ch, Yarn: yarn})
		}
	}
	return out
}

// chart parses the drawing and gives its problems the place they stand on. Only
// a block marked with | keeps its lines as they stand in the file.
func (r *reader) chart(drawing string, block ast.Node, path string, symbols []figure.Symbol) figure.Chart {
	c, ps := figure.Parse(drawing, symbols)
	literal, lines := block.(*ast.LiteralNode)
	lines = lines && literal.Start.Type == token.LiteralType
	start := block.GetToken().Position.Line
	indent := r.indentBelow(start)
	for i := range ps {
		if row, ok := ps[i].Args["row"].(int); ok && lines {
			key := fmt.Sprintf("chart[%d]", row)
			column, _ := ps[i].Args["column"].(int)
			r.src.at[join(path, key)] = Position{start + row, indent + max(1, column)}
			ps[i].Path = key
		}
	}
	r.ps.Under(path, ps)
	return c
}

// indentBelow is the indentation of the first line with something on it after
// the given one.
func (r *reader) indentBelow(line int) int {
	n := 0
	for text := range bytes.Lines(r.file) {
		n++
		if rest := bytes.TrimLeft(text, " "); n > line && len(bytes.TrimSpace(rest)) > 0 {
			return len(text) - len(rest)
		}
	}
	return 0
}
