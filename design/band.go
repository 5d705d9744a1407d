package design

import (
	"math"
	"slices"
	"strings"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
)

// SetLength makes a band so long, as seen in the finished piece; 0 lets a
// figure decide. The rest of a panel takes what the others leave and has no
// length of its own: another band must become the rest first.
//
// Codes: design-not-a-band, design-rest-fixed, size-out-of-range.
func SetLength(c plan.Cloth, at At, length measure.CM) (plan.Cloth, check.Problems) {
	alone := len(rests(c, at)) == 1
	return editBand(c, at, func(b *plan.Band, ps *check.Problems) {
		if b.Rest && alone {
			ps.Wrong("", "design-rest-fixed", nil)
		}
		b.Length, b.Rest = length, false
	})
}

// SetKind makes a band another kind. A figured band without a figure gets the
// first figure of the cloth.
//
// Codes: design-not-a-band, design-kind, design-no-figure, fringe-rest.
func SetKind(c plan.Cloth, at At, kind plan.BandKind) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, ps *check.Problems) {
		b.Kind = kind
		switch kind {
		case plan.Woven, plan.Open, plan.Hem:
		case plan.Fringe:
			if b.Rest {
				ps.Wrong("", "fringe-rest", nil)
			}
		case plan.Figured:
			if b.Place.Figure == "" && len(c.Figures) == 0 {
				ps.Wrong("", "design-no-figure", nil)
			} else if b.Place.Figure == "" {
				b.Place.Figure = c.Figures[0].Key
			}
		default:
			ps.Wrong("", "design-kind", check.Args{"kind": string(kind)})
		}
	})
}

// SetWeft gives a band its weft; "" is the weft of the cloth.
//
// Codes: design-not-a-band, yarn-unknown.
func SetWeft(c plan.Cloth, at At, yarn string) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, _ *check.Problems) { b.Weft = yarn })
}

// SetPicks sets the picks of a band on the loom; 0 is those of the cloth.
//
// Codes: design-not-a-band, out-of-range.
func SetPicks(c plan.Cloth, at At, picks measure.PerCM) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, _ *check.Problems) { b.Picks = picks })
}

// SetPlace sets how a figure stands in a band.
//
// Codes: design-not-a-band, figure-unknown, out-of-range, size-out-of-range.
func SetPlace(c plan.Cloth, at At, p plan.Placement) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, _ *check.Problems) { b.Place = p })
}

// SetUnder is how much of a hem is turned in once more, out of sight; SetTwist
// how much of its length a fringe loses when it is twisted.
//
// Codes: design-not-a-band, size-out-of-range, out-of-range.
func SetUnder(c plan.Cloth, at At, under measure.CM) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, _ *check.Problems) { b.Under = under })
}

// SetTwist is described with SetUnder.
func SetTwist(c plan.Cloth, at At, twist measure.Ratio) (plan.Cloth, check.Problems) {
	return editBand(c, at, func(b *plan.Band, _ *check.Problems) { b.Twist = twist })
}

// SetRest makes a band the one that takes what the others leave of the length
// of the panel. What was the rest until now keeps the length it has, to a
// millimetre.
//
// Codes: design-not-a-band, fringe-rest, rest-without-length,
// design-rest-unknown.
func SetRest(c plan.Cloth, at At) (plan.Cloth, check.Problems) {
	var ps check.Problems
	out := c
	for _, old := range rests(c, at) {
		if old.same(at) {
			continue
		}
		seen, ok := seenAt(c, old)
		if !ok {
			ps.Wrong(PathOf(c, old), "design-rest-unknown", nil)
			return c, ps
		}
		var more check.Problems
		out, more = editBand(out, old, func(b *plan.Band, _ *check.Problems) { b.Length, b.Rest = seen, false })
		ps = append(ps, more...)
	}
	out, more := editBand(out, at, func(b *plan.Band, ps *check.Problems) {
		if b.Kind == plan.Fringe {
			ps.Wrong("", "fringe-rest", nil)
		}
		if c.Panels[panelOf(c, at.Key)].Length == 0 {
			ps.Wrong("", "rest-without-length", nil)
		}
		b.Length, b.Rest = 0, true
	})
	if ps = append(ps, more...); ps.Failed() {
		return c, ps
	}
	return out, ps
}

// rests lists the bands of a panel that take what the others leave, each once;
// none if the panel has no length to fill.
func rests(c plan.Cloth, at At) (out []At) {
	i := panelOf(c, at.Key)
	if at.In != Bands || i < 0 || c.Panels[i].Length == 0 {
		return nil
	}
	root, _ := load(c, at)
	for _, b := range Written(c, Bands, at.Key) {
		if list, _, k := find(&root, b.Path); (*list)[k].band.Rest && indexOf(out, b) < 0 {
			out = append(out, b)
		}
	}
	return out
}

// seenAt is how long a band is in the plan, to a millimetre.
func seenAt(c plan.Cloth, at At) (measure.CM, bool) {
	p, ps := plan.Make(c)
	if ps.Failed() {
		return 0, false
	}
	bands := slices.DeleteFunc(p.Panels[panelOf(c, at.Key)].Bands, func(b plan.BandPlan) bool { return b.Kind == plan.SeamBand })
	i := indexOf(Written(c, Bands, at.Key), at)
	return measure.CM(math.Round(float64(bands[i].Seen)*10) / 10), true
}

// editBand edits a band; what was not wrong with it before must not be after.
func editBand(c plan.Cloth, at At, do func(b *plan.Band, ps *check.Problems)) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		b := p.node().band
		if b == nil {
			ps.Wrong("", "design-not-a-band", nil)
			return
		}
		before := bandProblems(c, *b)
		do(b, ps)
		*ps = append(*ps, fresh(before, bandProblems(c, *b))...)
	})
}

// bandProblems finds what is wrong with one band of a cloth, by itself. The
// bounds are those of package plan, which is asked.
func bandProblems(c plan.Cloth, b plan.Band) (ps check.Problems) {
	for _, v := range []measure.CM{b.Length, b.Under, b.Place.Spacing, b.Place.Margin} {
		if math.IsNaN(float64(v)) {
			ps.Wrong("", "size-out-of-range", check.Args{"value": v, "low": measure.CM(0), "high": mostWidth})
		}
	}
	if math.IsNaN(float64(b.Picks)) || math.IsNaN(float64(b.Twist)) {
		ps.Wrong("picks", "out-of-range", check.Args{"value": float64(b.Picks), "low": 0.0, "high": 100.0})
	}
	c.Panels = []plan.Panel{{Key: "p", Bands: []plan.BandItem{{Band: &b}}}}
	for _, p := range plan.Check(c) {
		if path, ok := strings.CutPrefix(p.Path, "panels.p.bands[0]"); ok && p.Severity == check.Error {
			p.Path = strings.TrimPrefix(path, ".")
			ps = append(ps, p)
		}
	}
	if b.Kind == plan.Figured && !slices.ContainsFunc(c.Figures, func(f plan.Figure) bool { return f.Key == b.Place.Figure }) {
		var keys []string
		for _, f := range c.Figures {
			keys = append(keys, f.Key)
		}
		ps.Wrong("chart", "figure-unknown", check.Args{"figure": b.Place.Figure, "known": strings.Join(keys, ", ")})
	}
	return ps
}
