package main

import (
	"fmt"
	"strings"
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// printPlan prints a plan for a person at a terminal: what the sheets say, less
// the pictures.
func (a *app) printPlan(p *plan.Plan) {
	w := a.words
	fmt.Fprintln(a.out, a.strong(p.Name))
	line := w.N("pieces", p.Pieces, nil)
	if p.Learners > 0 {
		line = w.N("learners", p.Learners, nil)
	}
	if p.Customer != "" {
		line += " · " + w.T("for-customer", check.Args{"customer": p.Customer})
	}
	if d, err := time.Parse(time.DateOnly, p.Due); err == nil {
		line += " · " + w.T("due", check.Args{"date": w.Date(d)})
	}
	fmt.Fprintf(a.out, "%s\n\n", line)
	t := table{indent: 2}
	t.add(w.T("size", nil), w.Num(float64(p.Piece.Width), 1)+" × "+w.S(p.Piece.Length))
	t.add(w.T("weight", nil), w.S(p.Piece.Mass), w.S(p.Piece.PerM2), w.T("hand", nil)+": "+w.T(p.Piece.Hand, nil))
	t.print(a.out)
	for i := range p.Warps {
		a.printWarp(p, &p.Warps[i])
	}
	for i := range p.Panels {
		a.printPanel(p, &p.Panels[i])
	}
	a.printYarns(p)
	a.printKit(p)
}

func (a *app) printWarp(p *plan.Plan, wp *plan.WarpPlan) {
	w := a.words
	fmt.Fprintf(a.out, "\n%s %s · %s\n", a.heading("warp"), a.strong(wp.Key), w.N("layings", wp.Layings, nil))
	t := table{indent: 2}
	t.add(w.T("length", nil), w.Long(wp.LayLength()), w.T("plan-length-range", check.Args{"middle": w.Long(wp.Length.Middle), "lay": w.Long(wp.Length.Lay)}))
	t.add(w.T("ends", nil), w.Int(wp.Ends), w.T("plan-circuits", check.Args{"circuits": w.Num(float64(wp.Circuits), 1)}))
	t.add(w.T("width", nil), w.S(wp.Width), w.T("plan-on-loom", check.Args{"width": wp.LoomWidth}))
	t.add(w.T("sett", nil), w.S(wp.Sett), w.T("cover", nil)+" "+w.Num(float64(wp.Cover), 2)+", "+w.T(wp.CoverKind, nil))
	t.add(w.T("plan-sheds", nil), w.Int(wp.Sheds.Rod)+" + "+w.Int(wp.Sheds.Heddles), w.T("plan-string", check.Args{"string": wp.Sheds.String}))
	if wp.Path != nil {
		t.add(w.T("plan-way", nil), strings.Join(wp.Path.Pegs, " "), w.T("plan-excess", check.Args{"excess": wp.Path.Excess}))
	}
	t.print(a.out)
	fmt.Fprintln(a.out)
	a.printStripes(p, wp)
}

func (a *app) printStripes(p *plan.Plan, wp *plan.WarpPlan) {
	w := a.words
	t := table{indent: 2, numbers: true}
	t.add(w.T("stripe", nil), w.T("ends", nil), w.T("circuits", nil), w.T("running-ends", nil), w.T("running-circuits", nil))
	for i, wd := range wp.Windings {
		half := ""
		if wd.Half {
			half = " ½"
		}
		t.add(fmt.Sprintf("%3d  %s", i+1, stripeName(p, wp.Stripes[i])), w.Int(wd.Ends),
			w.Int(wd.Passes/2)+half, w.Int(wd.SumEnds), w.Num(wd.SumCircuits(), 1))
	}
	t.print(a.out)
}

// stripeName is a stripe's yarns by letter and name: "P Pizarra", "A+N 1:1".
func stripeName(p *plan.Plan, s warp.Laid) string {
	if len(s.Yarns) == 1 {
		y := p.Yarn(s.Yarns[0].Yarn)
		return y.Letter + " " + y.Label
	}
	letters, ends := make([]string, len(s.Yarns)), make([]string, len(s.Yarns))
	for i, l := range s.Yarns {
		letters[i], ends[i] = p.Yarn(l.Yarn).Letter, fmt.Sprint(l.Ends)
	}
	return strings.Join(letters, "+") + " " + strings.Join(ends, ":")
}

func (a *app) printPanel(p *plan.Plan, pan *plan.PanelPlan) {
	w := a.words
	fmt.Fprintf(a.out, "\n%s %s · %s · %s\n", a.heading("panel"), a.strong(pan.Key),
		w.T("plan-from-warp", check.Args{"warp": pan.Warp}), w.T("plan-times", check.Args{"count": pan.Count * p.Pieces}))
	t := table{indent: 2, numbers: true}
	t.add("", w.T("plan-finished", nil), w.T("plan-loom", nil), w.T("plan-to", nil), w.T("plan-picks", nil), w.T("weft", nil))
	for i, b := range pan.Bands {
		name := w.T("band-"+string(b.Kind), nil)
		if b.Figure != nil {
			name += " " + b.Figure.Key + " × " + w.Int(b.Figure.Layout.Count)
		}
		picks, weft, to := "", "", ""
		if b.Picks > 0 {
			picks, weft = w.Int(b.Picks), p.Yarn(b.Weft).Letter
		}
		if b.Kind != plan.Fringe {
			to = w.S(b.To)
		}
		t.add(fmt.Sprintf("%3d  %s", i+1, name), w.S(b.Made), w.S(b.Loom), to, picks, weft)
	}
	t.print(a.out)
	if pan.Tied != nil {
		fmt.Fprintln(a.out, "  "+w.T("plan-tied", check.Args{"ties": pan.Tied.Ties, "bundles": len(pan.Tied.Guide.Bundles)}))
	}
}

func (a *app) printYarns(p *plan.Plan) {
	w := a.words
	fmt.Fprintf(a.out, "\n%s\n", a.heading("yarn-list"))
	t := table{indent: 2, numbers: true}
	t.add("", w.T("for-warp", nil), w.T("for-weft", nil), w.T("for-figures", nil), w.T("spare", nil), w.T("in-all", nil), w.T("buy", nil))
	for _, y := range p.Yarns {
		buy := ""
		if y.Skeins > 0 {
			buy = w.T("plan-skeins", check.Args{"skeins": w.N("skeins-n", y.Skeins, nil), "each": y.Skein})
		}
		name := y.Letter + " " + y.Label
		if y.Count != "" {
			name += ", " + y.Count
		}
		t.add(name, a.metres(y.Warp), a.metres(y.Weft), a.metres(y.Figure), a.metres(y.Spare), w.S(y.Mass), buy)
	}
	t.print(a.out)
}

// metres leaves out what is nothing.
func (a *app) metres(l measure.M) string {
	if l == 0 {
		return ""
	}
	return a.words.S(l)
}

func (a *app) printKit(p *plan.Plan) {
	if len(p.Kit) == 0 {
		return
	}
	w := a.words
	fmt.Fprintf(a.out, "\n%s\n", a.heading("kit-list"))
	t := table{indent: 2, numbers: true}
	for _, k := range p.Kit {
		t.add(k.Name, w.Int(k.All))
	}
	t.print(a.out)
}
