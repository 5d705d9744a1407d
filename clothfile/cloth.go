package clothfile

import (
	"errors"

	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/plan"
	"urdir/yarn"
)

// toCloth reads the whole file.
func toCloth(c *plan.Cloth) func(*yamlfile.Node) {
	return fields{
		"urdir": fileKind.CheckVersion,
		"name":  yamlfile.ToText(&c.Name),
		"note":  yamlfile.ToText(&c.Note),
		"order": fields{
			"customer": yamlfile.ToText(&c.Customer),
			"pieces":   yamlfile.ToCount(&c.Pieces),
			"due":      yamlfile.ToText(&c.Due),
		}.Read,
		"class": fields{"learners": yamlfile.ToCount(&c.Learners)}.Read,
		"weft":  yamlfile.ToText(&c.Weft),
		"picks": yamlfile.To(measure.ParseDensity, &c.Picks),
		"shrinkage": fields{
			"length": yamlfile.To(measure.ParseShare, &c.Shrink.Length),
			"width":  yamlfile.To(measure.ParseShare, &c.Shrink.Width),
		}.Read,
		"flatness": yamlfile.To(measure.ParseShare, &c.Flatness),
		"spare":    yamlfile.To(measure.ParseShare, &c.Spare),
		"crimp":    yamlfile.To(measure.ParseShare, &c.Crimp),
		"yarns":    toYarns(&c.Yarns),
		"figures":  toFigures(&c.Figures),
		"warps":    toWarps(&c.Warps),
		"panels":   toPanels(&c.Panels),
		"join":     yamlfile.ToChoice(&c.Join, plan.JoinSide, plan.JoinEnd, plan.JoinApart),
		"frame":    toFrame(&c.Frame),
		"kit":      yamlfile.ToList(&c.Kit, toKitItem),
	}.Read
}

func toKitItem(k *plan.KitItem) func(*yamlfile.Node) {
	return fields{
		"item": yamlfile.ToText(&k.Name), "each": yamlfile.ToCount(&k.Each), "all": yamlfile.ToCount(&k.All),
	}.Read
}

func toYarns(to *[]plan.Yarn) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Named(func(n *yamlfile.Node) {
			y := plan.NewYarn(n.Key())
			fields{
				"label":    yamlfile.ToText(&y.Label),
				"letter":   yamlfile.ToText(&y.Letter),
				"colour":   yamlfile.ToText(&y.Colour),
				"fibre":    yamlfile.ToText(&y.Fibre),
				"count":    toCount(&y.Spec.Count),
				"skein":    toSkein(&y.Spec),
				"strands":  yamlfile.ToCount(&y.Spec.Strands),
				"volume":   yamlfile.To(measure.ParseSpecificVolume, &y.Spec.Volume),
				"wraps":    yamlfile.To(measure.ParseDensity, &y.Spec.Wraps),
				"twist":    yamlfile.To(measure.ParseShare, &y.Spec.Contraction),
				"hank":     yamlfile.To(measure.ParseMass, &y.Skein),
				"dye":      yamlfile.ToText(&y.Dye),
				"dyestuff": yamlfile.To(measure.ParseShare, &y.Share),
			}.Read(n)
			*to = append(*to, y)
		})
	}
}

// toCount reads a count of yarn, such as "Ne 8/2".
func toCount(to *yarn.Count) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		v, err := yarn.ParseCount(s)
		if ce, ok := errors.AsType[*yarn.CountError](err); ok {
			n.Refuse(ce.Code, ce.Args())
			return
		}
		*to = v
	})
}

// toSkein reads a measured skein: so many metres weigh so many grams.
func toSkein(s *yarn.Spec) func(*yamlfile.Node) {
	return fields{
		"length": yamlfile.To(parseMetres, &s.SkeinLength),
		"mass":   yamlfile.To(measure.ParseMass, &s.SkeinMass),
	}.Read
}

func parseMetres(s string) (measure.M, error) { l, err := measure.ParseLength(s); return l.M(), err }
