package workshop

import (
	"context"
	"errors"
	"slices"

	"urdir/check"
	"urdir/internal/store"
)

// UndoJob takes back the last thing told of a warp; material that went with it
// goes back the way it came. What someone else may do only they may undo.
func (h *House) UndoJob(ctx context.Context, p Person, id string, revision int64) (Kept[Job], error) {
	return h.change(ctx, p, "UndoJob", id, revision, func(tx *store.Tx, v *JobView) error {
		n := len(v.Value.Facts) - 1
		if n < 0 {
			return wrong("", "nothing-to-undo", nil)
		}
		last := v.Value.Facts[n]
		if err := allowed(p, undoRight[last.Kind]); err != nil {
			return err
		}
		if last.Kind == BackFact {
			if err := h.uncut(tx, v.Kept); err != nil {
				return err
			}
		}
		if last.Paper != "" {
			return wrong("", "paid-together", check.Args{"number": last.Paper})
		}
		if err := moveBack(tx, last.Moves); err != nil {
			return err
		}
		if last.Kind == GivenFact {
			v.Value.Member = ""
		}
		v.Value.Facts = v.Value.Facts[:n]
		return h.undoMoney(tx, v.source())
	})
}

// undoRight is the call whose right undoing a fact asks for.
var undoRight = map[FactKind]string{
	GivenFact: "GiveOut", LaidFact: "Laid", ToldFact: "Tell", BackFact: "TakeBack", PaidFact: "Paid",
	FinishedFact: "Finish", DeliveredFact: "Deliver", ReturnedFact: "Return", RepairedFact: "Repair",
}

// uncut refuses if a piece of a warp is finished: even where none of its
// material is in the piece, the piece stands on it.
func (h *House) uncut(tx *store.Tx, j Kept[Job]) error {
	ps, err := pieces.list(tx, Page{Parent: j.Value.Order}, false)
	for _, x := range ps.Items {
		if x.Value.State() != Unfinished && len(jobsOf(x.Value, []Kept[Job]{j})) > 0 {
			return wrong("", "undo-moved-on", nil)
		}
	}
	return err
}

// moveBack moves material back the way it came.
func moveBack(tx *store.Tx, moved []Moved) error {
	for _, m := range slices.Backward(moved) {
		err := tx.Move(m.Lot, m.Milligrams, m.To, m.From)
		if _, ok := errors.AsType[*store.Short](err); ok {
			return wrong("", "undo-moved-on", nil)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
