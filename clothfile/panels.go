package clothfile

import (
	"github.com/goccy/go-yaml/ast"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

func (r *reader) panels(n ast.Node, path string, c *plan.Cloth) {
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		if !goodKey(e.key) {
			r.ps.Wrong(at, "key-bad", check.Args{"key": clip(e.key)})
			continue
		}
		p := plan.NewPanel(e.key)
		r.mapping(e.value, at, fields{
			"warp":   r.toText(&p.Warp),
			"count":  r.toCount(&p.Count),
			"width":  to(r, measure.ParseLength, &p.Width),
			"length": to(r, measure.ParseLength, &p.Length),
			"seam":   func(n ast.Node, path string) { r.seam(n, path, &p.Seam) },
			"bands":  func(n ast.Node, path string) { r.bands(n, path, &p.Bands, 0) },
		})
		c.Panels = append(c.Panels, p)
	}
}

func (r *reader) seam(n ast.Node, path string, s *plan.Seam) {
	r.mapping(n, path, fields{
		"left":   to(r, measure.ParseLength, &s.Left),
		"right":  to(r, measure.ParseLength, &s.Right),
		"top":    to(r, measure.ParseLength, &s.Top),
		"bottom": to(r, measure.ParseLength, &s.Bottom),
	})
}

func (r *reader) bands(n ast.Node, path string, dst *[]plan.BandItem, depth int) {
	if depth >= warp.MaxDepth {
		r.ps.Wrong(path, "bands-too-deep", check.Args{"most": warp.MaxDepth})
		return
	}
	r.items(n, path, func(n ast.Node, path string) {
		if it, ok := r.band(n, path, depth); ok {
			*dst = append(*dst, it)
		}
	})
}

// band reads one entry: its first field names the kind and gives the length.
func (r *reader) band(n ast.Node, path string, depth int) (plan.BandItem, bool) {
	var it plan.BandItem
	band := plan.NewBand()
	b := &band
	kinds := 0
	kind := func(k plan.BandKind) func(ast.Node, string) {
		return func(n ast.Node, path string) {
			kinds++
			b.Kind = k
			r.bandLength(n, path, b)
		}
	}
	group := func(read func(ast.Node, string)) func(ast.Node, string) {
		return func(n ast.Node, path string) { kinds++; read(n, path) }
	}
	r.mapping(n, path, fields{
		"woven":     kind(plan.Woven),
		"figure":    kind(plan.Figured),
		"open":      kind(plan.Open),
		"hem":       kind(plan.Hem),
		"fringe":    kind(plan.Fringe),
		"repeat":    group(r.toCount(&it.Repeat)),
		"of":        func(n ast.Node, path string) { r.bands(n, path, &it.Of, depth+1) },
		"mirror":    group(func(n ast.Node, path string) { r.bands(n, path, &it.Mirror, depth+1) }),
		"weft":      r.toText(&b.Weft),
		"picks":     to(r, measure.ParseDensity, &b.Picks),
		"under":     to(r, measure.ParseLength, &b.Under),
		"twist":     to(r, measure.ParseShare, &b.Twist),
		"chart":     r.toText(&b.Place.Figure),
		"count":     r.toCount(&b.Place.Count),
		"spacing":   to(r, measure.ParseLength, &b.Place.Spacing),
		"margin":    to(r, measure.ParseLength, &b.Place.Margin),
		"alternate": r.toYesNo(&b.Place.Mirror),
		"upright":   r.toCount(&b.Place.Upright),
		"turned":    r.toYesNo(&b.Place.Turned),
	})
	switch {
	case kinds != 1:
		r.ps.Wrong(path, "band-kind", check.Args{"kinds": kinds})
		return it, false
	case b.Kind != "":
		it.Band = b
	}
	return it, true
}

// bandLength reads a length, "rest", or, for a figure, "fit": as long as the
// chart.
func (r *reader) bandLength(n ast.Node, path string, b *plan.Band) {
	s, ok := r.text(n, path)
	switch {
	case !ok:
	case s == "rest":
		b.Rest = true
	case s == "fit" && b.Kind == plan.Figured:
	default:
		to(r, measure.ParseLength, &b.Length)(n, path)
		if b.Length == 0 {
			r.ps.Wrong(path, "band-zero", nil)
		}
	}
}
