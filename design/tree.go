package design

import (
	"slices"

	"urdir/check"
	"urdir/plan"
	"urdir/warp"
)

// mostBands is the most bands a panel may have written out, as in package plan.
const mostBands = 1000

// node is an item of a stripe order or of the bands of a panel, copied out of
// the cloth so that it can be changed. Both lists are alike: a leaf, a repeated
// group, or a mirrored group.
type node struct {
	stripe *warp.Stripe
	band   *plan.Band
	repeat int
	mirror bool
	kids   []node
	gone   bool // to be taken out
	moved  bool // looked for after a move
}

func (n node) leaf() bool { return n.stripe != nil || n.band != nil }

func (n node) clone() node {
	if n.stripe != nil {
		s := *n.stripe
		s.Yarns = slices.Clone(s.Yarns)
		n.stripe = &s
	}
	if n.band != nil {
		b := *n.band
		n.band = &b
	}
	kids := n.kids
	n.kids = nil
	for _, k := range kids {
		n.kids = append(n.kids, k.clone())
	}
	return n
}

func fromItems(items []warp.Item) (out []node) {
	for _, it := range items {
		switch {
		case it.Stripe != nil:
			out = append(out, node{stripe: it.Stripe}.clone())
		case len(it.Mirror) > 0:
			out = append(out, node{mirror: true, kids: fromItems(it.Mirror)})
		default:
			out = append(out, node{repeat: it.Repeat, kids: fromItems(it.Of)})
		}
	}
	return out
}

func toItems(nodes []node) (out []warp.Item) {
	for _, n := range nodes {
		switch {
		case n.stripe != nil:
			out = append(out, warp.Item{Stripe: n.stripe})
		case n.mirror:
			out = append(out, warp.Item{Mirror: toItems(n.kids)})
		default:
			out = append(out, warp.Item{Repeat: n.repeat, Of: toItems(n.kids)})
		}
	}
	return out
}

func fromBands(items []plan.BandItem) (out []node) {
	for _, it := range items {
		switch {
		case it.Band != nil:
			out = append(out, node{band: it.Band}.clone())
		case len(it.Mirror) > 0:
			out = append(out, node{mirror: true, kids: fromBands(it.Mirror)})
		default:
			out = append(out, node{repeat: it.Repeat, kids: fromBands(it.Of)})
		}
	}
	return out
}

func toBands(nodes []node) (out []plan.BandItem) {
	for _, n := range nodes {
		switch {
		case n.band != nil:
			out = append(out, plan.BandItem{Band: n.band})
		case n.mirror:
			out = append(out, plan.BandItem{Mirror: toBands(n.kids)})
		default:
			out = append(out, plan.BandItem{Repeat: n.repeat, Of: toBands(n.kids)})
		}
	}
	return out
}

// load copies a list out of the cloth; ok is false if the cloth has no such
// list.
func load(c plan.Cloth, at At) (nodes []node, ok bool) {
	if i := panelOf(c, at.Key); at.In == Bands && i >= 0 {
		return fromBands(c.Panels[i].Bands), true
	}
	i := warpOf(c, at.Key)
	switch {
	case i >= 0 && at.In == Stripes:
		return fromItems(c.Warps[i].Order.Items), true
	case i >= 0 && at.In == Border:
		return fromItems(c.Warps[i].Order.Border), true
	}
	return nil, false
}

// store gives a cloth with the list in place of its own.
func store(c plan.Cloth, at At, nodes []node) plan.Cloth {
	if at.In == Bands {
		c.Panels = slices.Clone(c.Panels)
		c.Panels[panelOf(c, at.Key)].Bands = toBands(nodes)
		return c
	}
	c.Warps = slices.Clone(c.Warps)
	o := &c.Warps[warpOf(c, at.Key)].Order
	if at.In == Border {
		o.Border = toItems(nodes)
	} else {
		o.Items = toItems(nodes)
	}
	return c
}

func warpOf(c plan.Cloth, key string) int {
	return slices.IndexFunc(c.Warps, func(w plan.Warp) bool { return w.Key == key })
}

func panelOf(c plan.Cloth, key string) int {
	return slices.IndexFunc(c.Panels, func(p plan.Panel) bool { return p.Key == key })
}

// find gives the list an item stands in, the group round it (nil at the top)
// and the item's place there; list is nil if there is no such place. The place
// after the last is found too.
func find(root *[]node, path []int) (list *[]node, group *node, i int) {
	if len(path) == 0 {
		return nil, nil, 0
	}
	list = root
	for _, i := range path[:len(path)-1] {
		if i < 0 || i >= len(*list) || (*list)[i].leaf() {
			return nil, nil, 0
		}
		group = &(*list)[i]
		list = &group.kids
	}
	i = path[len(path)-1]
	if i < 0 || i > len(*list) {
		return nil, nil, 0
	}
	return list, group, i
}

// place is an item found for an edit.
type place struct {
	root  *[]node
	list  *[]node // it stands in
	group *node   // round it; nil at the top
	i     int
}

func (p place) node() *node { return &(*p.list)[p.i] }

// edit finds the item, lets do change it and what is round it, and gives the
// cloth with the changed list; the cloth as it was if anything is wrong.
func edit(c plan.Cloth, at At, do func(p place, ps *check.Problems)) (plan.Cloth, check.Problems) {
	return change(c, at, func(p place, ps *check.Problems) {
		if p.i == len(*p.list) {
			ps.Wrong("", "design-not-there", nil)
			return
		}
		do(p, ps)
	})
}

// change is edit for a place after the last as well.
func change(c plan.Cloth, at At, do func(p place, ps *check.Problems)) (plan.Cloth, check.Problems) {
	var ps, found check.Problems
	root, ok := load(c, at)
	list, group, i := find(&root, at.Path)
	if !ok || list == nil {
		ps.Wrong(at.list(), "design-not-there", nil)
		return c, ps
	}
	do(place{&root, list, group, i}, &found)
	ps.Under(PathOf(c, at), found)
	if ps.Failed() {
		return c, ps
	}
	out := store(c, at, prune(root))
	limits(c, out, at, &ps)
	if ps.Failed() {
		return c, ps
	}
	return out, ps
}

// prune takes out what is gone, and groups that hold nothing any more.
func prune(nodes []node) (out []node) {
	for _, n := range nodes {
		had := len(n.kids) > 0
		n.kids = prune(n.kids)
		if !n.gone && (!had || len(n.kids) > 0) {
			out = append(out, n)
		}
	}
	return out
}

// limits says whether a list became empty, or longer or deeper than a cloth
// file may have; one that was so before may become less so.
func limits(before, after plan.Cloth, at At, ps *check.Problems) {
	was, deepWas := extent(before, at)
	n, deep := extent(after, at)
	most := warp.MaxStripes
	if at.In == Bands {
		most = mostBands
	}
	switch {
	case n == 0:
		ps.Wrong(at.list(), "design-last", nil)
	case n > most && n >= was:
		ps.Wrong(at.list(), "design-too-many", check.Args{"most": most})
	case deep > warp.MaxDepth && deep > deepWas:
		ps.Wrong(at.list(), "design-too-deep", check.Args{"most": warp.MaxDepth})
	}
}

// extent is how many leaves lie in a panel or a warp, borders included, and how
// deep the list is.
func extent(c plan.Cloth, at At) (n, deep int) {
	nodes, _ := load(c, at)
	if at.In == Bands {
		return written(nodes), height(nodes)
	}
	items, _ := load(c, At{In: Stripes, Key: at.Key})
	border, _ := load(c, At{In: Border, Key: at.Key})
	return written(items) + 2*written(border), height(nodes)
}

// written counts the leaves of a list written out. It stops counting beyond all
// limits, so that a repeat of a repeat of a repeat cannot hurt.
func written(nodes []node) (n int) {
	const enough = warp.MaxStripes + 1
	for _, it := range nodes {
		switch {
		case it.leaf():
			n++
		case it.mirror:
			n += 2*written(it.kids) - written(it.kids[len(it.kids)-1:])
		default:
			n += min(max(it.repeat, 0), enough) * written(it.kids)
		}
		n = min(n, enough)
	}
	return n
}

func height(nodes []node) (h int) {
	if len(nodes) == 0 {
		return 0
	}
	for _, n := range nodes {
		h = max(h, height(n.kids))
	}
	return 1 + h
}

// Written lists where each stripe of a warp, or band of a panel, was written,
// in the order in which they lie: entry i is the address of the plan's stripe i,
// with the border at both edges, and of the plan's band i if bands of kind
// plan.SeamBand are left out. It is empty for what no plan can be made of.
func Written(c plan.Cloth, in In, key string) []At {
	at := At{In: in, Key: key}
	nodes, _ := load(c, at)
	var border []node
	if in != Bands {
		at.In = Stripes
		nodes, _ = load(c, at)
		border, _ = load(c, At{In: Border, Key: key})
	}
	if n := written(nodes) + 2*written(border); n > warp.MaxStripes {
		return nil
	}
	there := leaves(at.in(nil), nodes)
	edge := leaves(At{In: Border, Key: key}, border)
	back := slices.Clone(edge)
	slices.Reverse(back)
	return slices.Concat(edge, there, back)
}

func leaves(at At, nodes []node) (to []At) {
	for i, n := range nodes {
		here := at.in(append(slices.Clone(at.Path), i))
		switch {
		case n.leaf():
			to = append(to, here)
		case n.mirror:
			last := len(n.kids) - 1
			there := leaves(here, n.kids[:last])
			to = append(to, there...)
			for _, axis := range leaves(at.in(nil), n.kids[last:]) {
				axis.Path[0] = last
				to = append(to, at.in(append(slices.Clone(here.Path), axis.Path...)))
			}
			for _, a := range slices.Backward(there) {
				to = append(to, a)
			}
		default:
			once := leaves(here, n.kids)
			for range n.repeat {
				to = append(to, once...)
			}
		}
	}
	return to
}
