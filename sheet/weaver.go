package sheet

import (
	"fmt"
	"reflect"

	"urdir/draw"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// weaver is the sheet a member weaves by.
func (b *book) weaver(i int) {
	t, pan := b.t, b.plan.Panels[i]
	b.sheet("weave-"+pan.Key, t.T("weaver-sheet", nil), pan.Key)
	w := b.plan.Warp(pan.Warp)
	b.facts([2]string{t.S(pan.LoomLength), t.T("length", nil)}, [2]string{t.S(w.LoomWidth), t.T("loom-width", nil)},
		[2]string{t.Int(pan.Picks), t.T("weft", nil) + ": " + t.N("picks", pan.Picks, nil)})
	b.note(t.T("first-band", nil))
	b.y += 2
	b.lengthPlan(i, b.height(func(b *book) { b.weaverNotes(pan) }))
	b.weaverNotes(pan)
}

// lengthPlan draws a panel's bands on as many pages as it takes for every band
// to have its line; the last leaves room for what follows.
func (b *book) lengthPlan(panel int, after measure.MM) {
	n := len(b.plan.Panels[panel].Bands)
	for from := 0; from < n; {
		h := b.bottom() - b.y - 1
		to := min(n, from+draw.BandsIn(h))
		if to == n && draw.BandsIn(h-after) >= n-from {
			h -= after
		}
		draw.LengthPart(b.s, surface.Box{X: b.left(), Y: b.y, W: b.wide(), H: h}, b.plan, panel, from, to, b.t)
		b.y += h
		if from = to; from < n {
			b.next()
		}
	}
}

// weaverNotes is what stands below the length plan.
func (b *book) weaverNotes(pan plan.PanelPlan) {
	t := b.t
	seen := map[string]bool{}
	for _, band := range pan.Bands {
		if f := band.Figure; f != nil && !seen[f.Key] {
			seen[f.Key] = true
			l := f.Layout
			b.note(t.T("figures-placed", map[string]any{"figure": f.Key, "count": l.Count, "left": l.Left, "between": l.Between,
				"right": l.Right, "before": f.Before, "after": f.After}))
		}
	}
	b.end("care-weave", "woven-by")
}

// chart is a figure's page: the chart, its story, and its rows read aloud.
func (b *book) chart(c *plan.Chart) {
	t := b.t
	b.sheet("chart-"+c.Key, t.T("chart-sheet", nil), c.Key)
	b.note(t.T("cell-is", map[string]any{"ends": t.N("ends-n", c.CellEnds, nil), "picks": t.N("picks", c.CellPicks, nil)}) + " " +
		t.T("figure-size", map[string]any{"width": c.Width, "height": c.Height}))
	for _, story := range [][2]string{{"origin", c.Origin}, {"meaning", c.Meaning}, {"owner", c.Owner}} {
		if story[1] != "" {
			b.note(t.T(story[0], nil) + ": " + story[1])
		}
	}
	b.figureYarn(c)
	box := surface.Box{X: b.left(), Y: b.y + 2, W: b.wide(), H: min(150, b.bottom()-b.y-30)}
	draw.Chart(b.s, box, b.plan, c, t)
	b.y += draw.ChartHeight(box, c) + 2
	b.rows(c, c.Reading, "row-by-row")
	if turned := figure.Read(c.Chart.Turned()); b.turned(c.Key) && !reflect.DeepEqual(turned, c.Reading) {
		b.rows(c, turned, "row-by-row-turned")
	}
}

// rows prints a chart's rows in words.
func (b *book) rows(c *plan.Chart, reading figure.Reading, title string) {
	b.room(30) // a heading and some rows under it
	b.heading(b.t.T(title, nil))
	unit := "row-ends"
	if c.Kind == figure.PickUp {
		unit = "row-pairs"
	}
	b.note(b.t.T(unit, nil))
	for _, row := range reading.Rows {
		b.readRow(c, row)
	}
}

// turned says whether a figure stands on its head anywhere.
func (b *book) turned(key string) bool {
	for _, pan := range b.plan.Panels {
		for _, band := range pan.Bands {
			if band.Figure != nil && band.Figure.Key == key && band.Figure.Turned {
				return true
			}
		}
	}
	return false
}

// figureYarn says how many butterflies the figure takes where it is first used.
func (b *book) figureYarn(c *plan.Chart) {
	for _, pan := range b.plan.Panels {
		for _, band := range pan.Bands {
			if band.Figure == nil || band.Figure.Key != c.Key {
				continue
			}
			b.y += 1
			for _, u := range band.Figure.Yarns {
				y := b.plan.Yarn(u.Yarn)
				b.room(7)
				surface.Chip(b.s, surface.Box{X: b.left(), Y: b.y, W: 9, H: 5.6}, surface.ParseColour(y.Colour), y.Hatch, y.Letter)
				b.text(b.left()+11, 4.1, b.t.N("butterflies", u.Butterflies, map[string]any{"yarn": y.Label, "length": u.Length}), surface.Font{Size: 3.7, Colour: draw.Ink})
				b.y += 6.6
			}
			return
		}
	}
}

// readRow prints one row of a chart in words, with a box to tick.
func (b *book) readRow(c *plan.Chart, row figure.Row) {
	f := surface.Font{Size: 3.6, Colour: draw.Ink}
	x := b.left() + 22
	lines := surface.Wrap(RowText(b.t, b.plan, c, row), f, b.right()-x)
	b.room(5.2 * measure.MM(len(lines)))
	b.s.Path(surface.Outline(surface.Box{X: b.left(), Y: b.y + 0.6, W: 3.2, H: 3.2}), surface.Line(draw.Ink, 0.25))
	name := fmt.Sprint(row.From)
	if row.To > row.From {
		name = b.t.T("rows", map[string]any{"from": row.From, "to": row.To})
	}
	b.text(b.left()+18, 3.6, name, surface.Font{Size: 3.8, Bold: true, Colour: draw.Ink, Align: surface.Right})
	for _, line := range lines {
		b.text(x, 3.6, line, f)
		b.y += 5
	}
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Hair, 0.15))
}
