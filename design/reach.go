package design

import (
	"sort"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
)

// MostPieces is the most pieces a cloth may have, as in package plan.
const MostPieces = 1000

// Reached tells for how many pieces what there is of a yarn is enough.
type Reached struct {
	Yarn   string       `json:"yarn"`
	Have   measure.Gram `json:"have_g"`
	Need   measure.Gram `json:"need_g"`  // for the pieces of the order, spare included
	Short  measure.Gram `json:"short_g"` // 0 if there is enough for the order
	Pieces int          `json:"pieces"`  // it is enough for, MostPieces at most
}

// Supply is for how many pieces the yarn on the shelf is enough.
type Supply struct {
	Pieces int       `json:"pieces"`       // all yarns together
	Order  int       `json:"order_pieces"` // of the cloth
	Most   int       `json:"most_pieces"`  // that can be planned at all: a warp has a longest length
	Yarns  []Reached `json:"yarns"`        // in the order of the cloth
}

// Reach tells for how many pieces of a cloth the grams on the shelf are enough,
// by yarn key; a yarn that is not there has none. It plans the cloth for other
// numbers of pieces, so that it counts what every laying of a warp loses, and
// finds the most by halving, as more pieces need more yarn. Skeins are not
// counted: yarn is weighed.
//
// Problems are those of plan.Make for the cloth as it is.
func Reach(c plan.Cloth, shelf map[string]measure.Gram) (Supply, check.Problems) {
	now, ps := plan.Make(c)
	if ps.Failed() {
		return Supply{}, ps
	}
	r := reach{cloth: c, plans: map[int][]measure.Gram{}}
	s := Supply{Order: c.Pieces, Yarns: make([]Reached, len(now.Yarns))}
	s.Most = c.Pieces + most(MostPieces-c.Pieces, func(n int) bool { return r.needs(c.Pieces+n) != nil })
	s.Pieces = s.Most
	for i, y := range now.Yarns {
		have := shelf[y.Key]
		enough := func(n int) bool { need := r.needs(n); return need != nil && need[i] <= have }
		s.Yarns[i] = Reached{Yarn: y.Key, Have: have, Need: y.Mass, Short: max(0, y.Mass-have), Pieces: most(s.Most, enough)}
		s.Pieces = min(s.Pieces, s.Yarns[i].Pieces)
	}
	return s, nil
}

// most is the largest number up to a bound for which ok still holds.
func most(bound int, ok func(n int) bool) int {
	return sort.Search(bound, func(n int) bool { return !ok(n + 1) })
}

type reach struct {
	cloth plan.Cloth
	plans map[int][]measure.Gram
}

// needs is the mass of each yarn for so many pieces; nil if they cannot be
// planned.
func (r *reach) needs(pieces int) []measure.Gram {
	if got, ok := r.plans[pieces]; ok {
		return got
	}
	c := r.cloth
	c.Pieces = pieces
	p, ps := plan.Make(c)
	var out []measure.Gram
	if !ps.Failed() {
		out = make([]measure.Gram, len(p.Yarns))
		for i, y := range p.Yarns {
			out[i] = y.Mass
		}
	}
	r.plans[pieces] = out
	return out
}
