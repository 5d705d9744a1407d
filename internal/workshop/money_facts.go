package workshop

import (
	"errors"
	"fmt"

	"urdir/internal/store"
)

// source names the next fact in the books, or after one is taken away that one.
func (v *JobView) source() string { return fmt.Sprintf("job:%s:%d", v.ID, len(v.Value.Facts)) }

func (v *PieceView) source() string { return fmt.Sprintf("piece:%s:%d", v.ID, len(v.Value.Facts)) }

func (v *DyeingView) source() string { return fmt.Sprintf("dyeing:%s:%d", v.ID, len(v.Value.Facts)) }

// undoMoney takes back what was booked for a fact, and the work in it, which must
// not be paid.
func (h *House) undoMoney(tx *store.Tx, source string) error {
	return errors.Join(h.unwork(tx, source), h.unpost(tx, source))
}

// agreeable refuses a pay in a currency that cannot be changed into the workshop's.
func agreeable(tx *store.Tx, pay Money) error {
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	_, err = set.Value.own("pay", pay)
	return err
}

// finishedMoney books what a piece took, and who finished it.
func (h *House) finishedMoney(tx *store.Tx, v *PieceView, member string, moved []Moved) error {
	name := "#" + fmt.Sprint(v.Value.Number) + " " + v.Value.Cloth
	if err := h.use(tx, v.source(), name, moved, map[string]string{"order": v.Value.Order, "product": v.Value.Cloth}); err != nil {
		return err
	}
	usual, err := h.usualMinutes(tx)
	if err != nil {
		return err
	}
	minutes := int64(0)
	for _, l := range pieceLoads(&v.Made.Plan, 1) {
		minutes += usual(l, member)
	}
	return h.ownWork(tx, member, v.source(), Work{Kind: "finish", Order: v.Value.Order, Where: "piece", ID: v.ID, Name: name, Product: v.Value.Cloth, Pieces: 1, Minutes: minutes})
}

// stageMoney books what a stage of a dyeing took, and the dyer's work.
func (h *House) stageMoney(tx *store.Tx, v *DyeingView, p Person, dyer string, stage int, moved []Moved) error {
	if err := h.use(tx, v.source(), v.Value.Label, moved, map[string]string{"dyeing": v.ID}); err != nil {
		return err
	}
	member, err := memberNamed(tx, dyer)
	if err != nil {
		return err
	}
	if member == "" && dyer == "" {
		member = p.Member
	}
	minutes := int64(0)
	if stage < len(v.Stages) && !v.Problems.Failed() {
		for _, s := range v.Batch.Steps[v.Stages[stage].From:v.Stages[stage].To] {
			minutes += int64(s.Work + 0.5)
		}
	}
	return h.ownWork(tx, member, v.source(), Work{Kind: "dye", Where: "dyeing", ID: v.ID, Name: v.Value.Label, Minutes: minutes})
}
