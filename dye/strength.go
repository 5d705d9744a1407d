package dye

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// Dyestuff is what colours in a recipe, on the weight of fibre: the shares of
// its materials in the baths that dye or extract, or what a vat's dips leave on
// the fibre by Vat.Make, which is a low estimate. Materials that are weighed by
// the litre are not in it. It is zero for a recipe that has none.
func (r Recipe) Dyestuff() (share measure.Ratio) {
	for _, s := range r.Steps {
		switch s.Kind {
		case Dye, Extract:
			for _, a := range s.Amounts {
				if r.Material(a.What) != nil {
					share += a.Share
				}
			}
		case Dip:
			share += s.Vat.aDip() * measure.Ratio(s.Vat.Dips)
		}
	}
	return share
}

// aDip is what a dip in a fresh vat leaves, of the fibre's weight.
func (v *Vat) aDip() measure.Ratio {
	if v == nil {
		return 0
	}
	pickup := v.Pickup
	if pickup == 0 {
		pickup = DefaultPickup
	}
	return measure.Ratio(float64(v.Strength) * float64(pickup) / 1000)
}

// At is a recipe made stronger or weaker, so that its Dyestuff is a share of the
// weight of fibre: what colours in its dyeing and extracting baths goes up or
// down in proportion, and a vat's dips to the nearest whole one, which may miss
// the share. Mordants stay: they are for the fibre. A share of zero leaves the
// recipe as it is.
func (r Recipe) At(share measure.Ratio) (Recipe, check.Problems) {
	var ps check.Problems
	own := r.Dyestuff()
	if share == 0 || share == own {
		return r, ps
	}
	if most := r.strongest(); !(share > 0 && share <= most) {
		ps.Wrong("strength", "dye-strength", check.Args{"value": share, "most": most})
		return r, ps
	}
	by := float64(share / own)
	r.Steps = slices.Clone(r.Steps)
	for i := range r.Steps {
		s := &r.Steps[i]
		switch s.Kind {
		case Dye, Extract:
			s.Amounts = slices.Clone(s.Amounts)
			for j, a := range s.Amounts {
				if r.Material(a.What) != nil && a.Share > 0 {
					s.Amounts[j].Share = a.Share * measure.Ratio(by)
					s.Amounts[j].Low, s.Amounts[j].High = 0, 0 // the range was that of the recipe's own strength
				}
			}
		case Dip:
			v := *s.Vat
			v.Dips = max(1, int(math.Round(float64(v.Dips)*by)))
			s.Vat = &v
		}
	}
	return r, ps
}

// strongest is the Dyestuff at which the first of what colours reaches the most
// that makes sense, or a vat its last dip.
func (r Recipe) strongest() measure.Ratio {
	by := math.Inf(1)
	for _, s := range r.Steps {
		switch s.Kind {
		case Dye, Extract:
			for _, a := range s.Amounts {
				if m := r.Material(a.What); m != nil && a.Share > 0 {
					by = min(by, float64(m.most()/a.Share))
				}
			}
		case Dip:
			if s.Vat != nil && s.Vat.Dips > 0 {
				by = min(by, mostDips/float64(s.Vat.Dips))
			}
		}
	}
	if math.IsInf(by, 1) {
		return 0
	}
	return r.Dyestuff() * measure.Ratio(by)
}

// Onward is a recipe for the bath that another lot has left: nothing is added
// that colours, and nothing is extracted anew.
func (r Recipe) Onward() Recipe {
	r.Steps = slices.Clone(r.Steps)
	r.Steps = slices.DeleteFunc(r.Steps, func(s Step) bool { return s.Kind == Extract })
	for i := range r.Steps {
		s := &r.Steps[i]
		if s.Kind != Dye {
			continue
		}
		s.Same = false // what it shared the bath with is gone
		s.Amounts = slices.DeleteFunc(slices.Clone(s.Amounts), func(a Amount) bool { return r.Material(a.What) != nil })
	}
	return r
}

// Stage is the steps of a recipe that are done on one day: From up to, not with,
// To. A soak that stands overnight goes with the day after it. Wait is the
// longest the fibre may lie before it; zero: not said.
type Stage struct {
	From, To int
	Kind     Kind // what is done that matters most: dyeing before mordanting before the rest
	Wait     measure.Minute
}

// weighty is how much a kind of step matters among those of a day.
var weighty = []Kind{Dry, Rest, Rinse, Wash, Soak, Scour, Tannin, Fix, Modify, Extract, Mordant, Dip, Dye}

// Stages parts a recipe into days with a bath. What follows the last of them
// (drying, resting) is no stage; a day without a bath in between (resting) goes
// with the one before.
func (r Recipe) Stages() (out []Stage) {
	last := 0 // after the last wet step
	for i, s := range r.Steps {
		if s.Kind.wet() {
			last = i + 1
		}
	}
	for i, s := range r.Steps[:last] {
		if i == 0 || s.NextDay && worked(r.Steps[out[len(out)-1].From:i]) && worked(r.Steps[i:r.dayEnd(i, last)]) {
			out = append(out, Stage{From: i, Kind: s.Kind, Wait: s.Wait})
		}
		at := &out[len(out)-1]
		at.To = i + 1
		if slices.Index(weighty, s.Kind) > slices.Index(weighty, at.Kind) {
			at.Kind = s.Kind
		}
	}
	return out
}

// worked says whether steps are a day's work at the pots: more than soaking,
// resting and drying.
func worked(steps []Step) bool {
	return slices.ContainsFunc(steps, func(s Step) bool { return s.Kind.wet() && s.Kind != Soak })
}

// dayEnd is the step after the last of the day that begins with a step.
func (r Recipe) dayEnd(from, last int) int {
	for i := from + 1; i < last; i++ {
		if r.Steps[i].NextDay {
			return i
		}
	}
	return last
}
