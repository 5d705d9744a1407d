package screen

import (
	"sort"

	"urdir/measure"
	"urdir/plan"
)

// enough is for how many pieces of the order the shelf has enough of each yarn
// it holds. Of the whole order the plan itself says so. For fewer pieces they
// are planned without the frame: the way round it is a few centimetres longer
// than the warp, and to look for it again for every number of pieces would make
// the hand wait.
func enough(c plan.Cloth, p plan.Plan, shelf map[string]measure.Gram) map[string]int {
	plans := map[int]map[string]measure.Gram{}
	need := func(pieces int) map[string]measure.Gram {
		if got, ok := plans[pieces]; ok {
			return got
		}
		fewer := c
		fewer.Pieces, fewer.Frame = pieces, nil
		got := masses(fewer)
		plans[pieces] = got
		return got
	}
	out := map[string]int{}
	for _, y := range p.Yarns {
		have, ok := shelf[y.Key]
		switch {
		case !ok || y.Mass == 0:
		case y.Mass <= have:
			out[y.Key] = p.Pieces
		default:
			out[y.Key] = sort.Search(p.Pieces-1, func(n int) bool { return need(n + 1)[y.Key] > have })
		}
	}
	return out
}

// masses is what is needed of each yarn; none if the cloth cannot be planned.
func masses(c plan.Cloth) map[string]measure.Gram {
	out := map[string]measure.Gram{}
	if p, ps := plan.Make(c); !ps.Failed() {
		for _, y := range p.Yarns {
			out[y.Key] = y.Mass
		}
	}
	return out
}
