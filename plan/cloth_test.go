package plan_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/yarn"
)

// within fails unless got is within a millionth of want.
func within(t testing.TB, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-6*math.Abs(want)) {
		t.Errorf("%s = %.8g, want %.8g", what, got, want)
	}
}

// readCloth reads a cloth of the examples; fresh every time.
func readCloth(t testing.TB, file string) plan.Cloth {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, _, ps := clothfile.Read(text)
	if ps.Failed() {
		t.Fatalf("%s: %v", file, ps)
	}
	return c
}

func exampleFiles(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("examples: %v %v", files, err)
	}
	return files
}

func mustMake(t interface{ Fatalf(string, ...any) }, c plan.Cloth) plan.Plan {
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatalf("Make: %v", ps)
	}
	return p
}

func codes(ps check.Problems) []string {
	var out []string
	for _, p := range ps {
		out = append(out, p.Path+" "+p.Code)
	}
	return out
}

func tex(n float64, strands int) yarn.Spec {
	return yarn.Spec{Count: yarn.Count{System: yarn.Tex, Number: n, Plies: 1}, Strands: strands}
}

func plain(yarn string, ends int, share float64) warp.Item {
	return warp.Item{Stripe: &warp.Stripe{Yarns: []warp.Lay{{Yarn: yarn}}, Ends: ends, Share: share}}
}

// band is a band with its defaults, of a length or, at 0, the rest.
func band(kind plan.BandKind, length measure.CM) plan.BandItem {
	b := plan.NewBand()
	b.Kind, b.Length, b.Rest = kind, length, length == 0
	return plan.BandItem{Band: &b}
}

// good is a small cloth without faults: two pieces of 40 cm with a fringe and a
// hem on one warp. TestMake_byHand reckons it.
func good() plan.Cloth {
	c := plan.NewCloth()
	c.Name, c.Pieces, c.Weft, c.Picks = "Cloth", 2, "sand", 5
	c.Shrink = plan.Shrinkage{Length: 0.05, Width: 0.04}
	for _, key := range []string{"red", "sand"} {
		y := plan.NewYarn(key)
		y.Colour, y.Spec, y.Skein = "#a04030", tex(100, 2), 50
		c.Yarns = append(c.Yarns, y)
	}
	w := plan.NewWarp("body")
	w.Sett = 25
	w.Order.Items = []warp.Item{{Mirror: []warp.Item{plain("red", 20, 0), plain("sand", 0, 1)}}}
	c.Warps = []plan.Warp{w}
	p := plan.NewPanel("runner")
	p.Warp, p.Width, p.Length = "body", 9.6, 40
	fringe := band(plan.Fringe, 4.75)
	fringe.Band.Twist = 0.2
	p.Bands = []plan.BandItem{fringe, band(plan.Woven, 0), band(plan.Hem, 2)}
	c.Panels = []plan.Panel{p}
	return c
}

// withFigure is good with a brocade band in the middle, fit to its chart.
func withFigure(drawing string) plan.Cloth {
	c := good()
	chart, ps := figure.Parse(drawing, []figure.Symbol{{Char: 'x', Yarn: "red"}})
	if ps.Failed() {
		panic(ps)
	}
	chart.Kind, chart.Way, chart.Cell = figure.Brocade, figure.Each, figure.Cell{Ends: 6, Picks: 2}
	c.Figures = []plan.Figure{{Key: "bird", Chart: chart, Sale: plan.SaleYes}}
	b := band(plan.Figured, 0)
	b.Band.Rest, b.Band.Place.Figure = false, "bird"
	c.Panels[0].Bands = append(c.Panels[0].Bands[:2:2], b, c.Panels[0].Bands[2])
	return c
}

func lozenge() plan.Cloth { return withFigure("..x..\n.xxx.\nxxxxx\n.xxx.\n..x..") }

// warpM is the length of warp in the whole order, massG the yarn to have.
func warpM(p plan.Plan) (sum measure.M) {
	for _, y := range p.Yarns {
		sum += y.Warp
	}
	return sum
}

func massG(p plan.Plan) (sum measure.Gram) {
	for _, y := range p.Yarns {
		sum += y.Mass
	}
	return sum
}
