package warp

import (
	"math"

	"urdir/check"
	"urdir/measure"
)

// Room is what a stripe order has to fill.
type Room struct {
	Width  measure.CM    // finished width; 0 lets the stripes decide
	Shrink measure.Ratio // across, from loom state to finished
	Sett   measure.PerCM // ends per cm on the loom
	Scale  bool          // stripes given in ends may be scaled to fill the width
}

// EndsFor is the number of ends, not yet whole, that a finished width takes:
// width / (1 - shrinkage) x sett.
func (r Room) EndsFor(finished measure.CM) float64 {
	return float64(finished) / (1 - float64(r.Shrink)) * float64(r.Sett)
}

// WidthOf is the finished width of so many ends.
func (r Room) WidthOf(ends float64) measure.CM {
	return measure.CM(ends / float64(r.Sett) * (1 - float64(r.Shrink)))
}

// Laid is a stripe with its ends settled.
type Laid struct {
	Yarns []Lay         `json:"yarns"`
	First int           `json:"first_end"` // counted from 1 at the left selvedge
	Ends  int           `json:"ends"`
	Ideal measure.Count `json:"ends_before_rounding"`
	Share measure.Count `json:"share,omitempty"` // of the width that stripes in ends and cm leave
	Back  bool          `json:"-"`               // see Stripe.Back
}

// Fitted is a stripe order in whole ends.
type Fitted struct {
	Stripes []Laid  `json:"stripes"`
	Ends    int     `json:"ends"`
	Wanted  float64 `json:"-"` // ends the width asks for, or the stripes without one, before rounding
	// MostOff is the largest rounding of a single stripe, in ends.
	MostOff float64 `json:"-"`
	// RepeatsAlike is false when rounding could not leave every repeat of a
	// group the same.
	RepeatsAlike bool `json:"-"`
}

// How much rounding costs, in ends. A stripe with an odd number of ends means
// a knot at the far peg, so a width up to two ends off is preferred to it.
const (
	costTotal  = 4  // each end the total is off
	costOdd    = 10 // each stripe with an odd number of ends
	costBroken = 6  // each alternation cut in mid-pattern
)

// window bounds how far, in ends, the running sum may drift from the running
// ideal: rounding must not shift a stripe across the cloth.
const window = 40

// hair keeps a bound from being missed by the last bit of a sum.
const hair = 1e-9

// Fit settles every stripe in whole ends so that they fill the room. Stripes
// tied by Flat.Alike get the same ends if the total then comes within half a
// per cent (at least two ends) of what is wanted; else only mirror images stay
// tied. Among all roundings that keep the ties, Fit takes the one with the
// least cost: 4 for each end the total is off, 10 for an odd stripe, 6 for a
// broken alternation, and each stripe's own distance from its ideal.
// The rounding of a stripe is at most its period made even (2 ends for a plain
// stripe).
func Fit(f Flat, room Room) (Fitted, check.Problems) {
	var ps check.Problems
	ideal, fixed, wanted := ideals(f, room, &ps)
	if ps.Failed() {
		return Fitted{}, ps
	}
	slack := max(2, 0.005*wanted) + hair
	ends, ok := apportion(f, f.Alike, ideal, fixed, slack)
	if !ok {
		ends, ok = apportion(f, f.Twin, ideal, fixed, math.Inf(1))
	}
	if !ok {
		ps.Wrong("stripes", "stripes-do-not-fit", check.Args{"wanted": int(math.Round(wanted)), "stripes": len(f.Stripes)})
		return Fitted{}, ps
	}
	if room.Width > 0 {
		wanted = room.EndsFor(room.Width)
	}
	return gather(f, ends, ideal, wanted), ps
}

// ideals gives each stripe's ends before rounding, and says which are fixed.
func ideals(f Flat, room Room, ps *check.Problems) (ideal []float64, fixed []bool, wanted float64) {
	ideal, fixed = make([]float64, len(f.Stripes)), make([]bool, len(f.Stripes))
	var laid, shares float64
	sharing := 0
	for i, s := range f.Stripes {
		switch {
		case s.Share > 0:
			shares += s.Share
			sharing++
		case s.Width > 0:
			ideal[i] = room.EndsFor(s.Width)
			laid += ideal[i]
		default:
			ideal[i], fixed[i] = float64(s.Ends), true
			laid += ideal[i]
		}
	}
	wanted = room.EndsFor(room.Width)
	if room.Width == 0 {
		wanted = laid
		if sharing > 0 {
			ps.Wrong("stripes", "stripes-share-no-width", nil)
			return nil, nil, 0
		}
	}
	if wanted > MaxEnds || laid > MaxEnds {
		ps.Wrong("stripes", "stripes-too-many-ends", check.Args{"ends": int(max(wanted, laid)), "most": MaxEnds})
		return nil, nil, 0
	}
	left := wanted - laid
	switch {
	case sharing > 0 && left < 2*float64(sharing):
		ps.Wrong("stripes", "stripes-too-wide", check.Args{
			"laid": int(math.Round(laid)), "wanted": int(math.Round(wanted)),
			"laidWidth": room.WidthOf(laid), "width": room.Width, "sharing": sharing})
	case sharing > 0:
		for i, s := range f.Stripes {
			if s.Share > 0 {
				ideal[i] = left * s.Share / shares
			}
		}
	case room.Scale && room.Width > 0:
		for i := range ideal {
			ideal[i] *= wanted / laid
			fixed[i] = false
		}
	default:
		wanted = keepWidth(laid, wanted, room, ps)
	}
	return ideal, fixed, wanted
}

// keepWidth settles a difference between stripes that leave nothing open and
// the width wanted: a little is said, more than 3 per cent is refused.
func keepWidth(laid, wanted float64, room Room, ps *check.Problems) float64 {
	off := math.Abs(laid - wanted)
	args := check.Args{
		"laid": int(math.Round(laid)), "wanted": int(math.Round(wanted)),
		"laidWidth": room.WidthOf(laid), "width": room.Width}
	switch {
	case off > 0.03*wanted:
		ps.Wrong("stripes", "stripes-width-differs", args)
	case off >= 2:
		ps.Look("stripes", "stripes-width-near", args)
	}
	return laid
}

// choice is a number of ends a group of stripes may take, and what it costs.
type choice struct {
	ends int
	cost float64
}

// apportion finds the cheapest whole ends by going through the groups in the
// order they first appear and keeping, for each running difference between the
// ends laid and the ideal, the cheapest way to get there.
func apportion(f Flat, group []int, ideal []float64, fixed []bool, slack float64) ([]int, bool) {
	members, order := groups(group)
	type cell struct { // small: the table is most of what planning allocates
		cost float32
		pick int16 // the choice taken, in ends
		from int16 // the running difference before it, as an index
	}
	const states = 2*window + 1
	unreached := cell{cost: float32(math.Inf(1))}
	table := make([][states]cell, len(order)+1)
	for g := range table {
		for d := range table[g] {
			table[g][d] = unreached
		}
	}
	table[0][window].cost = 0
	drift := 0.0 // running ideal minus its rounding, carried so that cells stay whole
	for g, id := range order {
		m := float64(len(members[id]))
		next := drift + m*ideal[members[id][0]]
		base := int(math.Floor(next))
		for _, c := range choices(f, members[id], ideal, fixed) {
			step := len(members[id])*c.ends - base
			for d := range states {
				to := d + step
				cost := table[g][d].cost + float32(c.cost)
				if to < 0 || to >= states || cost >= table[g+1][to].cost {
					continue
				}
				table[g+1][to] = cell{cost, int16(c.ends), int16(d)}
			}
		}
		drift = next - float64(base)
	}
	best, cost := -1, math.Inf(1)
	for d := range states {
		off := math.Abs(float64(d-window) - drift)
		if c := float64(table[len(order)][d].cost) + costTotal*off; off <= slack && c < cost {
			best, cost = d, c
		}
	}
	if best < 0 {
		return nil, false
	}
	ends := make([]int, len(f.Stripes))
	for g := len(order); g > 0; g-- {
		c := table[g][best]
		for _, i := range members[order[g-1]] {
			ends[i] = int(c.pick)
		}
		best = int(c.from)
	}
	return ends, true
}

// groups lists the members of each group and the groups in order of appearance.
func groups(group []int) (members map[int][]int, order []int) {
	members = map[int][]int{}
	for i, g := range group {
		if len(members[g]) == 0 {
			order = append(order, g)
		}
		members[g] = append(members[g], i)
	}
	return members, order
}

// choices are the whole ends within reach of a group's ideal: its period made
// even, or as far as the running sum may drift from one side to the other.
func choices(f Flat, members []int, ideal []float64, fixed []bool) []choice {
	i := members[0]
	if fixed[i] {
		return []choice{{ends: int(ideal[i])}}
	}
	m := float64(len(members))
	period := f.Stripes[i].Period()
	reach := float64(min(period*(1+period%2), 2*window)) + hair
	var out []choice
	for n := max(1, int(math.Ceil(ideal[i]-reach))); float64(n) <= ideal[i]+reach; n++ {
		c := math.Abs(float64(n) - ideal[i])
		if n%2 == 1 {
			c += costOdd
		}
		if n%period != 0 {
			c += costBroken
		}
		out = append(out, choice{n, m * c})
	}
	return out
}

func gather(f Flat, ends []int, ideal []float64, wanted float64) Fitted {
	fit := Fitted{Stripes: make([]Laid, len(ends)), Wanted: wanted, RepeatsAlike: true}
	of := map[int]int{}
	for i, n := range ends {
		fit.Stripes[i] = Laid{Yarns: f.Stripes[i].Yarns, First: fit.Ends + 1, Ends: n, Ideal: measure.Count(ideal[i]), Share: measure.Count(f.Stripes[i].Share), Back: f.Stripes[i].Back}
		fit.Ends += n
		fit.MostOff = max(fit.MostOff, math.Abs(float64(n)-ideal[i]))
		if was, ok := of[f.Alike[i]]; ok && was != n {
			fit.RepeatsAlike = false
		}
		of[f.Alike[i]] = n
	}
	return fit
}

// Yarn names the yarn of each end from left to right, as indices into names,
// which are in order of first appearance.
func (f Fitted) Yarn() (ends []int, names []string) {
	ends = make([]int, 0, f.Ends)
	index := map[string]int{}
	for _, s := range f.Stripes {
		for n := range s.Ends {
			yarn := s.yarnAt(n)
			if _, ok := index[yarn]; !ok {
				index[yarn] = len(names)
				names = append(names, yarn)
			}
			ends = append(ends, index[yarn])
		}
	}
	return ends, names
}

// yarnAt names the yarn of an end, counted from 0 at the stripe's left.
func (s Laid) yarnAt(end int) string {
	if s.Back {
		end = s.Ends - 1 - end
	}
	end %= s.period()
	last := len(s.Yarns) - 1
	for _, l := range s.Yarns[:last] {
		if end < l.Ends {
			return l.Yarn
		}
		end -= l.Ends
	}
	return s.Yarns[last].Yarn
}
