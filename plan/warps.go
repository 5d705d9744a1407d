package plan

import (
	"fmt"
	"math"

	"urdir/check"
	"urdir/cloth"
	"urdir/measure"
	"urdir/warp"
)

// planWarps fits every stripe order to the width of its panels and winds it.
func (m *maker) planWarps() {
	for _, w := range m.in.Warps {
		path := "warps." + w.Key
		cut, ok := m.cutWidth(w)
		if !ok {
			continue
		}
		flat, ps := w.Order.Expand()
		m.ps.Under(path, ps)
		if ps.Failed() {
			continue
		}
		fit, ps := warp.Fit(flat, warp.Room{Width: cut, Shrink: m.in.Shrink.Width, Sett: w.Sett, Scale: w.Scale})
		m.ps.Under(path, ps)
		if ps.Failed() {
			continue
		}
		out := WarpPlan{
			Key: w.Key, Sett: w.Sett, Wanted: cut, Asked: measure.Count(fit.Wanted), Check: w.Check,
			Ends: fit.Ends, Stripes: fit.Stripes, Alike: fit.RepeatsAlike, Rounding: measure.Count(fit.MostOff),
			LoomWidth: measure.CM(float64(fit.Ends) / float64(w.Sett)),
			Windings:  warp.Wind(fit, w.Balls),
			Sheds:     warp.Shed(fit.Ends, w.Heddle),
			Frame:     m.in.Frame,
		}
		out.Width = cloth.Finished(out.LoomWidth, m.in.Shrink.Width)
		if cut == 0 {
			out.Wanted = out.Width
		}
		out.Circuits = measure.Count(out.Windings[len(out.Windings)-1].SumCircuits())
		m.countYarns(&out, fit)
		m.cover(&out, path)
		m.out.Warps = append(m.out.Warps, out)
	}
}

// cutWidth is the finished width a warp has to give: what is seen of its
// panels and what their seams take. Panels on one warp are equally wide.
func (m *maker) cutWidth(w Warp) (measure.CM, bool) {
	width, first := measure.CM(-1), ""
	for _, p := range m.in.Panels {
		if p.Warp != w.Key {
			continue
		}
		cut := p.Width + p.Seam.Left + p.Seam.Right
		if p.Width == 0 {
			cut = 0
		}
		switch {
		case first == "":
			width, first = cut, p.Key
		case math.Abs(float64(cut-width)) > 0.05:
			m.ps.Wrong("panels."+p.Key+".width", "panels-differ", check.Args{
				"panel": p.Key, "other": first, "warp": w.Key, "width": cut, "otherWidth": width})
			return 0, false
		}
	}
	if first == "" {
		m.ps.Wrong("warps."+w.Key, "warp-unused", check.Args{"warp": w.Key})
		return 0, false
	}
	return width, true
}

// knownYarns checks that every stripe is of yarns the cloth has.
func (m *maker) knownYarns(items []warp.Item, path string, depth int) {
	if depth > warp.MaxDepth {
		return // which Expand says
	}
	for i, it := range items {
		at := fmt.Sprintf("%s[%d]", path, i)
		m.knownYarns(it.Of, at+".of", depth+1)
		m.knownYarns(it.Mirror, at+".mirror", depth+1)
		if it.Stripe == nil {
			continue
		}
		for _, l := range it.Stripe.Yarns {
			m.knownYarn(at, l.Yarn)
		}
	}
}

// countYarns counts the ends of each yarn, in the order of the yarns.
func (m *maker) countYarns(out *WarpPlan, fit warp.Fitted) {
	ends, names := fit.Yarn()
	count := make([]int, len(m.in.Yarns))
	for _, e := range ends {
		count[m.yarn[names[e]]]++
	}
	for i, n := range count {
		if n > 0 {
			out.Yarns = append(out.Yarns, WarpYarn{Yarn: m.in.Yarns[i].Key, Ends: n})
		}
	}
}

// diameter is the mean diameter of a warp's ends.
func (m *maker) diameter(w *WarpPlan) measure.MM {
	var sum float64
	for _, y := range w.Yarns {
		sum += float64(y.Ends) * float64(m.thread[y.Yarn].Diameter)
	}
	return measure.MM(sum / float64(w.Ends))
}

func (m *maker) cover(w *WarpPlan, path string) {
	w.Diameter = m.diameter(w)
	w.Cover = cloth.Cover(w.Sett, w.Diameter)
	w.CoverKind = string(cloth.KindOf(w.Cover))
	args := check.Args{"cover": float64(w.Cover), "sett": w.Sett,
		"low": cloth.SettFor(cloth.WarpFacedLow, w.Diameter), "high": cloth.SettFor(cloth.WarpFacedHigh, w.Diameter)}
	switch {
	case w.Cover < 1:
		m.ps.Look(path+".sett", "cover-balanced", args)
	case w.Cover > cloth.WarpFacedHigh*1.15:
		m.ps.Look(path+".sett", "cover-high", args)
	}
}

// layWarps settles what is woven on one laying of each warp, how long its ends
// are, and how it goes round the frame.
func (m *maker) layWarps() {
	for i, in := range m.in.Warps {
		w := &m.out.Warps[i]
		path := "warps." + in.Key
		m.slots(w, in, path)
		panels := 0
		l := &w.Length
		for _, s := range w.Slots {
			n := measure.CM(s.Count)
			panels += s.Count
			l.Panels += s.Woven * n
			l.TakeUp += s.TakeUp * n
			l.Fringes += s.Fringe * n
			l.High += s.High * n
		}
		l.Between = in.Between * measure.CM(panels-1)
		l.Waste = in.Waste
		l.Middle = l.Panels + l.TakeUp + l.Fringes + l.Between + l.Waste
		l.Lay = l.Panels + l.High + l.Fringes + l.Between + l.Waste
		if l.Lay > maxWarp {
			m.ps.Wrong(path, "warp-too-long", check.Args{"length": l.Lay, "most": maxWarp})
			continue
		}
		m.path(w, path, panels)
		for j := range w.Yarns {
			y := &w.Yarns[j]
			y.Length = measure.M(float64(y.Ends) * float64(w.LayLength().M()))
			y.Mass = m.thread[y.Yarn].Tex.Mass(y.Length)
		}
		m.balls(w)
	}
}

// maxWarp bounds the length of a warp: a hundred metres is beyond any frame.
const maxWarp measure.CM = 10000

// slots says what is woven on one laying.
func (m *maker) slots(w *WarpPlan, in Warp, path string) {
	w.Layings = 1
	for _, p := range m.out.Panels {
		if p.Warp != w.Key {
			continue
		}
		s := Slot{Panel: p.Key, Count: p.Count}
		for _, b := range p.Bands {
			if b.Kind == Fringe {
				s.Fringe += b.Loom
				continue
			}
			s.Woven += b.Loom
			s.TakeUp += b.Loom * measure.CM(b.TakeUp.Middle)
			s.High += b.Loom * measure.CM(b.TakeUp.High)
		}
		switch in.Lay {
		case LayTogether:
			s.Count *= m.in.Pieces
		case LayPerPiece:
			w.Layings = m.in.Pieces
		case LayPerPanel:
			if len(w.Slots) > 0 {
				m.ps.Wrong(path+".lay", "lay-per-panel-two", check.Args{"first": w.Slots[0].Panel, "second": p.Key})
			}
			w.Layings = m.in.Pieces * p.Count
			s.Count = 1
		}
		w.Slots = append(w.Slots, s)
	}
}

// path finds the way round the frame, or says how much of the order fits.
func (m *maker) path(w *WarpPlan, path string, panels int) {
	if m.in.Frame == nil {
		if !m.said["frame-none"] {
			m.said["frame-none"] = true
			m.ps.Look("frame", "frame-none", nil)
		}
		return
	}
	found, ps := m.in.Frame.Find(w.Length.Lay)
	for _, p := range ps {
		p.Path = "frame"
		if p.Code == "frame-too-short" {
			longest := m.in.Frame.Longest()
			// One panel takes no space between, each further one does.
			space := w.Length.Between / measure.CM(max(1, panels-1))
			each := (w.Length.Lay - w.Length.Waste + space) / measure.CM(panels)
			fits := max(0, int((longest.Path.Length-w.Length.Waste+space)/each))
			p.Path, p.Code = path, "frame-too-short"
			p.Args = check.Args{"longest": longest.Path.Length, "needed": w.Length.Lay, "fits": fits, "panels": panels}
		}
		m.ps = append(m.ps, p)
	}
	if !ps.Failed() {
		w.Path = &found
	}
}

// balls lists the balls to wind for one laying, spare included: those held in
// hand at once.
func (m *maker) balls(w *WarpPlan) {
	hand := map[string]int{}
	for i, wd := range w.Windings {
		held := map[string]int{}
		for _, l := range w.Stripes[i].Yarns {
			held[l.Yarn] += l.Ends
		}
		for yarn, n := range held {
			if !wd.Together {
				n = wd.InHand
			}
			hand[yarn] = max(hand[yarn], n)
		}
	}
	for _, y := range w.Yarns {
		n := hand[y.Yarn]
		need := &m.out.Yarns[m.yarn[y.Yarn]]
		spare := 1 + m.in.Spare
		need.Balls = append(need.Balls, Ball{Warp: w.Key, Balls: n,
			Length: y.Length * measure.M(spare) / measure.M(n), Mass: y.Mass * measure.Gram(spare) / measure.Gram(n)})
	}
}
