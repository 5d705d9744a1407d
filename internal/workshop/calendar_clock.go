package workshop

import (
	"cmp"
	"slices"
	"time"

	"urdir/internal/store"
)

// ClockLine is one thing of today's calendar.
type ClockLine struct {
	Kind  ClockKind
	From  time.Time
	To    time.Time // of hands: until when; of standing that begins: when it has stood
	Task  TaskKind
	Name  string
	Who   string // name of the member; empty on her own list
	Where string // kind of page
	ID    string
}

// ClockKind is what there is to know at a time of the day.
type ClockKind string

// Kinds of lines of today's calendar.
const (
	HandsLine  ClockKind = "hands"  // she works at it
	StandsLine ClockKind = "stands" // it is left to stand, by the fire or on the line
	StoodLine  ClockKind = "stood"  // it has stood
	SentLine   ClockKind = "sent"   // yarn is sent for
	ComesLine  ClockKind = "comes"  // yarn should be there
)

// standing is from how long on what stands after hands have left it is told; our
// choice: less is waited for.
const standing = 30 * time.Minute

// clock is what people were told of a date, by the time of day: their hands, and
// when something begins to stand or has stood.
func (h *House) clock(tx *store.Tx, turns []TurnView, date, member string) (out []ClockLine, _ error) {
	for _, t := range turns {
		if member != "" && t.Member != member {
			continue
		}
		done, err := turnDone(tx, t.Turn)
		if err != nil {
			return nil, err
		}
		if done {
			continue
		}
		l := ClockLine{Task: t.Kind, Name: t.Turn.Name, Who: t.Name, Where: t.Where, ID: t.ID}
		if member != "" {
			l.Who = ""
			if l.Where != "job" {
				l.Where, l.ID = "calendar", date // the order's page is not hers
			}
		}
		out = append(out, t.lines(l, date)...)
	}
	slices.SortStableFunc(out, func(a, b ClockLine) int { return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.Name, b.Name)) })
	return out, nil
}

// lines is what a turn has on a date.
func (t TurnView) lines(l ClockLine, date string) (out []ClockLine) {
	on := func(at time.Time) bool { return at.Format(time.DateOnly) == date }
	add := func(kind ClockKind, from, to time.Time) {
		l.Kind, l.From, l.To = kind, from, to
		out = append(out, l)
	}
	left := t.Start
	for _, s := range t.Hands {
		if on(s.From) {
			add(HandsLine, s.From, s.To)
		}
		left = s.To
	}
	begins, ends := StandsLine, StoodLine
	if t.Kind == YarnTask {
		begins, ends = SentLine, ComesLine
	}
	if t.End.Sub(left) < standing {
		return out
	}
	if on(left) {
		add(begins, left, t.End)
	}
	if on(t.End) {
		add(ends, t.End, time.Time{})
	}
	return out
}

// promiseDays is how many days before its day a promise is reminded of.
const promiseDays = 7

// promiseErrand reminds of a promise whose day is near or past while pieces are
// still to be finished.
func (h *House) promiseErrand(o OrderView, out *Day) {
	v := o.Value
	waits := slices.ContainsFunc(o.Pieces, func(x Kept[Piece]) bool { return x.Value.State() == Unfinished })
	if v.Promise == "" || v.Class != nil || v.Confirmed != "" && !waits || v.Due > dayAfter(h.today(), promiseDays) {
		return
	}
	e := Errand{Kind: "errand-promise", Where: "order", ID: o.ID, Name: number(v.Number) + " " + o.Customer.Value.Name, Due: v.Due}
	if h.late(v.Due) {
		e.Kind, e.Where, e.Late = "errand-promise-late", "date", true
	}
	out.Errands = append(out.Errands, e)
}
