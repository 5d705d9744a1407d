package clothfile

import (
	"slices"
	"strings"

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
			"tied":   func(n ast.Node, path string) { r.tied(n, path, &p.Tied) },
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

// The fields that go with each kind of band. A field that would change nothing
// is refused: it means that the weaver meant another band.
var (
	wovenFields = []string{"weft", "picks"}
	bandFields  = map[string][]string{
		"woven":  wovenFields,
		"hem":    append([]string{"under"}, wovenFields...),
		"figure": append([]string{"chart", "count", "spacing", "margin", "alternate", "upright", "turned"}, wovenFields...),
		"fringe": {"twist"},
		"repeat": {"of"},
	}
)

// band reads one entry: one of its fields names the kind and gives the length.
func (r *reader) band(n ast.Node, path string, depth int) (plan.BandItem, bool) {
	var it plan.BandItem
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, path, "mapping")
		return it, false
	}
	b := plan.NewBand()
	var kinds []string
	before := len(r.ps)
	kind := func(name string, read func(ast.Node, string)) func(ast.Node, string) {
		return func(n ast.Node, path string) { kinds = append(kinds, name); read(n, path) }
	}
	band := func(k plan.BandKind) func(ast.Node, string) {
		return kind(string(k), func(n ast.Node, path string) {
			b.Kind, it.Band = k, &b
			r.bandLength(n, path, &b)
		})
	}
	all := fields{
		"woven":     band(plan.Woven),
		"figure":    band(plan.Figured),
		"open":      band(plan.Open),
		"hem":       band(plan.Hem),
		"fringe":    band(plan.Fringe),
		"repeat":    kind("repeat", r.toRepeat(&it.Repeat)),
		"of":        func(n ast.Node, path string) { r.bands(n, path, &it.Of, depth+1) },
		"mirror":    kind("mirror", func(n ast.Node, path string) { r.bands(n, path, &it.Mirror, depth+1) }),
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
	}
	r.mapping(n, path, all)
	if len(kinds) != 1 {
		r.ps.Wrong(path, "band-kind", check.Args{"kinds": len(kinds)})
		return it, false
	}
	r.onlyFields(m, path, kinds[0], all)
	if it.Band == nil && len(it.Of)+len(it.Mirror) == 0 && len(r.ps) == before {
		r.ps.Wrong(path, "group-empty", nil)
	}
	return it, true
}

// onlyFields refuses what belongs to bands of another kind.
func (r *reader) onlyFields(n ast.MapNode, path, kind string, all fields) {
	known := append([]string{kind}, bandFields[kind]...)
	for it := n.MapRange(); it.Next(); {
		key := it.Key().GetToken().Value
		if _, ok := all[key]; ok && !slices.Contains(known, key) {
			at := join(path, key)
			r.note(at, it.Key())
			r.ps.Wrong(at, "field-unknown", check.Args{"field": clip(key), "known": strings.Join(known, ", ")})
		}
	}
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
		before := len(r.ps)
		to(r, measure.ParseLength, &b.Length)(n, path)
		if b.Length == 0 && len(r.ps) == before {
			r.ps.Wrong(path, "band-zero", nil)
		}
	}
}
