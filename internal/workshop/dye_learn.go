package workshop

import (
	"context"
	"slices"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/dye"
	"urdir/internal/store"
	"urdir/measure"
)

// ShadeView is what is known of how strong a recipe dyes.
type ShadeView struct {
	Recipe   RecipeView
	Samples  []Kept[Sample] // dyed to learn
	Lots     []ShadeLot     // dyed for orders
	Shade    colour.Shade
	Fitted   bool
	Problems check.Problems // of the fit
}

// ShadeLot is a dyeing of which the colour is known.
type ShadeLot struct {
	Dyeing   Kept[Dyeing]
	Strength measure.Ratio
	Colour   colour.Lab
}

// Shade gathers samples and dyeings of a recipe and fits its shade series. It
// needs a sample of strength zero: the yarn as it goes into the bath.
func (h *House) Shade(ctx context.Context, p Person, key string) (out ShadeView, _ error) {
	err := h.view(ctx, p, "Shade", func(tx *store.Tx) error {
		var err error
		if out.Recipe, err = recipe(tx, key); err != nil {
			return err
		}
		found, err := samples.list(tx, Page{Parent: key}, false)
		if err != nil {
			return err
		}
		out.Samples = found.Items
		dyed, err := dyeings.list(tx, Page{Parent: key}, false)
		if err != nil {
			return err
		}
		for _, d := range dyed.Items {
			if f, ok := d.Value.Coloured(); ok && d.Value.After == "" {
				out.Lots = append(out.Lots, ShadeLot{d, d.Value.Strength, *f.Colour})
			}
		}
		out.fit()
		return nil
	})
	return out, err
}

// fit fits the series, if there is a bare skein and one with dye.
func (v *ShadeView) fit() {
	var s colour.Series
	bare := false
	for _, k := range v.Samples {
		r := colour.Reading{Colour: k.Value.Colour}
		if k.Value.Strength == 0 {
			s.Substrate, bare = r, true // the last one, as the list is in the order they were kept
			continue
		}
		s.Samples = append(s.Samples, colour.Sample{Amount: k.Value.Strength, Reading: r})
	}
	for _, l := range v.Lots {
		s.Samples = append(s.Samples, colour.Sample{Amount: l.Strength, Reading: colour.Reading{Colour: l.Colour}})
	}
	if !bare || len(s.Samples) == 0 {
		return
	}
	v.Shade, v.Problems = s.Fit()
	v.Fitted = !v.Problems.Failed()
}

// SaveSample keeps a sample; DropSample takes it away.
func (h *House) SaveSample(ctx context.Context, p Person, v Kept[Sample]) (Kept[Sample], error) {
	if err := allowed(p, "SaveSample"); err != nil {
		return v, err
	}
	s := &v.Value
	trim(&s.Note, &s.Day)
	if s.Day == "" {
		s.Day = h.today()
	}
	var ps check.Problems
	measured(&ps, "colour", s.Colour)
	choice(&ps, "how", s.How, Hows...)
	day(&ps, "day", s.Day)
	short(&ps, "note", s.Note, 2000)
	if !(s.Strength >= 0 && s.Strength <= 6) {
		ps.Wrong("strength", "dye-strength", check.Args{"value": s.Strength, "most": measure.Ratio(6)})
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	if _, err := h.Recipe(ctx, p, s.Recipe); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveSample", samples, v)
}

// DropSample is described with SaveSample.
func (h *House) DropSample(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "DropSample", func(tx *store.Tx) error {
		if _, err := samples.get(tx, id); err != nil {
			return err
		}
		return tx.Remove(samples.name, id, revision)
	})
}

// SaveTrial keeps a test of a lot. Colours before and after are rated on the grey
// scale; a grade given by eye stands.
func (h *House) SaveTrial(ctx context.Context, p Person, v Kept[Trial]) (Kept[Trial], error) {
	if err := allowed(p, "SaveTrial"); err != nil {
		return v, err
	}
	t := &v.Value
	trim(&t.Day, &t.By, &t.How, &t.Note)
	if t.Day == "" {
		t.Day = h.today()
	}
	var ps check.Problems
	choice(&ps, "kind", t.Kind, Trials...)
	day(&ps, "day", t.Day)
	short(&ps, "by", t.By, maxName)
	short(&ps, "how", t.How, 500)
	short(&ps, "note", t.Note, 2000)
	for path, c := range map[string]*colour.Lab{"before": t.Before, "after": t.After} {
		if c != nil {
			measured(&ps, path, *c)
		}
	}
	for path, g := range map[string]colour.Grade{"change": t.Change, "staining": t.Staining} {
		if g != 0 && (g < colour.Worst || g > colour.Best) {
			ps.Wrong(path, "grade-value", check.Args{"text": g.String()})
		}
	}
	if t.Before != nil && t.After != nil && t.Change == 0 && !ps.Failed() {
		t.Change = colour.RateChange(*t.Before, *t.After).Grade
	}
	if t.Change == 0 && t.Staining == 0 && !ps.Failed() {
		ps.Wrong("change", "trial-no-grade", nil)
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	if _, _, err := h.Lot(ctx, p, t.Lot); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveTrial", trials, v)
}

// Reached is a dyeing of which both the wanted and the reached colour are known,
// with what may have made the difference.
type Reached struct {
	Dyeing   Kept[Dyeing]
	Expected colour.Lab
	Colour   colour.Lab
	Apart    colour.DeltaE
	Plants   []string // supplies that colour, by record
	Water    string
	Moon     dye.Phase
	Day      string // of the last bath
}

// Reached gathers what there is to learn from: dyeings with both colours.
func (h *House) Reached(ctx context.Context, p Person) (out []Reached, plants map[string]Supply, _ error) {
	plants = map[string]Supply{}
	err := h.view(ctx, p, "Reached", func(tx *store.Tx) error {
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		all, err := dyeings.list(tx, Page{State: string(DyeOut) + "," + string(DyeAccepted) + "," + string(DyeRejected)}, false)
		if err != nil {
			return err
		}
		for _, d := range all.Items {
			f, ok := d.Value.Coloured()
			if !ok || d.Value.Standard == nil {
				continue
			}
			r := Reached{Dyeing: d, Expected: *d.Value.Standard, Colour: *f.Colour}
			r.Apart = colour.Difference(r.Expected, r.Colour)
			if err := r.gather(tx, set.Value.Dye.Clock, plants); err != nil {
				return err
			}
			out = append(out, r)
		}
		return nil
	})
	return out, plants, err
}

// gather finds what the dyeing was made with, and on what day.
func (r *Reached) gather(tx *store.Tx, clock measure.Minute, plants map[string]Supply) error {
	used, err := usedIn(tx, r.Dyeing.ID)
	if err != nil {
		return err
	}
	for _, u := range used {
		if dye.SubstanceOf(u.Supply.Value.What) == nil {
			r.Plants = append(r.Plants, u.Supply.ID)
			plants[u.Supply.ID] = u.Supply.Value
		}
	}
	slices.Sort(r.Plants)
	for _, f := range r.Dyeing.Value.Facts {
		if f.Kind == StageFact {
			r.Day = f.At
			if f.Water != "" {
				r.Water = strings.TrimSpace(f.Water)
			}
		}
	}
	if d, ok := dyeDay(r.Day); ok {
		r.Moon = dye.MoonOn(d, clock).Phase
	}
	return nil
}
