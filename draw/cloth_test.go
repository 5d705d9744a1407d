package draw_test

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"urdir/draw"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Facts of plain weave, which any weaver can check on a cloth and any textbook
// has on its first pages: on one pick every other end is up, on the next pick
// the ends between. In a warp-faced cloth the ends that are up close over their
// neighbours.

// lens is a detail of a panel with the places of its threads reckoned here.
type lens struct {
	pixels
	perEnd, perCM float64
	firstEnd      int
	from          measure.CM
	high          measure.MM
}

// look draws a detail at 8 pixels an end.
func look(p plan.Plan, panel, firstEnd, ends int, from, high measure.CM) lens {
	const perEnd, perMM = 0.4, 20
	pan := p.Panels[panel]
	w := p.Warp(pan.Warp)
	l := lens{perEnd: perEnd, perCM: perEnd * float64(w.Ends) / float64(pan.Width), firstEnd: firstEnd, from: from}
	l.high = measure.MM(math.Ceil(float64(high) * l.perCM))
	box := surface.Box{W: measure.MM(math.Ceil(float64(ends) * perEnd)), H: l.high}
	l.pixels = picture(box.W, box.H, perMM, func(s surface.Surface) {
		draw.Part(s, box, p, draw.Detail{Panel: panel, FirstEnd: firstEnd, FromCM: from, PerCM: l.perCM})
	})
	return l
}

// on is the pixel at an end, counted from 0, and part of the way across its
// place, at a height above the start of weaving.
func (l lens) on(end int, part float64, cm measure.CM) color.RGBA {
	return l.at(measure.MM((float64(end-l.firstEnd)+part)*l.perEnd), l.high-measure.MM(float64(cm-l.from)*l.perCM))
}

// bottoms are the heights at which the bands of a panel begin, as seen.
func bottoms(pan plan.PanelPlan) []measure.CM {
	out := make([]measure.CM, len(pan.Bands))
	for i := 1; i < len(out); i++ {
		out[i] = out[i-1] + pan.Bands[i-1].Seen
	}
	return out
}

// In each panel of each example, on eight picks in a row, every end is up on
// every other pick and its two neighbours close over it on the picks between.
func TestDetail_everyEndOnItsPicks(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i, pan := range p.Panels {
			p.Panels[i].Tied = nil // what is tied has tests of its own
			t.Run(name+" "+pan.Key, func(t *testing.T) { alternates(t, p, i) })
		}
	}
}

func alternates(t *testing.T, p plan.Plan, panel int) {
	pan := p.Panels[panel]
	at, best := bottoms(pan), -1
	for i, b := range pan.Bands {
		if b.Kind == plan.Woven && (best < 0 || b.Seen > pan.Bands[best].Seen) {
			best = i
		}
	}
	b := pan.Bands[best]
	pick := b.Seen / measure.CM(b.Picks)
	firstPick := b.Picks / 2
	ends, colours := endYarn(p.Warp(pan.Warp)), palette(p)
	from := at[best] + pick*measure.CM(firstPick)
	l := look(p, panel, 0, len(ends), from, 8*pick)
	left, right := 0.2, 0.8
	faced := p.Warp(pan.Warp).Cover >= 1.3
	if !faced { // some weft shows beside each end that is up
		left, right = 0.4, 0.6
	}
	wrong := [2]int{} // if the odd or the even ends are up on the first pick
	var first [2]string
	for k := range 8 {
		y := from + pick*(measure.CM(k)+0.5)
		for i := 1; i < len(ends)-1; i++ {
			for parity := range 2 {
				want := [2]string{ends[i], ends[i]} // at the left and right of the end's place
				if (i+k)%2 != parity {
					if !faced {
						continue
					}
					want = [2]string{ends[i-1], ends[i+1]}
				}
				got := [2]string{nearest(l.on(i, left, y), colours), nearest(l.on(i, right, y), colours)}
				if got != want {
					if wrong[parity]++; first[parity] == "" {
						first[parity] = fmt.Sprintf("end %d, pick %d: got %v, want %v", i+1, firstPick+k+1, got, want)
					}
				}
			}
		}
	}
	if wrong[0] > 0 && wrong[1] > 0 {
		t.Errorf("neither shed is true: with odd ends up first %d places are wrong (%s), with even ends %d (%s)", wrong[0], first[0], wrong[1], first[1])
	}
}

// With ends of two colours one and one, the sheds are two colours, and picks
// show them in turn. A new weft or a new kind of band does not change the turn:
// two neighbouring picks in one shed would be a fault in the cloth.
func TestDetail_shedsTurnAcrossBands(t *testing.T) {
	p := planOf(t, small+`
warps:
  body: {sett: 20 /cm, stripes: [{alternate: [1 red, 1 cream], over: 1 part}]}
panels:
  body:
    warp: body
    width: 2 cm
    length: 2.3 cm
    bands: [{woven: 0.5 cm}, {woven: 1 cm, weft: red, picks: 5 /cm}, {woven: 0.8 cm}]
`)
	l := look(p, 0, 0, 40, 0, 2.3)
	last := ""
	for k, y := 0, measure.CM(0.05); k < 18; k++ { // 5, 5 and 8 picks; y is the middle of one
		got := nearest(l.on(10, 0.2, y), palette(p))
		if got == last {
			t.Errorf("picks %d and %d both show the %s ends", k, k+1, got)
		}
		last = got
		switch {
		case k == 4 || k == 9: // from a pick of one height to one of the other
			y += 0.15
		case k > 4 && k < 9:
			y += 0.2
		default:
			y += 0.1
		}
	}
	if got := nearest(l.on(10, 0.5, 0.05), palette(p)); got != "red" {
		t.Errorf("the first pick shows %s, want the odd ends, red", got)
	}
}

// Seen from afar, its threads too fine to be drawn, a plain stripe is its yarn, sharp and unmixed.
func TestCloth_stripesHaveTheirYarn(t *testing.T) {
	for _, tt := range []struct {
		name string // of one panel each, so that its left is 0
		high measure.MM
	}{{"class", 40}, {"runner", 200}, {"sash", 400}} {
		name, high := tt.name, tt.high
		p := example(t, name)
		wide := high * measure.MM(draw.Aspect(p))
		pic := picture(wide, high, 10, func(s surface.Surface) { draw.Cloth(s, surface.Box{W: wide, H: high}, p) })
		pan := p.Panels[0]
		w, whole := p.Warp(pan.Warp), measure.CM(0)
		for _, b := range pan.Bands {
			whole += b.Seen
		}
		checked := 0
		for i, at := range bottoms(pan) {
			b := pan.Bands[i]
			if b.Kind != plan.Woven || b.Seen < 1 {
				continue
			}
			y := high * measure.MM(1-(at+b.Seen/2)/whole)
			for _, st := range w.Stripes {
				perEnd := float64(wide) / float64(w.Ends)
				if len(st.Yarns) > 1 || float64(st.Ends-2)*perEnd < 0.2 {
					continue
				}
				x := measure.MM((float64(st.First-1) + float64(st.Ends)/2) * perEnd)
				want := surface.ParseColour(p.Yarn(st.Yarns[0].Yarn).Colour)
				if got := pic.at(x, y); got != (color.RGBA{want.R, want.G, want.B, 255}) {
					t.Errorf("%s: band %d, end %d is %v, want %v", name, i, st.First+st.Ends/2, got, want)
				}
				checked++
			}
		}
		if checked < 6 {
			t.Errorf("%s: only %d stripes were wide enough to look at", name, checked)
		}
	}
}

const loose = small + `
warps:
  body:
    sett: 20 /cm
    stripes: [10 red, 10 blue, {alternate: [1 red, 1 blue], over: 20}]
panels:
  body:
    warp: body
    width: 2 cm
    length: 3 cm
    bands: [{fringe: 2 cm}, {woven: 1 cm}, {open: 1 cm}, {woven: 1 cm}, {fringe: 2 cm}]
`

// Through an open band one sees what lies behind, between all ends.
func TestDetail_openBandShowsThrough(t *testing.T) {
	p := planOf(t, loose)
	l := look(p, 0, 0, 40, 0, 7)
	seen := palette(p)
	delete(seen, "cream") // it is nearly the colour of paper, and not in this warp
	seen["behind"] = draw.Paper
	ends := endYarn(p.Warp("body"))
	for i := range 40 {
		if got := nearest(l.on(i, 0.5, 3.5), seen); got != ends[i] {
			t.Errorf("end %d in the open band is %s, want %s", i+1, got, ends[i])
		}
		if got := nearest(l.on(i, 0.01, 3.5), seen); got != "behind" {
			t.Errorf("at the left of end %d in the open band is %s, want what lies behind", i+1, got)
		}
		if got := nearest(l.on(i, 0.01, 2.55), seen); i%10 > 0 && got == "behind" {
			t.Errorf("at the left of end %d the woven band is open", i+1)
		}
	}
}

// Where ends are too fine to be drawn one by one, an open band and a fringe
// still have the colours of their ends in about the right shares.
func TestCloth_looseEndsKeepTheirColours(t *testing.T) {
	p := planOf(t, loose)
	const high = 70 // so that a cm is 10 mm, an end half a pixel
	pic := picture(20, high, 1, func(s surface.Surface) { draw.Cloth(s, surface.Box{W: 20, H: high}, p) })
	for _, tt := range []struct {
		name     string
		from, to int // rows of pixels
	}{{"open band", 32, 38}, {"upper fringe", 4, 18}, {"lower fringe", 52, 66}} {
		sum, n := 0, 0
		for y := tt.from; y < tt.to; y++ {
			for x := 10; x < 20; x++ { // as many red ends as blue ones
				c := pic.img.RGBAAt(x, y)
				sum, n = sum+int(c.R)-int(c.B), n+1
			}
		}
		// Paper has about as much red as blue in it, the red yarn 160 more and the
		// blue one 144 less; where ends fill about half, all red would be 80 more.
		if over := sum / n; over > 40 || over < -40 {
			t.Errorf("%s: red and blue ends, one and one, have %d more red than blue in them", tt.name, over)
		}
	}
}

// A figure counted by hand: 3 cells of 4 ends are 12; of 40 ends 28 are left, 14
// on each side, so that it begins at end 15. Its lower row is woven first. The
// far end of the piece carries it upside down.
func TestDetail_figureByHand(t *testing.T) {
	p := planOf(t, small+`
figures:
  step:
    cell: {ends: 4, picks: 2}
    colours: {x: green}
    chart: |
      x..
      xx.
warps:
  body: {sett: 20 /cm, stripes: [1 part cream]}
panels:
  body:
    warp: body
    width: 2 cm
    length: 2 cm
    bands: [{mirror: [{figure: fit, chart: step, count: 1}, {woven: rest}]}]
`)
	l := look(p, 0, 0, 40, 0, 2)
	for _, tt := range []struct {
		pick      int // of the 20, from 1
		from, to  int // green ends, from 1
		otherwise string
	}{
		{1, 15, 22, "first row"}, {2, 15, 22, "first row"}, {3, 15, 18, "second row"}, {4, 15, 18, "second row"}, {5, 0, 0, "ground"},
		{16, 0, 0, "ground"}, {17, 23, 26, "first row, turned"}, {18, 23, 26, "first row, turned"}, {19, 19, 26, "second row, turned"}, {20, 19, 26, "second row, turned"},
	} {
		for end := 2; end <= 39; end++ { // the weft turns round the outermost
			want := "cream"
			if end >= tt.from && end <= tt.to {
				want = "green"
			}
			if got := nearest(l.on(end-1, 0.3, (measure.CM(tt.pick)-0.5)/10), palette(p)); got != want {
				t.Errorf("%s: pick %d, end %d is %s, want %s", tt.otherwise, tt.pick, end, got, want)
			}
		}
	}
}

// Every cell of the runner's figures has its colour on its ends and picks, in
// the near band and, turned, in the far one, mirrored in every other figure.
func TestDetail_figureCells(t *testing.T) {
	p := example(t, "runner")
	pan := p.Panels[0]
	cells := 0
	for i, at := range bottoms(pan) {
		f := pan.Bands[i].Figure
		if f == nil {
			continue
		}
		c := p.Figure(f.Key)
		for n, first := range f.Layout.Firsts[:2] {
			l := look(p, 0, first-1, c.Columns*c.CellEnds, at, pan.Bands[i].Seen)
			pick := pan.Bands[i].Seen / measure.CM(pan.Bands[i].Picks)
			for row := range c.Rows {
				for col := range c.Columns {
					cells++
					y := at + pick*(measure.CM(f.Before+row*c.CellPicks)+0.5)
					got := nearest(l.on(first-1+col*c.CellEnds+c.CellEnds/2, 0.3, y), palette(p))
					want := cellYarn(c, f, n, row, col)
					if want == "" { // ground shows the end that is up, or its neighbour
						ends, names := p.Warps[0].EndYarns()
						want = names[ends[first-1+col*c.CellEnds+c.CellEnds/2]]
					}
					if got != want {
						t.Fatalf("band %d, %s %d, row %d from the bottom, cell %d is %s, want %s", i, f.Key, n+1, row+1, col+1, got, want)
					}
				}
			}
		}
	}
	if want := 2 * 2 * (14*11 + 40*27 + 13*13); cells != want { // two bands with two figures of each chart
		t.Errorf("%d cells looked at, want %d", cells, want)
	}
}

// cellYarn is what a weaver sees in a cell of the n-th figure of the runner's
// bands, its row counted from the bottom; nothing where it is ground.
func cellYarn(c *plan.Chart, f *plan.Placed, n, row, col int) string {
	row = c.Rows - 1 - row // charts are drawn from the top
	if f.Turned {
		row, col = c.Rows-1-row, c.Columns-1-col
	}
	if f.Layout.Mirror && n%2 == 1 && c.Kind == figure.Brocade {
		col = c.Columns - 1 - col
	}
	if v := c.Chart.At(row, col); v > 0 {
		return c.Chart.Symbols()[v-1].Yarn
	}
	return ""
}
