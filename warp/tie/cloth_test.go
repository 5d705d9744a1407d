package tie_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/warp/tie"
	"urdir/yarn"
)

// The take-up of 2 x 100 tex cotton at 25 ends and 5 picks a cm, by hand with
// the formulas of package cloth: d = 2 sqrt(0.002 x 1.1 / pi) = 0.5292567 mm,
// p = 2 mm, D = f x 2d, sin t = D/p, l = D t + D / tan t, c = l/p - 1, with
// f = 0.7, 0.6 and 0.8.
const (
	middle = 0.06944703
	low    = 0.05085742
	high   = 0.09105358
)

// small is a cloth of 250 ends (9.6 cm / 0.96 x 25) with the given panels of one
// warp: 5 % shrinkage along, 25 cm waste, 3 cm between panels.
func small(pieces int, panels ...plan.Panel) plan.Cloth {
	c := plan.NewCloth()
	c.Name, c.Pieces, c.Weft, c.Picks = "Cloth", pieces, "sand", 5
	c.Shrink = plan.Shrinkage{Length: 0.05, Width: 0.04}
	y := plan.NewYarn("sand")
	y.Colour = "#c0a080"
	y.Spec = yarn.Spec{Count: yarn.Count{System: yarn.Tex, Number: 100, Plies: 1}, Strands: 2}
	c.Yarns = []plan.Yarn{y}
	w := plan.NewWarp("body")
	w.Sett, w.Waste, w.Between = 25, 25, 3
	w.Order.Items = []warp.Item{{Stripe: &warp.Stripe{Yarns: []warp.Lay{{Yarn: "sand"}}, Share: 1}}}
	c.Warps, c.Panels = []plan.Warp{w}, panels
	return c
}

func panel(key string, bands ...plan.BandItem) plan.Panel {
	p := plan.NewPanel(key)
	p.Warp, p.Width, p.Bands = "body", 9.6, bands
	return p
}

func band(kind plan.BandKind, length measure.CM) plan.BandItem {
	b := plan.NewBand()
	b.Kind, b.Length = kind, length
	if kind == plan.Fringe {
		b.Twist = 0.2
	}
	return plan.BandItem{Band: &b}
}

// guide plans a cloth with a panel tied, and gives what the plan says of it; the
// problems are those of the ties, with paths from there.
func guide(c plan.Cloth, panel string, marks []tie.Mark, s tie.Setup) (tie.Guide, check.Problems) {
	c.Panels = slices.Clone(c.Panels)
	i := slices.IndexFunc(c.Panels, func(p plan.Panel) bool { return p.Key == panel })
	c.Panels[i].Tied = &plan.Tied{Undyed: plan.DefaultUndyed, Setup: s, Marks: marks}
	p, all := plan.Make(c)
	var ps check.Problems
	for _, q := range all {
		if at, ok := strings.CutPrefix(q.Path, "panels."+panel+".tied."); ok {
			q.Path = at
			ps = append(ps, q)
		}
	}
	if all.Failed() {
		return tie.Guide{}, ps
	}
	return p.Panels[i].Tied.Guide, ps
}

func mustPlan(t interface{ Fatalf(string, ...any) }, c plan.Cloth) plan.Plan {
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatalf("plan: %v", ps)
	}
	return p
}

// pegs is a frame with its cross at the top and three pegs to turn at.
func pegs() *frame.Frame {
	return &frame.Frame{
		Pegs: []frame.Peg{
			{ID: "A", X: 0, Y: 0, Diameter: 2}, {ID: "B", X: 20, Y: 0, Diameter: 2}, {ID: "C", X: 40, Y: 0, Diameter: 2},
			{ID: "D", X: 60, Y: 40, Diameter: 2}, {ID: "E", X: 0, Y: 60, Diameter: 2}, {ID: "F", X: 60, Y: 80, Diameter: 2},
		},
		Cross: [2]string{"B", "C"}, Start: []string{"A"}, Turn: []string{"D", "E", "F"},
	}
}

// near fails unless got is within a hundredth of a millimetre of want.
func near(t testing.TB, what string, got measure.CM, want float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= 1e-3) {
		t.Errorf("%s = %.5f cm, want %.5f", what, float64(got), want)
	}
}

func codes(ps check.Problems) (out []string) {
	for _, p := range ps {
		out = append(out, p.Path+" "+p.Code)
	}
	return out
}
