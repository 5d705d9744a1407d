package plan_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/warp/tie"
)

// frameOf is a frame of eight pegs on a board of 45 x 30 cm.
func frameOf(t testing.TB) *frame.Frame {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(`{urdir: 1, frame: {peg: 1.5 cm, cross: [B, C], start: [A], turn: [D, E, F, G, H],
  pegs: {A: [0 cm, 0 cm], B: [10 cm, 0 cm], C: [20 cm, 0 cm], D: [44 cm, 0 cm],
         E: [0 cm, 12 cm], F: [44 cm, 14 cm], G: [0 cm, 26 cm], H: [44 cm, 29 cm]}}}`))
	if ps.Failed() {
		t.Fatal(ps)
	}
	return c.Frame
}

func nested(n int, it plan.BandItem) plan.BandItem {
	for range n {
		it = plan.BandItem{Repeat: 1, Of: []plan.BandItem{it}}
	}
	return it
}

// fault spoils a good cloth in one way. Want is "path code"; for cautions the
// plan is still made.
type fault struct {
	want  string
	spoil func(*plan.Cloth)
}

func bands(items ...plan.BandItem) func(*plan.Cloth) {
	return func(c *plan.Cloth) { c.Panels[0].Bands = items }
}

func first(c *plan.Cloth) *plan.Band { return c.Panels[0].Bands[0].Band }
func woven(c *plan.Cloth) *plan.Band { return c.Panels[0].Bands[1].Band }

// Of the order, the yarns and the figures.
var orderFaults = []fault{
	{"name name-missing", func(c *plan.Cloth) { c.Name = "" }},
	{"order.due date-unread", func(c *plan.Cloth) { c.Due = "2027-02-30" }},
	{"order.pieces out-of-range", func(c *plan.Cloth) { c.Pieces = 0 }},
	{"class.learners out-of-range", func(c *plan.Cloth) { c.Learners = -1 }},
	{"shrinkage.length out-of-range", func(c *plan.Cloth) { c.Shrink.Length = 0.61 }},
	{"shrinkage.width out-of-range", func(c *plan.Cloth) { c.Shrink.Width = -0.01 }},
	{"flatness out-of-range", func(c *plan.Cloth) { c.Flatness = 0 }},
	{"spare out-of-range", func(c *plan.Cloth) { c.Spare = 1.01 }},
	{"crimp out-of-range", func(c *plan.Cloth) { c.Crimp = 0.51 }},
	{"picks out-of-range", func(c *plan.Cloth) { c.Picks = 101 }},
	{"kit kit-item", func(c *plan.Cloth) { c.Kit = []plan.KitItem{{Name: "batten", Each: -1}} }},
	{"yarns yarns-none", func(c *plan.Cloth) { c.Yarns = nil }},
	{"yarns parts-too-many", func(c *plan.Cloth) { c.Yarns = slices.Repeat(c.Yarns, 31) }},
	{"figures parts-too-many", func(c *plan.Cloth) { c.Figures = slices.Repeat(lozenge().Figures, 61) }},
	{"yarns.red colour-missing", func(c *plan.Cloth) { c.Yarns[0].Colour = "" }},
	{"yarns.red.colour colour-unread", func(c *plan.Cloth) { c.Yarns[0].Colour = "#12345g" }},
	{"yarns.red.dye dye-recipe-key", func(c *plan.Cloth) { c.Yarns[0].Dye = "Rubia en algodón" }},
	{"yarns.red.dyestuff dye-strength", func(c *plan.Cloth) { c.Yarns[0].Dye, c.Yarns[0].Share = "madder-cotton", 6.1 }},
	{"yarns.red.dyestuff dye-strength", func(c *plan.Cloth) { c.Yarns[0].Share = 0.5 }},
	{"yarns.red.letter letter-long", func(c *plan.Cloth) { c.Yarns[0].Letter = "red" }},
	{"yarns.sand.letter letter-twice", func(c *plan.Cloth) { c.Yarns[0].Letter, c.Yarns[1].Letter = "r", "R" }},
	{"yarns.red.fibre fibre-unknown", func(c *plan.Cloth) { c.Yarns[0].Fibre = "glass" }},
	{"yarns.red.strands out-of-range", func(c *plan.Cloth) { c.Yarns[0].Spec.Strands = 25 }},
	{"yarns.red.hank mass-out-of-range", func(c *plan.Cloth) { c.Yarns[0].Skein = -1 }},
	{"yarns.red yarn-no-count", func(c *plan.Cloth) { c.Yarns[0].Spec.Count.Number = 0 }},
	{"yarns.blue yarn-unused", func(c *plan.Cloth) {
		c.Yarns = append(c.Yarns, c.Yarns[0])
		c.Yarns[2].Key = "blue"
	}},
	{"figures.bird.cell.ends out-of-range", func(c *plan.Cloth) { *c = lozenge(); c.Figures[0].Chart.Cell.Ends = 0 }},
	{"figures.bird figure-sale-unsaid", func(c *plan.Cloth) {
		*c = lozenge()
		c.Figures[0].Owner, c.Figures[0].Sale = "Valle Bajo", ""
	}},
	{"figures.bird.colours yarn-unknown", func(c *plan.Cloth) { *c = lozenge(); c.Yarns[0].Key = "wine" }},
	{"frame.pegs pegs-too-few", func(c *plan.Cloth) { c.Frame = &frame.Frame{} }},
}

// Of the warps and how they are laid.
var warpFaults = []fault{
	{"warps warps-none", func(c *plan.Cloth) { c.Warps = nil }},
	{"warps.body sett-missing", func(c *plan.Cloth) { c.Warps[0].Sett = 0 }},
	{"warps.body.sett out-of-range", func(c *plan.Cloth) { c.Warps[0].Sett = 151 }},
	{"warps.body.balls out-of-range", func(c *plan.Cloth) { c.Warps[0].Balls = 0 }},
	{"warps.body.check out-of-range", func(c *plan.Cloth) { c.Warps[0].Check = 0 }},
	{"warps.body.waste size-out-of-range", func(c *plan.Cloth) { c.Warps[0].Waste = -1 }},
	{"warps.body.between size-out-of-range", func(c *plan.Cloth) { c.Warps[0].Between = 2001 }},
	{"warps.body.heddle size-out-of-range", func(c *plan.Cloth) { c.Warps[0].Heddle = 0 }},
	{"warps.body.measured.take-up out-of-range", func(c *plan.Cloth) { c.Warps[0].MeasuredTakeUp = 0.7 }},
	{"warps.body.measured.pieces out-of-range", func(c *plan.Cloth) { c.Warps[0].MeasuredPieces = -1 }},
	{"warps.spare warp-unused", func(c *plan.Cloth) { c.Warps = append(c.Warps, plan.NewWarp("spare")); c.Warps[1].Sett = 20 }},
	{"warps.body.stripes stripes-none", func(c *plan.Cloth) { c.Warps[0].Order.Items = nil }},
	{"warps.body.stripes stripes-width-differs", func(c *plan.Cloth) { c.Warps[0].Order.Items = []warp.Item{plain("sand", 100, 0)} }},
	{"warps.body.stripes[0] yarn-unknown", func(c *plan.Cloth) { c.Warps[0].Order.Items = []warp.Item{plain("blue", 250, 0)} }},
	{"warps.body.sett cover-balanced", func(c *plan.Cloth) { c.Warps[0].Sett = 18 }}, // 18 x 0.0529 = 0.95
	{"warps.body.sett cover-high", func(c *plan.Cloth) { c.Warps[0].Sett = 36 }},     // 36 x 0.0529 = 1.91 > 1.84
	{"warps.body warp-too-long", func(c *plan.Cloth) { c.Pieces = 300 }},
	{"warps.body.lay lay-per-panel-two", func(c *plan.Cloth) {
		c.Warps[0].Lay = plan.LayPerPanel
		c.Panels = append(c.Panels, c.Panels[0])
		c.Panels[1].Key = "other"
	}},
	{"frame frame-none", func(*plan.Cloth) {}},
	{"warps.body frame-too-short", func(c *plan.Cloth) { c.Pieces = 20 }}, // with a frame, see below
}

func tied(c *plan.Cloth, marks ...tie.Mark) {
	t := plan.NewTied()
	t.Marks = marks
	c.Panels[0].Tied = &t
}

// Of the panels and their bands.
var panelFaults = []fault{
	{"panels panels-none", func(c *plan.Cloth) { c.Panels = nil }},
	{"panels.runner.warp warp-unknown", func(c *plan.Cloth) { c.Panels[0].Warp = "bodi" }},
	{"panels.runner.count out-of-range", func(c *plan.Cloth) { c.Panels[0].Count = 0 }},
	{"panels.runner.width size-out-of-range", func(c *plan.Cloth) { c.Panels[0].Width = -1 }},
	{"panels.runner.length size-out-of-range", func(c *plan.Cloth) { c.Panels[0].Length = 2001 }},
	{"panels.runner.seam.top size-out-of-range", func(c *plan.Cloth) { c.Panels[0].Seam.Top = -1 }},
	{"panels.other.width panels-differ", func(c *plan.Cloth) {
		c.Panels = append(c.Panels, c.Panels[0])
		c.Panels[1].Key, c.Panels[1].Seam.Left = "other", 1
	}},
	{"panels.runner.tied.marks tie-marks-none", func(c *plan.Cloth) { tied(c) }},
	{"panels.runner.tied.marks[1] tie-length", func(c *plan.Cloth) {
		tied(c, tie.Mark{First: 1, Last: 2, To: 3}, tie.Mark{First: 1, Last: 2, From: 3, To: 3})
	}},
	{"panels.runner.tied.marks[0] tie-ends", func(c *plan.Cloth) { tied(c, tie.Mark{First: 1, Last: 251, To: 3}) }},
	{"panels.runner.tied.marks[0] tie-faint", func(c *plan.Cloth) { tied(c, tie.Mark{First: 1, Last: 20, To: 0.4}) }},
	{"panels.runner.tied.shift tie-shift", func(c *plan.Cloth) {
		tied(c, tie.Mark{First: 1, Last: 2, To: 3})
		c.Panels[0].Tied.Setup.Shift = 11
	}},
	{"panels.runner.tied.undyed colour-unread", func(c *plan.Cloth) {
		tied(c, tie.Mark{First: 1, Last: 2, To: 3})
		c.Panels[0].Tied.Undyed = "white"
	}},
	{"panels.runner.seam seams-too-wide", func(c *plan.Cloth) {
		c.Warps[0].Order.Items = []warp.Item{plain("sand", 100, 0)}
		c.Panels[0].Width, c.Panels[0].Seam.Left = 0, 100
	}},
	{"panels.runner.bands bands-none", bands()},
	{"panels.runner.bands" + strings.Repeat("[0].of", warp.MaxDepth-1) + "[0] bands-too-deep", bands(nested(warp.MaxDepth, band(plan.Woven, 0)))},
	{"panels.runner.bands[0].repeat repeat-too-few", bands(plan.BandItem{Of: []plan.BandItem{band(plan.Woven, 0)}})},
	{"panels.runner.bands[0] group-empty", bands(plan.BandItem{Repeat: 2})},
	{"panels.runner.bands[0].mirror[1] band-no-weft", func(c *plan.Cloth) {
		c.Weft = ""
		bands(plan.BandItem{Mirror: []plan.BandItem{band(plan.Open, 1), band(plan.Woven, 0)}})(c)
	}},
	{"panels.runner.bands[0] bands-too-many", bands(plan.BandItem{Repeat: 1001, Of: []plan.BandItem{band(plan.Woven, 1)}})},
	{"panels.runner.bands[0] size-out-of-range", func(c *plan.Cloth) { first(c).Length = -1 }},
	{"panels.runner.bands[0].twist out-of-range", func(c *plan.Cloth) { first(c).Twist = 1.1 }},
	{"panels.runner.bands[1].picks out-of-range", func(c *plan.Cloth) { woven(c).Picks = -1 }},
	{"panels.runner.bands[1].count out-of-range", func(c *plan.Cloth) { woven(c).Place.Count = 1001 }},
	{"panels.runner.bands[0] fringe-rest", func(c *plan.Cloth) { first(c).Rest = true }},
	{"panels.runner.bands[1] band-no-weft", func(c *plan.Cloth) { c.Weft = "" }},
	{"weft yarn-unknown", func(c *plan.Cloth) { c.Weft = "blue" }},
	{"panels.runner.bands[1].weft yarn-unknown", func(c *plan.Cloth) { woven(c).Weft = "blue" }},
	{"panels.runner.bands[1] band-no-picks", func(c *plan.Cloth) { c.Picks = 0 }},
	{"panels.runner.bands[1] picks-too-close", func(c *plan.Cloth) { c.Picks = 14 }}, // 0.714 mm apart, D 0.741
	{"panels.runner rest-without-length", func(c *plan.Cloth) { c.Panels[0].Length = 0 }},
	{"panels.runner.bands bands-do-not-add", bands(band(plan.Woven, 39.8))},
	{"panels.runner.bands bands-too-long", bands(band(plan.Woven, 40), band(plan.Woven, 0))},
	{"panels.runner.bands[2].chart figure-unknown", func(c *plan.Cloth) { *c = lozenge(); c.Figures = nil }},
	{"panels.runner.bands[2] figure-wider", func(c *plan.Cloth) {
		*c = lozenge()
		c.Panels[0].Bands[2].Band.Place.Count = 9
	}},
	{"panels.runner.bands[2] figure-taller", func(c *plan.Cloth) {
		*c = lozenge()
		c.Panels[0].Bands[2].Band.Length = 1.5
	}},
	{"panels.runner.bands[2].chart figure-no-pairs", func(c *plan.Cloth) {
		*c = lozenge()
		c.Figures[0].Chart.Kind, c.Figures[0].Chart.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
	}},
	{"panels.runner.bands[2].upright figure-odd-rows", func(c *plan.Cloth) {
		*c = lozenge()
		c.Figures[0].Chart.Kind, c.Figures[0].Chart.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
		c.Panels[0].Bands[2].Band.Place.Upright = 2
	}},
	{"figures.bird.chart float-face", func(c *plan.Cloth) { *c = lozenge(); c.Figures[0].Chart.Limit = 5 }},
}

// Of permission, see also TestMake_permission.
var saleFaults = []fault{
	{"figures.bird.sale figure-not-for-sale", func(c *plan.Cloth) {
		*c = lozenge()
		c.Customer, c.Figures[0].Owner, c.Figures[0].Sale = "Posada", "Valle Bajo", plan.SaleAsk
	}},
	{"figures.bird.sale figure-sale-open", func(c *plan.Cloth) {
		*c = lozenge()
		c.Figures[0].Owner, c.Figures[0].Sale = "Valle Bajo", plan.SaleAsk
	}},
}

func allFaults() []fault { return slices.Concat(orderFaults, warpFaults, panelFaults, saleFaults) }

func TestMake_problems(t *testing.T) {
	for _, f := range allFaults() {
		c := good()
		f.spoil(&c)
		if strings.HasSuffix(f.want, "frame-too-short") {
			c.Frame = frameOf(t)
		}
		p, ps := plan.Make(c)
		if !slices.Contains(codes(ps), f.want) {
			t.Errorf("want %s, got %q", f.want, codes(ps))
		}
		if made := len(p.Warps) > 0; made == ps.Failed() {
			t.Errorf("%s: failed %v, a plan %v", f.want, ps.Failed(), made)
		}
	}
}

// Every code written in this package is in the table above.
func TestMake_problemsAllTested(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	tested := map[string]bool{}
	for _, f := range allFaults() {
		tested[f.want[strings.LastIndexByte(f.want, ' ')+1:]] = true
	}
	given := regexp.MustCompile(`, "([a-z]+(?:-[a-z]+)+)", (?:check\.Args|args\)|nil\))`)
	found := 0
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, m := range given.FindAllStringSubmatch(string(text), -1) {
			found++
			if !tested[m[1]] {
				t.Errorf("%s: no test gives %s", file, m[1])
			}
		}
	}
	if found < 30 {
		t.Errorf("only %d codes found in the source", found)
	}
}

// All that is wrong with a cloth as written is said at once.
func TestMake_allProblemsAtOnce(t *testing.T) {
	c := good()
	c.Name, c.Pieces, c.Yarns[0].Colour, c.Panels[0].Warp = "", 0, "red", "bodi"
	_, ps := plan.Make(c)
	want := []string{"order.pieces out-of-range", "name name-missing", "yarns.red.colour colour-unread", "panels.runner.warp warp-unknown"}
	if got := codes(ps); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// A value that is out of range is the value shown.
func TestMake_outOfRangeNamesTheValue(t *testing.T) {
	for _, c := range []struct {
		spoil func(*plan.Cloth)
		want  float64
	}{
		{func(c *plan.Cloth) { woven(c).Place.Count = 1001 }, 1001},
		{func(c *plan.Cloth) { woven(c).Place.Upright = 1001 }, 1001},
		{func(c *plan.Cloth) { woven(c).Place.Count = -1 }, -1},
		{func(c *plan.Cloth) { woven(c).Twist = 2 }, 2},
	} {
		in := good()
		c.spoil(&in)
		_, ps := plan.Make(in)
		if len(ps) != 1 || ps[0].Args["value"] != c.want {
			t.Errorf("%v, want the value %v", ps, c.want)
		}
	}
}

// With a frame that is too short, so many panels as fit are named: a frame for
// five pieces' warp takes five of six.
func TestMake_framesTooShortSaysWhatFits(t *testing.T) {
	c := good()
	c.Frame = frameOf(t)
	longest := c.Frame.Longest().Path.Length
	c.Panels[0].Length = 10
	for c.Pieces = 1; mustNeed(t, c) <= longest; c.Pieces++ {
	}
	_, ps := plan.Make(c)
	i := slices.IndexFunc(ps, func(p check.Problem) bool { return p.Code == "frame-too-short" })
	if i < 0 {
		t.Fatalf("%v", ps)
	}
	if a := ps[i].Args; a["fits"] != c.Pieces-1 || a["panels"] != c.Pieces || a["longest"] != longest {
		t.Errorf("%v, want %d of %d", a, c.Pieces-1, c.Pieces)
	}
}

// mustNeed is the length a warp needs, without a frame.
func mustNeed(t *testing.T, c plan.Cloth) measure.CM {
	c.Frame = nil
	return mustMake(t, c).Warps[0].Length.Lay
}

// A figure goes on an order for a customer only with its owners' yes. Without
// a customer the plan is made, and says so.
func TestMake_permission(t *testing.T) {
	for _, c := range []struct {
		sale     plan.Sale
		customer string
		refused  bool
		want     string
	}{
		{plan.SaleYes, "Posada", false, ""},
		{plan.SaleYes, "", false, ""},
		{plan.SaleNo, "Posada", true, "figure-not-for-sale"},
		{plan.SaleNo, "", false, "figure-sale-open"},
		{plan.SaleAsk, "Posada", true, "figure-not-for-sale"},
		{plan.SaleAsk, "", false, "figure-sale-open"},
	} {
		in := lozenge()
		in.Customer = c.customer
		in.Figures[0].Owner, in.Figures[0].Ask, in.Figures[0].Sale = "Valle Bajo", "the council", c.sale
		_, ps := plan.Make(in)
		got := ""
		for _, p := range ps {
			if strings.HasPrefix(p.Path, "figures.bird.sale") {
				got = p.Code
				if p.Args["owner"] != "Valle Bajo" || p.Args["ask"] != "the council" {
					t.Errorf("%s %q: does not say whom to ask: %v", c.sale, c.customer, p.Args)
				}
			}
		}
		if got != c.want || ps.Failed() != c.refused {
			t.Errorf("%s %q: %q refused %v, want %q %v", c.sale, c.customer, got, ps.Failed(), c.want, c.refused)
		}
	}
}
