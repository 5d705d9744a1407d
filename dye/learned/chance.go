package learned

import (
	"cmp"
	"slices"
)

// Verdict is what can be said.
type Verdict string

const (
	TooFew           Verdict = "too-few" // no colours that came could have shown a difference
	NoMoreThanChance Verdict = "no-more-than-chance"
	MoreThanChance   Verdict = "more-than-chance"
)

// DefaultLevel is how often chance alone may be called more than chance: one time
// in twenty (Fisher, Statistical Methods for Research Workers, 1925).
const DefaultLevel = 0.05

const (
	// mostExact is how many arrangements are all tried; above it shuffles are
	// drawn (both our choice: fifteen baths of a recipe, and P to 0.002 near 0.05).
	mostExact = 50_000
	shuffles  = 9_999
	seed      = 1 // of the sequence that draws them
)

// rounding is what sizes may be off, as a share of the largest they can be.
const rounding = 1e-9

// Chance is how what happened compares with what chance could have made of the
// same colours.
type Chance struct {
	P        float64 // share of arrangements at least as far apart as what happened; 1 if Least is above the level
	Adjusted float64 // P after Holm, for all questions of its family; 1 for TooFew
	Least    float64 // with so many baths in such groups, no colours could have given a P below this
	Tried    int     // arrangements compared, what happened among them
	Exact    bool    // these are all there are
	Verdict  Verdict
}

// unasked is where no colours could have shown a difference.
func unasked(least float64) Chance { return Chance{P: 1, Least: least} }

// tally counts arrangements that are at least as far apart as what happened. Sizes
// that differ by rounding alone count as equal.
type tally struct {
	size, slack float64
	tried, far  int
}

func newTally(size, scale float64) *tally { return &tally{size: size, slack: rounding * scale} }

func (t *tally) see(size float64) {
	t.tried++
	if size >= t.size-t.slack {
		t.far++
	}
}

// all is the chance where every arrangement was seen.
func (t *tally) all(least float64) Chance {
	return Chance{P: float64(t.far) / float64(t.tried), Least: least, Tried: t.tried, Exact: true}
}

// drawn is the chance where arrangements were drawn, what happened not yet among
// them (Phipson and Smyth 2010).
func (t *tally) drawn(least float64) Chance {
	m := float64(t.tried + 1)
	return Chance{P: float64(t.far+1) / m, Least: max(least, 1/m), Tried: t.tried + 1}
}

// judge gives a family of questions their verdicts.
func judge(family []*Chance) {
	most := float64(reachable(family))
	var asked []*Chance
	for _, c := range family {
		c.Adjusted, c.Verdict = 1, TooFew
		if atLevel(c.Least * most) {
			asked = append(asked, c)
		}
	}
	slices.SortStableFunc(asked, func(a, b *Chance) int { return cmp.Compare(a.P, b.P) })
	adjusted := 0.0
	for i, c := range asked { // Holm, the least P first
		adjusted = max(adjusted, min(1, c.P*float64(len(asked)-i)))
		c.Adjusted, c.Verdict = adjusted, NoMoreThanChance
		if atLevel(adjusted) {
			c.Verdict = MoreThanChance
		}
	}
}

// reachable is the least k such that no more than k questions can reach level / k
// (Tarone 1990).
func reachable(family []*Chance) int {
	for k := 1; ; k++ {
		n := 0
		for _, c := range family {
			if atLevel(c.Least * float64(k)) {
				n++
			}
		}
		if n <= k {
			return k
		}
	}
}

// atLevel is whether a P passes; P is a ratio of whole numbers, and may lie on the
// level but for rounding.
func atLevel(p float64) bool { return p <= DefaultLevel*(1+rounding) }
