package learned

import (
	"math"
	"slices"

	"urdir/chance"
	"urdir/measure"
)

// Factored is how baths differ by a factor, once what their recipes do is taken
// out. Whether it is more than chance is in Chance.
type Factored struct {
	Factor  Factor
	Baths   int     // that were compared: of recipes that were dyed in more than one group
	Recipes int     // of these baths
	Groups  []Group // by name
	// Share is what groups explain of the squares of the offsets about their
	// recipes' means; Between and Left are the degrees of freedom between groups and
	// those left. They are 0 where the least P is above the level.
	Share   measure.Ratio
	Between int
	Left    int
	Chance
}

// Group is the baths of a group.
type Group struct {
	Name  string
	Baths int
	Shift Shift // mean of their offsets, each less the mean of its recipe in the comparison
}

// F is Anderson's pseudo-F; ok is false where it has no value: no degrees of
// freedom, or the groups explain all.
func (f *Factored) F() (value float64, ok bool) {
	if f.Between == 0 || f.Left == 0 || f.Share == 1 {
		return 0, false
	}
	return float64(f.Share) / float64(f.Between) / (float64(1-f.Share) / float64(f.Left)), true
}

// factored compares the groups of a factor.
func factored(obs []Observation, f Factor) Factored {
	b := newBlocks(obs, f)
	out := Factored{Factor: f, Baths: len(b.rows), Recipes: len(b.ends)}
	sums, scale := make([]Shift, len(b.names)), 0.0
	for _, r := range b.rows {
		sums[r.group] = sums[r.group].plus(r.offset)
		scale += r.offset.square()
	}
	for g, name := range b.names {
		n := 0
		for _, counts := range b.counts {
			n += counts[g]
		}
		out.Groups = append(out.Groups, Group{name, n, sums[g].times(1 / float64(n))})
	}
	all, least := b.arrangements()
	if !atLevel(least) {
		out.Chance = unasked(least)
		return out
	}
	root := b.root()
	between := root.between(sums)
	out.Between, out.Left = len(root), out.Baths-out.Recipes-len(root)
	out.Share = share(between, scale)
	t := newTally(between, scale)
	if all > mostExact+0.5 { // a whole number but for rounding
		b.drawn(shuffles, func(sums []Shift) { t.see(root.between(sums)) })
		out.Chance = t.drawn(least)
		return out
	}
	b.every(func(sums []Shift) { t.see(root.between(sums)) })
	out.Chance = t.all(least)
	return out
}

// share is a part of a whole; what rounding alone keeps from none or all is that.
func share(part, whole float64) measure.Ratio {
	switch {
	case part <= rounding*whole:
		return 0
	case part >= (1-rounding)*whole:
		return 1
	}
	return measure.Ratio(part / whole)
}

// blocks are the baths that can be compared, recipe after recipe. A recipe that
// was dyed in one group only says nothing of the others and is left out.
type blocks struct {
	names  []string // of groups, in order
	rows   []row
	ends   []int   // where the rows of each recipe end
	counts [][]int // rows of each recipe in each group
}

// row is a bath: its group, and its offset less the mean of its recipe.
type row struct {
	group  int
	offset Shift
}

func newBlocks(obs []Observation, f Factor) *blocks {
	b := &blocks{}
	var kept [][]Observation
	for of := range recipes(obs) {
		of = slices.DeleteFunc(slices.Clone(of), func(o Observation) bool { return f.group(&o) == "" })
		if len(of) == 0 || !slices.ContainsFunc(of, func(o Observation) bool { return f.group(&o) != f.group(&of[0]) }) {
			continue
		}
		kept = append(kept, of)
		for i := range of {
			b.names = append(b.names, f.group(&of[i]))
		}
	}
	slices.Sort(b.names)
	b.names = slices.Compact(b.names)
	for _, of := range kept {
		var mean Shift
		for i := range of {
			mean = mean.plus(of[i].offset().times(1 / float64(len(of))))
		}
		counts := make([]int, len(b.names))
		for i := range of {
			g, _ := slices.BinarySearch(b.names, f.group(&of[i]))
			counts[g]++
			b.rows = append(b.rows, row{g, of[i].offset().plus(mean.times(-1))})
		}
		b.ends, b.counts = append(b.ends, len(b.rows)), append(b.counts, counts)
	}
	return b
}

// arrangements is in how many ways the groups can be dealt out among the baths of
// each recipe, and the least P: groups with the same numbers of baths in every
// recipe can be exchanged whole, which sets them no farther apart.
func (b *blocks) arrangements() (all, least float64) {
	ways := 0.0 // logarithm
	for _, counts := range b.counts {
		n := 0
		for _, c := range counts {
			n += c
			ways -= factorial(c)
		}
		ways += factorial(n)
	}
	alike := map[string]int{}
	for g := range b.names {
		var column []byte
		for _, counts := range b.counts {
			column = append(column, byte(counts[g]), byte(counts[g]>>8))
		}
		alike[string(column)]++
	}
	same := 0.0
	for _, n := range alike {
		same += factorial(n)
	}
	return math.Exp(ways), math.Exp(same - ways)
}

// factorial is the logarithm of n!.
func factorial(n int) float64 {
	l, _ := math.Lgamma(float64(n + 1))
	return l
}

// every tells the sums of the groups in every arrangement.
func (b *blocks) every(see func(sums []Shift)) {
	left := make([][]int, len(b.counts))
	for k := range left {
		left[k] = slices.Clone(b.counts[k])
	}
	sums := make([]Shift, len(b.names))
	var place func(i, k int)
	place = func(i, k int) {
		if i == len(b.rows) {
			see(sums)
			return
		}
		if i == b.ends[k] {
			k++
		}
		for g := range sums {
			if left[k][g] == 0 {
				continue
			}
			before := sums[g]
			left[k][g]--
			sums[g] = before.plus(b.rows[i].offset)
			place(i+1, k)
			sums[g] = before
			left[k][g]++
		}
	}
	place(0, 0)
}

// drawn tells the sums of the groups in arrangements drawn by chance.
func (b *blocks) drawn(times int, see func(sums []Shift)) {
	random := chance.Stream(seed)
	rows := slices.Clone(b.rows)
	sums := make([]Shift, len(b.names))
	for range times {
		clear(sums)
		from := 0
		for _, to := range b.ends {
			for i := to - 1; i > from; i-- { // Fisher and Yates
				k := from + random.Below(i-from+1)
				rows[i].offset, rows[k].offset = rows[k].offset, rows[i].offset
			}
			from = to
		}
		for _, r := range rows {
			sums[r.group] = sums[r.group].plus(r.offset)
		}
		see(sums)
	}
}
