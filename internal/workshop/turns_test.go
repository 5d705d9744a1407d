package workshop

import (
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// What was told and is long past is not read again; what goes on is, also what was
// kept before months stood beside it, and at the end of a month in any zone.
func TestTurns_onlyWhatGoesOn(t *testing.T) {
	s := newShop(t, file(t))
	say := func(id string, end time.Time) {
		must(0, s.h.update(ctx, s.head, "Tell", func(tx *store.Tx) error {
			_, err := tolds.put(tx, Kept[Told]{ID: id, Value: Told{Of: id, Turns: map[string]Turn{id: {Name: id, Start: end.Add(-time.Hour), End: end}}}})
			return err
		}))
	}
	now := s.clock.at
	say("past", now.AddDate(0, -3, 0))
	say("ahead", now.AddDate(2, 0, 0))
	end := time.Date(2031, time.May, 31, 23, 30, 0, 0, time.FixedZone("", -9*3600)) // June by UTC
	say("edge", end)
	got := func(since time.Time) string {
		var names []string
		must(0, s.h.view(ctx, s.head, "Turns", func(tx *store.Tx) error {
			turns, err := s.h.turns(tx, since)
			for _, v := range turns {
				names = append(names, v.Turn.Name)
			}
			read := must(tolds.list(tx, Page{State: monthsFrom(since)}, false))
			if slices.ContainsFunc(read.Items, func(k Kept[Told]) bool { return k.ID == "past" }) != since.Before(now.AddDate(0, -2, 0)) {
				t.Errorf("since %s: read %d", since, len(read.Items))
			}
			return err
		}))
		return strings.Join(names, " ")
	}
	for since, want := range map[time.Time]string{now: "edge ahead", now.AddDate(0, -4, 0): "past edge ahead", end.Add(-time.Minute): "edge ahead", end.Add(time.Minute): "ahead"} {
		if names := got(since); names != want {
			t.Errorf("since %s: %q, want %q", since, names, want)
		}
	}
}
