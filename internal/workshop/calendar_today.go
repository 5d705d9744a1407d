package workshop

import (
	"slices"
	"time"

	"urdir/internal/store"
)

// remind adds to a day what somebody was told to begin on it, and the records of
// work that are to be asked about: a member's own, or everybody's.
func (h *House) remind(tx *store.Tx, member string, out *Day) error {
	k, err := readSettings(tx)
	if err != nil {
		return err
	}
	zone := k.Value.Location()
	now := h.now().In(zone)
	turns, err := h.turns(tx, wall(now, 0))
	if err != nil {
		return err
	}
	date := now.Format(time.DateOnly)
	if out.Clock, err = h.clock(tx, turns, date, member); err != nil {
		return err
	}
	for _, t := range turns {
		if t.Start.Format(time.DateOnly) != date || member != "" && t.Member != member {
			continue
		}
		var done bool
		if done, err = turnDone(tx, t.Turn); err != nil {
			return err
		}
		if done {
			continue
		}
		e := Errand{Kind: "errand-turn-" + string(t.Kind), Where: t.Where, ID: t.ID, Name: t.Turn.Name, Due: date}
		if member == "" && t.Name != "" {
			e.Name += " · " + t.Name
		}
		if member != "" && t.Where != "job" {
			e.Where, e.ID = "calendar", date // the order's page is not hers
		}
		out.Errands = append(out.Errands, e)
	}
	asked, err := h.questions(tx)
	for _, a := range asked {
		if member == "" || a.Member == member {
			out.Errands = append(out.Errands, Errand{Kind: "errand-ask-record", Where: "question", ID: a.Job, Name: a.Name})
		}
	}
	return err
}

// turnDone says whether a warp is farther than what was told of it; of other
// things their own pages tell.
func turnDone(tx *store.Tx, t Turn) (bool, error) {
	if t.Where != "job" {
		return false, nil
	}
	j, err := jobs.get(tx, t.ID)
	if missing(err) {
		return true, nil // cancelled
	}
	order := []JobState{Waiting, Given, OnFrame, OnLoom, Off}
	far := slices.Index(order, j.Value.State())
	switch t.Kind {
	case WindTask, WarpTask:
		return far >= 2, err
	case DressTask:
		return far >= 3, err
	}
	return far >= 4, err
}
