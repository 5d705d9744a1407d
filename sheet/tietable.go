package sheet

import (
	"fmt"
	"strings"

	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/tie"
)

// bundles is those that are tied at the same places, by their numbers from 0.
type bundles []int

// alike gathers bundles that are tied at the same places, in the order of the
// first of each.
func alike(g *tie.Guide) (out []bundles) {
	where := map[string]int{}
	for i := range g.Bundles {
		var key strings.Builder
		for _, m := range g.Bundles[i].Ties {
			fmt.Fprintf(&key, "%.4f %.4f;", float64(m.From.At.Middle), float64(m.To.At.Middle))
		}
		k, ok := where[key.String()]
		if !ok {
			k = len(out)
			where[key.String()] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// tieColumns are where the columns of the table of ties begin.
type tieColumns struct {
	number, panel, off, warp, out, home, boxes measure.MM
	framed                                     bool
}

func (b *book) tieColumns(pan plan.PanelPlan) tieColumns {
	l := b.left()
	c := tieColumns{l, l + 8, l + 44, l + 57, l + 85, l + 113, l + 141, true}
	if b.plan.Warp(pan.Warp).Path == nil {
		c.boxes, c.framed = c.out, false
	}
	return c
}

// tieGroups is the table: for each kind of bundle, where it is tied.
func (b *book) tieGroups(pan plan.PanelPlan) {
	c, g := b.tieColumns(pan), &pan.Tied.Guide
	before := b.head
	for _, same := range alike(g) {
		b.head = before
		b.room(42)
		b.y += 2
		b.tieGroupName(g, same)
		b.tieHead(c)
		b.head = func() { before(); b.tieGroupAgain(same); b.tieHead(c) }
		ties := g.Bundles[same[0]].Ties
		each := len(ties) / len(g.Repeats)
		for k := range each {
			b.tieRow(c, g, ties, k, each, len(same))
		}
	}
	b.head = before
}

// tieGroupName says which bundles are tied alike, and their ends.
func (b *book) tieGroupName(g *tie.Guide, same bundles) {
	var ends spans
	for _, k := range same {
		ends.add(g.Bundles[k].First, g.Bundles[k].Last)
	}
	b.para(b.tieGroup(same, len(same)), surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
	b.para(b.t.T("tying-ends", map[string]any{"list": ends.words(b.t.Int)}), surface.Font{Size: 4.2, Bold: true, Colour: draw.Ink})
	b.y += 1
}

// tieGroupAgain is its first bundles, on one line, where its table runs over.
func (b *book) tieGroupAgain(same bundles) {
	const few = 12
	name := b.tieGroup(same, few)
	b.text(b.left(), 4, name, surface.Fit(name, surface.Font{Size: 4.2, Bold: true, Colour: draw.Ink}, b.wide()))
	b.y += 6
}

// tieGroup names the first bundles of those tied alike.
func (b *book) tieGroup(same bundles, most int) string {
	var numbers spans
	for _, k := range same[:min(most, len(same))] {
		numbers.add(k+1, k+1)
	}
	list := numbers.words(b.t.Int)
	if len(same) > most {
		list += " …"
	}
	return b.t.N("tying-group", len(same), map[string]any{"list": list})
}

// spans is numbers from one to another, joined where they meet.
type spans [][2]int

func (s *spans) add(first, last int) {
	if n := len(*s); n > 0 && (*s)[n-1][1]+1 == first {
		(*s)[n-1][1] = last
		return
	}
	*s = append(*s, [2]int{first, last})
}

func (s spans) words(number func(int) string) string {
	out := make([]string, len(s))
	for i, p := range s {
		out[i] = number(p[0])
		if p[1] > p[0] {
			out[i] += "–" + number(p[1])
		}
	}
	return strings.Join(out, ", ")
}

func (b *book) tieHead(c tieColumns) {
	f := surface.Font{Size: 3, Colour: draw.Ink}
	lines := 1
	for _, column := range []struct {
		x, wide measure.MM
		key     string
	}{
		{c.panel, 34, "tying-from-panel"}, {c.off, 12, "tying-range"}, {c.warp, 26, "tying-from-warp"},
		{c.out, 26, "tying-out"}, {c.home, 26, "tying-home"}, {c.boxes, b.right() - c.boxes, "tying-done"},
	} {
		if !c.framed && (column.key == "tying-out" || column.key == "tying-home") {
			continue
		}
		words := surface.Wrap(b.t.T(column.key, nil), f, column.wide)
		for i, line := range words {
			b.text(column.x, 3+3.5*measure.MM(i), line, f)
		}
		lines = max(lines, len(words))
	}
	b.y += 1.5 + 3.5*measure.MM(lines)
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Ink, 0.3))
}

// tieRow is one tie of a panel, with a line for every panel on the warp.
func (b *book) tieRow(c tieColumns, g *tie.Guide, ties []tie.Tie, k, each, many int) {
	const line = 5.4
	perLine := max(1, int((b.right()-c.boxes)/4.4))
	boxLines := (many + perLine - 1) / perLine
	step := line * measure.MM(boxLines)
	h := max(9, step*measure.MM(len(g.Repeats))+2.6)
	b.room(h)
	first, begin := ties[k], g.Repeats[0].From
	b.text(c.number, 6, b.t.Int(k+1), surface.Font{Size: 3.6, Colour: draw.Ink})
	b.text(c.panel, 6.4, b.span(first.From.At.Middle-begin.Middle, first.To.At.Middle-begin.Middle), surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
	b.text(c.off, 6, "± "+b.t.Num(float64(first.To.At.High-first.To.At.Low)/2, 1), surface.Font{Size: 3.6, Colour: draw.Ink})
	for r := range g.Repeats {
		m, y := ties[r*each+k], step*measure.MM(r)
		f := surface.Font{Size: 3.8, Colour: draw.Ink}
		b.text(c.warp, y+6, b.span(m.From.At.Middle, m.To.At.Middle), f)
		if c.framed {
			b.text(c.out, y+6, b.span(m.From.Outward, m.To.Outward), f)
			b.text(c.home, y+6, b.span(m.From.Homeward, m.To.Homeward), f)
		}
		for i := range many {
			at := surface.Box{X: c.boxes + 4.4*measure.MM(i%perLine), Y: b.y + y + 2.6 + line*measure.MM(i/perLine), W: 3.5, H: 3.5}
			b.s.Path(surface.Outline(at), surface.Line(draw.Ink, 0.25))
		}
	}
	b.y += h
	b.s.Path(surface.Polyline(b.left(), b.y, b.right(), b.y), surface.Line(draw.Hair, 0.2))
}

// span is from where to where, the lower first, as a ruler goes.
func (b *book) span(from, to measure.CM) string {
	return b.t.Num(float64(min(from, to)), 1) + " – " + b.t.Num(float64(max(from, to)), 1)
}
