package clothfile

import (
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
)

func (r *reader) warps(n ast.Node, path string, c *plan.Cloth) {
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		if !goodKey(e.key) {
			r.ps.Wrong(at, "key-bad", check.Args{"key": clip(e.key)})
			continue
		}
		w := plan.NewWarp(e.key)
		var fit string
		r.mapping(e.value, at, fields{
			"sett":     to(r, measure.ParseDensity, &w.Sett),
			"border":   func(n ast.Node, path string) { r.stripes(n, path, &w.Order.Border, 0) },
			"stripes":  func(n ast.Node, path string) { r.stripes(n, path, &w.Order.Items, 0) },
			"fit":      toChoice(r, &fit, "scale", "exact"),
			"balls":    r.toCount(&w.Balls),
			"lay":      toChoice(r, &w.Lay, plan.LayTogether, plan.LayPerPiece, plan.LayPerPanel),
			"waste":    to(r, measure.ParseLength, &w.Waste),
			"between":  to(r, measure.ParseLength, &w.Between),
			"heddle":   to(r, measure.ParseLength, &w.Heddle),
			"check":    r.toCount(&w.Check),
			"measured": func(n ast.Node, path string) { r.measured(n, path, &w) },
		})
		w.Scale = fit == "scale"
		c.Warps = append(c.Warps, w)
	}
}

// measured reads what finished pieces of this warp taught.
func (r *reader) measured(n ast.Node, path string, w *plan.Warp) {
	r.mapping(n, path, fields{
		"take-up": to(r, measure.ParseShare, &w.MeasuredTakeUp),
		"pieces":  r.toCount(&w.MeasuredPieces),
	})
}

// stripes reads a list of stripes and groups.
func (r *reader) stripes(n ast.Node, path string, dst *[]warp.Item, depth int) {
	if depth >= warp.MaxDepth {
		r.ps.Wrong(path, "stripes-too-deep", check.Args{"most": warp.MaxDepth})
		return
	}
	r.items(n, path, func(n ast.Node, path string) {
		if _, group := n.(ast.MapNode); group {
			*dst = append(*dst, r.group(n, path, depth))
			return
		}
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		size, key, ok := cutLast(s)
		if !ok {
			r.ps.Wrong(path, "stripe-unread", check.Args{"text": clip(s)})
			return
		}
		stripe := &warp.Stripe{Yarns: []warp.Lay{{Yarn: key}}}
		r.size(size, path, stripe)
		*dst = append(*dst, warp.Item{Stripe: stripe})
	})
}

// group reads an entry that is not a plain stripe: repeat, mirror or alternate.
func (r *reader) group(n ast.Node, path string, depth int) warp.Item {
	var it warp.Item
	var over, kind string
	stripe := &warp.Stripe{}
	before := len(r.ps)
	one := func(name string, read func(ast.Node, string)) func(ast.Node, string) {
		return func(n ast.Node, path string) {
			if kind != "" && kind != name {
				r.ps.Wrong(path, "group-two-kinds", check.Args{"first": kind, "second": name})
				return
			}
			kind = name
			read(n, path)
		}
	}
	r.mapping(n, path, fields{
		"repeat":    one("repeat", r.toRepeat(&it.Repeat)),
		"of":        one("repeat", func(n ast.Node, path string) { r.stripes(n, path, &it.Of, depth+1) }),
		"mirror":    one("mirror", func(n ast.Node, path string) { r.stripes(n, path, &it.Mirror, depth+1) }),
		"alternate": one("alternate", func(n ast.Node, path string) { r.lays(n, path, stripe) }),
		"over":      one("alternate", r.toText(&over)),
	})
	empty := kind == "" || kind == "repeat" && len(it.Of) == 0 || kind == "mirror" && len(it.Mirror) == 0
	switch {
	case kind == "alternate":
		if over == "" {
			r.ps.Wrong(path, "alternate-over", nil)
		} else {
			r.size(over, path+".over", stripe)
		}
		it = warp.Item{Stripe: stripe}
	case empty && len(r.ps) == before:
		r.ps.Wrong(path, "group-empty", nil)
	}
	return it
}

// lays reads the yarns of an alternation: "1 indigo", "1 white".
func (r *reader) lays(n ast.Node, path string, stripe *warp.Stripe) {
	r.items(n, path, func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		number, key, ok := cutLast(s)
		ends, err := strconv.Atoi(number)
		if !ok || err != nil {
			r.ps.Wrong(path, "lay-unread", check.Args{"text": clip(s)})
			return
		}
		stripe.Yarns = append(stripe.Yarns, warp.Lay{Yarn: key, Ends: ends})
	})
}

// size reads how wide a stripe is: "12" ends, "3 cm", or "2 parts".
func (r *reader) size(s, path string, stripe *warp.Stripe) {
	s = strings.TrimSpace(s)
	if ends, err := strconv.Atoi(s); err == nil {
		stripe.Ends = ends
		if ends == 0 {
			r.ps.Wrong(path, "stripe-zero", nil)
		}
		return
	}
	number, word, _ := strings.Cut(s, " ")
	if word == "part" || word == "parts" {
		v, code := measure.ParseNumber(number)
		if code != "" || v <= 0 {
			r.ps.Wrong(path, "stripe-parts", check.Args{"text": clip(s)})
			return
		}
		stripe.Share = v
		return
	}
	v, err := measure.ParseLength(s)
	if err != nil {
		r.ps.Wrong(path, "stripe-size-unread", check.Args{"text": clip(s)})
		return
	}
	if v == 0 {
		r.ps.Wrong(path, "stripe-zero", nil)
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

// frame reads the warping frame and its pegs.
func (r *reader) frame(n ast.Node, path string, c *plan.Cloth) {
	f := &frame.Frame{}
	var thick measure.CM
	var cross []string
	r.mapping(n, path, fields{
		"peg":   to(r, measure.ParseLength, &thick),
		"pegs":  func(n ast.Node, path string) { r.pegs(n, path, f) },
		"cross": r.toTexts(&cross),
		"start": r.toTexts(&f.Start),
		"turn":  r.toTexts(&f.Turn),
	})
	if _, ok := n.(ast.MapNode); !ok {
		return
	}
	for i := range f.Pegs {
		f.Pegs[i].Diameter = thick
	}
	if len(cross) != 2 {
		r.ps.Wrong(join(path, "cross"), "frame-cross-two", check.Args{"pegs": len(cross)})
		return
	}
	f.Cross = [2]string{cross[0], cross[1]}
	c.Frame = f
}

// pegs reads "A: [0 cm, 12 cm]": across and down from any corner.
func (r *reader) pegs(n ast.Node, path string, f *frame.Frame) {
	for _, e := range r.entries(n, path) {
		var xy []measure.CM
		r.items(e.value, join(path, e.key), func(n ast.Node, path string) {
			var v measure.CM
			to(r, measure.ParseLength, &v)(n, path)
			xy = append(xy, v)
		})
		if len(xy) != 2 {
			r.ps.Wrong(join(path, e.key), "peg-place", check.Args{"peg": clip(e.key)})
			continue
		}
		f.Pegs = append(f.Pegs, frame.Peg{ID: e.key, X: xy[0], Y: xy[1]})
	}
}
