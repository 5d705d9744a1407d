package workshop

import (
	"context"
	"time"

	"urdir/internal/store"
)

// MemberMonth is what a member was told for a month, day by day.
type MemberMonth struct {
	Member   Kept[Member]
	Workshop string
	First    string // date of its first day
	Today    string
	Days     []MonthDay
}

// MonthDay is a day of it.
type MonthDay struct {
	PlanDay
	Away  bool
	Why   string    // she is away
	Hours []Stretch // that she offers
	Turns []MonthTurn
}

// MonthTurn is what she does in some hours of a day.
type MonthTurn struct {
	Stretch
	Turn
}

// MemberMonth gives the month, written as 2027-03, of a member: anybody's for who
// sees the workshop, her own for a member. Only what she was told is in it: on
// paper nothing stands that may still change without her.
func (h *House) MemberMonth(ctx context.Context, p Person, id, month string) (out MemberMonth, _ error) {
	if err := allowed(p, "MemberMonth"); err != nil {
		return out, err
	}
	if onlyOwn(p) && (p.Member == "" || p.Member != id) {
		return out, &Error{Code: NotFound}
	}
	err := h.view(ctx, p, "MemberMonth", func(tx *store.Tx) (err error) {
		if out.Member, err = members.get(tx, id); err != nil {
			return err
		}
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		k.Value.Dye = k.Value.Dye.Filled()
		zone := k.Value.Location()
		first, none := time.ParseInLocation("2006-01", month, zone)
		now := h.now().In(zone)
		out.Today = now.Format(time.DateOnly)
		if none != nil {
			first = time.Date(now.Year(), now.Month(), 1, 0, 0, 0, 0, zone)
		}
		out.Workshop, out.First = k.Value.Name, first.Format(time.DateOnly)
		turns, err := h.turns(tx, first)
		if err != nil {
			return err
		}
		out.days(newHoursBook(k.Value), first, turns)
		return nil
	})
	return out, err
}

func (m *MemberMonth) days(book hoursBook, first time.Time, turns []TurnView) {
	for day := first; day.Month() == first.Month(); day = day.AddDate(0, 0, 1) {
		date := day.Format(time.DateOnly)
		d := MonthDay{PlanDay: book.day(date)}
		d.Why, d.Away = m.Member.Value.AwayOn(date)
		if !d.Away {
			hours, _ := book.member(m.Member.Value, noon(date))
			d.Hours = clockHours(day, hours)
		}
		for _, t := range turns {
			if t.Member != m.Member.ID {
				continue
			}
			for _, s := range t.Hands {
				if s.From.Format(time.DateOnly) == date {
					d.Turns = append(d.Turns, MonthTurn{s, t.Turn})
				}
			}
		}
		m.Days = append(m.Days, d)
	}
}
