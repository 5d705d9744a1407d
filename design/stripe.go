package design

import (
	"math"
	"slices"
	"strings"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// Size is how wide a stripe is; exactly one is above zero.
type Size struct {
	Ends  int
	Width measure.CM // in the finished cloth
	Share float64    // of what stripes in ends and cm leave
}

// Bounds of what a person can mean by a size.
const (
	mostShare            = 1e6
	mostWidth measure.CM = 2000 // as in package plan
)

// SizeOf is the size of a stripe.
func SizeOf(s warp.Stripe) Size { return Size{s.Ends, s.Width, s.Share} }

func (z Size) of(s *warp.Stripe) { s.Ends, s.Width, s.Share = z.Ends, z.Width, z.Share }

// SetSize makes a stripe as wide as given, in ends, in cm or as a share.
//
// Codes: design-not-a-stripe, stripe-size, stripe-negative,
// stripes-too-many-ends, size-out-of-range, out-of-range.
func SetSize(c plan.Cloth, at At, size Size) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(_ place, s *warp.Stripe, _ *check.Problems) { size.of(s) })
}

// Recolour gives one yarn of a stripe, counted from 0, another yarn's place.
//
// Codes: design-not-a-stripe, design-no-such-yarn, yarn-unknown.
func Recolour(c plan.Cloth, at At, which int, yarn string) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(_ place, s *warp.Stripe, ps *check.Problems) {
		if has(*s, which, ps) {
			s.Yarns[which].Yarn = yarn
		}
	})
}

func has(s warp.Stripe, which int, ps *check.Problems) bool {
	if which < 0 || which >= len(s.Yarns) {
		ps.Wrong("", "design-no-such-yarn", check.Args{"which": which + 1, "yarns": len(s.Yarns)})
		return false
	}
	return true
}

// Alternate makes a stripe change between its first yarn and another: so many
// ends of its own, so many of the other.
//
// Codes: design-not-a-stripe, yarn-unknown, lay-ends.
func Alternate(c plan.Cloth, at At, yarn string, own, other int) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(_ place, s *warp.Stripe, ps *check.Problems) {
		if has(*s, 0, ps) {
			s.Yarns = []warp.Lay{{Yarn: s.Yarns[0].Yarn, Ends: own}, {Yarn: yarn, Ends: other}}
		}
	})
}

// Plain makes a stripe all of one of its yarns, counted from 0.
//
// Codes: design-not-a-stripe, design-no-such-yarn.
func Plain(c plan.Cloth, at At, which int) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(_ place, s *warp.Stripe, ps *check.Problems) {
		if has(*s, which, ps) {
			s.Yarns = []warp.Lay{{Yarn: s.Yarns[which].Yarn}}
		}
	})
}

// Split cuts a stripe in two; so many of its ends come into the first. The
// order of an alternation goes on across the cut. The stripe across the axis of
// a mirrored group becomes a group of two, laid once: the cloth stays as it was.
//
// Codes: design-not-a-stripe, design-split-size, design-unfitted.
func Split(c plan.Cloth, at At, ends int) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(p place, s *warp.Stripe, ps *check.Problems) {
		have := s.Ends
		if have == 0 {
			here, _, _ := fittedAt(c, at)
			have = here.Ends
		}
		if have == 0 {
			ps.Wrong("", "design-unfitted", nil)
			return
		}
		if ends < 1 || ends >= have {
			ps.Wrong("", "design-split-size", check.Args{"ends": ends, "have": have})
			return
		}
		second := node{stripe: s}.clone()
		second.stripe.Yarns = from(s.Yarns, ends)
		part := float64(ends) / float64(have)
		first := Size{Width: s.Width * measure.CM(part), Share: s.Share * part}
		if s.Ends > 0 {
			first.Ends = ends
		}
		Size{s.Ends - first.Ends, s.Width - first.Width, s.Share - first.Share}.of(second.stripe)
		first.of(s)
		if p.group != nil && p.group.mirror && p.i == len(*p.list)-1 {
			*p.node() = node{repeat: 1, kids: []node{p.node().clone(), second}}
			return
		}
		*p.list = slices.Insert(*p.list, p.i+1, second)
	})
}

// from is an alternation as it goes on after so many ends.
func from(yarns []warp.Lay, after int) []warp.Lay {
	period := warp.Stripe{Yarns: yarns}.Period()
	if len(yarns) < 2 || period < 1 || after%period == 0 {
		return slices.Clone(yarns)
	}
	after %= period
	for i, l := range yarns {
		if after < l.Ends {
			out := append([]warp.Lay{{Yarn: l.Yarn, Ends: l.Ends - after}}, yarns[i+1:]...)
			out = append(out, yarns[:i]...)
			if after > 0 {
				out = append(out, warp.Lay{Yarn: l.Yarn, Ends: after})
			}
			return out
		}
		after -= l.Ends
	}
	return slices.Clone(yarns)
}

// Join makes one stripe of a stripe and the next; both must be in ends, in cm
// or shares. It keeps the yarns of the first. If the two were all that lies
// across the axis of a mirrored group, their group goes, as Split made it.
//
// Codes: design-not-a-stripe, design-join-last, design-join-size.
func Join(c plan.Cloth, at At) (plan.Cloth, check.Problems) {
	return editStripe(c, at, func(p place, s *warp.Stripe, ps *check.Problems) {
		if p.i+1 >= len(*p.list) || (*p.list)[p.i+1].stripe == nil {
			ps.Wrong("", "design-join-last", nil)
			return
		}
		next := (*p.list)[p.i+1].stripe
		if (s.Ends > 0) != (next.Ends > 0) || (s.Width > 0) != (next.Width > 0) {
			ps.Wrong("", "design-join-size", nil)
			return
		}
		Size{s.Ends + next.Ends, s.Width + next.Width, s.Share + next.Share}.of(s)
		*p.list = slices.Delete(*p.list, p.i+1, p.i+2)
		if p.group == nil || p.group.mirror || p.group.repeat != 1 || len(*p.list) > 1 {
			return
		}
		if outer, round, i := find(p.root, at.Path[:len(at.Path)-1]); round != nil && round.mirror && i == len(*outer)-1 {
			*p.group = *p.node()
		}
	})
}

// editStripe edits a stripe; what was not wrong with it before must not be
// after.
func editStripe(c plan.Cloth, at At, do func(p place, s *warp.Stripe, ps *check.Problems)) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		s := p.node().stripe
		if s == nil {
			ps.Wrong("", "design-not-a-stripe", nil)
			return
		}
		before := stripeProblems(c, *s)
		do(p, s, ps)
		*ps = append(*ps, fresh(before, stripeProblems(c, *s))...)
	})
}

// fresh is what is wrong now and was not before.
func fresh(before, after check.Problems) (out check.Problems) {
	for _, p := range after {
		was := func(o check.Problem) bool { return o.Path == p.Path && o.Code == p.Code }
		if !slices.ContainsFunc(before, was) {
			out = append(out, p)
		}
	}
	return out
}

// stripeProblems finds what is wrong with one stripe of a cloth.
func stripeProblems(c plan.Cloth, s warp.Stripe) (ps check.Problems) {
	if !within(float64(s.Width), float64(mostWidth)) {
		ps.Wrong("", "size-out-of-range", check.Args{"value": s.Width, "low": measure.CM(0), "high": mostWidth})
	}
	if !within(s.Share, mostShare) {
		ps.Wrong("", "out-of-range", check.Args{"value": s.Share, "low": 0.0, "high": mostShare})
	}
	_, alone := warp.Order{Items: []warp.Item{{Stripe: &s}}}.Expand()
	for _, p := range alone {
		p.Path = strings.TrimPrefix(strings.TrimPrefix(p.Path, "stripes[0]"), ".")
		ps = append(ps, p)
	}
	for _, l := range s.Yarns {
		yarnProblems(c, "", l.Yarn, &ps)
	}
	return ps
}

// within tells whether a number lies between nothing and the most; what is no
// number does not.
func within(v, most float64) bool { return v >= 0 && v <= most && !math.IsNaN(v) }

func yarnProblems(c plan.Cloth, path, key string, ps *check.Problems) {
	var keys []string
	for _, y := range c.Yarns {
		if y.Key == key {
			return
		}
		keys = append(keys, y.Key)
	}
	ps.Wrong(path, "yarn-unknown", check.Args{"yarn": key, "known": strings.Join(keys, ", ")})
}
