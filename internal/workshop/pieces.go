package workshop

import (
	"context"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// PieceState is how far a piece is. It follows from its facts.
type PieceState string

const (
	Unfinished PieceState = "unfinished"
	Finished   PieceState = "finished"
	Delivered  PieceState = "delivered"
	Returned   PieceState = "returned" // to be repaired
)

// State is how far the piece is.
func (x Piece) State() PieceState {
	s := Unfinished
	for _, f := range x.Facts {
		switch f.Kind {
		case FinishedFact, RepairedFact:
			s = Finished
		case DeliveredFact:
			s = Delivered
		case ReturnedFact:
			s = Returned
		}
	}
	return s
}

// Measured is what was measured when the piece was finished; ok if it was.
func (x Piece) Measured() (f Fact, ok bool) {
	for _, f := range x.Facts {
		if f.Kind == FinishedFact && f.CM > 0 {
			return f, true
		}
	}
	return Fact{}, false
}

// Pieces lists pieces, the last first.
func (h *House) Pieces(ctx context.Context, p Person, page Page) (Listed[Piece], error) {
	return many(ctx, h, p, "Pieces", pieces, page, true)
}

// PieceView is a piece with its plan and where its yarn is from.
type PieceView struct {
	Kept[Piece]
	Made  Planned
	Jobs  []Kept[Job] // the warps it is woven on
	Yarn  []store.Stock
	Lots  map[string]Kept[Lot]
	Ready bool // all its warps are back
}

// Piece gives a piece.
func (h *House) Piece(ctx context.Context, p Person, id string) (out PieceView, err error) {
	err = h.view(ctx, p, "Piece", func(tx *store.Tx) error {
		out, err = h.piece(tx, id)
		return err
	})
	return out, err
}

func (h *House) piece(tx *store.Tx, id string) (out PieceView, err error) {
	if out.Kept, err = pieces.get(tx, id); err != nil {
		return out, err
	}
	o, err := h.order(tx, out.Value.Order)
	if err != nil {
		return out, err
	}
	for _, l := range o.Lines {
		if l.ID == out.Value.Line {
			out.Made = l.Made
		}
	}
	out.Jobs = jobsOf(out.Value, o.Jobs)
	out.Ready = len(out.Jobs) > 0 && !slices.ContainsFunc(out.Jobs, func(j Kept[Job]) bool { return j.Value.State() != Off })
	if out.Yarn, err = tx.Held(InPiece(id), ""); err != nil {
		return out, err
	}
	out.Lots = map[string]Kept[Lot]{}
	for _, s := range out.Yarn {
		if out.Lots[s.Lot], err = lots.get(tx, s.Lot); err != nil {
			return out, err
		}
	}
	return out, nil
}

// jobsOf are the warps a piece is woven on: one for all pieces, its own, or as
// many as its panels.
func jobsOf(x Piece, all []Kept[Job]) (out []Kept[Job]) {
	for _, j := range all {
		if j.Value.Line != x.Line {
			continue
		}
		per := j.Value.Layings / x.Of // 0: one for all
		if per == 0 || (j.Value.Laying-1)/per == x.N-1 {
			out = append(out, j)
		}
	}
	return out
}

// changePiece reads a piece, lets f add to it, and keeps it.
func (h *House) changePiece(ctx context.Context, p Person, call, id string, revision int64, f func(*store.Tx, *PieceView) error) (out Kept[Piece], _ error) {
	err := h.update(ctx, p, call, func(tx *store.Tx) error {
		v, err := h.piece(tx, id)
		if err != nil {
			return err
		}
		v.Revision = revision
		if err = f(tx, &v); err != nil {
			return err
		}
		if out, err = pieces.put(tx, v.Kept); err != nil {
			return err
		}
		return h.settle(tx, v.Value.Order)
	})
	return out, err
}

// Finish tells that a piece is washed, sewn and tagged, what it weighs and
// measures. Its material comes from the cloth of its warps; when it is the last
// piece of a warp, what is left of that cloth was cut away.
func (h *House) Finish(ctx context.Context, p Person, id string, revision int64, mass measure.Gram, length, width measure.CM, note string) (Kept[Piece], error) {
	trim(&note)
	return h.changePiece(ctx, p, "Finish", id, revision, func(tx *store.Tx, v *PieceView) error {
		var ps check.Problems
		if !(mass <= maxGrams && milligrams(mass) > 0) {
			ps.Wrong("mass", "mass-out-of-range", check.Args{"value": mass})
		}
		size(&ps, "length", length)
		size(&ps, "width", width)
		short(&ps, "note", note, 2000)
		switch {
		case v.Value.State() != Unfinished:
			ps.Wrong("", "piece-done", nil)
		case !v.Ready:
			ps.Wrong("", "piece-not-woven", nil)
		}
		if err := invalid(ps); err != nil {
			return err
		}
		moved, err := h.cut(tx, v, milligrams(mass))
		if err != nil {
			return err
		}
		if err := h.finishedMoney(tx, v, p.Member, moved); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: FinishedFact, At: h.today(), By: p.Name,
			Grams: mass, CM: length, Width: width, Note: note, Moves: moved})
		return nil
	})
}

// cut takes a piece's material from the cloth of its warps: from each what its
// share of that cloth is, among the pieces still to be finished.
func (h *House) cut(tx *store.Tx, v *PieceView, mg int64) ([]Moved, error) {
	o, err := h.order(tx, v.Value.Order)
	if err != nil {
		return nil, err
	}
	var shares, all []store.Stock
	waiting := make([]int64, len(v.Jobs)) // pieces still to be cut from each warp, this one with them
	for i, j := range v.Jobs {
		for _, x := range o.Pieces {
			if x.Value.State() == Unfinished && slices.ContainsFunc(jobsOf(x.Value, o.Jobs), func(k Kept[Job]) bool { return k.ID == j.ID }) {
				waiting[i]++
			}
		}
		var held []store.Stock
		if held, err = tx.Held(Woven(j.ID), ""); err != nil {
			return nil, err
		}
		for _, s := range held {
			all = append(all, s)
			s.Milligrams /= max(1, waiting[i])
			shares = append(shares, s)
		}
	}
	if most := total(all); mg > most {
		return nil, wrong("mass", "piece-too-heavy", check.Args{"mass": grams(mg), "most": grams(most)})
	}
	moved, err := moveShare(tx, shares, min(mg, total(shares)), InPiece(v.ID))
	if err != nil {
		return nil, err
	}
	if more := mg - total(shares); more > 0 { // heavier than its share: the others get less
		rest, err := clothOf(tx, v.Jobs)
		if err != nil {
			return nil, err
		}
		extra, err := moveShare(tx, rest, more, InPiece(v.ID))
		if err != nil {
			return nil, err
		}
		moved = append(moved, extra...)
	}
	for i, j := range v.Jobs {
		if waiting[i] > 1 {
			continue
		}
		rest, err := tx.Held(Woven(j.ID), "")
		if err != nil {
			return nil, err
		}
		cut, err := moveShare(tx, rest, total(rest), Waste)
		if err != nil {
			return nil, err
		}
		moved = append(moved, cut...)
	}
	return moved, nil
}

// clothOf is the cloth of warps that is not yet in pieces.
func clothOf(tx *store.Tx, js []Kept[Job]) (out []store.Stock, err error) {
	for _, j := range js {
		held, err := tx.Held(Woven(j.ID), "")
		if err != nil {
			return nil, err
		}
		out = append(out, held...)
	}
	return out, nil
}

// Deliver tells that the customer has the piece.
func (h *House) Deliver(ctx context.Context, p Person, id string, revision int64) (Kept[Piece], error) {
	return h.tellPiece(ctx, p, "Deliver", id, revision, Finished, Fact{Kind: DeliveredFact})
}

// Return tells that a piece came back, and why.
func (h *House) Return(ctx context.Context, p Person, id string, revision int64, why string) (Kept[Piece], error) {
	return h.tellPiece(ctx, p, "Return", id, revision, Delivered, Fact{Kind: ReturnedFact, Note: why})
}

// Repair tells that a returned piece is mended.
func (h *House) Repair(ctx context.Context, p Person, id string, revision int64, what string) (Kept[Piece], error) {
	return h.tellPiece(ctx, p, "Repair", id, revision, Returned, Fact{Kind: RepairedFact, Note: what})
}

func (h *House) tellPiece(ctx context.Context, p Person, call, id string, revision int64, from PieceState, f Fact) (Kept[Piece], error) {
	trim(&f.Note)
	return h.changePiece(ctx, p, call, id, revision, func(_ *store.Tx, v *PieceView) error {
		var ps check.Problems
		short(&ps, "note", f.Note, 2000)
		if v.Value.State() != from {
			ps.Wrong("", "piece-not-so-far", check.Args{"state": string(v.Value.State())})
		}
		if err := invalid(ps); err != nil {
			return err
		}
		f.At, f.By = h.today(), p.Name
		v.Value.Facts = append(v.Value.Facts, f)
		return nil
	})
}

// UndoPiece takes back the last thing told of a piece.
func (h *House) UndoPiece(ctx context.Context, p Person, id string, revision int64) (Kept[Piece], error) {
	return h.changePiece(ctx, p, "UndoPiece", id, revision, func(tx *store.Tx, v *PieceView) error {
		n := len(v.Value.Facts) - 1
		if n < 0 {
			return wrong("", "nothing-to-undo", nil)
		}
		if err := moveBack(tx, v.Value.Facts[n].Moves); err != nil {
			return err
		}
		v.Value.Facts = v.Value.Facts[:n]
		return h.undoMoney(tx, v.source())
	})
}
