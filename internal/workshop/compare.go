package workshop

import (
	"context"
	"errors"

	"urdir/internal/store"
)

// Side is one of two states of a cloth that are compared: a version, or the draft
// of the person who asks.
type Side struct {
	N    int // OwnDraft for the draft
	Text string
	By   string
	At   string // date
	Note string
	Made Planned
}

// Comparison is two states of a cloth, and the main numbers that differ; none if
// one of them cannot be planned.
type Comparison struct {
	Cloth   Kept[Cloth]
	Sides   [2]Side
	Changes []Change
}

// Compare puts two states of a cloth side by side: versions, 0 for the newest, or
// OwnDraft.
func (h *House) Compare(ctx context.Context, p Person, cloth string, a, b int) (out Comparison, err error) {
	err = h.view(ctx, p, "Compare", func(tx *store.Tx) error {
		if out.Cloth, err = cloths.get(tx, cloth); err != nil {
			return err
		}
		for i, n := range []int{a, b} {
			if out.Sides[i], err = h.side(tx, p, out.Cloth, n); err != nil {
				return err
			}
		}
		if was, now := out.Sides[0].Made, out.Sides[1].Made; !was.Failed() && !now.Failed() {
			out.Changes = Changes(was.Plan, now.Plan)
		}
		return nil
	})
	return out, err
}

// side is a cloth as it is in a version or in the person's own draft, planned for
// one piece.
func (h *House) side(tx *store.Tx, p Person, c Kept[Cloth], n int) (out Side, _ error) {
	switch n {
	case OwnDraft:
		d, there, err := ownDraft(tx, p, c.ID)
		if err == nil && !there {
			err = &Error{Code: NotFound, Err: errors.New("no draft")}
		}
		if err != nil {
			return out, err
		}
		out = Side{N: n, Text: d.Value.Text, By: d.Value.By, At: d.Value.At.Format("2006-01-02")}
	default:
		if n == 0 {
			n = c.Value.Version
		}
		v, err := versions.get(tx, versionID(c.ID, n))
		if err != nil {
			return out, err
		}
		out = Side{N: n, Text: v.Value.Text, By: v.Value.By, At: v.Value.At, Note: v.Value.Note}
	}
	s, err := h.sheet(tx, out.Text, Order{}, Line{})
	out.Made = h.plans.plan(s)
	return out, err
}
