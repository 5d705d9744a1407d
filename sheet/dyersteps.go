package sheet

import (
	"slices"
	"strings"

	"urdir/draw"
	"urdir/dye"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/surface"
)

// Where the picture of a step stands, and what stands beside it.
const (
	stepPicture measure.MM = 25
	stepWords   measure.MM = stepPicture + 5
)

// stepHeight is how much of a page a step takes.
func (d *dyer) stepHeight(i int) measure.MM {
	return d.height(func(b *book) {
		c := *d
		c.book = b
		c.writeStep(i)
	})
}

// step is one step, kept together.
func (d *dyer) step(i int) {
	d.room(min(d.stepHeight(i), d.bottom()-margin-24))
	d.writeStep(i)
	d.s.Path(surface.Polyline(d.left(), d.y, d.right(), d.y), surface.Line(draw.Hair, 0.3))
	d.y += 2.5
}

func (d *dyer) writeStep(i int) {
	s, top, page := d.batch.Steps[i], d.y, d.page
	StepPicture(d.s, surface.Box{X: d.left(), Y: d.y, W: stepPicture, H: 22}, d.t, s)
	x := d.left() + stepWords
	d.tick(x, 0.6)
	d.text(x+7, 4.6, d.t.Int(i+1)+" · "+d.t.T("step-"+string(s.Kind), nil), surface.Font{Size: 5, Bold: true, Colour: draw.Ink})
	d.y += 6.8
	for _, line := range StepFacts(d.t, s) {
		d.beside(line, surface.Font{Size: 4, Colour: draw.Ink})
	}
	for k := range s.Step.Amounts {
		for _, q := range s.Portions {
			d.amount(DyeWeight(d.t, q.Amounts[k]), q.Amounts[k], x, q.Baths*s.Times)
		}
	}
	if s.Step.Vat != nil {
		d.vat(s, x)
	}
	if note := s.Step.Note.In(d.t.Tag); note != "" {
		d.beside(note, surface.Font{Size: 3.7, Colour: draw.Ink})
	}
	if d.page == page {
		d.y = max(d.y+1, top+24)
	}
}

// beside writes a paragraph beside the picture.
func (d *dyer) beside(s string, f surface.Font) {
	x := d.left() + stepWords
	for _, line := range surface.Wrap(s, f, d.right()-x) {
		d.room(f.Size * 1.35)
		d.text(x, f.Size, line, f)
		d.y += f.Size * 1.35
	}
}

// StepFacts is what is done in a step, in a few short lines: the bath, how warm,
// how long.
func StepFacts(t *lang.Words, s dye.StepPlan) (lines []string) {
	add := func(parts ...string) {
		parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
		if len(parts) > 0 {
			lines = append(lines, strings.Join(parts, " · "))
		}
	}
	bath := ""
	if s.Same {
		bath = t.T("dye-same", nil)
	}
	for k, q := range s.Portions {
		if q.Water > 0 {
			if k > 0 {
				bath += " / "
			}
			bath += t.T("dye-new-water", map[string]any{"water": q.Water / measure.Litre(s.Times)})
		}
	}
	waters := ""
	if s.Times > 1 {
		waters = t.N("dye-waters", s.Times, nil)
	}
	add(bath, waters)
	add(DyeHeat(t, s.Step.Heat))
	stand, wait := "", ""
	if s.Step.Stand > 0 {
		stand = t.T("dye-stand", map[string]any{"time": s.Step.Stand})
	}
	if s.Step.Wait > 0 {
		wait = t.T("dye-wait", map[string]any{"time": s.Step.Wait})
	}
	add(stand, wait)
	return lines
}

// vat is the vat of a step: what makes it, and boxes for its dips.
func (d *dyer) vat(s dye.StepPlan, x measure.MM) {
	t, v := d.t, s.Step.Vat
	for _, q := range s.Portions {
		d.beside(t.T("dye-vat-line", map[string]any{"bath": q.Vat.Bath, "warm": v.Warm, "strength": v.Strength}), surface.Font{Size: 4, Colour: draw.Ink})
		d.amount(t.Weight(q.Vat.Dye), dye.Weighed{What: v.Dye, Mass: q.Vat.Dye}, x, q.Baths)
		for _, w := range q.Vat.Stock {
			d.amount(DyeWeight(t, w), w, x, q.Baths)
		}
	}
	d.beside(t.T("dye-vat-each", map[string]any{"dips": t.N("dye-vat-dips", v.Dips, nil), "dip": v.Dip, "airing": v.Airing}),
		surface.Font{Size: 4, Bold: true, Colour: draw.Ink})
	at, most := x, d.right()-4
	d.y += 1
	d.room(6)
	for range v.Dips {
		if at > most {
			at = x
			d.y += 5.4
			d.room(6)
		}
		d.tick(at, 0)
		at += 5.6
	}
	d.y += 6
}

// StepPicture shows what is done in a step to who does not read.
func StepPicture(s surface.Surface, at surface.Box, t *lang.Words, step dye.StepPlan) {
	warm := ""
	if step.Hottest > 0 {
		warm = t.Num(float64(step.Hottest), 0) + " °C"
	}
	switch step.Kind {
	case dye.Dry, dye.Rest:
		draw.Line(s, at)
	case dye.Dip:
		draw.Airing(s, at)
	case dye.Rinse, dye.Wash:
		draw.Pot(s, at, draw.Bath{Skeins: true, Drops: step.Kind == dye.Rinse, Warm: warm, Flame: warm != ""})
	default:
		draw.Pot(s, at, draw.Bath{Skeins: step.Kind != dye.Extract, Flame: warm != "", Warm: warm})
	}
}

// minding is the cautions, what the labels say, and where the baths go.
func (d *dyer) minding() {
	t, b := d.t, d.batch
	d.heading(t.T("dye-cautions", nil))
	for _, h := range b.Hazards {
		d.bullet(t.T("hazard-"+string(h), nil))
	}
	for _, w := range b.Amounts {
		if s := dye.SubstanceOf(w.What); s != nil && len(s.GHS) > 0 {
			var says []string
			for _, code := range s.GHS {
				says = append(says, code+" "+t.T("ghs-"+code, nil))
			}
			d.bullet(DyeWhat(t, b.Recipe, w.What) + ": " + strings.Join(says, "; "))
		}
	}
	d.heading(t.T("dye-waste-title", nil))
	for _, way := range dye.Wastes {
		var steps []string
		for i, s := range b.Steps {
			if s.Waste == way && (i+1 == len(b.Steps) || !b.Steps[i+1].Same) {
				steps = append(steps, t.Int(i+1))
			}
		}
		if len(steps) > 0 {
			d.bullet(t.T("dyer-waste", map[string]any{"steps": steps, "way": t.T("waste-"+string(way), nil)}))
		}
	}
}

// bullet is a paragraph with a dot before it.
func (d *dyer) bullet(s string) {
	f := surface.Font{Size: 3.6, Colour: draw.Ink}
	lines := surface.Wrap(s, f, d.wide()-5)
	d.room(f.Size * 1.35 * measure.MM(len(lines)))
	for i, line := range lines {
		if i == 0 {
			d.s.Path(surface.Circle(d.left()+1.4, d.y+f.Size*0.7, 0.7), surface.Fill(draw.Ink))
		}
		d.text(d.left()+5, f.Size, line, f)
		d.y += f.Size * 1.35
	}
	d.y += 0.8
}
