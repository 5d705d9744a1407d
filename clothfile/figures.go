package clothfile

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"urdir/check"
	"urdir/figure"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/plan"
)

// toFigures reads the charts.
func toFigures(to *[]plan.Figure) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Named(func(n *yamlfile.Node) {
			if f, ok := figureOf(n); ok {
				*to = append(*to, f)
			}
		})
	}
}

// figureOf reads one figure. The drawing is read last, because it needs the
// colours; without it there is no figure.
func figureOf(n *yamlfile.Node) (f plan.Figure, ok bool) {
	f.Key = n.Key()
	kind, way := figure.Brocade, figure.Each
	cell := figure.Cell{}
	var limit measure.MM
	var symbols []figure.Symbol
	var drawing string
	var chart *yamlfile.Node
	drawn, written, legend := false, false, true
	fields{
		"kind":  yamlfile.ToChoice(&kind, figure.Brocade, figure.PickUp),
		"way":   yamlfile.ToChoice(&way, figure.Each, figure.Across),
		"cell":  fields{"ends": yamlfile.ToCount(&cell.Ends), "picks": yamlfile.ToCount(&cell.Picks)}.Read,
		"float": yamlfile.To(measure.ParseDiameter, &limit),
		"colours": func(n *yamlfile.Node) {
			before := n.Found()
			symbols = colours(n)
			legend = n.Found() == before
		},
		"chart": func(n *yamlfile.Node) {
			chart, drawn = n, true
			drawing, written = n.Text()
		},
		"origin":  yamlfile.ToText(&f.Origin),
		"meaning": yamlfile.ToText(&f.Meaning),
		"owner":   yamlfile.ToText(&f.Owner),
		"sale":    yamlfile.ToChoice(&f.Sale, plan.SaleYes, plan.SaleNo, plan.SaleAsk),
		"ask":     yamlfile.ToText(&f.Ask),
	}.Read(n)
	if f.Owner == "" && f.Sale == "" {
		f.Sale = plan.SaleYes // our own drawing
	}
	if !drawn {
		n.Refuse("chart-missing", check.Args{"figure": f.Key})
	}
	if !written || !legend { // without colours every sign of the drawing would be unknown
		return f, false
	}
	f.Chart = chartOf(n, chart, drawing, symbols)
	f.Chart.Kind, f.Chart.Way, f.Chart.Limit = kind, way, limit
	f.Chart.Cell = cellFor(kind, cell)
	return f, true
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

// colours reads which character of the drawing is which yarn.
func colours(n *yamlfile.Node) (out []figure.Symbol) {
	n.Each(func(n *yamlfile.Node) {
		ch, size := utf8.DecodeRuneInString(n.Key())
		// Brackets are counted before the file is parsed.
		if size != len(n.Key()) || ch == figure.Ground || ch == ' ' || strings.ContainsRune("[]{}", ch) {
			n.Refuse("colours-key", check.Args{"key": yamlfile.Clip(n.Key())})
			return
		}
		if yarn, ok := n.Text(); ok {
			out = append(out, figure.Symbol{Char: ch, Yarn: yarn})
		}
	})
	return out
}

// chartOf parses the drawing of a figure and gives its problems the place they
// stand on, if the drawing keeps its lines as they stand in the file.
func chartOf(n, chart *yamlfile.Node, drawing string, symbols []figure.Symbol) figure.Chart {
	c, ps := figure.Parse(drawing, symbols)
	if first, ok := chart.Block(); ok {
		for i := range ps {
			if row, ok := ps[i].Args["row"].(int); ok {
				column, _ := ps[i].Args["column"].(int)
				key := fmt.Sprintf("chart[%d]", row)
				n.Place(key, Position{Line: first.Line + row - 1, Column: first.Column + max(column-1, 0)})
				ps[i].Path = key
			}
		}
	}
	n.Under(ps)
	return c
}
