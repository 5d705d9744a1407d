package workshop

import (
	"fmt"
	"testing"
	"time"

	"urdir/measure"
	"urdir/schedule"
)

// A date for a draft is found beside everything else, the same each time; once it
// is given it is the day the order is due, and what became of it is compared.
func TestPromise_story(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		first := s.running("scarf", 2)
		draft := s.draft(example("bag"), 1)
		before := must(s.h.Timetable(ctx, s.head, promiseSchedules)).order(first.ID)

		a := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: draft.ID}))
		again := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: draft.ID}))
		if a.Date != again.Date || a.Orders != 1 || a.Reached < 0.8 || a.Reached >= 1 {
			t.Errorf("asked twice: %+v and %+v", a.Date, again.Date)
		}
		if !a.Likely.When.Before(a.When) || !a.When.Before(a.Sure.When) || len(a.Tasks) < 8 {
			t.Errorf("one half by %s, 80 %% by %s, 95 %% by %s; %d tasks", a.Likely.When, a.When, a.Sure.When, len(a.Tasks))
		}
		if after := must(s.h.Timetable(ctx, s.head, promiseSchedules)).order(first.ID); after != before {
			t.Errorf("asking moved the other order: %+v, was %+v", after, before)
		}
		if !a.GivesWay || !must(s.h.PromiseFor(ctx, s.seller, Ask{Order: first.ID})).GivesWay {
			t.Error("what nobody was told or promised gives way")
		}
		if n := len(a.Why); n == 0 || a.Why[0].End.After(a.Planned) || a.Chance(iso(a.Day)) != a.Reached || a.Chance("2031-01-01") != 0 {
			t.Errorf("planned for %s, hangs on %+v; by the day %v, reached %v", a.Planned, a.Why, a.Chance(iso(a.Day)), a.Reached)
		}
		for _, try := range must(s.h.EarlierFor(ctx, s.seller, Ask{Order: draft.ID})) {
			if len(try.Later) > 0 {
				t.Errorf("%+v: others stay where they are", try)
			}
		}
		bold := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: draft.ID, Probability: 0.5}))
		if !bold.When.Equal(a.Likely.When) {
			t.Errorf("with one half by %s, was %s", bold.When, a.Likely.When)
		}

		// The same cloth from a file, of a workshop that has never seen it.
		typed := must(s.h.PromiseFor(ctx, s.seller, Ask{Lines: []AskLine{{example("bag"), 1}}}))
		if off := typed.When.Sub(a.When); off < -48*time.Hour || off > 48*time.Hour { // other names, other luck
			t.Errorf("written down by %v, typed by %v", a.Day, typed.Day)
		}

		must(s.h.ConfirmOrder(ctx, s.seller, draft.ID, draft.Revision))
		o := s.supply(draft.ID, 1)
		day := iso(a.Day)
		given := must(s.h.GivePromise(ctx, s.seller, o.ID, o.Revision, day, a.Reached))
		o = must(s.h.Order(ctx, s.head, o.ID))
		if o.Value.Due != day || o.Value.Promise != given.ID {
			t.Errorf("promised %s, due %s", day, o.Value.Due)
		}
		if tt := must(s.h.Timetable(ctx, s.head, 100)); !tt.order(o.ID).Promised || tt.order(o.ID).Late != 0 {
			t.Errorf("in the timetable: %+v", tt.order(o.ID))
		}
		kept := must(s.h.PromisesKept(ctx, s.head))
		if kept.All.Promises != 0 {
			t.Errorf("compared before its day: %+v", kept.All)
		}

		// Ready three days before, looked at after it.
		for _, j := range o.Jobs {
			s.woven(j, s.weaver)
		}
		due := must(time.Parse(time.DateOnly, day))
		s.clock.at = due.AddDate(0, 0, -3).Add(15 * time.Hour)
		for _, x := range o.Pieces {
			must(s.h.Finish(ctx, s.seller, x.ID, x.Revision, 20, 60, 20, ""))
		}
		s.clock.at = due.AddDate(0, 0, 2)
		l, _, err := s.h.Promises(ctx, s.seller, o.ID, Page{})
		must(0, err)
		if len(l) != 1 || !l[0].Over || l[0].Late != -3 || l[0].Value.By != "Saturnina" {
			t.Errorf("what became of it: %+v", l)
		}
		kept = must(s.h.PromisesKept(ctx, s.head))
		if kept.All.Promises != 1 || kept.All.Kept != 1 {
			t.Errorf("kept: %+v", kept.All)
		}
	})
}

// An order that people were told of has its place: asked about, it does not give
// way to all others any more, and is not later by it.
func TestPromise_told(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 2)
	for range 3 {
		s.running("bag", 1)
	}
	before := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: o.ID}))
	tt := must(s.h.Timetable(ctx, s.head, promiseSchedules))
	must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, promiseSchedules, ""))
	told := must(s.h.PromiseFor(ctx, s.seller, Ask{Order: o.ID}))
	if !before.GivesWay || told.GivesWay || told.When.After(before.When) {
		t.Errorf("before by %v, told by %v", before.When, told.When)
	}
}

func iso(d schedule.Date) string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Two of five are kept: as worked by hand.
func TestPromisesKept_counts(t *testing.T) {
	s := calendarShop(t, file(t))
	for i, late := range []int{-2, 0, 1, 4, 9} {
		o := s.running("scarf", 1)
		must(s.h.GivePromise(ctx, s.seller, o.ID, o.Revision, s.h.today(), 0.8))
		s.woven(o.Jobs[0], s.weaver)
		s.clock.pass(time.Duration(late) * 24 * time.Hour)
		must(s.h.Finish(ctx, s.seller, o.Pieces[0].ID, o.Pieces[0].Revision, 10, 150, 20, ""))
		s.clock.pass(time.Duration(i+1) * 24 * time.Hour)
	}
	late := s.running("scarf", 1)
	must(s.h.GivePromise(ctx, s.seller, late.ID, late.Revision, s.h.today(), 0.8))
	gone := s.running("scarf", 1)
	must(s.h.GivePromise(ctx, s.seller, gone.ID, gone.Revision, s.h.today(), 0.8))
	gone = must(s.h.Order(ctx, s.head, gone.ID))
	must(s.h.CancelOrder(ctx, s.seller, gone.ID, gone.Revision))
	s.clock.pass(6 * 24 * time.Hour)

	got := must(s.h.PromisesKept(ctx, s.head)).All
	// Late by -2, 0, 1, 4, 9 and, not ready yet, 6 days; the cancelled one is nobody's.
	// Loss: 0.2*2 + 0 + 0.8*(1+4+9+6) = 16.4, over six.
	if got.Promises != 6 || got.Kept != 2 || got.Loss < 16.4/6-1e-9 || got.Loss > 16.4/6+1e-9 {
		t.Errorf("%+v", got)
	}
}

func TestPromise_refused(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 1)
	for _, c := range []struct {
		day, path, code string
		p               float64
	}{
		{"", "day", "field-empty", 0.8},
		{"pronto", "day", "date-unread", 0.8},
		{"2031-05-05", "day", "promise-past", 0.8},
		{"2031-08-01", "probability", "promise-probability", 1},
		{"2031-08-01", "probability", "promise-probability", 0},
	} {
		_, err := s.h.GivePromise(ctx, s.seller, o.ID, o.Revision, c.day, measure.Ratio(c.p))
		wantProblem(t, c.day+" "+c.code, err, c.path, c.code)
	}
	_, err := s.h.PromiseFor(ctx, s.seller, Ask{})
	wantProblem(t, "nothing", err, "lines", "order-no-lines")
	_, err = s.h.PromiseFor(ctx, s.seller, Ask{Lines: []AskLine{{example("scarf"), 0}}})
	wantProblem(t, "no pieces", err, "lines[0].quantity", "out-of-range")
	_, err = s.h.PromiseFor(ctx, s.seller, Ask{Order: o.ID, Probability: 2})
	wantProblem(t, "more than sure", err, "probability", "promise-probability")
}
