package sheet

import (
	"fmt"
	"strings"

	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp"
)

// warp is the sheet from which a warp is laid.
func (b *book) warp(w *plan.WarpPlan) {
	t := b.t
	b.sheet("warp-"+w.Key, t.T("warp-sheet", nil), w.Key)
	b.facts([2]string{t.Int(w.Ends), t.T("ends", nil)}, [2]string{circuits(t.Int, int(w.Circuits*2)), t.T("circuits", nil)},
		[2]string{t.Long(w.LayLength()), t.T("lay-length", nil)}, [2]string{t.S(w.LoomWidth), t.T("loom-width", nil)})
	b.para(t.N("layings", w.Layings, nil)+" · "+t.T("sett", nil)+" "+t.S(w.Sett)+" · "+t.T(w.CoverKind, nil), surface.Font{Size: 4.2, Bold: true, Colour: draw.Ink})
	b.y += 2
	b.room(34)
	draw.Ruler(b.s, surface.Box{X: b.left(), Y: b.y, W: b.wide(), H: 32}, b.plan, w, t)
	b.y += 35
	b.way(w)
	b.balls(w)
	b.stripes(w)
	b.y += 2
	b.note(t.T("check-count", map[string]any{"n": w.Check, "ends": 2 * w.Check}))
	b.note(t.T("sheds", map[string]any{"rod": w.Sheds.Rod, "heddles": w.Sheds.Heddles, "string": w.Sheds.String, "height": w.Sheds.Height}))
	b.lengths(w)
	b.end("care-warp", "laid-by")
}

// way is the picture of the frame and the order of the pegs.
func (b *book) way(w *plan.WarpPlan) {
	t := b.t
	b.heading(t.T("way-round", nil))
	if w.Path == nil {
		b.note(t.T("no-frame", map[string]any{"length": t.Long(w.LayLength())}))
		return
	}
	const h = 74
	b.room(h + 18)
	draw.Frame(b.s, surface.Box{X: b.left(), Y: b.y, W: b.wide(), H: h}, w, t)
	b.y += h + 1
	b.text(b.left()+b.wide()/2, 3, t.T("way-line", map[string]any{"cross": strings.Join(w.Frame.Cross[:], "–")}), surface.Font{Size: 3.1, Colour: draw.Ink, Align: surface.Centre})
	b.y += 6
	pegs := strings.Join(w.Path.Pegs, " → ")
	b.text(b.left(), 5, pegs, surface.Fit(pegs, surface.Font{Size: 5, Bold: true, Colour: draw.Ink}, b.wide()))
	b.y += 7
	b.note(t.T("way-out", map[string]any{"pegs": strings.Join(w.Path.Pegs, ", "), "cross": strings.Join(w.Frame.Cross[:], ", ")}))
	b.note(t.T("way-length", map[string]any{"length": t.Long(w.Path.Length), "excess": w.Path.Excess, "circuit": t.Long(w.Path.Circuit)}))
}

// balls lists what to have wound before laying.
func (b *book) balls(w *plan.WarpPlan) {
	t := b.t
	b.heading(t.T("wound", nil))
	const columns = 3
	cell := b.wide() / columns
	for i, y := range w.Yarns {
		if i%columns == 0 {
			b.room(10)
		}
		x := b.left() + cell*measure.MM(i%columns)
		need := b.plan.Yarn(y.Yarn)
		b.tick(x, 1.5)
		surface.Chip(b.s, surface.Box{X: x + 6, Y: b.y, W: 11, H: 7}, surface.ParseColour(need.Colour), need.Hatch, need.Letter)
		for _, ball := range need.Balls {
			if ball.Warp == w.Key {
				b.text(x+19, 3.4, t.N("balls-n", ball.Balls, nil)+" · "+t.S(ball.Mass), surface.Font{Size: 3.6, Bold: true, Colour: draw.Ink})
				b.text(x+19, 7, t.S(ball.Length)+" · "+t.N("strands-n", need.Strands, nil), surface.Font{Size: 3, Colour: draw.Ink})
			}
		}
		if i%columns == columns-1 || i == len(w.Yarns)-1 {
			b.y += 10
		}
	}
}

// Columns of the table of stripes: right ends of numbers, left ends of words.
type columns struct{ number, chip, words, ends, circuits, tie, boxes, sumEnds, sumCircuits measure.MM }

func (b *book) columns() columns {
	r := b.right()
	return columns{b.left() + 6, b.left() + 8, b.left() + 30, b.left() + 80, b.left() + 96, b.left() + 99, b.left() + 112, r - 18, r}
}

// stripes is the table to lay by: one row a stripe.
func (b *book) stripes(w *plan.WarpPlan) {
	b.room(40)
	before := b.head
	b.y += 2
	b.stripeHead(w)
	b.head = func() { before(); b.stripeHead(w) }
	for i := range w.Windings {
		b.stripeRow(w, i)
	}
	b.head = before
}

func (b *book) stripeHead(w *plan.WarpPlan) {
	c, t := b.columns(), b.t
	f := surface.Font{Size: 3, Colour: draw.Ink}
	right := f
	right.Align = surface.Right
	b.text(c.chip, 3, t.T("stripe", nil), f)
	b.text(c.ends, 3, t.T("ends", nil), right)
	b.text(c.circuits, 3, t.T("circuits", nil), right)
	b.text(c.tie, 3, t.T("tie-on", nil), f)
	b.text(c.boxes+3, 3, t.T("tick-every", map[string]any{"n": w.Check}), f)
	lines := 2
	for i, key := range []string{"running-ends", "running-circuits"} {
		words := surface.Wrap(t.T(key, nil), f, 14)
		for k, l := range words {
			b.text([]measure.MM{c.sumEnds, c.sumCircuits}[i], 3+3.4*measure.MM(k), l, right)
		}
		lines = max(lines, len(words))
	}
	b.y += 1.5 + 3.4*measure.MM(lines)
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Ink, 0.3))
}

func (b *book) stripeRow(w *plan.WarpPlan, i int) {
	wd, st, c, t := w.Windings[i], w.Stripes[i], b.columns(), b.t
	boxes := (wd.Passes/2 + w.Check - 1) / w.Check
	perLine := int((c.sumEnds - 13 - c.boxes) / 4.4)
	lines := max(1, (boxes+perLine-1)/perLine)
	h := max(9, measure.MM(lines)*5+2)
	b.room(h)
	base := measure.MM(6.2)
	big := surface.Font{Size: 5, Bold: true, Colour: draw.Ink, Align: surface.Right}
	b.text(c.number, base, t.Int(i+1), surface.Font{Size: 3.2, Colour: draw.Ink, Align: surface.Right})
	wide := min(10, 20/measure.MM(len(st.Yarns)))
	for k, l := range st.Yarns {
		y := b.plan.Yarn(l.Yarn)
		surface.Chip(b.s, surface.Box{X: c.chip + wide*measure.MM(k), Y: b.y + 1.2, W: wide - 0.6, H: 6.4}, surface.ParseColour(y.Colour), y.Hatch, y.Letter)
	}
	how := b.howLines(wd, st)
	for k, line := range how {
		b.text(c.words, 6.0-1.8*measure.MM(len(how)-1)+3.6*measure.MM(k), line, surface.Fit(line, surface.Font{Size: 3.2, Colour: draw.Ink}, c.ends-c.words-11))
	}
	b.text(c.ends, base, t.Int(wd.Ends), big)
	b.text(c.circuits, base, circuits(t.Int, wd.Passes), big)
	b.tieAt(w, wd, c, base)
	for k := range boxes {
		x := c.boxes + 3 + 4.4*measure.MM(k%perLine)
		b.s.Path(surface.Outline(surface.Box{X: x, Y: b.y + 2.6 + 5*measure.MM(k/perLine), W: 3.4, H: 3.4}), surface.Line(draw.Ink, 0.25))
	}
	big.Size = 4.2
	b.text(c.sumEnds, base, t.Int(wd.SumEnds), big)
	b.text(c.sumCircuits, base, circuits(t.Int, wd.SumPasses), big)
	b.y += h
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Hair, 0.2))
}

// tieAt names the peg a stripe begins at; the far one is marked, because a
// weaver does not expect it.
func (b *book) tieAt(w *plan.WarpPlan, wd warp.Winding, c columns, base measure.MM) {
	peg := b.t.T(string(wd.From), nil)
	if w.Path != nil {
		peg = w.Path.Pegs[0]
		if wd.From == warp.AtTurn {
			peg = w.Path.Pegs[len(w.Path.Pegs)-1]
		}
	}
	f := surface.Font{Size: 4.2, Bold: true, Colour: draw.Ink}
	if wd.From == warp.AtTurn {
		width := surface.TextWidth(peg, f) + 3
		b.s.Path(surface.Outline(surface.Box{X: c.tie - 1.5, Y: b.y + base - 4.6, W: width, H: 6}), surface.Line(draw.Ink, 0.5))
	}
	b.text(c.tie, base, peg, f)
}

// howLines says which yarns, and how they are held.
func (b *book) howLines(wd warp.Winding, st warp.Laid) []string {
	t := b.t
	if len(st.Yarns) == 1 {
		lines := []string{b.plan.Yarn(st.Yarns[0].Yarn).Label}
		if wd.InHand > 1 {
			s := t.T("balls-in-hand", map[string]any{"n": wd.InHand})
			if wd.Last != wd.InHand {
				s += ", " + t.T("last-pass", map[string]any{"n": wd.Last})
			}
			lines = append(lines, s)
		}
		return lines
	}
	parts := make([]string, len(st.Yarns))
	for i, l := range st.Yarns {
		parts[i] = fmt.Sprintf("%d %s", l.Ends, b.plan.Yarn(l.Yarn).Label)
	}
	how := "by-circuits"
	if wd.Together {
		how = "held-together"
	}
	return []string{strings.Join(parts, " + "), t.T(how, nil)}
}

// lengths explains the length and the rounding.
func (b *book) lengths(w *plan.WarpPlan) {
	t, l := b.t, w.Length
	var slots []string
	for _, s := range w.Slots {
		slots = append(slots, fmt.Sprintf("%d × %s", s.Count, s.Panel))
	}
	b.note(t.T("woven-on", map[string]any{"list": strings.Join(slots, ", ")}))
	b.note(t.T("length-parts", map[string]any{"panels": l.Panels, "takeup": l.High, "fringes": l.Fringes,
		"between": l.Between, "waste": l.Waste, "lay": l.Lay, "middle": l.Middle}))
	if w.Rounding >= 0.05 {
		b.note(t.T("rounded", map[string]any{"ends": t.Num(float64(w.Rounding), 1)}))
	}
	if !w.Alike {
		b.note(t.T("repeats-unlike", nil))
	}
}

func (b *book) tick(x, below measure.MM) {
	b.s.Path(surface.Outline(surface.Box{X: x, Y: b.y + below, W: 4, H: 4}), surface.Line(draw.Ink, 0.35))
}
