package screen

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/measure"
	"urdir/plan"
)

func samePath(a, b []int) bool { return slices.Equal(a, b) }

// typed reads a quantity; a number alone has the unit given. An empty text is 0.
func typed[T ~float64](text, unit string, parse func(string) (T, error), ps *check.Problems) T {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0
	}
	if _, code := measure.ParseNumber(text); code == "" {
		text += " " + unit
	}
	v, err := parse(text)
	if bad, ok := errors.AsType[*measure.ParseError](err); ok {
		ps.Wrong("", bad.Code, check.Args{"text": bad.Text, "unit": bad.Unit, "want": bad.Want})
	}
	return v
}

func whole(text string, ps *check.Problems) int {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > 100000 {
		ps.Wrong("", "number-not-whole", check.Args{"text": text})
	}
	return n
}

// setting changes one field: it gets what was typed and tells what is wrong
// with it.
type setting func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems)

// settings is every field by its key; the words are "desk-set-" and it.
var settings = map[string]setting{
	"ratio": setRatio,
	"kind": func(d *Desk, q Request, _ *check.Problems) (plan.Cloth, check.Problems) {
		return design.SetKind(d.steps.Now(), q.At, plan.BandKind(q.Text))
	},
	"length": func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		return design.SetLength(d.steps.Now(), q.At, typed(q.Text, "cm", measure.ParseLength, ps))
	},
	"rest": setRest,
	"twist": func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		return design.SetTwist(d.steps.Now(), q.At, typed(q.Text, "%", measure.ParseShare, ps))
	},
	"under": func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		return design.SetUnder(d.steps.Now(), q.At, typed(q.Text, "cm", measure.ParseLength, ps))
	},
	"weft": func(d *Desk, q Request, _ *check.Problems) (plan.Cloth, check.Problems) {
		c, key, ps := d.with(d.steps.Now(), q.Text)
		if ps.Failed() {
			return c, ps
		}
		return design.SetWeft(c, q.At, key)
	},
	"picks": func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		return design.SetPicks(d.steps.Now(), q.At, typed(q.Text, "/cm", measure.ParseDensity, ps))
	},
	"figure": placed(func(p *plan.Placement, text string, _ *check.Problems) { p.Figure = text }),
	"count":  placed(func(p *plan.Placement, text string, ps *check.Problems) { p.Count = whole(text, ps) }),
	"spacing": placed(func(p *plan.Placement, text string, ps *check.Problems) {
		p.Spacing = typed(text, "cm", measure.ParseLength, ps)
	}),
	"margin": placed(func(p *plan.Placement, text string, ps *check.Problems) {
		p.Margin = typed(text, "cm", measure.ParseLength, ps)
	}),
	"upright":  placed(func(p *plan.Placement, text string, ps *check.Problems) { p.Upright = max(1, whole(text, ps)) }),
	"mirrored": placed(func(p *plan.Placement, text string, _ *check.Problems) { p.Mirror = text == "yes" }),
	"turned":   placed(func(p *plan.Placement, text string, _ *check.Problems) { p.Turned = text == "yes" }),

	"name":   cloths(func(c *plan.Cloth, q Request, _ *check.Problems) { c.Name = strings.TrimSpace(q.Text) }),
	"pieces": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) { c.Pieces = whole(q.Text, ps) }),
	"width":  cloths(setWidth),
	"long": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) {
		for i := range c.Panels {
			if c.Panels[i].Key == q.Kind {
				c.Panels[i].Length = typed(q.Text, "cm", measure.ParseLength, ps)
			}
		}
	}),
	"sett": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) {
		for i := range c.Warps {
			if c.Warps[i].Key == q.Kind {
				c.Warps[i].Sett = typed(q.Text, "/cm", measure.ParseDensity, ps)
			}
		}
	}),
	"all-picks": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) {
		c.Picks = typed(q.Text, "/cm", measure.ParseDensity, ps)
	}),
	"all-weft": setWeft,
	"shrink-width": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) {
		c.Shrink.Width = typed(q.Text, "%", measure.ParseShare, ps)
	}),
	"shrink-length": cloths(func(c *plan.Cloth, q Request, ps *check.Problems) {
		c.Shrink.Length = typed(q.Text, "%", measure.ParseShare, ps)
	}),
}

// placed changes how the figure of a band stands.
func placed(do func(p *plan.Placement, text string, ps *check.Problems)) setting {
	return func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		p := plan.Placement{Upright: 1}
		if b := bandAt(d.steps.Now(), q.At); b != nil {
			p = b.Place
		}
		do(&p, q.Text, ps)
		return design.SetPlace(d.steps.Now(), q.At, p)
	}
}

// cloths changes the cloth as a whole; its lists are its own to change. What is
// wrong with the sizes is said by the plan.
func cloths(do func(c *plan.Cloth, q Request, ps *check.Problems)) setting {
	return func(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
		c := d.steps.Now()
		c.Panels, c.Warps = slices.Clone(c.Panels), slices.Clone(c.Warps)
		do(&c, q, ps)
		return c, nil
	}
}

// setWidth is for all panels on the warp of a panel.
func setWidth(c *plan.Cloth, q Request, ps *check.Problems) {
	width := typed(q.Text, "cm", measure.ParseLength, ps)
	i := slices.IndexFunc(c.Panels, func(p plan.Panel) bool { return p.Key == q.Kind })
	for k := range c.Panels {
		if i >= 0 && c.Panels[k].Warp == c.Panels[i].Warp {
			c.Panels[k].Width = width
		}
	}
}

func setWeft(d *Desk, q Request, _ *check.Problems) (plan.Cloth, check.Problems) {
	c, key, ps := d.with(d.steps.Now(), q.Text)
	if !ps.Failed() {
		c.Weft = key
	}
	return c, ps
}

// setRest makes a band the rest; a rest is given away by making another the rest.
func setRest(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
	if q.Text != "yes" {
		ps.Wrong("", "design-rest-fixed", nil)
		return d.steps.Now(), nil
	}
	return design.SetRest(d.steps.Now(), q.At)
}

// setRatio reads "2:1", the ends of an alternation.
func setRatio(d *Desk, q Request, ps *check.Problems) (plan.Cloth, check.Problems) {
	own, other, ok := strings.Cut(q.Text, ":")
	s := stripeAt(d.steps.Now(), q.At)
	if !ok || s == nil || len(s.Yarns) < 2 {
		ps.Wrong("", "desk-ratio", check.Args{"text": q.Text})
		return d.steps.Now(), nil
	}
	return design.Alternate(d.steps.Now(), q.At, s.Yarns[1].Yarn, whole(own, ps), whole(other, ps))
}

// put changes the field whose key follows "set-" in what is asked.
func (d *Desk) put(key string, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	do, ok := settings[key]
	if !ok {
		ps.Wrong("", "unexpected", check.Args{"reason": "set-" + key})
		return d.steps.Now(), ps
	}
	c, more := do(d, q, &ps)
	return c, append(ps, more...)
}
