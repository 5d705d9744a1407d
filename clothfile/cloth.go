package clothfile

import (
	"errors"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/yarn"
)

// cloth reads the whole file.
func (r *reader) cloth(n ast.Node, c *plan.Cloth) {
	version := 0
	r.mapping(n, "", fields{
		"urdir": func(n ast.Node, path string) {
			version = Version // one problem is enough if it cannot be read
			r.toCount(&version)(n, path)
		},
		"name":      r.toText(&c.Name),
		"note":      r.toText(&c.Note),
		"order":     func(n ast.Node, path string) { r.order(n, path, c) },
		"class":     func(n ast.Node, path string) { r.class(n, path, c) },
		"weft":      r.toText(&c.Weft),
		"picks":     to(r, measure.ParseDensity, &c.Picks),
		"shrinkage": func(n ast.Node, path string) { r.shrinkage(n, path, &c.Shrink) },
		"flatness":  to(r, measure.ParseShare, &c.Flatness),
		"spare":     to(r, measure.ParseShare, &c.Spare),
		"crimp":     to(r, measure.ParseShare, &c.Crimp),
		"yarns":     func(n ast.Node, path string) { r.yarns(n, path, c) },
		"figures":   func(n ast.Node, path string) { r.figures(n, path, c) },
		"warps":     func(n ast.Node, path string) { r.warps(n, path, c) },
		"panels":    func(n ast.Node, path string) { r.panels(n, path, c) },
		"join":      toChoice(r, &c.Join, plan.JoinSide, plan.JoinEnd, plan.JoinApart),
		"frame":     func(n ast.Node, path string) { r.frame(n, path, c) },
		"kit":       func(n ast.Node, path string) { r.kit(n, path, c) },
	})
	if !r.src.Has("order.pieces") {
		c.Pieces = piecesUnsaid(c.Learners)
	}
	if version != Version {
		r.ps.Wrong("urdir", "file-version", check.Args{"version": version, "want": Version})
	}
}

// piecesUnsaid is how many pieces are meant where the order does not say: in a
// class, one for each learner.
func piecesUnsaid(learners int) int {
	if learners > 0 {
		return learners
	}
	return plan.NewCloth().Pieces
}

func (r *reader) order(n ast.Node, path string, c *plan.Cloth) {
	r.mapping(n, path, fields{
		"customer": r.toText(&c.Customer),
		"pieces":   r.toCount(&c.Pieces),
		"due":      r.toText(&c.Due),
	})
}

func (r *reader) class(n ast.Node, path string, c *plan.Cloth) {
	r.mapping(n, path, fields{"learners": r.toCount(&c.Learners)})
}

func (r *reader) shrinkage(n ast.Node, path string, s *plan.Shrinkage) {
	r.mapping(n, path, fields{
		"length": to(r, measure.ParseShare, &s.Length),
		"width":  to(r, measure.ParseShare, &s.Width),
	})
}

func (r *reader) kit(n ast.Node, path string, c *plan.Cloth) {
	r.items(n, path, func(n ast.Node, path string) {
		var k plan.KitItem
		r.mapping(n, path, fields{
			"item": r.toText(&k.Name), "each": r.toCount(&k.Each), "all": r.toCount(&k.All),
		})
		c.Kit = append(c.Kit, k)
	})
}

func (r *reader) yarns(n ast.Node, path string, c *plan.Cloth) {
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		if !goodKey(e.key) {
			r.ps.Wrong(at, "key-bad", check.Args{"key": clip(e.key)})
			continue
		}
		y := plan.NewYarn(e.key)
		r.mapping(e.value, at, fields{
			"label":   r.toText(&y.Label),
			"letter":  r.toText(&y.Letter),
			"colour":  r.toText(&y.Colour),
			"fibre":   r.toText(&y.Fibre),
			"count":   func(n ast.Node, path string) { r.count(n, path, &y.Spec.Count) },
			"skein":   func(n ast.Node, path string) { r.skein(n, path, &y.Spec) },
			"strands": r.toCount(&y.Spec.Strands),
			"volume":  to(r, measure.ParseSpecificVolume, &y.Spec.Volume),
			"wraps":   to(r, measure.ParseDensity, &y.Spec.Wraps),
			"twist":   to(r, measure.ParseShare, &y.Spec.Contraction),
			"hank":    to(r, measure.ParseMass, &y.Skein),
		})
		c.Yarns = append(c.Yarns, y)
	}
}

func (r *reader) count(n ast.Node, path string, dst *yarn.Count) {
	s, ok := r.text(n, path)
	if !ok {
		return
	}
	v, err := yarn.ParseCount(s)
	if ce, ok := errors.AsType[*yarn.CountError](err); ok {
		r.ps.Wrong(path, ce.Code, ce.Args())
		return
	}
	*dst = v
}

// skein reads a measured skein: so many metres weigh so many grams.
func (r *reader) skein(n ast.Node, path string, s *yarn.Spec) {
	var length measure.CM
	r.mapping(n, path, fields{
		"length": to(r, measure.ParseLength, &length),
		"mass":   to(r, measure.ParseMass, &s.SkeinMass),
	})
	s.SkeinLength = length.M()
}

// goodKey says whether a name can stand for a yarn, warp, panel or figure in
// stripes and bands: letters, digits and hyphens, beginning with a letter.
func goodKey(s string) bool {
	for i, c := range s {
		if !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c) && c != '-') {
			return false
		}
	}
	return s != "" && len(s) <= 40 && !strings.HasSuffix(s, "-")
}
