package screen

import (
	"slices"

	"urdir/check"
	"urdir/clothfile"
	"urdir/figure"
	"urdir/plan"
)

// figures are those of the cloth, and those of the library that are not in it.
func (d *Desk) figures() (own, library []Word) {
	own, library = []Word{}, []Word{}
	for _, f := range d.steps.Now().Figures {
		own = append(own, Word{f.Key, d.figureName(f.Key)})
	}
	for _, k := range d.bench.Figures {
		if !slices.ContainsFunc(d.steps.Now().Figures, func(f plan.Figure) bool { return f.Key == k.Key }) {
			word := k.Name
			if k.Sale != string(plan.SaleYes) {
				word += " (" + d.words.T("desk-sale-"+k.Sale, nil) + ")"
			}
			library = append(library, Word{k.Key, word})
		}
	}
	return own, library
}

// figureName is what the library calls a figure.
func (d *Desk) figureName(key string) string {
	for _, k := range d.bench.Figures {
		if k.Key == key {
			return k.Name
		}
	}
	return key
}

// Figure is the text of a figure of the cloth; empty if there is none.
func (d *Desk) Figure(key string) string {
	for _, f := range d.steps.Now().Figures {
		if f.Key == key {
			return clothfile.WriteFigure(f)
		}
	}
	return ""
}

// drawFigure gives a figure of the cloth another chart, or adds one that is new: the
// text says all of it, the key is in Kind.
func drawFigure(d *Desk, q Request) (plan.Cloth, check.Problems) {
	return d.putFigure(q.Kind, q.Text)
}

// knownFigure takes a figure of the library into the cloth.
func knownFigure(d *Desk, q Request) (plan.Cloth, check.Problems) {
	for _, k := range d.bench.Figures {
		if k.Key == q.Kind {
			return d.putFigure(k.Key, k.Text)
		}
	}
	var ps check.Problems
	ps.Wrong("", "figure-unknown", check.Args{"figure": q.Kind, "known": ""})
	return d.steps.Now(), ps
}

// putFigure reads a figure into the cloth. Colours that name no yarn of the
// cloth become its yarns in turn, so that a figure of the library can be laid
// beside any stripes and be recoloured afterwards.
func (d *Desk) putFigure(key, text string) (plan.Cloth, check.Problems) {
	c := d.steps.Now()
	read, ps := clothfile.ReadFigure(key, text)
	if ps.Failed() || len(read.Figures) != 1 {
		return c, ps
	}
	f := read.Figures[0]
	f.Chart, ps = inYarns(f.Chart, keys(c.Yarns))
	if ps.Failed() {
		return c, ps
	}
	c.Figures = slices.Clone(c.Figures)
	if i := slices.IndexFunc(c.Figures, func(o plan.Figure) bool { return o.Key == key }); i >= 0 {
		f.Origin, f.Meaning, f.Owner, f.Sale, f.Ask = c.Figures[i].Origin, c.Figures[i].Meaning, c.Figures[i].Owner, c.Figures[i].Sale, c.Figures[i].Ask
		c.Figures[i] = f
		return c, nil
	}
	c.Figures = append(c.Figures, f)
	return c, nil
}

// inYarns is a chart whose colours all name one of some yarns.
func inYarns(c figure.Chart, yarns []string) (figure.Chart, check.Problems) {
	all := slices.Clone(c.Symbols())
	for i, s := range all {
		if len(yarns) > 0 && !slices.Contains(yarns, s.Yarn) {
			all[i].Yarn = yarns[i%len(yarns)]
		}
	}
	out, ps := figure.Parse(c.String(), all)
	out.Kind, out.Way, out.Cell, out.Limit = c.Kind, c.Way, c.Cell, c.Limit
	return out, ps
}

// dropFigure takes a figure that stands in no band out of the cloth.
func dropFigure(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	c := d.steps.Now()
	for _, p := range c.Panels {
		if usesFigure(p.Bands, q.Kind) {
			ps.Wrong("", "desk-figure-used", check.Args{"figure": d.figureName(q.Kind)})
			return c, ps
		}
	}
	c.Figures = slices.DeleteFunc(slices.Clone(c.Figures), func(f plan.Figure) bool { return f.Key == q.Kind })
	return c, nil
}

func usesFigure(items []plan.BandItem, key string) bool {
	return slices.ContainsFunc(items, func(it plan.BandItem) bool {
		return it.Band != nil && it.Band.Kind == plan.Figured && it.Band.Place.Figure == key || usesFigure(it.Of, key) || usesFigure(it.Mirror, key)
	})
}
