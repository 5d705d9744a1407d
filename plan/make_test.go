package plan_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// The whole of good, by hand.
//
// Thread. 100 tex x 2 strands = 200 tex = 0.002 g/cm. With 1.1 cm3/g,
// d = 2 sqrt(0.002 x 1.1 / pi) = 0.05292567 cm.
//
// Warp. 9.6 cm / (1 - 0.04) = 10 cm on the loom; x 25 = 250 ends: 20 red, 210
// sand, 20 red; 10 + 105 + 10 = 125 circuits. Cover 25 x 0.05292567 = 1.323142:
// warp-faced. 125 heddles of 2 x 8 + 2 cm and 40 cm for knots: 2290 cm.
//
// Take-up. p = 10/5 = 2 mm. D = 0.7 (0.5292567 + 0.5292567) = 0.7409594 mm;
// sin t = 0.3704797, t = 0.3795254, tan t = 0.3988626;
// l = 0.7409594 x 0.3795254 + 0.7409594 / 0.3988626 = 2.1388941 mm;
// c = 2.1388941 / 2 - 1 = 0.06944703. With 0.6 and 0.8 for 0.7: 0.05085742 and
// 0.09105358.
//
// Bands. Fringe 4.75 / 0.95 = 5 cm, x 1.2 = 6 cm. Hem 2 x 2 + 1 = 5 cm made,
// 5 / 0.95 = 5.2631579 cm on the loom, x 5 = 26.3: 27 picks. Woven 40 - 2 = 38,
// 38 / 0.95 = 40 cm, 200 picks.
//
// Warp length, two pieces: panels 2 x 45.2631579 = 90.5263158; take-up
// 6.2867841, at the high end 8.2427455; fringes 12; between 3; waste 25:
// 136.8130999 cm, and 138.7690613 cm to lay.
//
// Weft. A pick is 10 x 1.01 + (pi/2) / 5 = 10.4141593 cm: 200 picks are
// 20.8283185 m, x 0.2 g/m = 4.1656637 g; 27 are 2.8118230 m and 0.5623646 g.
//
// Yarn. Red 40 x 1.387690613 = 55.5076245 m. Sand 210 ends 291.4150287 m, and
// weft 2 x 23.6401415 = 47.2802831 m. With 5 % and both strands: red
// 116.5660115 m, x 0.1 = 11.6566011 g; sand 711.2601547 m, 71.1260155 g. Of
// skeins of 50 g: one with 38.3433989 g left, two with 28.8739845 g.
//
// Piece. An end is 45.2631579 x 1.06944703 + 6 = 54.4065499 cm;
// 250 x 0.544065499 x 0.2 = 27.2032750 g, weft 4.7280283 g: 31.9313033 g. Of
// that the fringe is 250 x 0.06 x 0.2 = 3 g; the other 28.9313033 g lie in
// 9.6 x 43 cm = 0.04128 m2: 700.8552151 g/m2.
func TestMake_byHand(t *testing.T) {
	p, ps := plan.Make(good())
	if got := codes(ps); !reflect.DeepEqual(got, []string{"frame frame-none"}) {
		t.Fatalf("problems %q", got)
	}
	red, sand, w, pan := p.Yarns[0], p.Yarns[1], p.Warps[0], p.Panels[0]
	fringe, woven, hem := pan.Bands[0], pan.Bands[1], pan.Bands[2]
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"tex", float64(red.Tex), 200},
		{"diameter", float64(red.Diameter), 0.5292567},
		{"loom width", float64(w.LoomWidth), 10},
		{"finished width", float64(w.Width), 9.6},
		{"ends", float64(w.Ends), 250},
		{"middle stripe", float64(w.Stripes[1].Ends), 210},
		{"circuits", float64(w.Circuits), 125},
		{"cover", float64(w.Cover), 1.323142},
		{"heddles", float64(w.Sheds.Heddles), 125},
		{"heddle string", float64(w.Sheds.String), 22.90},
		{"D", float64(woven.TakeUp.Geometry.Sum), 0.7409594},
		{"angle", woven.TakeUp.Geometry.Angle, 0.3795254},
		{"end in a pick", float64(woven.TakeUp.Geometry.Length), 2.1388941},
		{"take-up", float64(woven.TakeUp.Middle), 0.06944703},
		{"take-up, low", float64(woven.TakeUp.Low), 0.05085742},
		{"take-up, high", float64(woven.TakeUp.High), 0.09105358},
		{"fringe on the loom", float64(fringe.Loom), 6},
		{"woven, seen", float64(woven.Seen), 38},
		{"woven on the loom", float64(woven.Loom), 40},
		{"woven picks", float64(woven.Picks), 200},
		{"woven weft", float64(woven.WeftLen), 20.8283185},
		{"woven weft mass", float64(woven.WeftMass), 4.1656637},
		{"hem made", float64(hem.Made), 5},
		{"hem on the loom", float64(hem.Loom), 5.2631579},
		{"hem from", float64(hem.From), 40},
		{"hem picks", float64(hem.Picks), 27},
		{"hem weft", float64(hem.WeftLen), 2.8118230},
		{"hem weft mass", float64(hem.WeftMass), 0.5623646},
		{"panel, seen", float64(pan.Length), 40},
		{"panel on the loom", float64(pan.LoomLength), 45.2631579},
		{"panel picks", float64(pan.Picks), 227},
		{"warp, panels", float64(w.Length.Panels), 90.5263158},
		{"warp, take-up", float64(w.Length.TakeUp), 6.2867841},
		{"warp, high take-up", float64(w.Length.High), 8.2427455},
		{"warp, fringes", float64(w.Length.Fringes), 12},
		{"warp, between", float64(w.Length.Between), 3},
		{"warp, waste", float64(w.Length.Waste), 25},
		{"warp, middle", float64(w.Length.Middle), 136.8130999},
		{"warp, to lay", float64(w.Length.Lay), 138.7690613},
		{"red warp", float64(red.Warp), 55.5076245},
		{"red ball", float64(red.Balls[0].Length), 55.5076245 * 1.05}, // with its spare
		{"red thread", float64(red.Thread), 116.5660115},
		{"red mass", float64(red.Mass), 11.6566011},
		{"red skeins", float64(red.Skeins), 1},
		{"red left over", float64(red.Left), 38.3433989},
		{"sand warp", float64(sand.Warp), 291.4150287},
		{"sand weft", float64(sand.Weft), 47.2802831},
		{"sand thread", float64(sand.Thread), 711.2601547},
		{"sand mass", float64(sand.Mass), 71.1260155},
		{"sand skeins", float64(sand.Skeins), 2},
		{"sand left over", float64(sand.Left), 28.8739845},
		{"piece, width", float64(p.Piece.Width), 9.6},
		{"piece, length", float64(p.Piece.Length), 40},
		{"piece, overall", float64(p.Piece.Overall), 44.75},
		{"piece, area", float64(p.Piece.Area), 0.04128},
		{"piece, mass", float64(p.Piece.Mass), 31.9313033},
		{"piece, g/m2", float64(p.Piece.PerM2), 700.8552151},
	} {
		within(t, c.what, c.got, c.want)
	}
	if w.CoverKind != "warp-faced" {
		t.Errorf("cover is called %s", w.CoverKind)
	}
}

// The lozenge of good at 6 ends and 2 picks a cell, by hand. Rows span 1, 3, 5,
// 3 and 1 cells: 13 cells of 6 ends at 25 per cm are 3.12 cm, twice for two
// picks, and 10 turns of 0.6 cm: 12.24 cm a figure. 30 ends go into 250 eight
// times: 0.9792 m. The band is 10 picks high: 2 cm on the loom, 1.9 finished.
func TestMake_figureByHand(t *testing.T) {
	p := mustMake(t, lozenge())
	b := p.Panels[0].Bands[2]
	within(t, "figure band", float64(b.Seen), 1.9)
	within(t, "its picks", float64(b.Picks), 10)
	within(t, "figures", float64(b.Figure.Layout.Count), 8)
	within(t, "figure weft", float64(b.Figure.Yarns[0].Length), 0.9792)
	within(t, "for two pieces", float64(p.Yarns[0].Figure), 2*0.9792)
	within(t, "woven takes the rest", float64(p.Panels[0].Bands[1].Seen), 36.1)
}

// Three pieces of two panels. What is woven is the same however the warp is
// laid; by hand, an end is longer only by what cannot be woven (25 cm a warp)
// and what is left between two panels of a warp (3 cm).
func TestMake_lay(t *testing.T) {
	var woven []float64
	for _, c := range []struct {
		lay     plan.Lay
		layings int
		extra   float64
	}{
		{plan.LayTogether, 1, 25 + 5*3},
		{plan.LayPerPiece, 3, 3 * (25 + 3)},
		{plan.LayPerPanel, 6, 6 * 25},
	} {
		in := good()
		in.Pieces, in.Panels[0].Count, in.Warps[0].Lay = 3, 2, c.lay
		p := mustMake(t, in)
		w := p.Warps[0]
		if w.Layings != c.layings {
			t.Errorf("%s: %d layings, want %d", c.lay, w.Layings, c.layings)
		}
		within(t, string(c.lay)+" warp", float64(warpM(p)), 250*float64(w.Layings)*float64(w.Length.Lay.M()))
		woven = append(woven, float64(w.Length.Lay)*float64(c.layings)-c.extra)
	}
	within(t, "per piece, woven", woven[1], woven[0])
	within(t, "per panel, woven", woven[2], woven[0])
}

// Held together, one pattern a pass, an alternation takes a ball for each end
// of its pattern, also when a yarn comes twice in it.
func TestMake_ballsForAnAlternation(t *testing.T) {
	c := good()
	c.Warps[0].Order.Items = []warp.Item{{Stripe: &warp.Stripe{Share: 1, Yarns: []warp.Lay{
		{Yarn: "red", Ends: 1}, {Yarn: "sand", Ends: 1}, {Yarn: "red", Ends: 2}}}}}
	p := mustMake(t, c)
	if red, sand := p.Yarns[0].Balls[0].Balls, p.Yarns[1].Balls[0].Balls; red != 3 || sand != 1 {
		t.Errorf("%d red balls and %d sand, want 3 and 1", red, sand)
	}
}

// Every yarn has a letter of its own, up to as many yarns as a cloth may have.
func TestMake_letters(t *testing.T) {
	c := good()
	for n := len(c.Yarns); n < 60; n++ {
		y := c.Yarns[0]
		y.Key = fmt.Sprintf("red-%d", n)
		c.Yarns = append(c.Yarns, y)
	}
	seen := map[string]bool{}
	for _, y := range mustMake(t, c).Yarns {
		if y.Letter == "" || seen[y.Letter] {
			t.Errorf("%s has the letter %q", y.Key, y.Letter)
		}
		seen[y.Letter] = true
	}
}

// The same cloth gives the same plan, byte for byte, and stays as it was.
func TestMake_pure(t *testing.T) {
	for _, file := range exampleFiles(t) {
		in := readCloth(t, file)
		first, err := json.Marshal(mustMake(t, in))
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for range 5 {
			if again, _ := json.Marshal(mustMake(t, in)); string(again) != string(first) {
				t.Fatalf("%s: two plans of one cloth differ", file)
			}
		}
		if other, _ := json.Marshal(mustMake(t, readCloth(t, file))); string(other) != string(first) {
			t.Errorf("%s: read again, another plan", file)
		}
		if !reflect.DeepEqual(in, readCloth(t, file)) {
			t.Errorf("%s: Make changed its cloth", file)
		}
	}
}

// drawCloth draws a runner of sound measures, with a figure or without.
func drawCloth(t *rapid.T) plan.Cloth {
	c := good()
	if rapid.Bool().Draw(t, "figure") {
		c = lozenge()
	}
	c.Pieces = rapid.IntRange(1, 6).Draw(t, "pieces")
	c.Picks = measure.PerCM(rapid.Float64Range(3, 8).Draw(t, "picks"))
	c.Shrink.Length = measure.Ratio(rapid.Float64Range(0, 0.2).Draw(t, "shrinkage"))
	c.Warps[0].Sett = measure.PerCM(rapid.Float64Range(16, 34).Draw(t, "sett"))
	c.Warps[0].Lay = rapid.SampledFrom([]plan.Lay{plan.LayTogether, plan.LayPerPiece, plan.LayPerPanel}).Draw(t, "lay")
	c.Warps[0].Balls = rapid.IntRange(1, 4).Draw(t, "balls")
	c.Panels[0].Width = measure.CM(rapid.Float64Range(5, 60).Draw(t, "width"))
	c.Panels[0].Length = measure.CM(rapid.Float64Range(20, 200).Draw(t, "length"))
	c.Panels[0].Count = rapid.IntRange(1, 3).Draw(t, "panels")
	c.Panels[0].Bands = append(c.Panels[0].Bands, plan.BandItem{
		Repeat: rapid.IntRange(1, 3).Draw(t, "repeat"),
		Of:     []plan.BandItem{band(plan.Open, 1), band(plan.Woven, 0)}})
	return c
}

func TestMake_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCloth(t)
		p := mustMake(t, c)
		bandsAddUp(t, p, c.Panels[0].Length)
		massesAddUp(t, p)

		more := c
		more.Pieces++
		if got := mustMake(t, more); massG(got) < massG(p) || warpM(got) < warpM(p) {
			t.Fatalf("%d pieces take %v g, one more %v g", c.Pieces, massG(p), massG(got))
		}
		longer := c
		longer.Panels = append([]plan.Panel{}, c.Panels...)
		longer.Panels[0].Length += measure.CM(rapid.Float64Range(0.1, 50).Draw(t, "longer"))
		if got := mustMake(t, longer); got.Warps[0].Length.Lay < p.Warps[0].Length.Lay || warpM(got) < warpM(p) {
			t.Fatalf("longer by %v cm: a warp of %v cm, before %v", longer.Panels[0].Length-c.Panels[0].Length, got.Warps[0].Length.Lay, p.Warps[0].Length.Lay)
		}
	})
}

// bandsAddUp checks that bands lie end to end and give the panel's length.
func bandsAddUp(t *rapid.T, p plan.Plan, length measure.CM) {
	var seen, at measure.CM
	picks := 0
	for _, b := range p.Panels[0].Bands {
		picks += b.Picks
		if b.Kind == plan.Fringe {
			continue
		}
		if math.Abs(float64(b.From-at)) > 1e-9 {
			t.Fatalf("a band begins at %v after one that ends at %v", b.From, at)
		}
		at, seen = b.To, seen+b.Seen
	}
	if math.Abs(float64(seen-length)) > 1e-9 || math.Abs(float64(at-p.Panels[0].LoomLength)) > 1e-9 || picks != p.Panels[0].Picks {
		t.Fatalf("bands give %v cm of %v, %v of %v on the loom, %d of %d picks", seen, length, at, p.Panels[0].LoomLength, picks, p.Panels[0].Picks)
	}
}

// massesAddUp checks each yarn's mass against the use and the spare, and that a
// warp's yarns are all of its ends.
func massesAddUp(t *rapid.T, p plan.Plan) {
	for _, y := range p.Yarns {
		used := (y.Warp + y.Weft + y.Figure) * 1.05 // spare: the default 5 %
		if want := y.Tex.Mass(used); math.Abs(float64(y.Mass-want)) > 1e-6*float64(want) {
			t.Fatalf("%s: %v g, want %v", y.Key, y.Mass, want)
		}
	}
	ends := 0
	for _, y := range p.Warps[0].Yarns {
		ends += y.Ends
	}
	if ends != p.Warps[0].Ends {
		t.Fatalf("yarns have %d ends of %d", ends, p.Warps[0].Ends)
	}
}
