package sheet

import (
	"fmt"
	"io"
	"math"

	"urdir/draw"
	"urdir/dye"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// Kitchen is a measure of the workshop's own for one substance: what a level
// spoon or cup of it weighs or holds. It belongs to the dye house alone.
type Kitchen struct {
	Name   string
	Mass   measure.Gram
	Volume measure.Litre
}

// DyerOptions say how the dyer's sheet is made.
type DyerOptions struct {
	Options
	Lot      string             // its name, as on its tag
	Measures map[string]Kitchen // by what they measure, as an amount names it
}

// longestLot and longestName are how much of a lot's name and of others stands
// on a line, in letters.
const (
	longestLot  = 40
	longestName = 60
)

func shortened(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// Dyer writes the sheet by which a lot is dyed, as a document.
func Dyer(w io.Writer, batch dye.Batch, o DyerOptions) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	count := newDyer(batch, o, t)
	count.add = func(string) surface.Surface { return blank{o.Paper} }
	count.all()
	doc := surface.NewPDF(surface.Meta{Title: count.plan.Name, Language: t.Tag})
	d := newDyer(batch, o, t)
	d.of = count.page
	d.add = func(string) surface.Surface {
		doc.AddPage(o.Paper.W, o.Paper.H)
		return doc
	}
	d.all()
	_, err = doc.WriteTo(w)
	return err
}

// DyerPictures draws every page of the dyer's sheet as a picture for a telephone.
func DyerPictures(batch dye.Batch, o DyerOptions, done func(Page) error) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	count := newDyer(batch, o, t)
	count.add = func(string) surface.Surface { return blank{o.Paper} }
	count.all()
	var pages []Page
	d := newDyer(batch, o, t)
	d.of = count.page
	d.add = func(name string) surface.Surface {
		s := surface.NewPNG(o.Paper.W, o.Paper.H, phoneWidth)
		pages = append(pages, Page{fmt.Sprintf("%d-%s", d.page, name), s})
		return s
	}
	d.all()
	for _, p := range pages {
		if err := done(p); err != nil {
			return err
		}
	}
	return nil
}

// DyerPages is how many pages the dyer's sheet has.
func DyerPages(batch dye.Batch, o DyerOptions) (int, error) {
	t, err := lang.For(o.Language)
	if err != nil {
		return 0, err
	}
	d := newDyer(batch, o, t)
	d.add = func(string) surface.Surface { return blank{o.Paper} }
	d.all()
	return d.page, nil
}

// dyer is the book of a lot to be dyed.
type dyer struct {
	*book
	batch    dye.Batch
	measures map[string]Kitchen
}

func newDyer(batch dye.Batch, o DyerOptions, t *lang.Words) *dyer {
	name := o.Lot
	if name == "" {
		name = batch.Recipe.Shade.In(t.Tag)
	}
	return &dyer{book: &book{plan: plan.Plan{Name: shortened(name, longestLot)}, t: t, paper: o.Paper}, batch: batch, measures: o.Measures}
}

func (d *dyer) all() {
	t, b := d.t, d.batch
	d.name = "dye"
	title := shortened(b.Recipe.Name.In(t.Tag), longestName)
	d.head = func() {
		d.text(d.left(), 5.5, t.T("dyer-sheet", nil), surface.Font{Size: 4.4, Colour: accent})
		d.text(d.left(), 13.5, title, surface.Fit(title, surface.Font{Size: 7.5, Bold: true, Colour: draw.Ink}, d.wide()-50))
		right := surface.Font{Size: 3.6, Colour: draw.Ink, Align: surface.Right}
		d.text(d.right(), 5.5, d.plan.Name, surface.Fit(d.plan.Name, right, 46))
		d.text(d.right(), 11, t.S(b.Mass), right)
		d.y += 17
		d.s.Path(surface.Polyline(d.left(), d.y, d.right(), d.y), surface.Line(accent, 0.5))
		d.y += 5
	}
	d.next()
	d.facts([2]string{t.S(b.Mass), t.T("dye-fibre-label", nil)}, [2]string{t.Int(b.Division.Baths), t.T("dye-baths-label", nil)},
		[2]string{t.S(b.Water), t.T("dye-water", nil)}, [2]string{t.S(b.Fuel), t.T("dye-fuel-"+string(b.Burns), nil)})
	d.sample()
	d.sizes()
	d.weighing()
	d.heading(t.T("dye-steps-title", nil))
	day := 0
	for i := range b.Steps {
		if day == 0 || b.Steps[i].NextDay {
			day++
			d.room(7 + d.stepHeight(i))
			d.para(t.T("dye-day-n", map[string]any{"n": day}), surface.Font{Size: 4.6, Bold: true, Colour: accent})
		}
		d.step(i)
	}
	d.minding()
	d.end("care-dye", "dyed-by")
}

// sample is the box that asks for a sample, with the colour meant beside it.
func (d *dyer) sample() {
	t, r := d.t, d.batch.Recipe
	const h measure.MM = 11
	d.room(h + 3)
	x := d.left()
	if r.Colour != "" {
		surface.Chip(d.s, surface.Box{X: x, Y: d.y, W: 20, H: h}, surface.ParseColour(r.Colour), 0, "")
		x += 24
	}
	if r.Sample {
		f := surface.Font{Size: 5.4, Bold: true, Colour: draw.Ink}
		d.text(x+6, 4.9, t.T("dye-sample", nil), surface.Fit(t.T("dye-sample", nil), f, d.right()-x-6))
		d.tick(x, 1)
	}
	shade := r.Shade.In(t.Tag)
	if shade != "" {
		shade = t.T("dyer-about", map[string]any{"shade": shade})
		d.text(x, 10.2, shade, surface.Fit(shade, surface.Font{Size: 3.7, Colour: draw.Ink}, d.right()-x))
	}
	d.y += h + 3
}

// sizes says how the lot is shared out.
func (d *dyer) sizes() {
	t, v := d.t, d.batch.Division
	for _, s := range v.Sizes {
		fibre := t.S(s.Fibre)
		if s.Skeins > 0 {
			fibre = t.N("dye-size-skeins", s.Skeins, nil) + ", " + fibre
		}
		d.para(t.T("dye-size", map[string]any{"baths": t.N("dye-baths", s.Baths, nil), "fibre": fibre, "bath": s.Bath}), surface.Font{Size: 4.4, Bold: true, Colour: draw.Ink})
	}
	if v.Baths > 1 {
		d.note(t.T("dye-mix-once", nil))
	}
	b := d.batch
	d.note(t.N("dye-days", b.Days, nil) + " · " + t.T("dye-work-label", nil) + " " + t.S(b.Work) + " · " + t.T("dye-fire", nil) + " " + t.S(b.Fire) + " · " +
		t.T("dye-standing", nil) + " " + t.S(b.Stand))
	line := t.S(b.Drying.Line)
	if b.Drying.Time > 0 {
		line = t.T("dye-shade-time", map[string]any{"mass": b.Drying.Line, "time": b.Drying.Time})
	}
	d.note(t.T("dye-line", nil) + ": " + line + " · " + t.T("dye-boils", nil) + " " + t.S(b.Boils))
}

// weighing is what is weighed out for the whole lot.
func (d *dyer) weighing() {
	d.heading(d.t.T("dye-weigh", nil))
	for _, w := range d.batch.Amounts {
		d.amount(DyeWeight(d.t, w), w, d.left(), 1)
		d.s.Path(surface.Polyline(d.left(), d.y, d.right(), d.y), surface.Line(draw.Hair, 0.2))
		d.y += 0.8
	}
}

// amount is a line: boxes to tick, the amount, what it is, and the workshop's own
// measure of it.
func (d *dyer) amount(weight string, w dye.Weighed, x measure.MM, boxes int) {
	d.room(7.4)
	for range min(boxes, 6) {
		d.s.Path(surface.Outline(surface.Box{X: x, Y: d.y + 1.4, W: 3.6, H: 3.6}), surface.Line(draw.Ink, 0.35))
		x += 4.8
	}
	f := surface.Font{Size: 5, Bold: true, Colour: draw.Ink}
	d.text(x+1, 5.2, weight, surface.Fit(weight, f, 27))
	name := shortened(DyeWhat(d.t, d.batch.Recipe, w.What), longestName)
	kitchen := KitchenAmount(d.t, d.measures, w)
	wide := d.right() - x - 30
	if kitchen != "" {
		d.text(d.right(), 5, kitchen, surface.Fit(kitchen, surface.Font{Size: 4, Colour: draw.Ink, Align: surface.Right}, wide*0.4))
		wide *= 0.58
	}
	d.text(x+30, 5, name, surface.Fit(name, surface.Font{Size: 4.2, Colour: draw.Ink}, wide))
	d.y += 6.6
}

// KitchenAmount is an amount in the workshop's own measure, to a quarter of it;
// empty if there is none, or if it is less than a quarter.
func KitchenAmount(t *lang.Words, measures map[string]Kitchen, w dye.Weighed) string {
	k, ok := measures[w.What]
	n := 0.0
	switch {
	case !ok:
		return ""
	case w.Mass > 0 && k.Mass > 0:
		n = float64(w.Mass / k.Mass)
	case w.Volume > 0 && k.Volume > 0:
		n = float64(w.Volume / k.Volume)
	}
	quarters := int(math.Round(4 * n))
	if quarters < 1 {
		return ""
	}
	number := ""
	if quarters >= 4 {
		number = t.Int(quarters / 4)
	}
	return t.T("dyer-measure", map[string]any{"n": number + [4]string{"", "¼", "½", "¾"}[quarters%4], "measure": shortened(k.Name, longestLot)})
}
