package warp

import (
	"fmt"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// Bounds of a stripe order. They are far above any cloth and stop a mistyped
// repeat from filling the memory.
const (
	MaxDepth   = 12
	MaxStripes = 3000
	MaxEnds    = 20000
)

// Order is what lies across the cloth, from one selvedge to the other. Border
// is laid first and once more, in reverse, at the other edge.
type Order struct {
	Border []Item
	Items  []Item
}

// Item is one entry of an order: a stripe, a repeated group (Repeat and Of), or
// a mirrored group. Exactly one of Stripe, Of and Mirror is set.
type Item struct {
	Stripe *Stripe
	Repeat int
	Of     []Item
	// Mirror is laid forwards, then back again without repeating its last
	// item: [a b c] becomes a b c b a, with c across the axis.
	Mirror []Item
}

// Stripe is a run of neighbouring ends. Exactly one of Ends, Width and Share is
// set. Width is in the finished cloth; Share is a part of what the fixed
// stripes leave.
type Stripe struct {
	Yarns []Lay
	Ends  int
	Width measure.CM
	Share float64
	// Back is set by Expand on the far side of a mirror: the ends of an
	// alternation come in reverse.
	Back bool
}

// Lay is how many neighbouring ends of a yarn come before the next yarn of an
// alternation. A plain stripe has one Lay, and its Ends does not matter.
type Lay struct {
	Yarn string `json:"yarn"`
	Ends int    `json:"ends,omitempty"`
}

// Period is the number of ends after which the yarns repeat: 1 for a plain
// stripe, 2 for one and one.
func (s Stripe) Period() int {
	if len(s.Yarns) < 2 {
		return 1
	}
	n := 0
	for _, l := range s.Yarns {
		n += l.Ends
	}
	return n
}

// Flat is an order written out: stripes from edge to edge. Alike[i] is the
// number of the group whose stripes must get the same ends as stripe i, because
// they are mirror images of each other or the same stripe of a repeat. Twin
// holds the groups by mirror image alone, for when repeats cannot stay alike.
type Flat struct {
	Stripes []Stripe
	Alike   []int
	Twin    []int
}

// Expand writes the order out. Problems have paths like "stripes[2].of[0]" or
// "border[1]".
func (o Order) Expand() (Flat, check.Problems) {
	var ps check.Problems
	size := countItems(o.Items, "stripes", 1, &ps) + 2*countItems(o.Border, "border", 1, &ps)
	if ps.Failed() {
		return Flat{}, ps
	}
	if size > MaxStripes {
		ps.Wrong("stripes", "stripes-too-many", check.Args{"stripes": size, "most": MaxStripes})
		return Flat{}, ps
	}
	if size == 0 {
		ps.Wrong("stripes", "stripes-none", nil)
		return Flat{}, ps
	}
	w := writer{flat: Flat{}, leaf: map[*Stripe]int{}}
	border := w.items(nil, o.Border)
	body := w.items(nil, o.Items)
	marks := append(append(border, body...), reversed(border)...)
	return w.finish(marks), nil
}

// countItems counts the stripes an order will have without writing it out, so
// that a repeat of a repeat of a repeat cannot hurt. It stops at MaxDepth.
func countItems(items []Item, path string, depth int, ps *check.Problems) int {
	if depth > MaxDepth {
		ps.Wrong(path, "stripes-too-deep", check.Args{"most": MaxDepth})
		return 0
	}
	n := 0
	for i, it := range items {
		at := fmt.Sprintf("%s[%d]", path, i)
		switch {
		case it.Stripe != nil:
			it.Stripe.check(at, ps)
			n++
		case len(it.Mirror) > 0:
			last := it.Mirror[len(it.Mirror)-1:]
			n += 2*countItems(it.Mirror, at+".mirror", depth+1, ps) - countItems(last, at+".mirror", depth+1, &check.Problems{})
		case len(it.Of) == 0:
			ps.Wrong(at, "group-empty", nil)
		case it.Repeat < 1:
			ps.Wrong(at+".repeat", "repeat-too-few", check.Args{"repeat": it.Repeat})
		default:
			// Saturate: a product of large repeats must not wrap around.
			n += min(it.Repeat, MaxStripes+1) * countItems(it.Of, at+".of", depth+1, ps)
		}
		n = min(n, MaxStripes+1)
	}
	return n
}

// check finds what is wrong with one stripe. Fields with units have been read
// already; here a stripe must have one size, above zero, and yarns to lay.
func (s Stripe) check(path string, ps *check.Problems) {
	sizes := 0
	for _, given := range []bool{s.Ends != 0, s.Width != 0, s.Share != 0} {
		if given {
			sizes++
		}
	}
	switch {
	case sizes != 1:
		ps.Wrong(path, "stripe-size", check.Args{"sizes": sizes})
	case s.Ends < 0 || s.Width < 0 || s.Share < 0:
		ps.Wrong(path, "stripe-negative", nil)
	case s.Ends > MaxEnds:
		ps.Wrong(path, "stripes-too-many-ends", check.Args{"ends": s.Ends, "most": MaxEnds})
	}
	if len(s.Yarns) == 0 {
		ps.Wrong(path, "stripe-no-yarn", nil)
	}
	for i, l := range s.Yarns {
		if len(s.Yarns) > 1 && (l.Ends < 1 || l.Ends > MaxEnds) {
			ps.Wrong(fmt.Sprintf("%s.alternate[%d]", path, i), "lay-ends", check.Args{"yarn": l.Yarn, "ends": l.Ends})
		}
	}
}

// mark is one stripe as written: the leaf it came from, its twin group, and
// whether a mirror has turned it round.
type mark struct {
	stripe *Stripe
	twin   int
	back   bool
}

type writer struct {
	flat  Flat
	leaf  map[*Stripe]int
	twins int
}

func (w *writer) items(to []mark, items []Item) []mark {
	for _, it := range items {
		switch {
		case it.Stripe != nil:
			to = append(to, mark{it.Stripe, w.twins, false})
			w.twins++
		case len(it.Mirror) > 0:
			last := len(it.Mirror) - 1
			there := w.items(nil, it.Mirror[:last])
			axis := w.items(nil, it.Mirror[last:])
			to = append(append(append(to, there...), axis...), reversed(there)...)
		default:
			for range it.Repeat {
				to = w.items(to, it.Of)
			}
		}
	}
	return to
}

// finish numbers the groups. An order that reads the same from both edges is
// symmetric however it was written, so its two halves are tied as well.
func (w *writer) finish(marks []mark) Flat {
	n := len(marks)
	f := Flat{Stripes: make([]Stripe, n), Alike: make([]int, n), Twin: make([]int, n)}
	for i, m := range marks {
		f.Stripes[i] = *m.stripe
		f.Stripes[i].Back = m.back
		f.Twin[i] = m.twin
		if _, ok := w.leaf[m.stripe]; !ok {
			w.leaf[m.stripe] = len(w.leaf)
		}
		f.Alike[i] = w.leaf[m.stripe]
	}
	if palindrome(f.Stripes) {
		f.Twin = tieHalves(f.Twin)
		f.Alike = tieHalves(f.Alike)
	}
	return f
}

// tieHalves joins the groups of stripes at equal distance from the edges and
// renumbers the groups from 0.
func tieHalves(group []int) []int {
	root := map[int]int{}
	find := func(g int) int {
		for root[g] != g {
			g = root[g]
		}
		return g
	}
	for _, g := range group {
		root[g] = g
	}
	for i, j := 0, len(group)-1; i < j; i, j = i+1, j-1 {
		a, b := find(group[i]), find(group[j])
		root[max(a, b)] = min(a, b)
	}
	number := map[int]int{}
	out := make([]int, len(group))
	for i, g := range group {
		r := find(g)
		if _, ok := number[r]; !ok {
			number[r] = len(number)
		}
		out[i] = number[r]
	}
	return out
}

func palindrome(s []Stripe) bool {
	for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
		a, b := s[i], s[j]
		if a.Ends != b.Ends || a.Share != b.Share || a.Width != b.Width || len(a.Yarns) != len(b.Yarns) {
			return false
		}
		if a.Back == b.Back && !sameReversed(a.Yarns, b.Yarns) || a.Back != b.Back && !slices.Equal(a.Yarns, b.Yarns) {
			return false
		}
	}
	return true
}

func sameReversed(a, b []Lay) bool {
	for k := range a {
		if a[k] != b[len(b)-1-k] {
			return false
		}
	}
	return true
}

func reversed(m []mark) []mark {
	out := slices.Clone(m)
	slices.Reverse(out)
	for i := range out {
		out[i].back = !out[i].back
	}
	return out
}
