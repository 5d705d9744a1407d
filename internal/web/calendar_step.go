package web

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/workshop"
)

// stepView is one task of the timetable: who, when, why then, and where it could
// go.
type stepView struct {
	workshop.Task
	Table   workshop.Timetable
	WhyThen workshop.Link
	May     []string // members it can be given to
	Member  string   // as the form has it
	Day     string
	Hour    string
	Look    int
	Tried   *workshop.Shifted
	Orders  map[string]workshop.OrderTime
}

// Stays is why the calendar does not move the task: key of the words.
func (s stepView) Stays() string {
	switch {
	case s.Begun:
		return "begun"
	case s.Where == "dyeing" || s.Where == "dyes":
		return "dyed"
	case s.Kind == workshop.ClassTask:
		return "class"
	}
	return "shop"
}

// stepAddress is where a task has its page.
func stepAddress(key string) string { return "/calendar/step?" + url.Values{"task": {key}}.Encode() }

// StepAddress is stepAddress for templates.
func (v *visit) StepAddress(key string) string { return stepAddress(key) }

// stepView finds the task that is asked for; ok is false if it is in the timetable
// no more.
func (v *visit) stepView() (view stepView, ok bool, _ error) {
	view.Look = v.look()
	t, err := v.s.house.Timetable(v.r.Context(), v.Person, view.Look)
	if err != nil {
		return view, false, err
	}
	if view.Task, ok = t.Task(v.r.FormValue("task")); !ok {
		return view, false, nil
	}
	view.Table, view.May = t, t.MayDo(view.Task)
	view.WhyThen, _ = t.WhyThen(view.Key)
	view.Member, view.Day, view.Hour = view.Task.Member, v.Day(view.Start), view.Start.Format("15:04")
	view.Orders = map[string]workshop.OrderTime{}
	for _, o := range t.Orders {
		view.Orders[o.ID] = o
	}
	return view, true, nil
}

// stepTitle is what the task is called.
func (v *visit) stepTitle(s stepView) string { return v.T("task-"+string(s.Kind)) + ": " + s.Name }

// stepPage shows a task of the timetable.
func stepPage(v *visit) error {
	view, ok, err := v.stepView()
	if err != nil {
		return err
	}
	if !ok {
		return v.gone()
	}
	return v.page("calendar-step", v.stepTitle(view), view)
}

// gone shows the timetable in place of a task that stands in it no more.
func (v *visit) gone() error {
	f := form{v: v}
	f.ps.Wrong("", "timetable-gone", nil)
	return v.calendarAgain(f.err())
}

// shift reads where a task is to go. An hour that is not said is the one it has
// now, or the first that is hers on that day.
func (v *visit) shift(view *stepView) (m workshop.Shift, _ error) {
	f := form{v: v}
	view.Member, view.Day, view.Hour = v.r.FormValue("member"), v.r.FormValue("day"), v.r.FormValue("hour")
	m = workshop.Shift{Task: view.Key, Member: view.Member, Asked: v.r.FormValue("asked") != ""}
	if view.Hour == "" {
		at, ok := view.Table.HourFor(view.Member, view.Day, view.Start)
		if !ok {
			f.ps.Wrong("day", "move-no-hours", check.Args{"name": view.Table.Names[view.Member]})
			return m, f.err()
		}
		view.Hour, m.Start = at.Format("15:04"), at
		return m, nil
	}
	clock, err := time.Parse("15:04", strings.TrimSpace(view.Hour))
	if err != nil {
		f.ps.Wrong("hour", "move-hour", check.Args{"text": view.Hour})
		return m, f.err()
	}
	at, ok := view.Table.At(view.Day, clock.Hour()*60+clock.Minute())
	if !ok {
		f.ps.Wrong("day", "date-unread", check.Args{"text": view.Day})
	}
	m.Start = at
	return m, f.err()
}

// tryMove shows what would follow from a move, before anything is moved.
func tryMove(v *visit) error {
	view, ok, err := v.stepView()
	if err != nil {
		return err
	}
	if !ok {
		return v.gone()
	}
	m, err := v.shift(&view)
	var tried workshop.Shifted
	if err == nil {
		tried, err = v.s.house.TryMove(v.r.Context(), v.Person, m, view.Look)
	}
	if err != nil {
		v.r.PostForm = url.Values{}
		return v.again(err, "calendar-step", v.stepTitle(view), view)
	}
	view.Tried = &tried
	return v.page("calendar-step", v.stepTitle(view), view)
}

// moveStep makes a move that was shown.
func moveStep(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, ok, err := v.stepView()
	if err != nil {
		return err
	}
	if !ok {
		return v.gone()
	}
	m, err := v.shift(&view)
	if err != nil {
		return v.again(err, "calendar-step", v.stepTitle(view), view)
	}
	out, _, err := v.s.house.MoveStep(v.r.Context(), v.Person, m, f.text("mark"), view.Look)
	if err != nil {
		if out.Problems = nil; out.Mark != "" { // the page says them on top
			view.Tried = &out
		}
		return v.again(err, "calendar-step", v.stepTitle(view), view)
	}
	at := "/calendar?" + url.Values{"day": {v.Day(out.Now.Start)}, "done": {"timetable-moved"}}.Encode()
	http.Redirect(v.w, v.r, at, http.StatusSeeOther)
	return nil
}
