package sheet

import (
	"slices"
	"strings"

	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/tie"
)

// tied is the sheet by which a warp is tied before it is dyed.
func (b *book) tied(i int) {
	t, pan := b.t, b.plan.Panels[i]
	if pan.Tied == nil {
		return
	}
	g := &pan.Tied.Guide
	w := b.plan.Warp(pan.Warp)
	b.sheet("tie-"+pan.Key, t.T("tying-sheet", nil), pan.Key)
	b.facts([2]string{t.Int(g.Ties), t.T("tying-count", nil)}, [2]string{t.Int(len(g.Bundles)), t.T("tying-bundles", nil)},
		[2]string{t.Long(g.Length), t.T("lay-length", nil)})
	b.para(t.T("warp", nil)+" "+w.Key+" · "+t.N("layings", w.Layings, nil), surface.Font{Size: 4.2, Bold: true, Colour: draw.Ink})
	b.y += 2
	b.tieSteps(i)
	b.heading(t.T("tying-strip", nil))
	h := max(34, min(80, measure.MM(len(g.Bundles))*4+12))
	b.room(h + 4)
	if b.of > 0 {
		draw.Ties(b.s, surface.Box{X: b.left(), Y: b.y, W: b.wide(), H: h}, pan, t)
	}
	b.y += h + 4
	b.tiePanels(pan)
	b.note(t.T("tying-off", nil))
	b.tieGroups(pan)
	b.end("care-tie", "tied-by")
}

// tieSteps is the picture of the panel, and beside it what to do in which order.
func (b *book) tieSteps(panel int) {
	const h measure.MM = 104
	b.room(h)
	pan := b.plan.Panels[panel]
	tall := measure.CM(0)
	for _, band := range pan.Bands {
		tall += band.Seen
	}
	picture := surface.Box{X: b.left(), Y: b.y, W: 58, H: h - 4}
	per := min(float64(picture.W)/float64(pan.Width), float64(picture.H)/float64(tall))
	picture.W, picture.H = measure.MM(float64(pan.Width)*per), measure.MM(float64(tall)*per)
	if b.of > 0 {
		draw.Part(b.s, picture, b.plan, draw.Detail{Panel: panel, PerCM: per})
		b.s.Path(surface.Outline(picture), surface.Line(draw.Hair, 0.3))
	}
	x, top := picture.X+picture.W+7, b.y
	for k, step := range b.tieWords(pan) {
		f := surface.Font{Size: 4, Colour: draw.Ink}
		b.tick(x, 0)
		b.text(x+6, 3.6, b.t.Int(k+1), surface.Font{Size: 4.4, Bold: true, Colour: draw.Ink})
		for _, line := range surface.Wrap(step, f, b.right()-x-12) {
			b.text(x+12, 3.6, line, f)
			b.y += 5.2
		}
		b.y += 2.2
	}
	b.y = max(top+h, b.y+2)
}

// tieWords is what to do, step by step.
func (b *book) tieWords(pan plan.PanelPlan) []string {
	t, w, set := b.t, b.plan.Warp(pan.Warp), pan.Tied.Setup
	var yarns []string
	for _, y := range tiedYarns(w, pan.Tied.Guide.Bundles) {
		need := b.plan.Yarn(y.yarn)
		yarns = append(yarns, t.T("tying-yarn", map[string]any{"letter": need.Letter, "label": need.Label, "tied": y.tied, "ends": y.ends}))
	}
	begin := t.T("tying-measure", nil)
	if w.Path != nil {
		peg := w.Path.Pegs[0]
		if set.AtTurn {
			peg = w.Path.Pegs[len(w.Path.Pegs)-1]
		}
		begin = t.T("tying-measure-peg", map[string]any{"peg": peg})
	}
	return []string{
		t.T("tying-lay", map[string]any{"yarns": strings.Join(yarns, ", ")}), begin,
		t.T("tying-own", nil), t.T("tying-wrap", nil), t.T("tying-dye", nil),
		t.T("tying-blur", map[string]any{"shift": set.Shift}),
	}
}

// tiedYarn is how many ends of a yarn are tied.
type tiedYarn struct {
	yarn       string
	tied, ends int
}

func tiedYarns(w *plan.WarpPlan, bundles []tie.Bundle) []tiedYarn {
	ends, names := w.EndYarns()
	out := make([]tiedYarn, len(names))
	for i, name := range names {
		out[i].yarn = name
	}
	for _, e := range ends {
		out[e].ends++
	}
	for _, b := range bundles {
		for e := b.First - 1; e < b.Last; e++ {
			out[ends[e]].tied++
		}
	}
	return slices.DeleteFunc(out, func(y tiedYarn) bool { return y.tied == 0 })
}

// tiePanels says where each panel begins.
func (b *book) tiePanels(pan plan.PanelPlan) {
	t, g := b.t, &pan.Tied.Guide
	framed := b.plan.Warp(pan.Warp).Path != nil
	for i, r := range g.Repeats {
		b.room(9)
		b.tick(b.left(), 1)
		b.text(b.left()+7, 4.4, t.T("tying-panel", map[string]any{"n": i + 1}), surface.Font{Size: 4.2, Colour: draw.Ink})
		b.text(b.left()+34, 4.6, t.S(r.From.Middle), surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
		more := ""
		if r.From.High-r.From.Low > 0.05 {
			more = t.T("tying-between", map[string]any{"low": r.From.Low, "high": r.From.High})
		}
		if framed {
			out, home := r.From.Middle, g.Homeward-r.From.Middle
			if pan.Tied.Setup.AtTurn {
				out, home = g.Outward-r.From.Middle, r.From.Middle
			}
			if more != "" {
				more += " · "
			}
			more += t.T("tying-on-frame", map[string]any{"out": out, "home": home})
		}
		b.text(b.left()+60, 4.4, more, surface.Fit(more, surface.Font{Size: 3.6, Colour: draw.Ink}, b.right()-b.left()-60))
		b.y += 8
	}
}
