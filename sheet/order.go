package sheet

import (
	"time"

	"urdir/draw"
	"urdir/measure"
	"urdir/surface"
)

// order is the first page: what is made, for whom, and what it looks like.
func (b *book) order() {
	p, t := b.plan, b.t
	title := t.T("order-sheet", nil)
	b.sheet("order", title, p.Name)
	line := t.N("pieces", p.Pieces, nil)
	if p.Learners > 0 {
		line = t.N("learners", p.Learners, nil)
	}
	if p.Customer != "" {
		line += " · " + t.T("for-customer", map[string]any{"customer": p.Customer})
	}
	if d, err := time.Parse(time.DateOnly, p.Due); err == nil {
		line += " · " + t.T("due", map[string]any{"date": t.Date(d)})
	}
	b.para(line, surface.Font{Size: 4.6, Bold: true, Colour: draw.Ink})
	if p.Note != "" {
		b.note(p.Note)
	}
	b.y += 2
	size := t.Num(float64(p.Piece.Width), 1) + " × " + t.S(p.Piece.Length)
	b.facts([2]string{size, t.T("size", nil)}, [2]string{t.S(p.Piece.Mass), t.T("weight", nil)},
		[2]string{t.S(p.Piece.PerM2), t.T("hand", nil) + ": " + t.T(p.Piece.Hand, nil)})
	b.picture()
	b.heading(t.T("warps", nil))
	for _, w := range p.Warps {
		b.note(t.T("warp-line", map[string]any{"warp": w.Key, "ends": t.N("ends-n", w.Ends, nil), "circuits": circuits(t.Int, int(w.Circuits*2)),
			"length": t.Long(w.LayLength()), "layings": t.N("layings", w.Layings, nil)}))
	}
	b.legend()
	if len(p.Cautions) > 0 {
		b.heading(t.T("cautions", nil))
		for _, c := range p.Cautions {
			what, mend := t.Problem(c)
			b.note("• " + what + " " + mend)
		}
	}
}

// picture shows the whole piece and a part of it under a lens.
func (b *book) picture() {
	h := measure.MM(150)
	b.room(h)
	whole := surface.Box{X: b.left(), Y: b.y, W: b.wide() * 0.56, H: h - 2}
	lens := surface.Box{X: b.left() + b.wide()*0.6, Y: b.y, W: b.wide() * 0.4, H: h - 2}
	if b.of > 0 {
		draw.Cloth(b.s, whole, b.plan)
		draw.Lens(b.s, lens, b.plan)
	}
	b.s.Path(surface.Outline(lens), surface.Line(draw.Hair, 0.3))
	b.y += h
}

// legend lists the yarns with their chips.
func (b *book) legend() {
	const columns = 3
	w := b.wide() / columns
	b.y += 2
	for i, y := range b.plan.Yarns {
		if i%columns == 0 {
			b.room(9)
		}
		x := b.left() + w*measure.MM(i%columns)
		surface.Chip(b.s, surface.Box{X: x, Y: b.y, W: 11, H: 7}, surface.ParseColour(y.Colour), y.Hatch, y.Letter)
		b.text(x+13, 3.4, y.Label, surface.Fit(y.Label, surface.Font{Size: 3.6, Bold: true, Colour: draw.Ink}, w-15))
		b.text(x+13, 7, b.yarnName(i), surface.Fit(b.yarnName(i), surface.Font{Size: 2.9, Colour: draw.Ink}, w-15))
		if i%columns == columns-1 || i == len(b.plan.Yarns)-1 {
			b.y += 9
		}
	}
}

// yarnName says what a yarn is: fibre, count and strands.
func (b *book) yarnName(i int) string {
	y, s := b.plan.Yarns[i], ""
	if y.Fibre != "" {
		s = b.t.T("fibre-"+y.Fibre, nil) + " "
	}
	if y.Count != "" {
		s += y.Count
	} else {
		s += b.t.S(y.StrandTex)
	}
	return s + ", " + b.t.N("strands-n", y.Strands, nil)
}

// circuits writes a number of passes as circuits, with a half where odd.
func circuits(number func(int) string, passes int) string {
	switch {
	case passes == 1:
		return "½"
	case passes%2 == 1:
		return number(passes/2) + "½"
	}
	return number(passes / 2)
}
