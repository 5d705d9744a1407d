package clothfile

import (
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

func toPanels(to *[]plan.Panel) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Named(func(n *yamlfile.Node) {
			p := plan.NewPanel(n.Key())
			fields{
				"warp":   yamlfile.ToText(&p.Warp),
				"count":  yamlfile.ToCount(&p.Count),
				"width":  yamlfile.To(measure.ParseLength, &p.Width),
				"length": yamlfile.To(measure.ParseLength, &p.Length),
				"seam": fields{
					"left":   yamlfile.To(measure.ParseLength, &p.Seam.Left),
					"right":  yamlfile.To(measure.ParseLength, &p.Seam.Right),
					"top":    yamlfile.To(measure.ParseLength, &p.Seam.Top),
					"bottom": yamlfile.To(measure.ParseLength, &p.Seam.Bottom),
				}.Read,
				"bands": toBands(&p.Bands, 0),
				"tied":  toTied(&p.Tied),
			}.Read(n)
			*to = append(*to, p)
		})
	}
}

// toBands reads a list of bands and groups; depth is how many groups it is in.
func toBands(to *[]plan.BandItem, depth int) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		if depth >= warp.MaxDepth {
			n.Refuse("bands-too-deep", check.Args{"most": warp.MaxDepth})
			return
		}
		n.List(func(n *yamlfile.Node) {
			if it, ok := band(n, depth); ok {
				*to = append(*to, it)
			}
		})
	}
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
func band(n *yamlfile.Node, depth int) (it plan.BandItem, ok bool) {
	before := n.Found()
	b := plan.NewBand()
	var kinds []string
	kind := func(name string, read func(*yamlfile.Node)) func(*yamlfile.Node) {
		return func(n *yamlfile.Node) { kinds = append(kinds, name); read(n) }
	}
	band := func(k plan.BandKind) func(*yamlfile.Node) {
		return kind(string(k), func(n *yamlfile.Node) {
			b.Kind, it.Band = k, &b
			toBandLength(&b)(n)
		})
	}
	all := fields{
		"woven":     band(plan.Woven),
		"figure":    band(plan.Figured),
		"open":      band(plan.Open),
		"hem":       band(plan.Hem),
		"fringe":    band(plan.Fringe),
		"repeat":    kind("repeat", toRepeat(&it.Repeat)),
		"of":        toBands(&it.Of, depth+1),
		"mirror":    kind("mirror", toBands(&it.Mirror, depth+1)),
		"weft":      yamlfile.ToText(&b.Weft),
		"picks":     yamlfile.To(measure.ParseDensity, &b.Picks),
		"under":     yamlfile.To(measure.ParseLength, &b.Under),
		"twist":     yamlfile.To(measure.ParseShare, &b.Twist),
		"chart":     yamlfile.ToText(&b.Place.Figure),
		"count":     yamlfile.ToCount(&b.Place.Count),
		"spacing":   yamlfile.To(measure.ParseLength, &b.Place.Spacing),
		"margin":    yamlfile.To(measure.ParseLength, &b.Place.Margin),
		"alternate": yamlfile.ToYesNo(&b.Place.Mirror),
		"upright":   yamlfile.ToCount(&b.Place.Upright),
		"turned":    yamlfile.ToYesNo(&b.Place.Turned),
	}
	written := remember(all)
	all.Read(n)
	if !n.IsMapping() {
		return it, false
	}
	if len(kinds) != 1 {
		n.Refuse("band-kind", check.Args{"kinds": len(kinds)})
		return it, false
	}
	refuseOthers(*written, append([]string{kinds[0]}, bandFields[kinds[0]]...))
	if it.Band == nil && len(it.Of)+len(it.Mirror) == 0 && n.Found() == before {
		n.Refuse("group-empty", nil)
	}
	return it, true
}

// remember has the fields that are read put into a list.
func remember(all fields) *[]*yamlfile.Node {
	var written []*yamlfile.Node
	for key, read := range all {
		all[key] = func(n *yamlfile.Node) { written = append(written, n); read(n) }
	}
	return &written
}

// refuseOthers refuses what belongs to bands of another kind.
func refuseOthers(written []*yamlfile.Node, known []string) {
	for _, n := range written {
		if !slices.Contains(known, n.Key()) {
			n.RefuseKey("field-unknown", check.Args{"field": yamlfile.Clip(n.Key()), "known": strings.Join(known, ", ")})
		}
	}
}

// toBandLength reads a length, "rest", or, for a figure, "fit": as long as the
// chart.
func toBandLength(b *plan.Band) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		switch {
		case s == "rest":
			b.Rest = true
		case s == "fit" && b.Kind == plan.Figured:
		default:
			before := n.Found()
			yamlfile.To(measure.ParseLength, &b.Length)(n)
			if b.Length == 0 && n.Found() == before {
				n.Refuse("band-zero", nil)
			}
		}
	})
}
