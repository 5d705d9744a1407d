package label

import (
	"cmp"
	"slices"
	"strconv"

	"urdir/check"
)

// Rule is whose labelling rules are kept to.
type Rule string

const (
	EU Rule = "eu" // Regulation (EU) 1007/2011
	US Rule = "us" // 16 CFR 303, and 300 for wool
)

// Part is so much of a fibre in a finished piece.
type Part struct {
	Fibre Fibre
	Mass  int64 // milligrams
	// Decoration is true for what is only there to be seen, as figures in brocade.
	Decoration bool
	// Named is true for a fibre that does something however little of it there is,
	// so that it is never put among other fibres.
	Named bool
}

// Options are what one may do and need not.
type Options struct {
	Rule Rule
	// Gather puts fibres that are too few to be named together as other fibres.
	Gather bool
	// WithoutDecoration leaves decoration out where the rule lets it, and the tag says
	// "exclusive of decoration".
	WithoutDecoration bool
}

// Share is a line of a tag.
type Share struct {
	Fibre   Fibre
	Percent int
}

// Content is what a tag says of fibres.
type Content struct {
	Shares []Share // most first; together 100
	// Pure is true for one fibre and nothing else: only then may a tag say "100 %",
	// "pure" or "all".
	Pure              bool
	WithoutDecoration bool // and the tag must say so
}

// Limits of the two rules, in per cents of the mass (from memory, but that names and
// per cents are needed at all).
const (
	euFew        = 5             // 1007/2011 Art. 9: a fibre of so much or less may be other fibres,
	euFewAll     = 15            // and several of those, if together they are so much or less
	usFew        = 5             // 16 CFR 303.3: a fibre of less must be other fibre
	euDecoration = 7             // 1007/2011 Art. 10: visible and separable, so much or less
	usDecoration = 5             // 16 CFR 303.26: ornamentation of so much or less
	maxMass      = 1_000_000_000 // mg: a tonne
)

// Reckon makes the fibre content of a piece. Per cents are whole and add up to 100 by
// largest remainder, so that each is less than one from exact, well within the three
// that both rules tolerate; the largest come first, equal ones by name, other fibres
// last. A fibre that is there is at least 1, at the cost of others: a piece with any
// of another is never 100 % of the first. With more than three fibres of less
// than 1 % that may leave the tolerance; gather them.
//
// In the European Union, fibres of 5 % or less are gathered as other fibres only when
// asked. In the United States a fibre below 5 % is other fibre, unless it is wool, of
// which every bit is named (16 CFR 300), or is Named for what it does.
//
// Problems: content-none, content-mass, fibre-name, rule-unknown.
func Reckon(parts []Part, o Options) (Content, check.Problems) {
	ps := validate(parts, o)
	if ps.Failed() {
		return Content{}, ps
	}
	var c Content
	parts, c.WithoutDecoration = trim(parts, o)
	fibres := gather(parts)
	total := mass(fibres)
	var few []Part
	named := slices.DeleteFunc(slices.Clone(fibres), func(p Part) bool {
		if !tooFew(p, total, o) {
			return false
		}
		few = append(few, p)
		return true
	})
	if others := mass(few); len(few) > 0 && (o.Rule == EU && others*100 > euFewAll*total || len(named) == 0) {
		named, few = fibres, nil
	}
	sort(named)
	if len(few) > 0 { // last, however many
		named = append(named, Part{Fibre: Others, Mass: mass(few)})
	}
	c.Pure = len(fibres) == 1 && !c.WithoutDecoration
	c.Shares = percents(named, total)
	return c, ps
}

func validate(parts []Part, o Options) (ps check.Problems) {
	if o.Rule != EU && o.Rule != US {
		ps.Wrong("rule", "rule-unknown", check.Args{"text": string(o.Rule)})
	}
	if len(parts) == 0 || len(parts) > 1000 {
		ps.Wrong("parts", "content-none", nil)
	}
	for i, p := range parts {
		path := "parts[" + strconv.Itoa(i) + "]"
		if _, ok := kinds[p.Fibre]; !ok {
			ps.Wrong(path+".fibre", "fibre-name", check.Args{"text": string(p.Fibre)})
		}
		if p.Mass <= 0 || p.Mass > maxMass {
			ps.Wrong(path+".mass", "content-mass", nil)
		}
	}
	return ps
}

// trim leaves decoration out where it is asked for and allowed.
func trim(parts []Part, o Options) (rest []Part, without bool) {
	plain := slices.DeleteFunc(slices.Clone(parts), func(p Part) bool { return p.Decoration })
	most := int64(euDecoration)
	if o.Rule == US {
		most = usDecoration
	}
	all, body := mass(parts), mass(plain)
	if !o.WithoutDecoration || body == 0 || body == all || (all-body)*100 > most*all {
		return parts, false
	}
	return plain, true
}

// gather adds up the parts of each fibre, in order of name.
func gather(parts []Part) []Part {
	sums := map[Fibre]*Part{}
	for _, p := range parts {
		s := sums[p.Fibre]
		if s == nil {
			s = &Part{Fibre: p.Fibre}
			sums[p.Fibre] = s
		}
		s.Mass, s.Named = s.Mass+p.Mass, s.Named || p.Named
	}
	var out []Part
	for _, f := range Fibres() {
		if s := sums[f]; s != nil {
			out = append(out, *s)
		}
	}
	return out
}

func mass(parts []Part) (sum int64) {
	for _, p := range parts {
		sum += p.Mass
	}
	return sum
}

// tooFew reports whether a fibre goes among other fibres.
func tooFew(p Part, total int64, o Options) bool {
	if p.Named {
		return false
	}
	if o.Rule == US {
		return kinds[p.Fibre] != hair && p.Mass*100 < usFew*total
	}
	return o.Gather && p.Mass*100 <= euFew*total
}

func sort(parts []Part) {
	slices.SortStableFunc(parts, func(a, b Part) int { return cmp.Compare(b.Mass, a.Mass) })
}

// percents shares 100 out by mass, by largest remainder, and gives what would be
// nothing 1, taken from what was rounded up most.
func percents(parts []Part, total int64) []Share {
	out, order, rests := make([]Share, len(parts)), make([]int, len(parts)), make([]int64, len(parts))
	left := 100
	for i, p := range parts {
		out[i], rests[i], order[i] = Share{p.Fibre, int(p.Mass * 100 / total)}, p.Mass*100%total, i
		left -= out[i].Percent
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rests[b], rests[a]) })
	for _, i := range order[:left] {
		out[i].Percent++
	}
	for i := range out {
		if out[i].Percent == 0 {
			out[i].Percent++
			out[mostOver(out, parts, total)].Percent--
		}
	}
	return out
}

// mostOver is the share above 1 that was rounded up most, the last of equal ones, so
// that the order stays.
func mostOver(shares []Share, parts []Part, total int64) (most int) {
	over := func(i int) int64 { return int64(shares[i].Percent)*total - 100*parts[i].Mass }
	for i := range shares {
		if shares[i].Percent > 1 && (shares[most].Percent <= 1 || over(i) >= over(most)) {
			most = i
		}
	}
	return most
}
