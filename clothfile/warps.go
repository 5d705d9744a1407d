package clothfile

import (
	"strconv"
	"strings"

	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

func toWarps(to *[]plan.Warp) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Named(func(n *yamlfile.Node) {
			w := plan.NewWarp(n.Key())
			var fit string
			fields{
				"sett":    yamlfile.To(measure.ParseDensity, &w.Sett),
				"border":  toStripes(&w.Order.Border, 0),
				"stripes": toStripes(&w.Order.Items, 0),
				"fit":     yamlfile.ToChoice(&fit, "scale", "exact"),
				"balls":   yamlfile.ToCount(&w.Balls),
				"lay":     yamlfile.ToChoice(&w.Lay, plan.LayTogether, plan.LayPerPiece, plan.LayPerPanel),
				"waste":   yamlfile.To(measure.ParseLength, &w.Waste),
				"between": yamlfile.To(measure.ParseLength, &w.Between),
				"heddle":  yamlfile.To(measure.ParseLength, &w.Heddle),
				"check":   yamlfile.ToCount(&w.Check),
				"measured": fields{ // what finished pieces of this warp taught
					"take-up": yamlfile.To(measure.ParseShare, &w.MeasuredTakeUp),
					"pieces":  yamlfile.ToCount(&w.MeasuredPieces),
				}.Read,
			}.Read(n)
			w.Scale = fit == "scale"
			*to = append(*to, w)
		})
	}
}

// toRepeat reads how often a group comes. More than could ever be written out
// is refused here, so that nobody multiplies it.
func toRepeat(to *int) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		yamlfile.ToCount(to)(n)
		if *to > warp.MaxStripes {
			n.Refuse("out-of-range", check.Args{"value": *to, "low": 1, "high": warp.MaxStripes})
			*to = warp.MaxStripes
		}
	}
}

// toStripes reads a list of stripes and groups; depth is how many groups it is
// in.
func toStripes(to *[]warp.Item, depth int) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		if depth >= warp.MaxDepth {
			n.Refuse("stripes-too-deep", check.Args{"most": warp.MaxDepth})
			return
		}
		n.List(func(n *yamlfile.Node) {
			if n.IsMapping() {
				*to = append(*to, group(n, depth))
				return
			}
			toStripe(to)(n)
		})
	}
}

// toStripe reads a plain stripe: "12 indigo".
func toStripe(to *[]warp.Item) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		width, key, ok := cutLast(s)
		if !ok {
			n.Refuse("stripe-unread", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		stripe := &warp.Stripe{Yarns: []warp.Lay{{Yarn: key}}}
		size(n, width, stripe)
		*to = append(*to, warp.Item{Stripe: stripe})
	})
}

// group reads an entry that is not a plain stripe: repeat, mirror or alternate.
func group(n *yamlfile.Node, depth int) warp.Item {
	before := n.Found()
	var it warp.Item
	var over, kind string
	stripe := &warp.Stripe{}
	one := func(name string, read func(*yamlfile.Node)) func(*yamlfile.Node) {
		return func(n *yamlfile.Node) {
			if kind != "" && kind != name {
				n.Refuse("group-two-kinds", check.Args{"first": kind, "second": name})
				return
			}
			kind = name
			read(n)
		}
	}
	fields{
		"repeat":    one("repeat", toRepeat(&it.Repeat)),
		"of":        one("repeat", toStripes(&it.Of, depth+1)),
		"mirror":    one("mirror", toStripes(&it.Mirror, depth+1)),
		"alternate": one("alternate", func(n *yamlfile.Node) { n.List(toLay(&stripe.Yarns)) }),
		"over":      one("alternate", yamlfile.ToText(&over)),
	}.Read(n)
	empty := kind == "" || kind == "repeat" && len(it.Of) == 0 || kind == "mirror" && len(it.Mirror) == 0
	switch {
	case kind == "alternate":
		if over == "" {
			n.Refuse("alternate-over", nil)
		} else {
			size(n.Part("over"), over, stripe)
		}
		it = warp.Item{Stripe: stripe}
	case empty && n.Found() == before:
		n.Refuse("group-empty", nil)
	}
	return it
}

// toLay reads a yarn of an alternation: "1 indigo".
func toLay(to *[]warp.Lay) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		number, key, ok := cutLast(s)
		ends, err := strconv.Atoi(number)
		if !ok || err != nil {
			n.Refuse("lay-unread", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		*to = append(*to, warp.Lay{Yarn: key, Ends: ends})
	})
}

// size reads how wide a stripe is: "12" ends, "3 cm", or "2 parts".
func size(n *yamlfile.Node, s string, stripe *warp.Stripe) {
	s = strings.TrimSpace(s)
	if ends, err := strconv.Atoi(s); err == nil {
		stripe.Ends = ends
		if ends == 0 {
			n.Refuse("stripe-zero", nil)
		}
		return
	}
	number, word, _ := strings.Cut(s, " ")
	if word == "part" || word == "parts" {
		v, code := measure.ParseNumber(number)
		if code != "" || v <= 0 {
			n.Refuse("stripe-parts", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		stripe.Share = v
		return
	}
	v, err := measure.ParseLength(s)
	if err != nil {
		n.Refuse("stripe-size-unread", check.Args{"text": yamlfile.Clip(s)})
		return
	}
	if v == 0 {
		n.Refuse("stripe-zero", nil)
	}
	stripe.Width = v
}

// cutLast cuts "3 cm white" into "3 cm" and "white".
func cutLast(s string) (before, last string, ok bool) {
	words := strings.Fields(s)
	if len(words) < 2 {
		return "", "", false
	}
	return strings.Join(words[:len(words)-1], " "), words[len(words)-1], true
}
