package plan_test

import (
	"testing"

	"urdir/cloth"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/yarn"
)

// Exact by the agreement of 1959.
const (
	cmPerInch = 2.54
	cmPerYard = 91.44
	gPerPound = 453.59237
	hankYards = 840 // of cotton
)

// handbook is a piece as the old handbooks give it: plain cotton at so many
// ends and picks an inch, so many yards of warp for so many of cloth.
type handbook struct {
	source               string
	reed                 float64 // inches
	endsIn, picksIn      float64
	warpNe, weftNe       float64
	clothYards, pieces   float64 // the yards of cloth are cut into so many pieces
	warpYards, wasteIn   float64
	ends                 int
	warpLB, warpSlack    float64 // half a unit of the last printed place
	weftLB, weftSlack    float64
	warpHanks, weftHanks float64
}

// cloth says the piece in our terms: nothing shrinks, and take-up is as
// measured on so many pieces that geometry does not count.
func (h handbook) cloth() plan.Cloth {
	c := plan.NewCloth()
	c.Name, c.Pieces, c.Weft, c.Picks = "Piece", int(h.pieces), "weft", measure.PerCM(h.picksIn/cmPerInch)
	c.Shrink, c.Spare, c.Crimp = plan.Shrinkage{}, 0, 0
	cotton := func(key string, ne float64) plan.Yarn {
		y := plan.NewYarn(key)
		y.Colour, y.Spec.Count = "#dddddd", yarn.Count{System: yarn.Cotton, Number: ne, Plies: 1}
		return y
	}
	c.Yarns = []plan.Yarn{cotton("warp", h.warpNe), cotton("weft", h.weftNe)}
	w := plan.NewWarp("warp")
	w.Sett, w.Between, w.Waste = measure.PerCM(h.endsIn/cmPerInch), 0, measure.CM(h.wasteIn*cmPerInch)
	w.Order.Items = []warp.Item{plain("warp", 0, 1)}
	w.MeasuredTakeUp, w.MeasuredPieces = measure.Ratio((h.warpYards-h.wasteIn/36)/h.clothYards-1), 1e6
	c.Warps = []plan.Warp{w}
	p := plan.NewPanel("piece")
	p.Warp, p.Width, p.Length = "warp", measure.CM(h.reed*cmPerInch), measure.CM(h.clothYards/h.pieces*cmPerYard)
	p.Bands = []plan.BandItem{band(plan.Woven, 0)}
	c.Panels = []plan.Panel{p}
	return c
}

// Weights of warp and weft from the handbooks, through a whole plan. The old
// rule has no turn of the weft at the selvedge; ours is taken off.
func TestMake_handbookPieces(t *testing.T) {
	for _, h := range []handbook{
		{source: "C. P. Brooks, Cotton Manufacturing (c. 1890), Weight of a Piece: 2280 ends, 38 yd, 30s: 103 1/7 hanks, 3 lb 7 oz",
			reed: 38, endsIn: 60, picksIn: 64, warpNe: 30, weftNe: 36, clothYards: 36, pieces: 3, warpYards: 38,
			ends: 2280, warpLB: 3 + 7.0/16, warpSlack: 0.5 / 16, warpHanks: 103 + 1.0/7},
		{source: "the same, weft: 37.5 in, 64 picks, 36s: 2 lb 13 3/4 oz",
			reed: 37.5, endsIn: 64, picksIn: 64, warpNe: 30, weftNe: 36, clothYards: 36, pieces: 3, warpYards: 38,
			ends: 2400, weftLB: 2 + 13.75/16, weftSlack: 0.125 / 16},
		{source: "Brooks p. 96, Scotch reed: 1130 splits are 2260 ends, 38 yd, 30s: 3.407 lb (cut off, not rounded)",
			reed: 38, endsIn: 2260.0 / 38, picksIn: 64, warpNe: 30, weftNe: 36, clothYards: 36, pieces: 3, warpYards: 38,
			ends: 2260, warpLB: 3.407, warpSlack: 0.001},
		{source: "Brooks p. 96, Scotch weft: 2300 picks a yard, 37.5 in, 36s: 2.85 lb (the piece length put in)",
			reed: 37.5, endsIn: 64, picksIn: 2300.0 / 36, warpNe: 30, weftNe: 36, clothYards: 36, pieces: 3, warpYards: 38,
			ends: 2400, weftLB: 2.85, weftSlack: 0.005},
		{source: "J. T. Taylor, Cotton Weaving and Designing, p. 245: 70 an inch on 30 in, 95 yd for 90, 80 picks (answers derived)",
			reed: 30, endsIn: 70, picksIn: 80, warpNe: 30, weftNe: 40, clothYards: 90, pieces: 5, warpYards: 95,
			ends: 2100, warpLB: 7.916667, warpSlack: 1e-4, warpHanks: 237.5, weftLB: 6.428571, weftSlack: 1e-4},
		{source: "Taylor p. 436: 34 in, 60 picks, 84 yd: 204 hanks",
			reed: 34, endsIn: 60, picksIn: 60, warpNe: 40, weftNe: 40, clothYards: 84, pieces: 6, warpYards: 84,
			ends: 2040, weftHanks: 204},
		{source: "measuredthreads, towels: 24 an inch on 22 in are 528 ends; 4 yd of 8/2, almost 2/3 lb (derived 0.628571)",
			reed: 22, endsIn: 24, picksIn: 12, warpNe: 4, weftNe: 4, clothYards: 4, pieces: 4, warpYards: 4,
			ends: 528, warpLB: 0.628571, warpSlack: 1e-4},
		{source: "Interweave, Determining Warp Length: 4 x 34 in, 31 in waste and 13 in take-up are 5 yd; 480 ends of 8/2 then 5 / 7 lb (derived)",
			reed: 20, endsIn: 24, picksIn: 12, warpNe: 4, weftNe: 4, clothYards: 4 * 34 / 36.0, pieces: 4, warpYards: 5, wasteIn: 31,
			ends: 480, warpLB: 5.0 / 7, warpSlack: 1e-4},
	} {
		p := mustMake(t, h.cloth())
		w, ends, weft := p.Warps[0], p.Yarn("warp"), p.Yarn("weft")
		if w.Ends != h.ends {
			t.Errorf("%s: %d ends, want %d", h.source, w.Ends, h.ends)
		}
		closeTo(t, h.source+": warp yards", float64(w.Length.Middle)/cmPerYard, h.warpYards, 1e-4)
		turns := measure.M(float64(p.Panels[0].Picks)*h.pieces) * cloth.Turn(p.Panels[0].Bands[0].PicksPerCM).M()
		straight := weft.Weft - turns
		for _, c := range []struct {
			what             string
			got, want, slack float64
		}{
			{"warp lb", float64(ends.Mass) / gPerPound, h.warpLB, h.warpSlack},
			{"weft lb", float64(weft.Tex.Mass(straight)) / gPerPound, h.weftLB, h.weftSlack},
			{"warp hanks", float64(ends.Warp.CM()) / cmPerYard / hankYards, h.warpHanks, 0.01},
			{"weft hanks", float64(straight.CM()) / cmPerYard / hankYards, h.weftHanks, 0.01},
		} {
			if c.want != 0 {
				closeTo(t, h.source+": "+c.what, c.got, c.want, c.slack)
			}
		}
	}
}

func closeTo(t *testing.T, what string, got, want, slack float64) {
	t.Helper()
	if d := got - want; d > slack || d < -slack {
		t.Errorf("%s: %.6f, want %.6f", what, got, want)
	}
}
