package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/schedule"
)

// HoursView is when a member can work, and what follows from it.
type HoursView struct {
	Kept[Member]
	Usual    map[string][]schedule.Span // by day of the week, as the calendar takes them
	Weekly   int                        // minutes in a usual week
	Problems check.Problems             // work that is in her hands, or that she was told, without hours for it
}

// Hours gives when a member can work: anybody's for the head, her own for a
// member.
func (h *House) Hours(ctx context.Context, p Person, id string) (out HoursView, _ error) {
	if err := allowed(p, "Hours"); err != nil {
		return out, err
	}
	if !p.May("SaveMember") && (p.Member == "" || p.Member != id) {
		return out, &Error{Code: NotFound}
	}
	err := h.view(ctx, p, "Hours", func(tx *store.Tx) (err error) {
		if out.Kept, err = members.get(tx, id); err != nil {
			return err
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		book := newHoursBook(k.Value)
		out.Usual, out.Weekly = map[string][]schedule.Span{}, book.weekly(out.Value)
		for _, d := range weekDays {
			out.Usual[d] = book.offered(out.Value, d)
		}
		if err = h.inHand(tx, &out); err != nil {
			return err
		}
		if err = h.toldAway(tx, &out); err != nil {
			return err
		}
		return h.nobodyElse(tx, book, &out)
	})
	return out, err
}

// gone says whether a member offers no hours from a date on, and which absence it
// is by; -1 if it is by none.
func (v *HoursView) gone(today string) (bool, int) {
	for i, a := range v.Value.Time.Absences {
		if a.To == "" && a.From <= today {
			return true, i
		}
	}
	return v.Value.Away || v.Weekly == 0, -1
}

// where is the field that says that she has gone.
func (v *HoursView) where(absence int) string {
	switch {
	case absence >= 0:
		return fmt.Sprintf("absences[%d]", absence)
	case v.Value.Away:
		return ""
	}
	return "offers"
}

// inHand says of each warp in her hands that she offers no hours for it.
func (h *House) inHand(tx *store.Tx, out *HoursView) error {
	gone, by := out.gone(h.today())
	if !gone {
		return nil
	}
	held, err := jobs.list(tx, Page{State: heldStates(out.ID)}, false)
	for _, j := range held.Items {
		out.Problems.Look(out.where(by), "calendar-left", check.Args{"name": out.Value.Name, "what": jobName(j.Value)})
	}
	return err
}

// toldAway says of each turn she was told that it falls on days on which she does
// not work.
func (h *House) toldAway(tx *store.Tx, out *HoursView) error {
	turns, err := h.turns(tx, h.now())
	for _, t := range turns {
		if t.Member != out.ID {
			continue
		}
		for i, a := range out.Value.Time.Absences {
			at := slices.IndexFunc(t.Hands, func(s Stretch) bool {
				date := s.From.Format(time.DateOnly)
				return date >= a.From && (a.To == "" || date <= a.To)
			})
			if at >= 0 {
				out.Problems.Look(fmt.Sprintf("absences[%d]", i), "hours-told", check.Args{"what": t.Turn.Name, "day": t.Hands[at].From.Format(time.DateOnly)})
				break
			}
		}
	}
	return err
}

// nobodyElse says which skills nobody has any more who offers hours, if she has
// gone.
func (h *House) nobodyElse(tx *store.Tx, book hoursBook, out *HoursView) error {
	today := h.today()
	gone, by := out.gone(today)
	if !gone {
		return nil
	}
	all, err := members.list(tx, Page{}, false)
	for _, skill := range out.Value.Skills {
		if !slices.ContainsFunc(all.Items, func(m Kept[Member]) bool {
			o := HoursView{Kept: m, Weekly: book.weekly(m.Value)}
			away, _ := o.gone(today)
			return m.ID != out.ID && !away && slices.Contains(m.Value.Skills, skill)
		}) {
			args := check.Args{"name": out.Value.Name}
			for _, s := range Skills {
				args[skillArg(s)] = s == skill
			}
			out.Problems.Look(out.where(by), "hours-nobody", args)
		}
	}
	return err
}
