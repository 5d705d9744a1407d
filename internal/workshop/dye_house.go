package workshop

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/measure"
)

// Most that a dye house may have of waters and kitchen measures.
const (
	maxWaters   = 20
	maxMeasures = 100
)

// check bounds what a dye house says of itself.
func (d *DyeHouse) check(ps *check.Problems) {
	bound := func(path string, value, low, high any, ok bool) {
		if !ok {
			ps.Wrong(path, "out-of-range", check.Args{"value": value, "low": low, "high": high})
		}
	}
	ps.Under("dye", d.Filled().Place.Check())
	bound("dye.line", d.Line, measure.Gram(0), maxGrams, d.Line >= 0 && d.Line <= maxGrams)
	bound("dye.lead", d.Lead, 0, 365, d.Lead >= 0 && d.Lead <= 365)
	bound("dye.limit", float64(d.Limit), 0.0, 20.0, d.Limit >= 0 && d.Limit <= 20)
	bound("dye.clock", d.Clock, -14*measure.Hour, 14*measure.Hour, d.Clock >= -14*measure.Hour && d.Clock <= 14*measure.Hour)
	if len(d.Waters) > maxWaters {
		ps.Wrong("dye.waters", "parts-too-many", check.Args{"count": len(d.Waters), "most": maxWaters})
	}
	for i := range d.Waters {
		trim(&d.Waters[i])
		named(ps, "dye.waters", d.Waters[i])
	}
	if len(d.Measures) > maxMeasures {
		ps.Wrong("dye.measures", "parts-too-many", check.Args{"count": len(d.Measures), "most": maxMeasures})
	}
	for i := range d.Measures {
		m := &d.Measures[i]
		trim(&m.What, &m.Name)
		at := fmt.Sprintf("dye.measures[%d]", i)
		named(ps, at, m.What)
		named(ps, at, m.Name)
		if (m.Mass > 0) == (m.Volume > 0) || m.Mass < 0 || m.Mass > maxGrams || m.Volume < 0 || m.Volume > 1000 {
			ps.Wrong(at, "kitchen-measure", check.Args{"name": m.Name})
		}
	}
	for _, what := range slices.Sorted(maps.Keys(d.Reorder)) {
		named(ps, "dye.reorder", strings.TrimSpace(what))
		weight(ps, "dye.reorder", d.Reorder[what])
	}
}

// Moon is the moon of a date; ok is false for what is no date.
func (d DyeHouse) Moon(date string) (m dye.Moon, ok bool) {
	day, ok := dyeDay(date)
	if !ok {
		return m, false
	}
	return dye.MoonOn(day, d.Clock), true
}

// Kitchens are the workshop's measures by what they measure.
func (d DyeHouse) Kitchens() map[string]Kitchen {
	out := map[string]Kitchen{}
	for _, m := range d.Measures {
		out[m.What] = m
	}
	return out
}

// KitchensFor are the workshop's measures as the amounts of a recipe name what
// they measure.
func (d DyeHouse) KitchensFor(r dye.Recipe) map[string]Kitchen {
	out := d.Kitchens()
	for _, m := range r.Materials {
		if k, ok := out[m.Latin]; ok {
			out[m.Key] = k
		}
	}
	return out
}
