package draw

import (
	"math"

	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Length draws a panel's bands from the start of weaving at the bottom to its
// end: a strip of the cloth to scale, and beside each band its box to tick, its
// kind and length on the loom, its picks and weft, and how far the weaver then
// is from the start.
func Length(s surface.Surface, box surface.Box, p plan.Plan, panel int, t *lang.Words) {
	LengthPart(s, box, p, panel, 0, len(p.Panels[panel].Bands), t)
}

// LengthPart draws the bands from one up to, and without, another. A page has
// room for BandsIn its height.
func LengthPart(s surface.Surface, box surface.Box, p plan.Plan, panel, from, to int, t *lang.Words) {
	pan := p.Panels[panel]
	pan.Bands = pan.Bands[from:to]
	strip := surface.Box{X: box.X + 12, Y: box.Y + 2, W: 24, H: box.H - 4}
	l := lengthPlan{pan, strip, 0}
	for _, b := range pan.Bands {
		l.total += b.Loom
	}
	f := newFace(p, panel)
	f.onLoom(s, strip, pan.Bands, view{x: strip.X, y: strip.Y, perEnd: strip.W / measure.MM(f.ends()), perCM: float64(strip.H) / float64(l.total)})
	rows := l.rows()
	for i, b := range pan.Bands {
		y, mid := rows[i], l.middle(i)
		s.Path(surface.Polyline(strip.X+strip.W, mid, strip.X+strip.W+4, mid, strip.X+strip.W+8, y, strip.X+strip.W+10, y), surface.Line(Faint, 0.2))
		bandLabel(s, strip.X+strip.W+11, y, box.X+box.W, p, b, t)
	}
	l.scale(s, t)
}

// Room for the line of a band: as much as it likes, and the least.
const (
	bandRow      = 8.4 // mm
	bandRowLeast = 5.6
)

// BandsIn is how many bands a length plan of a height has room for.
func BandsIn(height measure.MM) int { return max(1, int((height-4)/bandRowLeast)) }

// lengthPlan is some bands of a panel on a strip of paper.
type lengthPlan struct {
	pan   plan.PanelPlan
	strip surface.Box
	total measure.CM
}

// onLoom draws the strip with the bands at their length on the loom.
func (f *face) onLoom(s surface.Surface, strip surface.Box, bands []plan.BandPlan, v view) {
	f.panel.Bands = make([]plan.BandPlan, len(bands))
	for i, b := range bands {
		b.Seen = b.Loom
		f.panel.Bands[i] = b
	}
	f.draw(s, v)
	s.Path(surface.Outline(strip), surface.Line(Ink, 0.25))
}

// at is the height on the strip of a distance from the first band's beginning.
func (l lengthPlan) at(cm measure.CM) measure.MM {
	return l.strip.Y + l.strip.H*measure.MM(1-cm/l.total)
}

// middle is the height of a band's middle on the strip.
func (l lengthPlan) middle(i int) measure.MM {
	below := measure.CM(0)
	for _, b := range l.pan.Bands[:i] {
		below += b.Loom
	}
	return l.at(below + l.pan.Bands[i].Loom/2)
}

// rows spreads the labels so that none covers another: each as near its band as
// the ones above and below let it.
func (l lengthPlan) rows() []measure.MM {
	n := len(l.pan.Bands)
	rows := make([]measure.MM, n)
	gap := min(bandRow, l.strip.H/measure.MM(n))
	for i := range rows { // from the bottom up
		rows[i] = l.middle(i)
		if i == 0 {
			rows[i] = min(rows[i], l.strip.Y+l.strip.H-gap/2)
		} else {
			rows[i] = min(rows[i], rows[i-1]-gap)
		}
	}
	if top := l.strip.Y + gap/2; n > 0 && rows[n-1] < top {
		rows[n-1] = top
		for i := n - 2; i >= 0; i-- {
			rows[i] = max(rows[i], rows[i+1]+gap)
		}
	}
	return rows
}

func bandLabel(s surface.Surface, x, y, right measure.MM, p plan.Plan, b plan.BandPlan, t *lang.Words) {
	s.Path(surface.Outline(surface.Box{X: x, Y: y - 2, W: 4, H: 4}), surface.Line(Ink, 0.35))
	x += 6
	bold := surface.Font{Size: 4.2, Bold: true, Colour: Ink}
	plainFont := small(Ink, 3.4)
	name := t.T("band-"+string(b.Kind), nil)
	size := t.S(b.Loom)
	s.Text(x, y+1.5, size, bold)
	x += max(22, surface.TextWidth(size, bold)+3)
	if b.Weft != "" {
		chip(s, surface.Box{X: x, Y: y - 2.4, W: 7, H: 4.8}, p.Yarn(b.Weft))
	}
	x += 9
	if b.Picks > 0 {
		name += " · " + t.N("picks", b.Picks, nil)
	}
	if b.Figure != nil {
		name += " · " + b.Figure.Key
		if b.Figure.Turned {
			name += " (" + t.T("turned", nil) + ")"
		}
	}
	to := ""
	if b.Kind != plan.Fringe {
		to = t.T("mark-at", map[string]any{"at": b.To})
	}
	tf := surface.Font{Size: 3.4, Bold: true, Colour: Ink, Align: surface.Right}
	width := right - x - surface.TextWidth(to, tf) - 3
	s.Text(x, y+1.3, name, surface.Fit(name, plainFont, width))
	if to != "" {
		s.Text(right, y+1.3, to, tf)
	}
}

// scale writes the distance from the start of weaving beside the strip.
func (l lengthPlan) scale(s surface.Surface, t *lang.Words) {
	first, begin := measure.CM(0), measure.CM(-1) // what of the strip is before the first woven band, and where that begins
	end := measure.CM(0)
	for _, b := range l.pan.Bands {
		switch {
		case b.Kind != plan.Fringe && begin < 0:
			begin, end = b.From, b.To
		case b.Kind != plan.Fringe:
			end = b.To
		case begin < 0:
			first += b.Loom
		}
	}
	if begin < 0 {
		return // a fringe by itself
	}
	step := measure.CM(10)
	for (end-begin)/step > 25 {
		step *= 2
	}
	for cm := step * measure.CM(math.Ceil(float64(begin/step)-1e-9)); cm <= end; cm += step {
		y := l.at(first + cm - begin)
		s.Path(surface.Polyline(l.strip.X-2, y, l.strip.X, y), surface.Line(Ink, 0.25))
		s.Text(l.strip.X-2.6, y+1, t.Int(int(cm)), surface.Font{Size: 2.8, Colour: Ink, Align: surface.Right})
	}
}
