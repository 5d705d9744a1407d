package design

import (
	"slices"

	"urdir/check"
	"urdir/plan"
	"urdir/warp"
)

// InsertStripe puts a stripe at an address of a stripe list: what stood there
// comes after it. The address after the last is good too.
//
// Codes: design-not-there, design-not-a-stripe, and those of a stripe.
func InsertStripe(c plan.Cloth, at At, s warp.Stripe) (plan.Cloth, check.Problems) {
	return change(c, at, func(p place, ps *check.Problems) {
		if at.In == Bands {
			ps.Wrong("", "design-not-a-stripe", nil)
			return
		}
		*p.list = slices.Insert(*p.list, p.i, node{stripe: &s}.clone())
		*ps = append(*ps, stripeProblems(c, s)...)
	})
}

// InsertBand puts a band at an address of the bands of a panel, like
// InsertStripe.
//
// Codes: design-not-there, design-not-a-band, and those of a band.
func InsertBand(c plan.Cloth, at At, b plan.Band) (plan.Cloth, check.Problems) {
	return change(c, at, func(p place, ps *check.Problems) {
		if at.In != Bands {
			ps.Wrong("", "design-not-a-band", nil)
			return
		}
		b.Place.Upright = max(1, b.Place.Upright)
		*p.list = slices.Insert(*p.list, p.i, node{band: &b}.clone())
		*ps = append(*ps, bandProblems(c, b)...)
	})
}

// Remove takes out a stripe, a band or a group, and groups that become empty.
// When the rest goes out of a panel whose bands have to add up, that is said
// (design-rest-gone).
func Remove(c plan.Cloth, at At) (plan.Cloth, check.Problems) {
	out, ps := edit(c, at, func(p place, _ *check.Problems) { p.node().gone = true })
	if at.In == Bands && !ps.Failed() && len(rests(c, at)) > 0 && len(rests(out, at)) == 0 {
		ps.Look(at.list(), "design-rest-gone", nil)
	}
	return out, ps
}

// Duplicate lays a stripe, band or group once more, behind itself. The copy can
// be changed by itself.
func Duplicate(c plan.Cloth, at At) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, _ *check.Problems) {
		*p.list = slices.Insert(*p.list, p.i+1, p.node().clone())
	})
}

// Move takes a stripe, band or group from one address of a list to another of
// the same list and tells where it then is: before what stands at the second
// address now, or after the last.
//
// Codes: design-not-there, design-move-elsewhere, design-move-inside.
func Move(c plan.Cloth, from, to At) (plan.Cloth, At, check.Problems) {
	out, ps := edit(c, from, func(p place, ps *check.Problems) {
		if from.In != to.In || from.Key != to.Key {
			ps.Wrong("", "design-move-elsewhere", nil)
			return
		}
		if len(to.Path) > len(from.Path) && slices.Equal(to.Path[:len(from.Path)], from.Path) {
			ps.Wrong("", "design-move-inside", nil)
			return
		}
		if list, _, _ := find(p.root, to.Path); list == nil {
			ps.Wrong("", "design-not-there", nil)
			return
		}
		taken := p.node().clone()
		p.node().gone = true
		list, _, i := find(p.root, to.Path)
		*list = slices.Insert(*list, i, taken)
	})
	if ps.Failed() {
		return c, from, ps
	}
	return out, from.in(movedTo(c, from, to)), ps
}

// movedTo is the path of what Move moved: the list is written once more with
// the item marked, which is simpler than reckoning with places that shift.
func movedTo(c plan.Cloth, from, to At) []int {
	root, _ := load(c, from)
	list, _, i := find(&root, from.Path)
	taken := (*list)[i].clone()
	taken.moved = true
	(*list)[i].gone = true
	list, _, i = find(&root, to.Path)
	*list = slices.Insert(*list, i, taken)
	return markedIn(prune(root))
}

func markedIn(nodes []node) []int {
	for i, n := range nodes {
		if n.moved {
			return []int{i}
		}
		if path := markedIn(n.kids); path != nil {
			return append([]int{i}, path...)
		}
	}
	return nil
}

// Repeat makes a group of so many neighbours, the first at the address, and
// lays it so many times.
//
// Codes: design-range, repeat-too-few.
func Repeat(c plan.Cloth, at At, count, times int) (plan.Cloth, check.Problems) {
	return group(c, at, count, func(ps *check.Problems) node {
		timesProblems(times, ps)
		return node{repeat: times}
	})
}

// Mirror makes a mirrored group of so many neighbours, the first at the
// address: the last of them lies across the axis and the others come back again
// behind it.
//
// Codes: design-range.
func Mirror(c plan.Cloth, at At, count int) (plan.Cloth, check.Problems) {
	return group(c, at, count, func(*check.Problems) node { return node{mirror: true} })
}

func group(c plan.Cloth, at At, count int, with func(*check.Problems) node) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		g := with(ps)
		if !inRange(p, count, ps) {
			return
		}
		g.kids = slices.Clone((*p.list)[p.i : p.i+count])
		*p.list = slices.Replace(*p.list, p.i, p.i+count, g)
	})
}

// inRange checks that so many neighbours begin at the place.
func inRange(p place, count int, ps *check.Problems) bool {
	if most := len(*p.list) - p.i; count < 1 || count > most {
		ps.Wrong("", "design-range", check.Args{"count": count, "most": most})
		return false
	}
	return true
}

func timesProblems(times int, ps *check.Problems) {
	if times < 1 {
		ps.Wrong("repeat", "repeat-too-few", check.Args{"repeat": times})
	}
}

// SetTimes sets how often a group is laid; a mirrored group becomes a repeated
// one.
//
// Codes: design-not-a-group, repeat-too-few.
func SetTimes(c plan.Cloth, at At, times int) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		timesProblems(times, ps)
		n := p.node()
		if n.leaf() {
			ps.Wrong("", "design-not-a-group", nil)
		}
		n.repeat, n.mirror = times, false
	})
}

// Ungroup puts what a group holds, once, in the place of the group.
//
// Codes: design-not-a-group.
func Ungroup(c plan.Cloth, at At) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		if p.node().leaf() {
			ps.Wrong("", "design-not-a-group", nil)
			return
		}
		*p.list = slices.Replace(*p.list, p.i, p.i+1, p.node().kids...)
	})
}
