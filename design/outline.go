package design

import (
	"slices"

	"urdir/plan"
	"urdir/warp"
)

// RowKind is what a row of an outline is.
type RowKind string

const (
	RowStripe      RowKind = "stripe"
	RowAlternation RowKind = "alternation"
	RowBand        RowKind = "band"
	RowRepeat      RowKind = "repeat"
	RowMirror      RowKind = "mirror"
)

// Row is one stripe, band or group of a list, said by itself.
type Row struct {
	At     At
	Depth  int // 0 for the list itself
	Kind   RowKind
	Nth    int // place among its neighbours, from 1
	Of     int // how many those are
	Holds  int // items in a group
	Times  int // a repeated group is laid
	Copies int // times a stripe or band lies in the cloth
	First  int // end of its first copy, from 1; 0 if the stripes do not fit
	Ends   int // of its first copy
	Stripe *warp.Stripe
	Band   *plan.Band
}

// Outline lists the stripes of a warp (or of its border) or the bands of a
// panel row by row as they are written, groups before what they hold. It is
// empty when the cloth has no such list.
func Outline(c plan.Cloth, in In, key string) []Row {
	nodes, ok := load(c, At{In: in, Key: key})
	if !ok {
		return nil
	}
	o := outline{places: Written(c, in, key)}
	if in != Bands {
		if fit, _, ps := Fit(c, key); !ps.Failed() {
			o.laid = fit.Stripes
		}
	}
	o.list(At{In: in, Key: key}, nodes)
	return o.rows
}

type outline struct {
	rows   []Row
	places []At
	laid   []warp.Laid
}

func (o *outline) list(at At, nodes []node) {
	for i, n := range nodes {
		here := at.in(append(slices.Clone(at.Path), i))
		r := Row{At: here, Depth: len(at.Path), Nth: i + 1, Of: len(nodes), Holds: len(n.kids), Stripe: n.stripe, Band: n.band}
		switch {
		case n.band != nil:
			r.Kind = RowBand
		case n.stripe != nil && len(n.stripe.Yarns) > 1:
			r.Kind = RowAlternation
		case n.stripe != nil:
			r.Kind = RowStripe
		case n.mirror:
			r.Kind = RowMirror
		default:
			r.Kind, r.Times = RowRepeat, n.repeat
		}
		if n.leaf() {
			o.count(&r)
		}
		o.rows = append(o.rows, r)
		o.list(here, n.kids)
	}
}

func (o *outline) count(r *Row) {
	for k, p := range o.places {
		if !p.same(r.At) {
			continue
		}
		if r.Copies++; r.Copies == 1 && o.laid != nil {
			r.First, r.Ends = o.laid[k].First, o.laid[k].Ends
		}
	}
}
