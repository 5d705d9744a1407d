package sheet

import (
	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// yarns is the list to fetch, wind and hand out by.
func (b *book) yarns() {
	t := b.t
	b.sheet("yarn", t.T("yarn-list", nil), b.plan.Name)
	for i := range b.plan.Yarns {
		b.yarnRow(i)
	}
	b.y += 3
	b.note(t.T("yarn-note", map[string]any{"spare": b.plan.Spare()}))
	b.end("care-yarn", "given-by")
}

// yarnRow is one yarn: chip, what it is, what for, how much, and boxes for what
// was handed out and came back.
func (b *book) yarnRow(i int) {
	t, y := b.t, b.plan.Yarns[i]
	balls := 0
	for _, ball := range y.Balls {
		if ball.Balls > 0 {
			balls++
		}
	}
	h := 25 + 4.4*measure.MM((balls+1)/2)
	b.room(h + 2)
	surface.Chip(b.s, surface.Box{X: b.left(), Y: b.y + 1, W: 20, H: 14}, surface.ParseColour(y.Colour), y.Hatch, y.Letter)
	x := b.left() + 24
	b.text(x, 5, y.Label, surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
	b.text(x, 10, b.yarnName(i)+b.toDye(y), surface.Font{Size: 3.4, Colour: draw.Ink})
	right := surface.Font{Size: 7.5, Bold: true, Colour: draw.Ink, Align: surface.Right}
	b.text(b.right(), 7, t.S(y.Mass), right)
	if y.Skeins > 0 {
		b.text(b.right(), 12, t.T("buy", nil)+" "+t.N("skeins-n", y.Skeins, nil)+" × "+t.S(y.Skein)+" · "+t.T("left-over", nil)+" "+t.S(y.Left),
			surface.Font{Size: 3.4, Colour: draw.Ink, Align: surface.Right})
	}
	f := surface.Font{Size: 3.6, Colour: draw.Ink}
	at := x
	for _, part := range []struct {
		key string
		m   measure.M
	}{{"for-warp", y.Warp}, {"for-weft", y.Weft}, {"for-figures", y.Figure}} {
		if part.m > 0 {
			s := t.T(part.key, nil) + " " + t.S(part.m)
			b.text(at, 15, s, f)
			at += surface.TextWidth(s, f) + 6
		}
	}
	for k, ball := range y.Balls {
		s := t.T("ball-line", map[string]any{"warp": ball.Warp, "balls": t.N("balls-n", ball.Balls, nil), "length": ball.Length, "mass": ball.Mass})
		line := 19.6 + 4.4*measure.MM(k/2)
		b.text(x+measure.MM(k%2)*(b.wide()-24)/2, line, s, surface.Fit(s, f, (b.wide()-30)/2))
	}
	base := h - 1.5
	small := surface.Font{Size: 3, Colour: draw.Ink}
	for k, key := range []string{"give-out", "take-back"} {
		bx := x + measure.MM(k)*55
		b.text(bx, base, t.T(key, nil), small)
		b.s.Path(surface.Polyline(bx+18, b.y+base+0.5, bx+44, b.y+base+0.5), surface.Line(draw.Ink, 0.2))
		b.text(bx+45, base, "g", small)
	}
	b.y += h + 1
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Hair, 0.25))
}

// toDye says by which recipe a yarn is to be dyed, if it is.
func (b *book) toDye(y plan.YarnNeed) string {
	switch {
	case y.Dye == "":
		return ""
	case y.Share > 0:
		return " · " + b.t.T("to-dye-at", map[string]any{"recipe": y.Dye, "share": y.Share})
	}
	return " · " + b.t.T("to-dye", map[string]any{"recipe": y.Dye})
}

// kit is what to pack for a class.
func (b *book) kit() {
	t := b.t
	b.sheet("kit", t.T("kit-list", nil), b.plan.Name)
	if b.plan.Learners > 0 {
		b.para(t.N("learners", b.plan.Learners, nil), surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
		b.y += 2
	}
	rowH := measure.MM(9)
	head := surface.Font{Size: 3.2, Colour: draw.Ink, Align: surface.Right}
	b.text(b.right()-26, 3, t.T("each-gets", nil), head)
	b.text(b.right(), 3, t.T("in-all", nil), head)
	b.y += 5
	for _, k := range b.plan.Kit {
		b.room(rowH)
		b.tick(b.left(), 2.2)
		b.text(b.left()+8, 5.6, k.Name, surface.Fit(k.Name, surface.Font{Size: 4.4, Colour: draw.Ink}, b.wide()-62))
		num := surface.Font{Size: 5, Bold: true, Colour: draw.Ink, Align: surface.Right}
		if k.Each > 0 {
			b.text(b.right()-26, 5.8, t.Int(k.Each), num)
		}
		b.text(b.right(), 5.8, t.Int(k.All), num)
		b.y += rowH
		b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Hair, 0.2))
	}
	for _, w := range b.plan.Warps {
		b.room(rowH)
		b.tick(b.left(), 2.2)
		b.text(b.left()+8, 5.6, t.T("warp", nil)+": "+w.Key, surface.Font{Size: 4.4, Colour: draw.Ink})
		b.text(b.right(), 5.8, t.Int(w.Layings), surface.Font{Size: 5, Bold: true, Colour: draw.Ink, Align: surface.Right})
		b.y += rowH
	}
	b.y += 3
	b.end("care-class", "")
}
