package design

import (
	"reflect"
	"slices"

	"urdir/chance"
	"urdir/check"
	"urdir/plan"
)

// shuffled is 0 to n-1 in another order (Fisher and Yates).
func shuffled(d *chance.Stream, n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	for i := n - 1; i > 0; i-- {
		j := int(d.Next() % uint64(i+1))
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// Shuffle lays so many neighbours, the first at the address, in another order,
// which the throw decides: the same throw gives the same order. Two stripes
// never touch with ends of one yarn, neither in the range nor where it meets
// what stands beside it. What lies at a selvedge stays there. Neighbours that
// mirror each other are shuffled in pairs and mirror each other still; if there
// is none across the axis, the two beside it touch as before. The order inside a
// mirrored group is mirrored anyhow.
//
// Codes: design-range, design-shuffle-stripes, design-shuffle-none.
func Shuffle(c plan.Cloth, at At, count int, throw uint64) (plan.Cloth, check.Problems) {
	return edit(c, at, func(p place, ps *check.Problems) {
		if at.In == Bands {
			ps.Wrong("", "design-shuffle-stripes", nil)
			return
		}
		if !inRange(p, count, ps) {
			return
		}
		s := newShuffle(c, at, p, count)
		d := chance.Stream(throw)
		if !s.search(0, &d) {
			ps.Wrong("", "design-shuffle-none", check.Args{"count": count})
			return
		}
		copy((*p.list)[p.i:], s.laid())
	})
}

// mostTries bounds the search for an order.
const mostTries = 20000

// shuffle is the search for an order of a range in which no neighbours touch
// with one yarn.
type shuffle struct {
	items  []node
	order  []int // items laid so far
	used   []bool
	fixed  []bool
	half   int      // in a mirrored range: items before the axis; else 0
	wrap   bool     // the range follows upon itself
	axis   bool     // the last comes between two of the last but one
	before []string // yarns that lie at its left
	after  []string // and right
	tries  int
}

func newShuffle(c plan.Cloth, at At, p place, count int) *shuffle {
	items := (*p.list)[p.i : p.i+count]
	s := &shuffle{items: items, used: make([]bool, count), fixed: make([]bool, count)}
	whole := count == len(*p.list)
	group := p.group
	s.wrap = whole && group != nil && !group.mirror && group.repeat > 1
	s.axis = group != nil && group.mirror && p.i+count == len(*p.list) && count > 1
	first, last := at.Path, slices.Clone(at.Path)
	last[len(last)-1] += count - 1
	s.before, _ = beside(c, at.in(first))
	_, s.after = beside(c, at.in(last))
	if s.wrap || s.axis {
		s.after = nil
	}
	if s.wrap {
		s.before, s.after = nil, nil
		if len(at.Path) > 1 {
			s.before, s.after = beside(c, at.in(at.Path[:len(at.Path)-1]))
		}
	}
	left, right := selvedges(c, at)
	for i := range items {
		path := slices.Clone(first)
		path[len(path)-1] += i
		s.fixed[i] = indexOf(left, at.in(path)) >= 0 || indexOf(right, at.in(path)) >= 0
	}
	if mirrored(items) && (group == nil || !group.mirror) {
		s.half = count / 2
		s.before, s.after = append(s.before, s.after...), nil // its right edge is its left
		if count%2 == 1 {
			s.fixed[count/2] = true
		}
	}
	return s
}

// search lays item after item; it goes back where none fits.
func (s *shuffle) search(k int, d *chance.Stream) bool {
	n := len(s.items)
	if s.half > 0 {
		n = (n + 1) / 2
	}
	if k == n {
		return true
	}
	for _, i := range shuffled(d, n) {
		if s.used[i] || (s.fixed[i] || s.fixed[k]) && i != k || !s.fits(i, k, n) {
			continue
		}
		if s.tries++; s.tries > mostTries {
			return false
		}
		s.used[i] = true
		s.order = append(s.order, i)
		if s.enough(n) && s.search(k+1, d) {
			return true
		}
		s.used[i] = false
		s.order = s.order[:k]
	}
	return false
}

// fits says whether an item may lie at a place, behind those laid.
func (s *shuffle) fits(i, k, n int) bool {
	left, right := edges(s.items[i])
	if k == 0 && slices.Contains(s.before, left) {
		return false
	}
	if k > 0 {
		_, beforeIt := edges(s.items[s.order[k-1]])
		if left == beforeIt || s.axis && k == n-1 && right == beforeIt {
			return false
		}
	}
	if k < n-1 || s.half > 0 {
		return true
	}
	if s.wrap {
		first := left
		if k > 0 {
			first, _ = edges(s.items[s.order[0]])
		}
		if right == first {
			return false
		}
	}
	return !slices.Contains(s.after, right)
}

// enough looks ahead: a yarn with more stripes left than can be kept apart in
// the places left makes any further search useless. Of n places in a row every
// other one is free for it, counting from the first.
func (s *shuffle) enough(n int) bool {
	left, count := 0, map[string]int{}
	for i := range n {
		if s.used[i] {
			continue
		}
		left++
		if l, r := edges(s.items[i]); l == r {
			count[l]++
		}
	}
	_, before := edges(s.items[s.order[len(s.order)-1]])
	for yarn, stripes := range count {
		places := left
		if yarn == before {
			places--
		}
		if s.endsWithout(yarn, n) {
			places--
		}
		if stripes > (places+1)/2 {
			return false
		}
	}
	return true
}

// endsWithout says whether the last place is not for a yarn.
func (s *shuffle) endsWithout(yarn string, n int) bool {
	if s.fixed[n-1] {
		l, r := edges(s.items[n-1])
		return l != yarn || r != yarn
	}
	first, _ := edges(s.items[s.order[0]])
	return s.half == 0 && (slices.Contains(s.after, yarn) || s.wrap && first == yarn)
}

// laid is the range in its new order.
func (s *shuffle) laid() []node {
	out := make([]node, len(s.items))
	for k, i := range s.order {
		out[k] = s.items[i]
		if s.half > 0 {
			out[len(out)-1-k] = s.items[len(out)-1-i]
		}
	}
	return out
}

// edges are the yarns at the left and the right of an item.
func edges(n node) (left, right string) {
	switch {
	case n.stripe != nil && len(n.stripe.Yarns) > 0:
		return n.stripe.Yarns[0].Yarn, n.stripe.Yarns[len(n.stripe.Yarns)-1].Yarn
	case len(n.kids) > 0:
		left, _ = edges(n.kids[0])
		if n.mirror && len(n.kids) > 1 {
			return left, left
		}
		_, right = edges(n.kids[len(n.kids)-1])
	}
	return left, right
}

// beside lists the yarns that lie at the left and the right of an item, in all
// its places; where it lies mirrored its left is its left still.
func beside(c plan.Cloth, at At) (before, after []string) {
	root, _ := load(c, at)
	list, group, i := find(&root, at.Path)
	switch {
	case group != nil:
		before, after = beside(c, at.in(at.Path[:len(at.Path)-1]))
	case at.In == Border:
		items, _ := load(c, At{In: Stripes, Key: at.Key})
		if len(items) > 0 { // the border lies at both edges
			left, _ := edges(items[0])
			_, right := edges(items[len(items)-1])
			after = []string{left, right}
		}
	default:
		if border, _ := load(c, At{In: Border, Key: at.Key}); len(border) > 0 {
			_, right := edges(border[len(border)-1])
			before, after = []string{right}, []string{right}
		}
	}
	last := len(*list) - 1
	firstLeft, _ := edges((*list)[0])
	_, lastRight := edges((*list)[last])
	switch {
	case group != nil && group.mirror && last > 0:
		_, right := edges((*list)[last-1])
		before, after = append(before, after...), []string{right}
	case group != nil && group.repeat > 1:
		before, after = append(before, lastRight), append(after, firstLeft)
	}
	if i > 0 {
		_, right := edges((*list)[i-1])
		before = []string{right}
	}
	if i < last {
		left, right := edges((*list)[i+1])
		after = []string{left}
		if group != nil && group.mirror && i+1 == last { // it lies at both sides of the axis
			after = append(after, right)
		}
	}
	return before, after
}

// selvedges lists the items at the left selvedge and at the right one: the
// stripe there and the groups round it.
func selvedges(c plan.Cloth, at At) (left, right []At) {
	border, _ := load(c, At{In: Border, Key: at.Key})
	if at.In == Border || len(border) == 0 {
		root, _ := load(c, at)
		left = selvedge(at.in(nil), root, false)
		if at.In != Border {
			right = selvedge(at.in(nil), root, true)
		}
	}
	return left, right
}

func selvedge(at At, nodes []node, last bool) (out []At) {
	for len(nodes) > 0 {
		i := 0
		if last {
			i = len(nodes) - 1
		}
		at = at.in(append(slices.Clone(at.Path), i))
		out = append(out, at)
		last = last && (!nodes[i].mirror || len(nodes[i].kids) <= 1) // its first lies there, mirrored
		nodes = nodes[i].kids
	}
	return out
}

// mirrored says whether items read the same from both sides.
func mirrored(items []node) bool {
	for i := range (len(items) + 1) / 2 {
		if !reflect.DeepEqual(items[i], turned(items[len(items)-1-i])) {
			return false
		}
	}
	return len(items) > 2
}

// turned is an item as it reads from the right.
func turned(n node) node {
	n = n.clone()
	if n.stripe != nil {
		slices.Reverse(n.stripe.Yarns)
	}
	if n.mirror { // only what lies across its axis is not the same from both sides
		last := len(n.kids) - 1
		n.kids[last] = turned(n.kids[last])
		return n
	}
	for i := range n.kids {
		n.kids[i] = turned(n.kids[i])
	}
	slices.Reverse(n.kids)
	return n
}
