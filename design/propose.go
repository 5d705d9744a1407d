package design

import (
	"fmt"
	"math"
	"slices"

	"urdir/chance"
	"urdir/check"
	"urdir/measure"
	"urdir/warp"
)

// Series is how the widths of neighbouring stripes follow each other.
type Series string

const (
	Even      Series = "even"      // 1 1 1 1
	Halves    Series = "halves"    // 8 4 2 1: each half of the one before
	Thirds    Series = "thirds"    // 27 9 3 1
	Fibonacci Series = "fibonacci" // 13 8 5 3 2 1: each with the next makes the one before
	Weights   Series = "weights"   // every lot as wide, all its stripes together, as its weight
)

// AllSeries lists them.
var AllSeries = []Series{Even, Halves, Thirds, Fibonacci, Weights}

// weights are the first terms of a series, the least first.
func (s Series) weights(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		switch s {
		case Halves:
			out[i] = math.Pow(2, float64(i))
		case Thirds:
			out[i] = math.Pow(3, float64(i))
		case Fibonacci:
			out[i] = float64(i + 1)
			if i > 1 {
				out[i] = out[i-1] + out[i-2]
			}
		default:
			out[i] = 1
		}
	}
	return out
}

// Lot is what is on the shelf of one yarn.
type Lot struct {
	Yarn string
	Have measure.Gram
	Tex  measure.Tex // of the whole end, all strands
	// Weight is how much of the width the lot has beside the others, for the
	// series Weights only: the shares of a picture's main colours, say.
	Weight float64
}

// Wish is what is asked of Propose.
type Wish struct {
	Lots     []Lot
	Width    measure.CM    // finished
	Shrink   measure.Ratio // across
	Sett     measure.PerCM // on the loom
	Length   measure.CM    // of an end, as it is laid
	Series   Series
	Mirrored bool
	Throw    uint64 // another throw may give others that are as good
}

// Use is what a proposal takes of one lot.
type Use struct {
	Yarn string       `json:"yarn"`
	Ends int          `json:"ends"`
	Used measure.Gram `json:"used_g"`
	Left measure.Gram `json:"left_g"`
}

// Proposal is a stripe order that can be laid from the shelf.
type Proposal struct {
	Items   []warp.Item   `json:"-"`
	Ends    int           `json:"ends"`
	Stripes int           `json:"stripes"` // written out
	Uses    []Use         `json:"uses"`    // in the order of the lots
	Share   measure.Ratio `json:"used_fraction"`
}

// How many are proposed, and how many of them with equally many stripes in the
// same direction.
const (
	mostProposals = 12
	mostAlike     = 3
	mostStripes   = 9 // of one side
	mostOrders    = 720
)

// Propose lays out stripe orders from the yarn on the shelf, those that use up
// most of it first.
//
// Some or all of the lots are taken in turn, in every order (with more than six
// lots in 720 orders), over up to nine stripes, or nine up to the axis if it is
// mirrored. The stripes follow the series; a mirrored order also comes with the
// widest at the selvedge. The ends are the finished width over one less the
// shrinkage, times the sett, made even; every stripe but the one across the axis
// gets the whole pairs of ends nearest to its part or next to that, the one
// across the axis the rest, within two ends of its part. An order is left out if
// its narrowest stripe would be less than two ends, or if it takes more of a
// lot than there is:
//
//	ends x length x tex <= grams
//
// What is used is the mean, over the lots, of the part of each that is used, so
// that a small rest used up counts as much as a large one.
//
// Codes: design-shelf-none, design-shelf-twice, design-shelf-short,
// design-series, size-out-of-range, out-of-range, stripes-too-many-ends.
func Propose(w Wish) ([]Proposal, check.Problems) {
	ps := w.problems()
	if ps.Failed() {
		return nil, ps
	}
	ends := w.ends()
	d := chance.Stream(w.Throw)
	var all []Proposal
	for _, order := range w.orders(&d) {
		for n := len(order); n <= min(2*len(order)+1, mostStripes); n++ {
			if len(order) == 1 && n > 1 {
				break // neighbours of one yarn are one stripe
			}
			for _, widestFirst := range []bool{false, true} {
				if widestFirst && !w.Mirrored {
					continue // the same cloth turned round, with the lots in turn from the other side
				}
				if p, ok := w.propose(order, n, ends, widestFirst); ok {
					all = append(all, p)
				}
			}
		}
	}
	if len(all) == 0 {
		ps.Wrong("", "design-shelf-short", check.Args{"ends": ends, "enough": w.enough()})
		return nil, ps
	}
	slices.SortStableFunc(all, func(a, b Proposal) int {
		// A billionth is below any scale: equal on every machine.
		return int(math.Round(float64(b.Share)*1e9)) - int(math.Round(float64(a.Share)*1e9))
	})
	return best(all), nil
}

// best picks the first proposals without too many alike.
func best(all []Proposal) (out []Proposal) {
	alike := map[string]int{}
	for _, p := range all {
		first := p.Items[0]
		if len(first.Mirror) > 0 {
			first = first.Mirror[0]
		}
		kind := fmt.Sprint(p.Stripes, first.Stripe.Ends)
		if alike[kind]++; alike[kind] <= mostAlike && len(out) < mostProposals {
			out = append(out, p)
		}
	}
	return out
}

func (w Wish) problems() (ps check.Problems) {
	if len(w.Lots) == 0 {
		ps.Wrong("lots", "design-shelf-none", nil)
	}
	for i, l := range w.Lots {
		if slices.ContainsFunc(w.Lots[:i], func(o Lot) bool { return o.Yarn == l.Yarn }) {
			ps.Wrong("lots", "design-shelf-twice", check.Args{"yarn": l.Yarn})
		}
		if !within(float64(l.Have), 1e6) || !(l.Tex > 0) || math.IsInf(float64(l.Tex), 0) {
			ps.Wrong("lots."+l.Yarn, "out-of-range", check.Args{"value": float64(l.Have), "low": 0.0, "high": 1e6})
		}
	}
	for _, l := range w.Lots {
		if w.Series == Weights && (!(l.Weight > 0) || math.IsInf(l.Weight, 0)) {
			ps.Wrong("lots."+l.Yarn, "out-of-range", check.Args{"value": l.Weight, "low": 0.0, "high": 1.0})
		}
	}
	if !slices.Contains(AllSeries, w.Series) {
		ps.Wrong("series", "design-series", check.Args{"series": string(w.Series)})
	}
	if !(w.Width > 0 && w.Width <= mostWidth) {
		ps.Wrong("width", "size-out-of-range", check.Args{"value": w.Width, "low": measure.CM(0), "high": mostWidth})
	}
	if !(w.Length > 0 && w.Length <= 10000) {
		ps.Wrong("length", "size-out-of-range", check.Args{"value": w.Length, "low": measure.CM(0), "high": measure.CM(10000)})
	}
	if !(w.Sett >= 0.5 && w.Sett <= 150) {
		ps.Wrong("sett", "out-of-range", check.Args{"value": float64(w.Sett), "low": 0.5, "high": 150.0})
	}
	if !within(float64(w.Shrink), 0.6) {
		ps.Wrong("shrinkage", "out-of-range", check.Args{"value": float64(w.Shrink), "low": 0.0, "high": 0.6})
	}
	if !ps.Failed() && w.ends() > warp.MaxEnds {
		ps.Wrong("width", "stripes-too-many-ends", check.Args{"ends": w.ends(), "most": warp.MaxEnds})
	}
	return ps
}

// ends is the ends of the warp, an even number.
func (w Wish) ends() int {
	room := warp.Room{Shrink: w.Shrink, Sett: w.Sett}
	return max(2, 2*int(math.Round(room.EndsFor(w.Width)/2)))
}

// mass is that of so many ends of a lot.
func (w Wish) mass(l Lot, ends int) measure.Gram {
	return l.Tex.Mass(measure.M(float64(ends) * float64(w.Length.M())))
}

// enough is how many ends the whole shelf is enough for.
func (w Wish) enough() int {
	n := 0
	for _, l := range w.Lots {
		n += int(min(float64(warp.MaxEnds), float64(l.Have)/float64(w.mass(l, 1))))
	}
	return n
}

// orders are the ways in which some of the lots may follow each other, in an
// order of the dice's.
func (w Wish) orders(d *chance.Stream) (out [][]int) {
	n := len(w.Lots)
	ways := 1
	for i := 2; i <= n && ways < mostOrders; i++ {
		ways *= i
	}
	seen := map[string]bool{}
	add := func(order []int) {
		for used := 1; used <= n; used++ {
			if key := fmt.Sprint(order[:used]); !seen[key] {
				seen[key] = true
				out = append(out, slices.Clone(order[:used]))
			}
		}
	}
	if n <= 6 {
		each(shuffled(d, n), 0, add)
	} else {
		for range mostOrders {
			add(shuffled(d, n))
		}
	}
	return out
}

// each calls with every order of a list from a place on.
func each(list []int, from int, with func([]int)) {
	if from >= len(list)-1 {
		with(list)
		return
	}
	for i := from; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		each(list, from+1, with)
		list[from], list[i] = list[i], list[from]
	}
}

// propose lays n stripes of the lots in turn; ok is false if they cannot be
// laid from the shelf.
func (w Wish) propose(order []int, n, ends int, widestFirst bool) (p Proposal, ok bool) {
	weights := w.weights(order, n)
	if widestFirst {
		if w.Series == Even || w.Series == Weights || n == 1 {
			return p, false // the same again
		}
		slices.Reverse(weights)
	}
	sizes := apportion(weights, ends, w.Mirrored)
	if sizes == nil {
		return p, false
	}
	used := make([]int, len(w.Lots))
	items := make([]warp.Item, n)
	for i, size := range sizes {
		lot := order[i%len(order)]
		items[i] = warp.Item{Stripe: &warp.Stripe{Yarns: []warp.Lay{{Yarn: w.Lots[lot].Yarn}}, Ends: size}}
		used[lot] += size
		if w.Mirrored && i < n-1 {
			used[lot] += size
		}
	}
	p = Proposal{Items: items, Ends: ends, Stripes: n}
	if w.Mirrored {
		p.Items, p.Stripes = []warp.Item{{Mirror: items}}, 2*n-1
	}
	for i, l := range w.Lots {
		mass := w.mass(l, used[i])
		if mass > l.Have {
			return Proposal{}, false
		}
		p.Uses = append(p.Uses, Use{Yarn: l.Yarn, Ends: used[i], Used: mass, Left: l.Have - mass})
		if l.Have > 0 {
			p.Share += measure.Ratio(float64(mass) / float64(l.Have) / float64(len(w.Lots)))
		}
	}
	return p, true
}

// weights are those of n stripes of the lots in turn. A lot's own weight is
// shared by its stripes, of which a mirrored order lays all but the last twice.
func (w Wish) weights(order []int, n int) []float64 {
	if w.Series != Weights {
		return w.Series.weights(n)
	}
	lies := make([]float64, len(order))
	for i := range n {
		lies[i%len(order)]++
		if w.Mirrored && i < n-1 {
			lies[i%len(order)]++
		}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = w.Lots[order[i%len(order)]].Weight / lies[i%len(order)]
	}
	return out
}

// apportion shares the ends of a warp out to stripes by their weights, in whole
// pairs of ends: each gets the pairs below its part, and those that lose most by
// that one more, until all are given out. In a mirrored order the last lies
// across the axis and the others come twice. It is nil if a stripe would have
// less than two ends.
func apportion(weights []float64, ends int, mirrored bool) []int {
	last := len(weights) - 1
	times := func(i int) int {
		if mirrored && i < last {
			return 2
		}
		return 1
	}
	var sum float64
	for i, weight := range weights {
		sum += weight * float64(times(i))
	}
	left := ends / 2 // pairs
	out, loss, byLoss := make([]int, len(weights)), make([]float64, len(weights)), make([]int, len(weights))
	for i, weight := range weights {
		part := weight / sum * float64(ends/2)
		if part < 1 {
			return nil
		}
		// A whole part must not lose a pair by the last bit of the division.
		out[i] = int(math.Floor(part + 1e-9))
		loss[i], byLoss[i] = part-float64(out[i]), i
		left -= out[i] * times(i)
	}
	slices.SortStableFunc(byLoss, func(a, b int) int {
		return int(math.Round(loss[b]*1e9)) - int(math.Round(loss[a]*1e9))
	})
	if mirrored && left%2 == 1 {
		out[last]++
		left--
		byLoss = slices.DeleteFunc(byLoss, func(i int) bool { return i == last })
	}
	for _, i := range byLoss {
		if left >= times(i) && (!mirrored || i != last) {
			out[i]++
			left -= times(i)
		}
	}
	for i := range out {
		out[i] *= 2
	}
	return out
}
