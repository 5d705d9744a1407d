package workshop

import (
	"context"
	"time"

	"urdir/internal/store"
)

// HandView is what a member has in her hands.
type HandView struct {
	Member  Kept[Member]
	Jobs    []HandJob
	Turns   []TurnView     // what she was told, that is still to come
	Classes []Kept[Order]  // that she teaches
	Said    []Kept[Saying] // that nobody has heard yet
	Pay     Statement
	Absent  *Absence // today
}

// HandJob is a warp in her hands.
type HandJob struct {
	JobView
	Due     string
	Stripes int // ticked
}

// Hand gathers what a person has in her own hands; empty for one who is no member.
func (h *House) Hand(ctx context.Context, p Person) (out HandView, _ error) {
	err := h.view(ctx, p, "Hand", func(tx *store.Tx) (err error) {
		if p.Member == "" {
			return nil
		}
		if out.Member, err = members.get(tx, p.Member); err != nil {
			return err
		}
		for i, a := range out.Member.Value.Time.Absences {
			if today := h.today(); today >= a.From && (a.To == "" || today <= a.To) {
				out.Absent = &out.Member.Value.Time.Absences[i]
			}
		}
		if err = h.handJobs(tx, p, &out); err != nil {
			return err
		}
		if err = h.handDays(tx, p, &out); err != nil {
			return err
		}
		if out.Said, err = unheard(tx, p.Member); err != nil {
			return err
		}
		open, err := openWorks(tx)
		if err != nil {
			return err
		}
		out.Pay, err = h.statement(tx, out.Member, h.now().Format("2006-01"), open)
		return err
	})
	return out, err
}

func (h *House) handJobs(tx *store.Tx, p Person, out *HandView) error {
	mine, err := jobs.list(tx, Page{State: heldStates(p.Member)}, false)
	if err != nil {
		return err
	}
	for _, j := range mine.Items {
		v, err := h.job(tx, p, j.ID)
		if err != nil {
			return err
		}
		o, err := orders.get(tx, j.Value.Order)
		if err != nil {
			return err
		}
		at, err := places.get(tx, j.ID)
		if err != nil && !missing(err) {
			return err
		}
		out.Jobs = append(out.Jobs, HandJob{v, o.Value.Due, min(at.Value.Stripes, len(v.Warp.Stripes))})
	}
	return nil
}

// handDays adds her turns from today on, and the classes she teaches.
func (h *House) handDays(tx *store.Tx, p Person, out *HandView) error {
	all, err := h.turns(tx, h.now())
	if err != nil {
		return err
	}
	for _, t := range all {
		if t.Member == p.Member {
			out.Turns = append(out.Turns, t)
		}
	}
	open, err := orders.list(tx, Page{State: "open"}, false)
	for _, o := range open.Items {
		if c := o.Value.Class; c != nil && c.Teacher == p.Member && c.Day >= h.now().Format(time.DateOnly) {
			out.Classes = append(out.Classes, o)
		}
	}
	return err
}
