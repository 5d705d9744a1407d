package workshop

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// owner is the record with which what was told of a task is kept; empty for what
// nobody is told: baths that the dye house has not planned.
func (t Task) owner() string {
	switch {
	case t.Where == "dyeing":
		return t.ID
	case t.Where == "dyes" || len(t.Orders) == 0:
		return ""
	}
	return t.Orders[0]
}

// tells says whether a task is one that somebody is told of.
func (t Task) tells() bool { return t.owner() != "" && (t.Member != "" || t.Kind == YarnTask) }

// turn is what is told of a task.
func (t Task) turn() Turn {
	return Turn{Member: t.Member, Start: t.Start, End: t.End, Places: t.Places, Hands: t.Hands, Minutes: t.Minutes,
		Kind: t.Kind, Name: t.Name, Where: t.Where, ID: t.ID, Orders: t.Orders}
}

// again finds the timetable a mark was shown for, and what the store had seen then.
func (h *House) again(ctx context.Context, p Person, call, mark string, schedules int) (t Timetable, seen string, err error) {
	var begin int64
	if _, err = fmt.Sscanf(mark, "%d-", &begin); err != nil || h.now().Sub(time.Unix(begin, 0)).Abs() > 24*time.Hour {
		return t, "", cmp.Or(allowed(p, call), wrong("", "timetable-changed", nil))
	}
	err = h.view(ctx, p, call, func(tx *store.Tx) (err error) {
		if t, err = h.timetable(tx, schedules, time.Unix(begin, 0)); err != nil {
			return err
		}
		seen, err = tx.Mark()
		return err
	})
	if err == nil && t.Mark != mark {
		err = wrong("", "timetable-changed", nil)
	}
	return t, seen, err
}

// AcceptTimetable keeps what people are told: every task of the timetable that
// begins by a date, all of them if there is none. From then on it stays as it is
// until someone moves it. mark and schedules are those of the timetable; if
// anything it was made from has changed, it is refused.
func (h *House) AcceptTimetable(ctx context.Context, p Person, mark string, schedules int, until string) (out Kept[Retelling], _ error) {
	t, seen, err := h.again(ctx, p, "AcceptTimetable", mark, schedules)
	if err != nil {
		return out, err
	}
	last := time.Time{}
	if until != "" {
		var ok bool
		if last, ok = t.works.dayAt(until, 24*60); !ok {
			return out, wrong("until", "date-unread", check.Args{"text": until})
		}
	}
	tell := map[string]Task{}
	for _, k := range t.Tasks {
		if k.tells() && (last.IsZero() || k.Start.Before(last)) {
			tell[k.Key] = k
		}
	}
	err = h.update(ctx, p, "AcceptTimetable", func(tx *store.Tx) error {
		now, none := tx.Mark()
		if none != nil || now != seen {
			return cmp.Or(none, wrong("", "timetable-changed", nil))
		}
		out, err = h.tell(tx, p, t.works, tell, nil)
		return err
	})
	return out, err
}

// tell keeps turns of tasks, beside those that were told already of tasks that
// are still to be done.
func (h *House) tell(tx *store.Tx, p Person, w *works, tell map[string]Task, move *Shift) (out Kept[Retelling], _ error) {
	turns := map[string]map[string]Turn{}
	for key, k := range tell {
		of := k.owner()
		if turns[of] == nil {
			turns[of] = map[string]Turn{}
		}
		turns[of][key] = k.turn()
	}
	v := Retelling{At: h.now(), By: p.Name, Move: move, Tasks: len(tell), After: map[string]int64{}}
	for _, of := range slices.Sorted(maps.Keys(turns)) {
		k := w.tolds[of]
		k.ID = of
		for key, was := range k.Value.Turns {
			if _, again := turns[of][key]; !again && w.tasks[key] != nil {
				turns[of][key] = was
			}
		}
		k.Value = Told{Of: of, Turns: turns[of], At: v.At, By: p.Name}
		kept, err := tolds.put(tx, k)
		if err != nil {
			return out, err
		}
		v.After[of] = kept.Revision
	}
	if len(v.After) == 0 {
		return out, wrong("", "timetable-empty", nil)
	}
	return retellings.put(tx, Kept[Retelling]{Value: v})
}

// Retellings lists what was told when, the last first.
func (h *House) Retellings(ctx context.Context, p Person, page Page) (Listed[Retelling], error) {
	return many(ctx, h, p, "Retellings", retellings, page, true)
}

// UndoTelling takes back what people were told at once, if nothing of it was told
// anew since.
func (h *House) UndoTelling(ctx context.Context, p Person, id string) error {
	return h.update(ctx, p, "UndoTelling", func(tx *store.Tx) error {
		k, err := retellings.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Undone {
			return wrong("", "nothing-to-undo", nil)
		}
		for _, of := range slices.Sorted(maps.Keys(k.Value.After)) {
			if err = untell(tx, of, k.Value.After[of]); err != nil {
				return err
			}
		}
		k.Value.Undone = true
		_, err = retellings.put(tx, k)
		return err
	})
}

// untell puts what was told back as it was before a revision.
func untell(tx *store.Tx, of string, revision int64) error {
	now, err := tolds.get(tx, of)
	if missing(err) || err == nil && now.Revision != revision {
		return wrong("", "undo-moved-on", nil)
	}
	if err != nil {
		return err
	}
	entries, err := tx.History(tolds.name, of, 1)
	if err != nil {
		return err
	}
	if len(entries) == 0 || entries[0].Before == "" {
		return tx.Remove(tolds.name, of, revision)
	}
	return restore(tx, tolds, of, revision, entries[0].Before)
}

// TurnView is what someone was told of a task that is still to be done.
type TurnView struct {
	Key string
	Turn
	Name string // of the member
	Told time.Time
}

// Turns gives what people were told and is not past, by start: a member her own.
func (h *House) Turns(ctx context.Context, p Person) (out []TurnView, _ error) {
	err := h.view(ctx, p, "Turns", func(tx *store.Tx) (err error) {
		out, err = h.turns(tx, h.now().AddDate(0, 0, -turnsBehind))
		return err
	})
	if onlyOwn(p) {
		out = slices.DeleteFunc(out, func(t TurnView) bool { return p.Member == "" || t.Member != p.Member })
	}
	return out, err
}

// turnsBehind is how many days what was told is still shown when it is past.
const turnsBehind = 30

// until is the month in which the last of the turns ends; a day more, as the month is
// another elsewhere.
func (t Told) until() string {
	last := time.Time{}
	for _, turn := range t.Turns {
		if turn.End.After(last) {
			last = turn.End
		}
	}
	if last.IsZero() {
		return ""
	}
	return last.UTC().AddDate(0, 0, 1).Format(monthly)
}

// toldAhead is how many months ahead anybody is told of work, at the most.
const toldAhead = 60

// monthsFrom is the states of what was told that may go on after a time: most of what
// was ever told does not. What was kept before months were has none.
func monthsFrom(since time.Time) string {
	months := make([]string, 0, toldAhead+1)
	first := time.Date(since.UTC().Year(), since.UTC().Month(), 1, 0, 0, 0, 0, time.UTC)
	for n := range toldAhead {
		months = append(months, first.AddDate(0, n, 0).Format(monthly))
	}
	return strings.Join(append(months, ""), ",")
}

func (h *House) turns(tx *store.Tx, since time.Time) (out []TurnView, _ error) {
	all, err := tolds.list(tx, Page{State: monthsFrom(since)}, false)
	if err != nil {
		return nil, err
	}
	ms, err := members.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	for _, m := range ms.Items {
		names[m.ID] = m.Value.Name
	}
	k, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	zone := k.Value.Location()
	for _, t := range all.Items {
		for key, turn := range t.Value.Turns {
			if turn.End.After(since) {
				turn.Start, turn.End = turn.Start.In(zone), turn.End.In(zone)
				hands := make([]Stretch, len(turn.Hands))
				for i, s := range turn.Hands {
					hands[i] = Stretch{s.From.In(zone), s.To.In(zone)}
				}
				turn.Hands = hands
				out = append(out, TurnView{key, turn, names[turn.Member], t.Value.At})
			}
		}
	}
	slices.SortFunc(out, func(a, b TurnView) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.Key, b.Key)) })
	return out, nil
}
