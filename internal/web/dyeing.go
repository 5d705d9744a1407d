package web

import (
	"slices"
	"strconv"

	"urdir/colour"
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/sheet"
)

// dyeingView is a dyeing as its page shows it.
type dyeingView struct {
	workshop.DyeingView
	Today   string
	Parts   []dyePart
	Verdict colour.Verdict
	Judged  bool        // both colours are known
	Reached *colour.Lab // nil if it is not known
	Care    []dyeCare
	Waste   []dyeWaste
	Pages   int // of the dyer's sheet
}

// dyePart is the steps of one stage, or what comes after the last bath.
type dyePart struct {
	N     int // of the stage, from 0; -1 for what comes after
	Kind  dye.Kind
	Day   workshop.DyeDay
	Steps []dyeStep
	Done  *workshop.DyeFact
	Now   bool
	Bags  []bagRow // supplies to be used
}

// dyeStep is one step.
type dyeStep struct {
	dye.StepPlan
	N       int // from 0
	Facts   []string
	Amounts []dyeAmount
	Vat     []string
	Timers  []dyeTimer
}

// dyeAmount is what goes into a bath, as a weight and in a measure of the
// workshop's own, and into how many if more than one.
type dyeAmount struct{ Weight, What, Kitchen, Baths string }

// dyeTimer is a time to be kept. Times is how often.
type dyeTimer struct {
	Key     string
	Words   string
	Time    measure.Minute
	Seconds int
	Times   int
}

// dyeCare is what the label of a substance says.
type dyeCare struct {
	What   string
	Codes  []string
	Source string
}

// dyeWaste is where the baths of some steps go.
type dyeWaste struct {
	Way   dye.Waste
	Steps []string
}

// bagRow is a bag that a stage's supplies can be taken from.
type bagRow struct {
	workshop.SupplyStock
	Field string
	Grams string
	Need  measure.Gram
}

func dyeingPage(v *visit) error { return v.dyeingAgain(nil) }

// dyeingAgain shows a dyeing, with what was wrong with a form on its page.
func (v *visit) dyeingAgain(wrong error) error {
	d, err := v.s.house.Dyeing(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	cal, err := v.s.house.DyeCalendar(v.r.Context(), v.Person, 1)
	if err != nil {
		return err
	}
	view := dyeingView{DyeingView: d, Today: cal.Days[0].Date}
	view.Verdict, view.Judged = d.Verdict()
	if f, ok := d.Value.Coloured(); ok {
		view.Reached = f.Colour
	}
	if !d.Problems.Failed() {
		v.fillDyeing(&view)
		o, err := v.dyerOptions(d)
		if err != nil {
			return err
		}
		if view.Pages, err = sheet.DyerPages(d.Batch, o); err != nil {
			return err
		}
	}
	if wrong != nil {
		return v.again(wrong, "dyeing", d.Value.Label, view)
	}
	return v.page("dyeing", d.Value.Label, view)
}

// fillDyeing makes what the page shows of the batch.
func (v *visit) fillDyeing(d *dyeingView) {
	measures := kitchens(d.DyeingView)
	end := 0
	for i, s := range d.Stages {
		p := dyePart{N: i, Kind: s.Kind, Now: d.Value.State() == workshop.DyeBegun && d.Next() == i}
		if i < len(d.Value.Days) {
			p.Day = d.Value.Days[i]
		}
		p.Done = d.stageDone(i)
		for n := s.From; n < s.To; n++ {
			p.Steps = append(p.Steps, v.dyeStep(d, n, measures))
		}
		for _, need := range d.StageNeeds[i] {
			p.Bags = append(p.Bags, bagsOf(need)...)
		}
		d.Parts, end = append(d.Parts, p), s.To
	}
	if end < len(d.Batch.Steps) {
		after := dyePart{N: -1, Day: workshop.DyeDay{Day: d.Value.Dry}}
		for n := end; n < len(d.Batch.Steps); n++ {
			after.Steps = append(after.Steps, v.dyeStep(d, n, measures))
		}
		d.Parts = append(d.Parts, after)
	}
	d.minding(v)
}

// stageDone is the fact of a stage; nil if it is not done.
func (d *dyeingView) stageDone(stage int) *workshop.DyeFact {
	for _, f := range d.Value.Facts {
		if f.Kind == workshop.StageFact && f.Stage == stage {
			return &f
		}
	}
	return nil
}

// kitchens are the workshop's measures as the sheets take them.
func kitchens(d workshop.DyeingView) map[string]sheet.Kitchen {
	out := map[string]sheet.Kitchen{}
	for what, k := range d.House.KitchensFor(d.Batch.Recipe) {
		out[what] = sheet.Kitchen{Name: k.Name, Mass: k.Mass, Volume: k.Volume}
	}
	return out
}

// dyeStep makes a step of the page.
func (v *visit) dyeStep(d *dyeingView, n int, measures map[string]sheet.Kitchen) dyeStep {
	p := d.Batch.Steps[n]
	s := dyeStep{StepPlan: p, N: n, Facts: sheet.StepFacts(v.Words, p), Timers: v.timers(d.ID, n, p)}
	add := func(w dye.Weighed, baths int) {
		a := dyeAmount{Weight: sheet.DyeWeight(v.Words, w), What: sheet.DyeWhat(v.Words, d.Batch.Recipe, w.What), Kitchen: sheet.KitchenAmount(v.Words, measures, w)}
		if baths > 1 {
			a.Baths = v.N("dye-baths", baths)
		}
		s.Amounts = append(s.Amounts, a)
	}
	for _, q := range p.Portions {
		for _, w := range q.Amounts {
			add(w, q.Baths*p.Times)
		}
		if q.Vat == nil {
			continue
		}
		add(dye.Weighed{What: p.Step.Vat.Dye, Mass: q.Vat.Dye}, q.Baths)
		for _, w := range q.Vat.Stock {
			add(w, q.Baths)
		}
		s.Vat = append(s.Vat, v.T("dye-vat-line", "bath", q.Vat.Bath, "warm", q.Vat.Warm, "strength", p.Step.Vat.Strength))
	}
	if t := p.Step.Vat; t != nil {
		s.Vat = append(s.Vat, v.T("dye-vat-each", "dips", v.N("dye-vat-dips", t.Dips), "dip", t.Dip, "airing", t.Airing))
	}
	return s
}

// timers are the times of a step that are kept with a clock.
func (v *visit) timers(id string, n int, p dye.StepPlan) (out []dyeTimer) {
	add := func(words string, t measure.Minute, times int) {
		if t > 0 {
			key := id + "." + strconv.Itoa(n) + "." + strconv.Itoa(len(out))
			out = append(out, dyeTimer{key, words, t, int(t*60 + 0.5), times})
		}
	}
	step := v.T("step-" + string(p.Kind))
	for _, s := range p.Step.Heat {
		if s.To > 0 {
			add(v.T("timer-hold", "step", step, "to", s.To), s.Hold, p.Times)
		} else {
			add(step, s.Hold, p.Times)
		}
	}
	if t := p.Step.Vat; t != nil {
		add(v.T("timer-dip"), t.Dip, t.Dips)
		add(v.T("timer-airing"), t.Airing, t.Dips)
	}
	add(v.T("timer-stand", "step", step), p.Step.Stand, 1)
	return out
}

// minding gathers what labels say and where the baths go.
func (d *dyeingView) minding(v *visit) {
	for _, w := range d.Batch.Amounts {
		if s := dye.SubstanceOf(w.What); s != nil && len(s.GHS) > 0 {
			d.Care = append(d.Care, dyeCare{sheet.DyeWhat(v.Words, d.Batch.Recipe, w.What), s.GHS, sheet.DyeSource(v.Words, s.Source)})
		}
	}
	for _, way := range dye.Wastes {
		w := dyeWaste{Way: way}
		for i, s := range d.Batch.Steps {
			if s.Waste == way && (i+1 == len(d.Batch.Steps) || !d.Batch.Steps[i+1].Same) { // the bath goes where its last step says
				w.Steps = append(w.Steps, v.Words.Int(i+1))
			}
		}
		if len(w.Steps) > 0 {
			d.Waste = append(d.Waste, w)
		}
	}
}

// bagsOf are the bags of something that is needed, with what to take of each.
func bagsOf(n workshop.Need) (out []bagRow) {
	take := n.Take()
	for _, b := range n.Bags {
		row := bagRow{SupplyStock: b, Field: "used." + b.ID, Need: n.Mass}
		if g := take[b.ID]; g > 0 {
			row.Grams = strconv.FormatFloat(round(float64(g), 2), 'f', -1, 64)
		}
		out = append(out, row)
	}
	return out
}

// Show is a measured colour as a screen shows it.
func (dyeingView) Show(c colour.Lab) string { return c.Show().SRGB.String() }

// Skeins is how many labels a lot gets: one for each skein.
func (d dyeingView) Skeins() int { return skeins(d.DyeingView) }

// Cautions of a step that its own bath asks for, beside those of the whole.
func (s dyeStep) Cautions() []dye.Hazard {
	return slices.DeleteFunc(slices.Clone(s.Hazards), func(h dye.Hazard) bool {
		return h == dye.NeverFood || h == dye.Apart || h == dye.Slippery // of every bath, and said above
	})
}

// UpTo is the numbers from 1 to n.
func (v *visit) UpTo(n int) (out []int) {
	for i := range n {
		out = append(out, i+1)
	}
	return out
}
