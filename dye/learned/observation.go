package learned

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/dye"
	"urdir/measure"
)

// Observation is one dyeing: the colour that was expected and what was reached.
type Observation struct {
	Recipe   string        // key
	Strength measure.Ratio // of the weight of fibre; 0: not said
	Plants   []string      // lots of plants in the bath; none: not said, or without plants
	Water    string        // where it came from; empty: not said
	Moon     dye.Phase     // on the day of the bath; empty: not said
	Day      dye.Day
	Expected colour.Lab
	Reached  colour.Lab
}

// Factor is something that may make a difference.
type Factor string

const (
	PlantLots Factor = "plant-lots" // each set of lots is a group of its own
	Water     Factor = "water"
	MoonPhase Factor = "moon-phase" // eight groups
	MoonHalf  Factor = "moon-half"  // waxing or waning; the days of the new and of the full moon are neither
)

// Groups of MoonHalf.
const (
	Waxing = "waxing"
	Waning = "waning"
)

// group is to which group of a factor an observation belongs; empty if to none.
// Plants are in order.
func (f Factor) group(o *Observation) string {
	switch f {
	case PlantLots:
		return strings.Join(o.Plants, " + ")
	case Water:
		return o.Water
	case MoonPhase:
		return string(o.Moon)
	case MoonHalf:
		switch o.Moon {
		case dye.WaxingCrescent, dye.FirstQuarter, dye.WaxingGibbous:
			return Waxing
		case dye.WaningGibbous, dye.LastQuarter, dye.WaningCrescent:
			return Waning
		}
	}
	return ""
}

// Shift is a difference of two colours in CIELAB: L above 0 is lighter, A redder
// and less green, B yellower and less blue.
type Shift struct{ L, A, B float64 }

// offset is how the colour reached lies from the one expected.
func (o *Observation) offset() Shift {
	return Shift{o.Reached.L - o.Expected.L, o.Reached.A - o.Expected.A, o.Reached.B - o.Expected.B}
}

func (s Shift) plus(t Shift) Shift    { return Shift{s.L + t.L, s.A + t.A, s.B + t.B} }
func (s Shift) times(f float64) Shift { return Shift{s.L * f, s.A * f, s.B * f} }
func (s Shift) square() float64       { return s.L*s.L + s.A*s.A + s.B*s.B }

// mostBaths bounds the work of Study (our choice: four baths a week for ten years).
const mostBaths = 2000

// checked finds what cannot be reckoned with.
func checked(obs []Observation) (ps check.Problems) {
	if len(obs) > mostBaths {
		ps.Wrong("baths", "learned-many", check.Args{"baths": len(obs), "most": mostBaths})
		return ps
	}
	for i := range obs {
		for _, c := range []struct {
			name string
			lab  colour.Lab
		}{{"expected", obs[i].Expected}, {"reached", obs[i].Reached}} {
			if !measurable(c.lab) {
				ps.Wrong(fmt.Sprintf("baths[%d].%s", i, c.name), "learned-colour", check.Args{"colour": c.lab.String()})
			}
		}
	}
	return ps
}

// measurable is whether a colour is within the bounds of colour.ParseLab; NaN is
// not.
func measurable(c colour.Lab) bool {
	return c.L >= 0 && c.L <= 100 && c.A >= -200 && c.A <= 200 && c.B >= -200 && c.B <= 200
}

// inOrder is the observations in an order that does not depend on theirs, recipe
// after recipe: sums of floats depend on it. Their plants are in order too, each
// once.
func inOrder(obs []Observation) []Observation {
	out := slices.Clone(obs)
	for i := range out {
		out[i].Plants = slices.Compact(slices.Sorted(slices.Values(out[i].Plants)))
	}
	slices.SortFunc(out, func(a, b Observation) int {
		return cmp.Or(
			cmp.Compare(a.Recipe, b.Recipe),
			cmp.Compare(a.Day.Year, b.Day.Year), cmp.Compare(a.Day.Month, b.Day.Month), cmp.Compare(a.Day.Day, b.Day.Day),
			slices.Compare(a.Plants, b.Plants), cmp.Compare(a.Water, b.Water), cmp.Compare(a.Moon, b.Moon),
			cmp.Compare(a.Strength, b.Strength), byColour(a.Expected, b.Expected), byColour(a.Reached, b.Reached))
	})
	return out
}

func byColour(a, b colour.Lab) int {
	return cmp.Or(cmp.Compare(a.L, b.L), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
}
