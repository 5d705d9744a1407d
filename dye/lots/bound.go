package lots

import (
	"cmp"
	"math"
	"slices"
)

// Bound is what no plan can be below. Work holds whatever the lateness.
type Bound struct {
	Late int64 `json:"late_days"` // weighted
	Work int64 `json:"work"`
}

// slack is what sums of floats may be off, as a share of a pot's day.
const slack = 1e-6

func (j *job) bound() Bound {
	if len(j.wants) == 0 {
		return Bound{}
	}
	return Bound{Late: j.lateBound(), Work: j.workBound()}
}

// need is a want in the bound on lateness: litre-days of pot, and gram-days of
// line, as shares of what there is of them in a day.
type need struct {
	soonest, due int
	weight       int64
	pots, line   float64
}

// lateBound adds up day by day. On a day t, wants due by t that are not dry count
// their weight. Those that are dry have had, of the room in pots, of baths and of
// line, no more than there was before t; the most weight that allows, fractions
// allowed too, leaves the least that is late. The three are looked at apart.
func (j *job) lateBound() (late int64) {
	var litres float64
	for _, l := range j.litres {
		litres += l
	}
	needs := make([]need, len(j.wants))
	from, dry, last := math.MaxInt, math.MaxInt, 0
	for i := range j.wants {
		w := &j.wants[i]
		r := j.groups[w.group].recipe
		liquor := float64(j.work.Recipes[r.index].Liquor)
		needs[i] = need{j.soonest(w), w.due, w.weight,
			float64(w.mass) / 1e6 * liquor * float64(len(r.waits)) / litres, float64(w.mass) * float64(r.dry) / float64(j.line)}
		from, dry, last = min(from, w.from), min(dry, r.dry), max(last, needs[i].soonest)
	}
	byPots := func(a, b need) int { return cmp.Compare(a.pots*float64(b.weight), b.pots*float64(a.weight)) }
	byLine := func(a, b need) int { return cmp.Compare(a.line*float64(b.weight), b.line*float64(a.weight)) }
	pots, line := slices.Clone(needs), slices.Clone(needs)
	slices.SortFunc(pots, byPots)
	slices.SortFunc(line, byLine)
	late = j.overdue(needs, from)
	open := 0.0
	for t := max(from, 0); ; t++ {
		if d := t - dry; d >= from && j.open(d) {
			open++
		}
		a := unready(pots, t, open, func(n *need) float64 { return n.pots })
		b := unready(line, t, float64(t-from), func(n *need) float64 { return n.line })
		c := j.unbathed(needs, t, open*float64(len(j.litres)))
		late += max(a, b, c)
		if t > last && max(a, b, c) == 0 && t >= j.lastDue() {
			return late
		}
	}
}

// overdue is what counts before the first day of the sum.
func (j *job) overdue(needs []need, from int) (late int64) {
	for _, n := range needs {
		if n.due < max(from, 0) {
			late += n.weight * int64(max(from, 0)-n.due)
		}
	}
	return late
}

func (j *job) lastDue() (last int) {
	for i := range j.wants {
		last = max(last, j.wants[i].due)
	}
	return last
}

// unready is the least weight of wants due by t that are not dry by then; needs
// are by what they ask for a unit of weight.
func unready(needs []need, t int, have float64, ask func(*need) float64) int64 {
	late := 0.0
	for i := range needs {
		n := &needs[i]
		switch a := ask(n); {
		case n.due > t:
		case n.soonest > t:
			late += float64(n.weight)
		case a <= have:
			have -= a
		default:
			late += float64(n.weight) * (a - have) / a
			have = 0
		}
	}
	return int64(math.Ceil(late - slack))
}

// unbathed is the same by the number of baths: a bath of a colour makes no more
// weight dry than the largest pot holds of it, the lightest yarn for its weight
// first. Needs are by group.
func (j *job) unbathed(needs []need, t int, have float64) int64 {
	type colour struct{ weight, each float64 } // each: baths for a unit of weight
	late := 0.0
	var colours []colour
	for i := range j.groups {
		g := &j.groups[i]
		room := float64(g.recipe.cap[len(g.recipe.cap)-1])
		all, one := 0.0, 0.0
		for _, k := range g.light {
			switch n, mass := &needs[k], float64(j.wants[k].mass); {
			case n.due > t:
			case n.soonest > t:
				late += float64(n.weight)
			default:
				all += float64(n.weight)
				one += float64(n.weight) * min(1, room/mass)
				room -= min(room, mass)
			}
		}
		if all > 0 {
			colours = append(colours, colour{all, float64(len(g.recipe.waits)) / one})
		}
	}
	slices.SortFunc(colours, func(a, b colour) int { return cmp.Compare(a.each, b.each) })
	for _, c := range colours {
		dry := min(c.weight, have/c.each)
		have -= dry * c.each
		late += c.weight - dry
	}
	return int64(math.Ceil(late - slack))
}
