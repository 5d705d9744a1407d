package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/schedule"
)

// kept is where a workshop's data lie, and from when they are looked at.
type kept struct {
	home
	at string
}

// scheduling is what was typed.
type scheduling struct {
	kept
	schedules, days int
}

func newScheduleCommand(a *app) *cobra.Command {
	w := a.words
	var s scheduling
	c := &cobra.Command{
		Use:                   "schedule",
		Short:                 w.T("cli-schedule-about", nil),
		Long:                  w.T("cli-schedule-about-long", nil),
		Example:               "  urdir schedule --data taller\n  urdir schedule --data taller --schedules 50000 --json",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE:                  func(c *cobra.Command, _ []string) error { return a.schedule(c.Context(), s) },
	}
	s.flags(a, c)
	f := c.Flags()
	f.StringVar(&s.at, "at", "", w.T("cli-schedule-flag-at", nil))
	f.IntVar(&s.schedules, "schedules", workshop.TimetableSchedules, w.T("cli-schedule-flag-schedules", nil))
	f.IntVar(&s.days, "days", 14, w.T("cli-schedule-flag-days", nil))
	return c
}

// open opens a workshop's data where they lie; it makes none.
func (k kept) open(ctx context.Context) (*workshop.House, func(), error) {
	now, err := k.clock()
	if err != nil {
		return nil, nil, err
	}
	db, err := k.home.open(ctx, true)
	if err != nil {
		return nil, nil, err
	}
	return workshop.New(db, now), func() { _ = db.Close() }, nil // only read
}

// openAsOwner opens a workshop's data for its head, who may see all of it.
func (k kept) openAsOwner(ctx context.Context) (*workshop.House, workshop.Person, func(), error) {
	house, done, err := k.open(ctx)
	if err != nil {
		return nil, workshop.Person{}, nil, err
	}
	owner, err := house.Owner(ctx)
	if workshop.CodeOf(err) == workshop.NotFound {
		err = mistake("--data", "data-none", check.Args{"folder": k.data})
	}
	if err != nil {
		done()
		return nil, workshop.Person{}, nil, err
	}
	return house, owner, done, nil
}

// atForm is how a day and an hour are typed; the hour may be left out.
const atForm = "2006-01-02 15:04"

// clock is the clock by which the workshop is looked at: it stands where was
// typed.
func (k kept) clock() (func() time.Time, error) {
	if k.at == "" {
		return time.Now, nil
	}
	text := strings.Replace(k.at, "T", " ", 1)
	if len(text) == len(time.DateOnly) {
		text += " 00:00"
	}
	at, err := time.Parse(atForm, text)
	if err != nil {
		return nil, mistake("--at", "date-unread", check.Args{"text": k.at})
	}
	return func() time.Time { return at }, nil
}

// schedule finds who does what when, and prints it.
func (a *app) schedule(ctx context.Context, s scheduling) error {
	if s.schedules < 1 || s.schedules > workshop.TimetableMost {
		return mistake("--schedules", "out-of-range", check.Args{"value": s.schedules, "low": 1, "high": workshop.TimetableMost})
	}
	house, owner, done, err := s.openAsOwner(ctx)
	if err != nil {
		return err
	}
	defer done()
	t, err := house.Timetable(ctx, owner, s.schedules)
	if err != nil {
		return refused("", err)
	}
	if a.json {
		return a.printJSON(a.timetableJSON(t))
	}
	a.printTimetable(owner.Name, t, s.days)
	a.tell(troubles(t))
	return nil
}

// refused turns what a workshop refuses into problems to print.
func refused(where string, err error) error {
	e, ok := errors.AsType[*workshop.Error](err)
	if !ok || e.Code != workshop.Invalid {
		return err
	}
	var out stopped
	for _, p := range e.Problems {
		out = append(out, located{File: where, Problem: p})
	}
	return out
}

// troubles is all that is in the way of a timetable.
func troubles(t workshop.Timetable) (out []located) {
	for _, l := range t.Left {
		for _, p := range l.Problems {
			out = append(out, located{File: fmt.Sprintf("#%d", l.Number), Problem: p})
		}
	}
	for _, p := range t.Problems {
		out = append(out, located{Problem: p})
	}
	return out
}

func (a *app) printTimetable(name string, t workshop.Timetable, days int) {
	w := a.words
	fmt.Fprintf(a.out, "%s\n%s\n", a.strong(name), w.T("cli-schedule-from", check.Args{"date": w.Date(t.Begin), "time": clockTime(t.Begin)}))
	a.printReady(t)
	a.printDays(t, days)
	a.printShares(t)
	args := check.Args{"schedules": t.Schedules, "late": t.Score.Late, "bound": t.Bound.Late, "fairness": t.Fairness}
	fmt.Fprintf(a.out, "\n%s\n", w.T("cli-schedule-score", args))
}

func clockTime(t time.Time) string { return t.Format("15:04") }

// printReady prints when each order is ready.
func (a *app) printReady(t workshop.Timetable) {
	w := a.words
	if len(t.Orders) == 0 {
		fmt.Fprintf(a.out, "\n%s\n", w.T("cli-schedule-none", nil))
		return
	}
	fmt.Fprintf(a.out, "\n%s\n", a.heading("cli-schedule-orders"))
	list := table{indent: 2}
	for _, o := range t.Orders {
		note := ""
		switch {
		case o.Late > 0:
			note = w.N("cli-schedule-late", o.Late, nil)
		case o.Class:
			note = w.T("task-class", nil)
		case o.Promised:
			note = w.T("cli-schedule-promised", nil)
		}
		list.add(fmt.Sprintf("#%d", o.Number), o.Customer, w.T("cli-schedule-ready", check.Args{"date": isoDay(o.Ready)}), w.T("cli-schedule-due", check.Args{"date": o.Due}), note)
	}
	list.print(a.out)
}

func isoDay(t time.Time) string { return t.Format(time.DateOnly) }

// printDays prints the work of so many days.
func (a *app) printDays(t workshop.Timetable, days int) {
	w := a.words
	until := t.Begin.AddDate(0, 0, days)
	byDay := map[string][][]string{}
	for _, k := range t.Tasks {
		for _, h := range k.Hands {
			if h.From.Before(until) {
				who := t.Names[k.Member]
				byDay[isoDay(h.From)] = append(byDay[isoDay(h.From)], []string{clockTime(h.From) + "–" + clockTime(h.To), who, w.T("task-"+string(k.Kind), nil), k.Name, strings.Join(k.Places, ", ")})
			}
		}
	}
	for _, day := range slices.Sorted(maps.Keys(byDay)) {
		fmt.Fprintf(a.out, "\n%s\n", a.strong(day))
		list := table{indent: 2}
		slices.SortStableFunc(byDay[day], func(a, b []string) int { return strings.Compare(a[0], b[0]) })
		for _, row := range byDay[day] {
			list.add(row...)
		}
		list.print(a.out)
	}
}

func (a *app) printShares(t workshop.Timetable) {
	if len(t.Shares) == 0 {
		return
	}
	w := a.words
	fmt.Fprintf(a.out, "\n%s\n", a.heading("cli-schedule-shares"))
	list := table{indent: 2, numbers: true}
	for _, s := range t.Shares {
		list.add(s.Name, hours(a, s.Given), w.T("cli-schedule-of", check.Args{"hours": hours(a, s.Wants)}))
	}
	list.print(a.out)
}

func hours(a *app, m measure.Minute) string { return a.words.Num(float64(m)/60, 0) + " h" }

// timetableJSON is a timetable as other programs read it.
type timetableJSON struct {
	Version   int            `json:"urdir_schedule"`
	Begin     time.Time      `json:"begin"`
	Zone      string         `json:"time_zone"`
	Problems  []problem      `json:"problems"`
	Orders    []orderJSON    `json:"orders"`
	Tasks     []taskJSON     `json:"tasks"`
	Shares    []shareJSON    `json:"shares"`
	Fairness  measure.Ratio  `json:"fairness_fraction"`
	Score     schedule.Score `json:"score"`
	Bound     schedule.Bound `json:"bound"`
	Over      int64          `json:"over_days"`
	Gap       measure.Ratio  `json:"gap_fraction"`
	Schedules int            `json:"schedules"`
}

type orderJSON struct {
	Number   int64     `json:"number"`
	Customer string    `json:"customer,omitempty"`
	Due      string    `json:"due,omitempty"`
	Promised bool      `json:"promised"`
	Start    time.Time `json:"start"`
	Ready    time.Time `json:"ready"`
	Late     int       `json:"late_days"`
}

type taskJSON struct {
	Kind    string    `json:"kind"`
	Name    string    `json:"name"`
	Orders  []int64   `json:"orders"`
	Member  string    `json:"member,omitempty"`
	Places  []string  `json:"places,omitempty"`
	Start   time.Time `json:"start"`
	First   time.Time `json:"hands_from"`
	Last    time.Time `json:"hands_to"`
	End     time.Time `json:"end"`
	Minutes int       `json:"work_min"`
	Told    bool      `json:"told"`
}

type shareJSON struct {
	Member string         `json:"member"`
	Given  measure.Minute `json:"given_min"`
	Wants  measure.Minute `json:"wants_min"`
}

func (a *app) timetableJSON(t workshop.Timetable) timetableJSON {
	out := timetableJSON{Version: 1, Begin: t.Begin, Zone: t.Zone.String(), Problems: a.problems(troubles(t)), Orders: []orderJSON{}, Tasks: tasksJSON(t.Tasks, t.Names), Shares: []shareJSON{},
		Fairness: t.Fairness, Score: t.Score, Bound: t.Bound, Over: t.Over, Gap: t.Gap, Schedules: t.Schedules}
	for _, o := range t.Orders {
		out.Orders = append(out.Orders, orderJSON{o.Number, o.Customer, o.Due, o.Promised, o.Start, o.Ready, o.Late})
	}
	for _, s := range t.Shares {
		out.Shares = append(out.Shares, shareJSON{s.Name, s.Given, s.Wants})
	}
	return out
}

func tasksJSON(ks []workshop.Task, names map[string]string) []taskJSON {
	out := []taskJSON{}
	for _, k := range ks {
		out = append(out, taskJSON{string(k.Kind), k.Name, k.Numbers, names[k.Member], k.Places, k.Start, k.First, k.Last, k.End, k.Minutes, k.Told})
	}
	return out
}
