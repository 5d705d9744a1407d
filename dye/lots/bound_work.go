package lots

import (
	"cmp"
	"math"
	"slices"
)

// workBound tries every number of dye days. So many days have so many pots of
// each size, which must hold all yarn in all its stages; a colour needs at least
// its yarn over the largest pot, and more baths where large pots are short; an
// afterbath needs a fresh bath to come from.
func (j *job) workBound() int64 {
	baths, fresh := j.fewestBaths()
	var volume, mass float64
	stages := 0
	for i := range j.groups {
		g := &j.groups[i]
		stages = max(stages, len(g.recipe.waits))
		volume += float64(g.mass) / 1e6 * float64(j.work.Recipes[g.recipe.index].Liquor) * float64(len(g.recipe.waits))
		mass += float64(g.mass)
	}
	days := max(stages, int(math.Ceil(mass/float64(j.line)-slack)), (baths+len(j.litres)-1)/len(j.litres))
	best := int64(math.MaxInt64)
	for ; int64(costDay*days)+int64(costBath*baths+costFresh*fresh) < best; days++ {
		n, ok := j.bathsFor(volume, days)
		if n = max(n, baths+j.moreBaths(days)); ok && n <= days*len(j.litres) {
			best = min(best, int64(costDay*days+costBath*n+costFresh*fresh))
		}
	}
	return best
}

// bathsFor is the fewest baths that hold a volume in so many days, the largest
// pots first.
func (j *job) bathsFor(volume float64, days int) (baths int, ok bool) {
	for _, each := range slices.Backward(j.litres) {
		if n := math.Ceil(volume/each - slack); n <= float64(days) {
			return baths + max(int(n), 0), true
		}
		volume -= each * float64(days)
		baths += days
	}
	return 0, false
}

// fewestBaths is the fewest baths of all stages, and the fewest fresh dye baths.
// A bath more than the fewest costs two at least, more than the one it can save
// as the source of an afterbath, so that the fewest of both go together.
func (j *job) fewestBaths() (baths, fresh int) {
	groups := make([]int, len(j.groups))
	for i := range j.groups {
		g := &j.groups[i]
		groups[i] = j.fewestOf(g)
		baths += groups[i] * len(g.recipe.waits)
		fresh += groups[i]
	}
	// Afterbaths of a family are at most half its baths, and at most the baths
	// of colours that a stronger one can feed.
	for i := 0; i < len(j.groups); {
		first, all, pale := i, 0, 0
		for ; i < len(j.groups) && j.groups[i].family == j.groups[first].family; i++ {
			all += groups[i]
			if i > first && j.feeds(first, i) {
				pale += groups[i]
			}
		}
		fresh -= min(all/2, pale)
	}
	return baths, fresh
}

// fewestOf is the fewest baths of a stage of a group.
func (j *job) fewestOf(g *group) int {
	wants := j.wants[g.first:g.end]
	most := g.recipe.cap[len(g.recipe.cap)-1]
	if skein := wants[0].skein; wants[len(wants)-1].skein == skein { // all alike
		most -= most % skein
	}
	return int((g.mass + most - 1) / most)
}

// moreBaths is how many baths more than the fewest it takes since large pots come
// once a day each. For each size, a colour in n baths needs some in pots of that
// size or larger, even if those are as large as the largest and all others just
// below the size; each bath more lowers that, and the colours that it lowers most
// come first.
func (j *job) moreBaths(days int) (more int) {
	type unit struct{ count, each int }
	for c := 1; c < len(j.litres); c++ {
		over := -days * (len(j.litres) - c)
		var units []unit
		for i := range j.groups {
			g := &j.groups[i]
			small, big := g.recipe.cap[c-1], g.recipe.cap[len(g.recipe.cap)-1]
			if small == big {
				continue
			}
			rest := g.mass - int64(j.fewestOf(g))*small
			if rest <= 0 {
				continue
			}
			large := int((rest + big - small - 1) / (big - small))
			each := max(1, min(large, int((big-1)/(big-small))))
			over += large * len(g.recipe.waits)
			units = append(units, unit{large * len(g.recipe.waits), each})
		}
		slices.SortFunc(units, func(a, b unit) int { return cmp.Compare(b.each, a.each) })
		sum := 0.0
		for _, u := range units {
			if over <= 0 {
				break
			}
			sum += float64(min(over, u.count)) / float64(u.each)
			over -= u.count
		}
		more = max(more, int(math.Ceil(sum-slack)))
	}
	return more
}
