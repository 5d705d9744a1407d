package tie

import (
	"cmp"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// length is a part of the finished panel that is tied.
type length struct{ from, to measure.CM }

// group is neighbouring ends that are tied at the same lengths.
type group struct {
	first, last int
	tied        []length
}

// groups cuts the ends wherever a mark begins or ends, and leaves out those that
// no mark covers.
func groups(marks []written, ends int) []group {
	cuts := []int{1, ends + 1}
	for _, m := range marks {
		cuts = append(cuts, m.First, m.Last+1)
	}
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out []group
	for i, first := range cuts[:len(cuts)-1] {
		g := group{first, cuts[i+1] - 1, tied(marks, first)}
		last := len(out) - 1
		switch {
		case len(g.tied) == 0:
		case last >= 0 && out[last].last == first-1 && slices.Equal(out[last].tied, g.tied):
			out[last].last = g.last
		default:
			out = append(out, g)
		}
	}
	return out
}

// tied is where an end is tied: its marks, joined where they meet.
func tied(marks []written, end int) []length {
	var out []length
	for _, m := range marks {
		if m.First <= end && end <= m.Last {
			out = append(out, length{m.From, m.To})
		}
	}
	slices.SortFunc(out, func(a, b length) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	joined := out[:0]
	for _, l := range out {
		if n := len(joined); n > 0 && l.from <= joined[n-1].to {
			joined[n-1].to = max(joined[n-1].to, l.to)
			continue
		}
		joined = append(joined, l)
	}
	return joined
}

// bind makes the bundles and the ties of each, unless they are too many.
func (g *Guide) bind(marks []written, ends int, a along, s Setup, ps *check.Problems) {
	all := groups(marks, ends)
	for _, gr := range all {
		g.Ties += gr.parts(s.Bundle) * len(gr.tied) * len(g.Repeats)
	}
	if g.Ties > MaxTies {
		ps.Wrong("marks", "tie-too-many", check.Args{"ties": g.Ties, "most": MaxTies})
		return
	}
	for _, gr := range all {
		ties := g.ties(gr.tied, a, s)
		n, parts := gr.last-gr.first+1, gr.parts(s.Bundle)
		for i := range parts {
			b := Bundle{First: gr.first + i*n/parts, Last: gr.first + (i+1)*n/parts - 1, Ties: ties}
			b.Ends = b.Last - b.First + 1
			g.Bundles = append(g.Bundles, b)
		}
	}
}

// parts is the fewest bundles of at most so many ends.
func (gr group) parts(most int) int { return (gr.last - gr.first + most) / most }

func (g *Guide) ties(tied []length, a along, s Setup) []Tie {
	var out []Tie
	for i, r := range g.Repeats {
		for _, l := range tied {
			t := Tie{Repeat: i + 1, From: g.edge(r, a, l.from, s), To: g.edge(r, a, l.to, s)}
			t.Length = t.To.At.Middle - t.From.At.Middle
			out = append(out, t)
		}
	}
	return out
}

func (g *Guide) edge(r Repeat, a along, x measure.CM, s Setup) Edge {
	p, _ := a.position(x)
	e := Edge{Drawn: x, At: r.From.plus(p)}
	e.Blur = a.blur(x, s.Shift)
	e.Outward, e.Homeward = e.At.Middle, g.Homeward-e.At.Middle
	if s.AtTurn {
		e.Outward, e.Homeward = g.Outward-e.At.Middle, e.At.Middle
	}
	return e
}
