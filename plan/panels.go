package plan

import (
	"math"
	"strings"

	"urdir/check"
	"urdir/cloth"
	"urdir/figure"
	"urdir/measure"
)

// planPanels lays every panel out along its length.
func (m *maker) planPanels() {
	for _, p := range m.in.Panels {
		w := m.out.Warp(p.Warp)
		path := "panels." + p.Key
		out := PanelPlan{
			Key: p.Key, Count: p.Count, Warp: p.Warp, Seam: p.Seam, Length: p.Length,
			Cut: w.Width, Width: w.Width - p.Seam.Left - p.Seam.Right,
			Bands: m.bands(p, path, w),
		}
		if out.Width <= 0 {
			m.ps.Wrong(path+".seam", "seams-too-wide", check.Args{"seams": p.Seam.Left + p.Seam.Right, "width": w.Width})
		}
		m.measurePanel(&out, w)
		m.out.Panels = append(m.out.Panels, out)
	}
	m.chartSizes()
}

// measurePanel adds up a panel's bands: its lengths, its picks and the thread
// that lies in it.
func (m *maker) measurePanel(p *PanelPlan, w *WarpPlan) {
	p.Length = 0
	var fringes measure.M // of one end
	for _, b := range p.Bands {
		p.Picks += b.Picks
		p.End += (b.Loom * measure.CM(1+b.TakeUp.Middle)).M()
		p.WeftMass += b.WeftMass
		if b.Figure != nil {
			for _, u := range b.Figure.Yarns {
				p.FigureMass += m.thread[u.Yarn].Tex.Mass(u.Length)
			}
		}
		if b.Kind == Fringe {
			p.Fringes += b.Made
			fringes += b.Loom.M()
			continue
		}
		p.CutLength += b.Made
		p.LoomLength += b.Loom
		if b.Kind != SeamBand {
			p.Length += b.Seen
		}
	}
	for _, y := range w.Yarns {
		p.WarpMass += m.thread[y.Yarn].Tex.Mass(p.End * measure.M(y.Ends))
		p.FringeMass += m.thread[y.Yarn].Tex.Mass(fringes * measure.M(y.Ends))
	}
	p.Mass = p.WarpMass + p.WeftMass + p.FigureMass
}

// reckonTakeUp is the take-up of a band by geometry, or by measured pieces.
func (m *maker) reckonTakeUp(w *WarpPlan, weft measure.MM, picks measure.PerCM, path string) TakeUp {
	geo, err := cloth.StraightWeft(cloth.Crossing{Warp: w.Diameter, Weft: weft, Picks: picks, Flatness: m.in.Flatness})
	if err != nil {
		m.once(path, "picks-too-close", check.Args{
			"picks": picks, "most": cloth.MostPicks(w.Diameter, weft, m.in.Flatness)})
		return TakeUp{}
	}
	low, high := cloth.FlatnessRange(m.in.Flatness)
	t := TakeUp{Geometry: geo, Middle: geo.TakeUp, Low: m.bound(w, weft, picks, low), High: m.bound(w, weft, picks, high)}
	in := m.inWarp(w.Key)
	if in.MeasuredPieces > 0 {
		rec := cloth.Records{Mean: in.MeasuredTakeUp, Pieces: in.MeasuredPieces}
		t.Measured = true
		middle := rec.Toward(geo.TakeUp)
		// What is known narrows the range as well as moving it.
		keep := 1 - rec.Weight()
		t.Low = middle - (t.Middle-t.Low)*keep
		t.High = middle + (t.High-t.Middle)*keep
		t.Middle = middle
	}
	return t
}

// bound is the take-up at one end of the range of flatness; where the threads
// would jam there, the take-up at the jam.
func (m *maker) bound(w *WarpPlan, weft measure.MM, picks measure.PerCM, flat measure.Ratio) measure.Ratio {
	g, err := cloth.StraightWeft(cloth.Crossing{Warp: w.Diameter, Weft: weft, Picks: picks, Flatness: flat})
	if err != nil {
		return measure.Ratio(math.Pi/2 - 1) // at the jam the thread lies on a half circle
	}
	return g.TakeUp
}

func (m *maker) inWarp(key string) Warp {
	for _, w := range m.in.Warps {
		if w.Key == key {
			return w
		}
	}
	return Warp{}
}

// place puts a figure in a band and reckons its yarn.
func (m *maker) place(b flatBand, w *WarpPlan, picks measure.PerCM) *Placed {
	at := b.path + ".chart"
	i, ok := m.chart[b.Place.Figure]
	if !ok {
		m.ps.Wrong(at, "figure-unknown", check.Args{"figure": b.Place.Figure, "known": m.figureKeys()})
		return nil
	}
	f := m.in.Figures[i]
	upright := b.Place.Upright
	shrunk := func(l measure.CM) measure.CM { return cloth.Loom(l, m.in.Shrink.Width) }
	band := figure.Band{
		First: 1, Ends: w.Ends, Sett: w.Sett, Count: b.Place.Count,
		Spacing: shrunk(b.Place.Spacing), Margin: shrunk(b.Place.Margin), Mirror: b.Place.Mirror,
	}
	if f.Chart.Kind == figure.PickUp {
		if upright > 1 && f.Chart.Rows()%2 == 1 {
			m.once(b.path+".upright", "figure-odd-rows", check.Args{"figure": f.Key, "rows": f.Chart.Rows()})
		}
		if !m.onPairs(&band, f, w, b.path) {
			return nil
		}
	}
	layout, ps := figure.Place(f.Chart, band)
	m.ps.Under(b.path, ps)
	if ps.Failed() {
		return nil
	}
	rows := f.Chart.Rows() * upright
	out := &Placed{
		Key: f.Key, Upright: upright, Turned: b.Place.Turned, Layout: layout,
		First: band.First, Room: band.Ends, Step: max(1, band.Step), Rows: rows, Picks: rows * f.Chart.Cell.Picks,
	}
	if f.Chart.Kind == figure.Brocade && picks > 0 {
		for _, u := range figure.Yarn(f.Chart, layout, w.Sett, w.Ends) {
			u.Length, u.Each = u.Length*measure.M(upright), u.Each*measure.M(upright)
			u.Turns, u.Passes, u.Inlaid = u.Turns*upright, u.Passes*upright, u.Inlaid*upright
			out.Yarns = append(out.Yarns, u)
		}
	}
	return out
}

// onPairs narrows a band to the widest stripe that alternates the two yarns of a
// pick-up figure end by end, beginning with the first.
func (m *maker) onPairs(band *figure.Band, f Figure, w *WarpPlan, path string) bool {
	pair := f.Chart.Symbols()
	found := false
	band.Ends, band.Step = 0, 2
	for _, s := range w.Stripes {
		fits := len(pair) == 2 && len(s.Yarns) == 2 && s.Yarns[0].Ends == 1 && s.Yarns[1].Ends == 1 &&
			s.Yarns[0].Yarn == pair[0].Yarn && s.Yarns[1].Yarn == pair[1].Yarn && !s.Back
		if fits && s.Ends/2*2 > band.Ends {
			band.First, band.Ends, found = s.First, s.Ends/2*2, true
		}
	}
	if !found {
		names := make([]string, len(pair))
		for i, s := range pair {
			names[i] = s.Yarn
		}
		m.ps.Wrong(path+".chart", "figure-no-pairs", check.Args{"figure": f.Key, "yarns": strings.Join(names, ", "), "warp": w.Key})
	}
	return found
}

func (m *maker) figureKeys() string {
	keys := make([]string, len(m.in.Figures))
	for i, f := range m.in.Figures {
		keys[i] = f.Key
	}
	return strings.Join(keys, ", ")
}

// chartSizes lists each figure that is used, with its size on the first warp
// that carries it, and runs the chart's own checks there.
func (m *maker) chartSizes() {
	done := map[string]bool{}
	for _, p := range m.out.Panels {
		w := m.out.Warp(p.Warp)
		for _, b := range p.Bands {
			if b.Figure == nil || done[b.Figure.Key] {
				continue
			}
			f := m.in.Figures[m.chart[b.Figure.Key]]
			done[f.Key] = true
			m.permission(f)
			m.ps.Under("figures."+f.Key, f.Chart.Check(w.Sett, b.PicksPerCM))
			m.out.Figures = append(m.out.Figures, Chart{
				Key: f.Key, Chart: f.Chart, Kind: f.Chart.Kind,
				Colours: colours(f.Chart), Columns: f.Chart.Columns(), Rows: f.Chart.Rows(),
				CellEnds: f.Chart.Cell.Ends, CellPicks: f.Chart.Cell.Picks,
				Width:  measure.CM(float64(f.Chart.Columns()*f.Chart.Cell.Ends) / float64(w.Sett)),
				Height: pickLength(f.Chart.Rows()*f.Chart.Cell.Picks, b.PicksPerCM),
				Origin: f.Origin, Meaning: f.Meaning, Owner: f.Owner, Sale: f.Sale,
				Reading: figure.Read(f.Chart),
			})
		}
	}
}

func colours(c figure.Chart) []Colour {
	var out []Colour
	for _, s := range c.Symbols() {
		out = append(out, Colour{Sign: string(s.Char), Yarn: s.Yarn})
	}
	return out
}
