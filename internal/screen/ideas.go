package screen

import (
	"encoding/json"
	"image"
	"image/color"
	"slices"

	"urdir/check"
	"urdir/design"
	"urdir/figure/photo"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// Wish is what is asked of Propose.
type Wish struct {
	Warp     string    `json:"warp"`
	Lots     []string  `json:"lots"` // yarns of the cloth and lots of the shelf
	Series   string    `json:"series"`
	Mirrored bool      `json:"mirrored"`
	Throw    uint64    `json:"throw"`
	Colours  []string  `json:"colours"` // of a picture; Lots may then be empty
	Shares   []float64 `json:"shares"`
}

// Idea is a proposed stripe order as a page shows it.
type Idea struct {
	Stripes []Chip `json:"stripes"` // of one side and the axis, then back again if it is mirrored
	Word    string `json:"word"`
	Left    string `json:"left"` // what would be left of each lot
}

// idea is a proposal and the cloth that has its yarns.
type idea struct {
	cloth plan.Cloth
	warp  string
	items []warp.Item
}

// Propose lays out stripe orders from yarns that are wished for, as JSON:
// {"ideas": [...], "refused": [...]}. "use" and the number of one lays it.
func (d *Desk) Propose(text string) string {
	var w Wish
	var ps check.Problems
	if err := json.Unmarshal([]byte(text), &w); err != nil {
		ps.Wrong("", "unexpected", check.Args{"reason": err.Error()})
	}
	out := []Idea{}
	d.ideas = nil
	if !ps.Failed() {
		var all []design.Proposal
		var c plan.Cloth
		if all, c, ps = d.propose(w); !ps.Failed() {
			for _, p := range all {
				d.ideas = append(d.ideas, idea{c, w.Warp, p.Items})
				out = append(out, d.ideaOf(c, p))
			}
		}
	}
	return written(map[string]any{"ideas": out, "refused": d.say(ps)})
}

func (d *Desk) propose(w Wish) ([]design.Proposal, plan.Cloth, check.Problems) {
	c := d.steps.Now()
	var ps check.Problems
	i := slices.IndexFunc(d.made.Warps, func(x plan.WarpPlan) bool { return x.Key == w.Warp })
	k := slices.IndexFunc(c.Warps, func(x plan.Warp) bool { return x.Key == w.Warp })
	p := slices.IndexFunc(c.Panels, func(x plan.Panel) bool { return x.Warp == w.Warp })
	if i < 0 || k < 0 || p < 0 {
		ps.Wrong("", "desk-not-planned", nil)
		return nil, c, ps
	}
	weights := map[string]float64{}
	if len(w.Colours) > 0 {
		w.Series = string(design.Weights)
		if w.Lots = d.nearest(w, weights); len(w.Lots) == 0 {
			ps.Wrong("", "design-shelf-none", nil)
			return nil, c, ps
		}
	}
	wish := design.Wish{
		Width: c.Panels[p].Width, Shrink: c.Shrink.Width, Sett: c.Warps[k].Sett, Series: design.Series(w.Series), Mirrored: w.Mirrored, Throw: w.Throw,
		Length: d.made.Warps[i].LayLength() * measure.CM(d.made.Warps[i].Layings),
	}
	for _, name := range w.Lots {
		with, key, more := d.with(c, name)
		ps = append(ps, more...)
		if more.Failed() {
			continue
		}
		c = with
		y := c.Yarns[slices.IndexFunc(c.Yarns, func(y plan.Yarn) bool { return y.Key == key })]
		thread, more := y.Spec.Thread()
		ps = append(ps, more...)
		lot := design.Lot{Yarn: key, Tex: thread.Tex, Weight: weights[name]}
		for _, l := range d.bench.Lots {
			if l.is(y) {
				lot.Have += measure.Gram(l.Grams)
			}
		}
		wish.Lots = append(wish.Lots, lot)
	}
	if ps.Failed() {
		return nil, c, ps
	}
	all, ps := design.Propose(wish)
	return all, c, ps
}

// nearest is the yarn on the shelf that looks nearest to each colour of a
// picture, with the shares added up: of the lots chosen, or of all.
func (d *Desk) nearest(w Wish, weights map[string]float64) (lots []string) {
	var from []Chip
	for _, y := range d.steps.Now().Yarns {
		if slices.ContainsFunc(d.bench.Lots, func(l Lot) bool { return l.is(y) && l.Grams > 0 }) {
			from = append(from, d.chip(y.Key, 0))
		}
	}
	from = append(from, d.offer()...)
	if len(w.Lots) > 0 {
		from = slices.DeleteFunc(from, func(c Chip) bool { return !slices.Contains(w.Lots, c.Yarn) })
	}
	colours := make([]string, len(from))
	for i, c := range from {
		colours[i] = c.Colour
	}
	for i, colour := range w.Colours {
		k, _ := photo.Nearest(colour, colours)
		if k < 0 || i >= len(w.Shares) || !(w.Shares[i] > 0) {
			continue
		}
		if weights[from[k].Yarn] == 0 {
			lots = append(lots, from[k].Yarn)
		}
		weights[from[k].Yarn] += w.Shares[i]
	}
	return lots
}

func (d *Desk) ideaOf(c plan.Cloth, p design.Proposal) Idea {
	chip := func(s warp.Stripe) Chip {
		i := slices.IndexFunc(c.Yarns, func(y plan.Yarn) bool { return y.Key == s.Yarns[0].Yarn })
		y := c.Yarns[i]
		return Chip{Yarn: y.Key, Letter: y.Letter, Colour: y.Colour, Label: y.Label, Ends: s.Ends}
	}
	out := Idea{Word: d.words.N("desk-idea", p.Stripes, check.Args{"stripes": p.Stripes, "ends": p.Ends, "used": int(float64(p.Share)*100 + 0.5)})}
	items := p.Items
	if len(items) == 1 && len(items[0].Mirror) > 0 {
		items = items[0].Mirror
		back := slices.Clone(items[:len(items)-1])
		slices.Reverse(back)
		items = append(slices.Clone(items), back...)
	}
	for _, it := range items {
		out.Stripes = append(out.Stripes, chip(*it.Stripe))
	}
	for _, u := range p.Uses {
		i := slices.IndexFunc(c.Yarns, func(y plan.Yarn) bool { return y.Key == u.Yarn })
		if out.Left != "" {
			out.Left += ", "
		}
		out.Left += c.Yarns[i].Label + " " + d.words.S(u.Left)
	}
	return out
}

// use lays a proposal: it takes the place of the stripes of its warp. A border
// stays, and its ends are taken from the widest stripes.
func use(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	if q.Which < 0 || q.Which >= len(d.ideas) {
		ps.Wrong("", "desk-no-idea", nil)
		return d.steps.Now(), ps
	}
	it := d.ideas[q.Which]
	c := it.cloth
	c.Warps = slices.Clone(c.Warps)
	for i := range c.Warps {
		if c.Warps[i].Key == it.warp {
			c.Warps[i].Order = warp.Order{Items: it.items}
		}
	}
	return c, nil
}

// Colours are the main colours of a small picture, so many pixels wide, red,
// green, blue and alpha of each, as JSON: {"colours": ["#rrggbb"], "shares": []}.
func Colours(pixels []byte, width int) string {
	out := struct {
		Colours []string  `json:"colours"`
		Shares  []float64 `json:"shares"`
	}{[]string{}, []float64{}}
	if width < 1 || len(pixels) < 4*width {
		return written(out)
	}
	img := image.NewNRGBA(image.Rect(0, 0, width, len(pixels)/4/width))
	copy(img.Pix, pixels)
	found, ps := photo.Colours(onWhite{img}, photoColours)
	if ps.Failed() {
		return written(out)
	}
	for _, c := range found {
		out.Colours = append(out.Colours, c.Hex)
		out.Shares = append(out.Shares, float64(c.Share))
	}
	return written(out)
}

// photoColours is how many colours of a picture are looked for: as many as
// lie well beside each other in a cloth.
const photoColours = 5

// onWhite shows a picture with holes on white paper.
type onWhite struct{ *image.NRGBA }

func (p onWhite) At(x, y int) color.Color {
	c := p.NRGBAAt(x, y)
	over := func(v uint8) uint8 { return uint8((int(v)*int(c.A) + 255*(255-int(c.A))) / 255) }
	return color.NRGBA{over(c.R), over(c.G), over(c.B), 255}
}
