package sheet

import (
	"strings"

	"urdir/figure"
	"urdir/internal/lang"
	"urdir/plan"
)

// RowText says a row of a chart in words, from the side where its weft begins:
// "from the left: pass 16, G 24, pass 8".
func RowText(t *lang.Words, p plan.Plan, c *plan.Chart, row figure.Row) string {
	side := "from-left"
	if row.Leftward {
		side = "from-right"
	}
	head := t.T(side, nil)
	if row.To > row.From {
		head = t.N("picks", row.Picks, nil)
	}
	if c.Kind == figure.PickUp {
		open := 1
		if row.First {
			open = 0
		}
		head += ", " + t.T("shed-of", map[string]any{"yarn": p.Yarn(c.Chart.Symbols()[open].Yarn).Label})
	}
	if len(row.Runs) == 1 && row.Runs[0].Symbol == 0 {
		return head + ": " + t.T("plain-row", nil)
	}
	parts := make([]string, len(row.Runs))
	for i, r := range row.Runs {
		parts[i] = runText(t, p, c, r)
	}
	last := len(parts) - 1
	if row.Mirror && last > 0 {
		parts[last] = t.T("middle", map[string]any{"run": parts[last]}) + ", " + t.T("and-back", nil)
	}
	return head + ": " + strings.Join(parts, ", ")
}

func runText(t *lang.Words, p plan.Plan, c *plan.Chart, r figure.Run) string {
	n := r.Ends
	if c.Kind == figure.PickUp {
		n = r.Cells
	}
	if r.Symbol == 0 {
		return t.T("pass", map[string]any{"n": n})
	}
	key := "take"
	if c.Kind == figure.PickUp {
		key = "raise"
	}
	return t.T(key, map[string]any{"n": n, "yarn": p.Yarn(c.Chart.Symbols()[r.Symbol-1].Yarn).Letter})
}
