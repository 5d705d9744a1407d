package draw

import (
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// run is a stretch of the face in one colour, in half ends: neighbouring sheds
// are shifted by one end, and an end lies across two.
type run struct {
	from, to int
	colour   surface.Colour
}

// shed is what is seen on the picks of one parity: the ends of that shed, each
// covering its neighbour's place as well. parity 0 has the odd ends up.
func (f *face) shed(parity int, weft surface.Colour) []run {
	n := f.ends()
	var out []run
	add := func(from, to int, c surface.Colour) {
		from, to = max(0, from), min(2*n, to)
		if k := len(out); k > 0 && out[k-1].colour == c {
			out[k-1].to = to
		} else if from < to {
			out = append(out, run{from, to, c})
		}
	}
	var end, seen surface.Colour
	for i := parity; i < n; i += 2 {
		if i == parity || f.colour[i] != end { // most are as their neighbour
			end = f.colour[i]
			seen = weft.Mix(end, f.cover)
		}
		from, to := 2*i-1, 2*i+3
		if i < 2 {
			from = 0
		}
		if i+2 >= n {
			to = 2 * n
		}
		add(from, to, seen)
	}
	return out
}

// differing gives the runs of b where they differ from a.
func differing(a, b []run) []run {
	var out []run
	i := 0
	for _, r := range b {
		for i < len(a) && a[i].to <= r.from {
			i++
		}
		for k := i; k < len(a) && a[k].from < r.to; k++ {
			if a[k].colour == r.colour {
				continue
			}
			from, to := max(r.from, a[k].from), min(r.to, a[k].to)
			if n := len(out); n > 0 && out[n-1].to == from && out[n-1].colour == r.colour {
				out[n-1].to = to
			} else {
				out = append(out, run{from, to, r.colour})
			}
		}
	}
	return out
}

// woven draws a woven band: the picks of one shed as stripes, over them the
// picks of the other shed where they differ, and the threads one by one when
// they are large enough to be seen.
func (f *face) woven(s surface.Surface, box surface.Box, v view, b *plan.BandPlan, before int) {
	weft := surface.Black
	if y := f.plan.Yarn(b.Weft); y != nil {
		weft = surface.ParseColour(y.Colour)
	}
	picks := max(1, b.Picks)
	if b.Made > 0 { // what a hem turns in is not seen
		picks = max(1, int(float64(b.Picks)*float64(b.Seen)/float64(b.Made)+0.5))
	}
	g := grid{s: s, box: box, v: v, picks: picks, before: before, pick: box.H / measure.MM(picks), fine: s.Fine(), tied: f.tiedIn(b)}
	if v.perEnd >= 3*g.fine && g.pick >= 3*g.fine {
		f.threads(g, weft)
	} else {
		f.stripes(g, weft)
		g.tied.stripes(g, weft, f.cover)
	}
	if b.Figure != nil {
		f.figures(g, b)
	}
	if b.Kind == plan.Hem {
		y := box.Y + g.pick
		s.Path(surface.Polyline(box.X, y, box.X+box.W, y), surface.Ink{Stroke: weft.Mix(surface.White, 0.5), StrokeWidth: 0.2, Dash: 0.8})
	}
}

// grid is a woven band on paper.
type grid struct {
	s      surface.Surface
	box    surface.Box
	v      view
	picks  int
	before int // picks below the band
	pick   measure.MM
	fine   measure.MM
	tied   *tiedBand
}

// row is the top of a pick; picks are counted from the bottom, from 0.
func (g grid) row(pick int) measure.MM { return g.box.Y + g.box.H - g.pick*measure.MM(pick+1) }

func (g grid) halfEnd(n int) measure.MM { return g.box.X + g.v.perEnd*measure.MM(n)/2 }

func (f *face) stripes(g grid, weft surface.Colour) {
	first, second := f.shed(g.before%2, weft), f.shed(1-g.before%2, weft)
	lap := g.s.Lap()
	right := g.box.X + g.box.W
	bars := make([]surface.Bar, 0, len(first))
	for _, r := range first {
		x := g.halfEnd(r.from)
		bars = append(bars, surface.Bar{X: x, W: min(right, g.halfEnd(r.to)+lap) - x, Colour: r.colour})
	}
	other := differing(first, second)
	if g.pick < g.fine*0.6 {
		// Picks too fine to see: both sheds at once, half and half.
		i := 0
		for _, r := range other {
			for first[i].to <= r.from {
				i++
			}
			for _, q := range first[i:] {
				if q.from >= r.to {
					break
				}
				x := g.halfEnd(max(r.from, q.from))
				bars = append(bars, surface.Bar{X: x, W: g.halfEnd(min(r.to, q.to)) - x, Colour: q.colour.Mix(r.colour, 0.5)})
			}
		}
		surface.Columns(g.s, bars, g.box.Y, g.box.H+g.v.under)
		return
	}
	surface.Columns(g.s, bars, g.box.Y, g.box.H+g.v.under)
	tops := make([]measure.MM, 0, g.picks/2)
	for pick := 1; pick < g.picks; pick += 2 {
		tops = append(tops, g.row(pick))
	}
	bars = bars[:0]
	for _, r := range other {
		x := g.halfEnd(r.from)
		bars = append(bars, surface.Bar{X: x, W: g.halfEnd(r.to) - x, Colour: r.colour})
	}
	surface.Bars(g.s, bars, tops, g.pick)
}

// threads draws every end on every pick where it is up: a shaded stitch as wide
// as two ends, or narrower where the weft shows, and the weft's turn at the
// selvedges.
func (f *face) threads(g grid, weft surface.Colour) {
	g.s.Rect(g.box, weft.Mix(surface.Black, 0.25))
	n := f.ends()
	firstEnd, lastEnd := 0, n
	if c := g.v.clip; c != nil {
		firstEnd = max(0, int((c.X-g.box.X)/g.v.perEnd)-2)
		lastEnd = min(n, int((c.X+c.W-g.box.X)/g.v.perEnd)+3)
	}
	shade := make([][3]surface.Colour, n)
	for i := firstEnd; i < lastEnd; i++ {
		shade[i] = shades(f.colour[i])
	}
	wide := g.v.perEnd * 2 * measure.MM(f.cover)
	for pick := range g.picks {
		y := g.row(pick)
		if g.v.hidden(y, y+g.pick) {
			continue
		}
		for i := firstEnd + (firstEnd+pick+g.before)%2; i < lastEnd; i += 2 {
			mid := g.halfEnd(2*i + 1)
			x0, x1 := max(g.box.X, mid-wide/2), min(g.box.X+g.box.W, mid+wide/2)
			w := x1 - x0
			c := &shade[i]
			if g.tied.at(i, pick, g.picks) {
				c = &g.tied.shade
			}
			g.s.Rect(surface.Box{X: x0, Y: y, W: w, H: g.pick}, c[0])
			g.s.Rect(surface.Box{X: x0 + w*0.09, Y: y + g.pick*0.04, W: w * 0.82, H: g.pick * 0.92}, c[1])
			g.s.Rect(surface.Box{X: x0 + w*0.28, Y: y + g.pick*0.14, W: w * 0.28, H: g.pick * 0.72}, c[2])
		}
		f.turn(g, pick, weft)
	}
}

// turn draws the weft's way round the outermost end, at the right after an odd
// pick and at the left after an even one.
func (f *face) turn(g grid, pick int, weft surface.Colour) {
	if pick == 0 {
		return
	}
	x := g.box.X
	from, sweep := 1.5707963, 3.1415926
	if (g.before+pick)%2 == 1 {
		x, sweep = g.box.X+g.box.W, -3.1415926
	}
	if c := g.v.clip; c != nil && (x < c.X || x > c.X+c.W) {
		return
	}
	y := g.row(pick) + g.pick
	g.s.Path(new(surface.Path).Arc(x, y, g.pick*0.42, from, sweep), surface.Line(weft.Mix(surface.Black, 0.15), min(g.pick*0.45, g.v.perEnd)))
}

// figures draws the figures of a band over its ground.
func (f *face) figures(g grid, b *plan.BandPlan) {
	c := f.plan.Figure(b.Figure.Key)
	if c == nil {
		return
	}
	chart := c.Chart
	if b.Figure.Turned {
		chart = chart.Turned()
	}
	if c.Kind == figure.PickUp {
		defer f.tiedPickUp(g)
	}
	for i, first := range b.Figure.Layout.Firsts {
		one := chart
		if b.Figure.Layout.Mirror && i%2 == 1 {
			one = chart.Mirrored()
		}
		for up := range b.Figure.Upright {
			f.one(g, one, first-1, b.Figure.Before+up*one.Picks())
		}
	}
}

// one draws a figure whose lower left corner is at an end and a pick.
func (f *face) one(g grid, c figure.Chart, end, pick int) {
	colours := make([]surface.Colour, len(c.Symbols()))
	for i, sym := range c.Symbols() {
		if y := f.plan.Yarn(sym.Yarn); y != nil {
			colours[i] = surface.ParseColour(y.Colour)
		}
	}
	single := g.v.perEnd >= 3*g.fine && g.pick >= 3*g.fine
	for r := range c.Rows() {
		bottom := pick + (c.Rows()-1-r)*c.Cell.Picks
		for col := 0; col < c.Columns(); {
			sym, to := c.At(r, col), col+1
			for to < c.Columns() && c.At(r, to) == sym {
				to++
			}
			if sym > 0 {
				f.inlay(g, end+col*c.Cell.Ends, end+to*c.Cell.Ends, bottom, c, colours, sym-1, single)
			}
			col = to
		}
	}
}

// inlay draws a run of cells of one sign. Turned over, pick-up shows the other
// yarn of each pair; of brocade laid in by hand only the turns at the edges are
// seen.
func (f *face) inlay(g grid, from, to, pick int, c figure.Chart, colours []surface.Colour, sign int, single bool) {
	if !f.back {
		f.cells(g, from, to, pick, c.Cell.Picks, colours[sign], single, c.Kind)
		return
	}
	from, to = f.ends()-to, f.ends()-from
	if c.Kind == figure.PickUp {
		f.cells(g, from, to, pick, c.Cell.Picks, colours[(sign+1)%len(colours)], single, c.Kind)
		return
	}
	f.cells(g, from, min(from+1, to), pick, c.Cell.Picks, colours[sign], single, c.Kind)
	f.cells(g, max(from, to-1), to, pick, c.Cell.Picks, colours[sign], single, c.Kind)
}

// cells draws a run of cells of one colour: as one area, or thread by thread.
func (f *face) cells(g grid, from, to, pick, picks int, c surface.Colour, single bool, kind figure.Kind) {
	x, w := g.halfEnd(2*from), g.halfEnd(2*to)-g.halfEnd(2*from)
	switch {
	case !single:
		g.s.Rect(surface.Box{X: x, Y: g.row(pick + picks - 1), W: w, H: g.pick * measure.MM(picks)}, c)
	case kind == figure.PickUp:
		for i := from; i < to; i += 2 {
			at, pair := surface.Box{X: g.halfEnd(2 * i), Y: g.row(pick), W: 2 * g.v.perEnd, H: g.pick}, c
			if g.tied.at(i, pick, g.picks) {
				pair = g.tied.undyed
			}
			g.s.Rect(at, pair.Mix(surface.Black, 0.28))
			g.s.Rect(surface.Box{X: at.X + at.W*0.09, Y: at.Y, W: at.W * 0.82, H: at.H}, pair)
		}
	default:
		for k := range picks {
			y := g.row(pick + k)
			g.s.Rect(surface.Box{X: x, Y: y + g.pick*0.03, W: w, H: g.pick * 0.94}, c.Mix(surface.Black, 0.3))
			g.s.Rect(surface.Box{X: x + g.pick*0.06, Y: y + g.pick*0.1, W: w - g.pick*0.12, H: g.pick * 0.72}, c)
			g.s.Rect(surface.Box{X: x + g.pick*0.1, Y: y + g.pick*0.22, W: w - g.pick*0.2, H: g.pick * 0.22}, c.Mix(surface.White, 0.16))
		}
	}
}
