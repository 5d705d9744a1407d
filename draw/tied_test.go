package draw_test

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"urdir/clothfile"
	"urdir/draw"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/tie"
)

// rain is 400 red ends of which 101 to 300 are tied from 3 to 7 cm. Nothing
// shrinks, so that ends which slide by 3 mm blur an edge by 3 mm over what a
// centimetre of cloth takes up.
const rain = small + `
warps:
  body: {sett: 20 /cm, stripes: [400 red]}
panels:
  body:
    warp: body
    bands: [{fringe: 2 cm}, {woven: 10 cm}, {open: 2 cm}, {hem: 1 cm}]
    tied:
      undyed: "#ffffff"
      shift: 3 mm
      marks: [{ends: 101-300, from: 3 cm, to: 7 cm}, {ends: 51-60, from: 10 cm, to: 14 cm}]
`

// whiteEnds draws the panel and says whether an end is white at a height above
// its cloth's beginning.
func whiteEnds(p plan.Plan, perEnd measure.MM, perMM int, back bool) func(end int, cm float64) bool {
	perCM := float64(perEnd) * 400 / float64(p.Panels[0].Width)
	const tall = 15 // fringe, woven, open, hem
	box := surface.Box{W: 400 * perEnd, H: measure.MM(tall * perCM)}
	px := picture(box.W, box.H, perMM, func(s surface.Surface) {
		draw.Part(s, box, p, draw.Detail{PerCM: perCM, Back: back})
	})
	return func(end int, cm float64) bool {
		if back {
			end = 401 - end
		}
		c := px.at((measure.MM(end)-0.5)*perEnd, box.H-measure.MM((2+cm)*perCM))
		return c.G > 128 // red has none
	}
}

func blurOf(t *testing.T, p plan.Plan) float64 {
	t.Helper()
	takeUp := float64(p.Panels[0].Bands[1].TakeUp.Middle)
	if takeUp <= 0 {
		t.Fatal("no take-up")
	}
	return 0.3 / (1 + takeUp)
}

// Four standard deviations away from its edges a tied part is wholly undyed, and
// nothing is beyond them: seen from afar, under a lens, and on the other side.
func TestPart_tied(t *testing.T) {
	p := planOf(t, rain)
	far := 4*blurOf(t, p) + 0.1 // and a pick
	for _, v := range []struct {
		name   string
		perEnd measure.MM
		perMM  int
		back   bool
	}{{"afar", 0.1, 20, false}, {"lens", 0.4, 20, false}, {"afar, the other side", 0.1, 20, true}, {"lens, the other side", 0.4, 20, true}} {
		white := whiteEnds(p, v.perEnd, v.perMM, v.back)
		for end := 3; end <= 398; end++ {
			for _, at := range []float64{0.45, 3 - far, 3 + far, 4.95, 7 - far, 7 + far, 8.95} {
				want := end > 101 && end < 300 && at > 3 && at < 7
				if end == 100 || end == 101 || end == 300 || end == 301 {
					continue // an end lies over half of each neighbour
				}
				if got := white(end, at); got != want {
					t.Fatalf("%s: end %d at %.2f cm is white: %v, want %v", v.name, end, at, got, want)
				}
			}
		}
	}
}

// Edges lie round where they are drawn, as widely as ends slide.
func TestPart_tiedBlur(t *testing.T) {
	p := planOf(t, rain)
	sigma := blurOf(t, p)
	white := whiteEnds(p, 0.1, 28, false) // no single picks, so every edge is where it is
	for _, edge := range []float64{3, 7} {
		sum, squares, n, most := 0.0, 0.0, 0.0, 0.0
		for end := 102; end < 300; end++ {
			at := edge - 1.5
			for inside := edge == 3; white(end, at) != inside; at += 0.01 {
				if at > edge+1.5 {
					t.Fatalf("end %d has no edge near %v cm", end, edge)
				}
			}
			off := at - edge
			sum, squares, n, most = sum+off, squares+off*off, n+1, max(most, math.Abs(off))
		}
		// Of 198 ends the mean is off by sigma / sqrt(198), and the deviation by
		// sigma / sqrt(2 x 198): three times that and what the steps take.
		if mean := sum / n; math.Abs(mean) > 3*sigma/math.Sqrt(n)+0.02 {
			t.Errorf("edges at %v cm lie %.3f cm off", edge, mean)
		}
		if got := math.Sqrt(squares / n); math.Abs(got-sigma) > 3*sigma/math.Sqrt(2*n)+0.02 {
			t.Errorf("edges at %v cm deviate by %.3f cm, want %.3f", edge, got, sigma)
		}
		if most > 4*sigma+0.02 {
			t.Errorf("an edge at %v cm is %.3f cm off, more than four times %.3f", edge, most, sigma)
		}
	}
}

// The second mark goes through the open band into the hem, of which the half
// next to the open band is seen.
func TestPart_tiedOpenAndHem(t *testing.T) {
	p := planOf(t, rain)
	for _, perEnd := range []measure.MM{0.4, 1} {
		white := whiteEnds(p, perEnd, 20, false)
		for end := 53; end <= 58; end++ {
			for _, at := range []float64{11.5, 12.45} {
				if !white(end, at) {
					t.Errorf("end %d is not white at %v cm", end, at)
				}
			}
		}
		if white(70, 11.5) != white(330, 11.5) {
			t.Error("what is not tied differs")
		}
	}
}

func TestPart_tiedSameEveryTime(t *testing.T) {
	p := planOf(t, rain)
	box := surface.Box{W: 40, H: 60}
	once := func() []byte {
		return picture(box.W, box.H, 10, func(s surface.Surface) { draw.Cloth(s, box, p) }).img.Pix
	}
	if !bytes.Equal(once(), once()) {
		t.Error("two pictures of one plan differ")
	}
}

// Any cloth can be tied: of pick-up, of brocade, of several panels, with open
// bands and fringes. Its pictures then show something else, on both sides.
func TestCloth_anyExampleTied(t *testing.T) {
	for _, name := range examples {
		c, _, ps := clothfile.Read([]byte(exampleText(t, name)))
		must(t, ps)
		plain, ps := plan.Make(c)
		must(t, ps)
		tied := plan.NewTied()
		tied.Undyed = "#fefe00"
		tied.Marks = []tie.Mark{{First: 3, Last: 42, From: 4, To: 11, Every: 20, Mirror: true}}
		c.Panels = slices.Clone(c.Panels)
		for i := range c.Panels {
			c.Panels[i].Tied = &tied
		}
		with, ps := plan.Make(c)
		must(t, ps)
		box := surface.Box{W: 60, H: 80}
		for view, paint := range map[string]func(surface.Surface, surface.Box, plan.Plan){"face": draw.Cloth, "back": draw.Back, "lens": draw.Lens} {
			yellow := func(p plan.Plan) (n int) {
				px := picture(box.W, box.H, 10, func(s surface.Surface) { paint(s, box, p) }).img
				for i := 0; i < len(px.Pix); i += 4 {
					if px.Pix[i] > 200 && px.Pix[i+1] > 200 && px.Pix[i+2] < 60 {
						n++
					}
				}
				return n
			}
			if before, after := yellow(plain), yellow(with); before > 0 || after == 0 && (view != "lens" || len(with.Figures) == 0) {
				t.Errorf("%s, %s: %d pixels look undyed before, %d after", name, view, before, after)
			}
		}
	}
}

// What lies under a point and where that is seen are the same place.
func TestPanelPlan_openedAndSeen(t *testing.T) {
	pan := &planOf(t, rain).Panels[0]
	for _, at := range []struct{ seen, opened measure.CM }{
		{0, -2}, {2, 0}, {5, 3}, {12, 10}, {13, 11}, {14.5, 12.5},
	} {
		if got := pan.Opened(at.seen); math.Abs(float64(got-at.opened)) > 1e-9 {
			t.Errorf("%v cm from the edge is %v, want %v", at.seen, got, at.opened)
		}
		if got := pan.SeenAt(at.opened); math.Abs(float64(got-at.seen)) > 1e-9 {
			t.Errorf("%v is seen at %v cm, want %v", at.opened, got, at.seen)
		}
	}
}

func BenchmarkCloth_tied(b *testing.B) {
	p := planOf(b, exampleText(b, "shawl"))
	box := surface.Box{W: 160, H: 120}
	for b.Loop() {
		picture(box.W, box.H, 10, func(s surface.Surface) { draw.Cloth(s, box, p) })
	}
}
