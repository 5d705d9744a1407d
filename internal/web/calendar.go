package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"urdir/internal/workshop"
)

// Ways to look at the timetable.
const (
	showDay    = "day"
	showWeek   = "week"
	showSeason = "season"
	byPeople   = "people"
	byPlaces   = "places"
	byOrders   = "orders"
)

// seasonWeeks is how many weeks a season shows: about as far as orders are taken.
const seasonWeeks = 12

// calendarView is the timetable over a day, a week or a season.
type calendarView struct {
	workshop.Timetable
	Show, By string
	Date     string // a day in what is shown
	First    string // first day shown
	Today    string
	Longer   int // schedules of a longer look; 0 if it was the longest
	Days     []workshop.PlanDay
	Weeks    []string // Monday of each
	Rows     []calendarRow
	Stops    []obstacle // what no timetable can be made for
	Looks    []obstacle // what is to be looked at
	Late     []workshop.OrderTime
	New      int // tasks nobody was told of
	Moved    int // tasks somebody was told otherwise
	Until    string
	Last     *workshop.Kept[workshop.Retelling] // what was told last, if it can be taken back
}

// calendarRow is what one person, place or order has.
type calendarRow struct {
	Key, Name, Link, Note string
	Person, Order         bool
	Cells                 []calendarCell
	Weeks                 []calendarWeek
	Given, Wants          float64 // hours of the season
}

// calendarCell is a row on a day.
type calendarCell struct {
	workshop.PlanDay
	Today bool
	Away  bool
	Why   string
	Hours []workshop.Stretch
	Turns []calendarTurn
}

// calendarTurn is a task in some hours of a day.
type calendarTurn struct {
	workshop.Task
	workshop.Stretch
	N     int  // like it, one after the other
	Goes  bool // on from a day before
	Lasts bool // on to a day after
	Waits bool // stands, dries or is on its way: no hands
	Late  bool // an order it is for will be late
	May   []string
}

// Way is how a turn is drawn: double thread for what is in work, taut for what was
// told, loose for what was not, cut for what someone was told otherwise.
func (t calendarTurn) Way() string {
	switch {
	case t.Begun:
		return "begun"
	case t.Was != nil:
		return "cut"
	case t.Told:
		return "taut"
	}
	return "loose"
}

// calendar is the timetable for who sees the workshop, and her own month for a
// member.
func calendar(v *visit) error {
	if !v.May("Timetable") {
		return v.ownMonth()
	}
	return v.calendarAgain(nil)
}

// calendarAgain shows the timetable, with why what was asked was not done.
func (v *visit) calendarAgain(wrong error) error {
	ctx := v.r.Context()
	n := v.look()
	t, err := v.s.house.Timetable(ctx, v.Person, n)
	if err != nil {
		return err
	}
	view := v.calendarOf(t)
	if view.Longer = min(4*n, longestLook); view.Longer == n {
		view.Longer = 0
	}
	said, err := v.s.house.Retellings(ctx, v.Person, workshop.Page{Limit: 1})
	if err != nil {
		return err
	}
	if len(said.Items) > 0 && !said.Items[0].Value.Undone {
		view.Last = &said.Items[0]
	}
	if wrong != nil {
		return v.again(wrong, "calendar", v.T("calendar"), view)
	}
	return v.page("calendar", v.T("calendar"), view)
}

// longestLook is as many schedules as a page may take the time for: some seconds
// for a workshop of a dozen.
const longestLook = 128_000

// look is in how many schedules the timetable is looked for.
func (v *visit) look() int {
	n, err := strconv.Atoi(v.r.FormValue("look"))
	if err != nil || n < 1 {
		return workshop.TimetableSchedules
	}
	return min(n, longestLook)
}

// calendarOf is the timetable as the address asks to see it.
func (v *visit) calendarOf(t workshop.Timetable) calendarView {
	q := v.r.URL.Query()
	view := calendarView{Timetable: t, Show: oneOf(q.Get("show"), showWeek, showDay, showSeason), By: oneOf(q.Get("by"), byPeople, byPlaces, byOrders),
		Today: t.Begin.Format(time.DateOnly)}
	view.Date = view.Today
	if d, err := time.Parse(time.DateOnly, q.Get("day")); err == nil && d.Year() < 3000 {
		view.Date = max(view.Today, d.Format(time.DateOnly))
	}
	view.Until = dayOn(view.Today, 13)
	if view.First = view.Date; view.Show == showSeason {
		view.First = monday(view.Date)
		for n := range seasonWeeks {
			view.Weeks = append(view.Weeks, dayOn(view.First, 7*n))
		}
	} else {
		for n := range map[string]int{showDay: 1, showWeek: 7}[view.Show] {
			view.Days = append(view.Days, t.Day(dayOn(view.First, n)))
		}
	}
	for _, o := range t.Orders {
		if o.Late > 0 {
			view.Late = append(view.Late, o)
		}
	}
	slices.SortStableFunc(view.Late, func(a, b workshop.OrderTime) int {
		if a.Promised != b.Promised {
			return map[bool]int{true: -1, false: 1}[a.Promised]
		}
		return b.Late - a.Late
	})
	for _, k := range t.Tasks {
		switch {
		case k.Was != nil:
			view.Moved++
		case !k.Told && k.Member != "" && k.Where != "dyes":
			view.New++
		}
	}
	view.Stops, view.Looks = v.inWay(t)
	view.rows(v)
	return view
}

// oneOf is a word if it is among those allowed, else the first of them.
func oneOf(word string, allowed ...string) string {
	if slices.Contains(allowed, word) {
		return word
	}
	return allowed[0]
}

// dayOn is a date some days on.
func dayOn(date string, n int) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.AddDate(0, 0, n).Format(time.DateOnly)
}

// monday is the first day of a date's week (ISO 8601).
func monday(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return d.AddDate(0, 0, -(int(d.Weekday())+6)%7).Format(time.DateOnly)
}

// To is the address of the timetable with something seen otherwise: name, value.
func (c calendarView) To(pairs ...string) string {
	q := url.Values{"show": {c.Show}, "by": {c.By}, "day": {c.Date}}
	for i := 0; i+1 < len(pairs); i += 2 {
		q.Set(pairs[i], pairs[i+1])
	}
	if q.Get("day") == c.Today {
		q.Del("day")
	}
	return "/calendar?" + q.Encode()
}

// Step is how many days what is shown goes on by.
func (c calendarView) step() int {
	return map[string]int{showDay: 1, showWeek: 7, showSeason: 7 * seasonWeeks}[c.Show]
}

// Before is a day in what is shown before; empty if that is past: the timetable
// begins now.
func (c calendarView) Before() string {
	if c.First <= c.Today {
		return ""
	}
	return max(dayOn(c.Date, -c.step()), c.Today)
}

// After is a day in what is shown next; empty if nothing is left to be done then.
func (c calendarView) After() string {
	next := dayOn(c.First, c.step())
	if !slices.ContainsFunc(c.Tasks, func(k workshop.Task) bool { return k.End.Format(time.DateOnly) >= next }) {
		return ""
	}
	return dayOn(c.Date, c.step())
}

// Here says whether what is shown has today in it.
func (c calendarView) Here() bool {
	return c.First <= c.Today && c.Today < dayOn(c.First, c.step())
}

// lateFirst is how many late orders are told at once; the others are folded.
const lateFirst = 3

// LateFirst is the late orders told at once: promised ones, the latest first.
func (c calendarView) LateFirst() []workshop.OrderTime { return c.Late[:min(len(c.Late), lateFirst)] }

// LateMore is the others.
func (c calendarView) LateMore() []workshop.OrderTime { return c.Late[min(len(c.Late), lateFirst):] }

// More is how many things are folded.
func (c calendarView) More() int { return len(c.LateMore()) + len(c.Looks) }

// Fair is the measure of fairness, in hundredths.
func (c calendarView) Fair() int { return int(100*float64(c.Fairness) + 0.5) }

// acceptTimetable tells people what stands in the timetable.
func acceptTimetable(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if _, err := v.s.house.AcceptTimetable(v.r.Context(), v.Person, f.text("mark"), v.look(), f.text("until")); err != nil {
		return v.calendarAgain(err)
	}
	return v.to("/calendar", "timetable-told")
}

// undoTelling takes back what was told at once.
func undoTelling(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := f.text("telling")
	if id == "" {
		return v.to("/calendar/told", "")
	}
	if err := v.s.house.UndoTelling(v.r.Context(), v.Person, id); err != nil {
		return v.toldAgain(err)
	}
	return v.to("/calendar", "timetable-untold")
}

// spot is what a place of the workshop is called.
func (v *visit) spot(key string) string {
	kind, name, _ := strings.Cut(key, " ")
	switch {
	case kind == "line":
		return v.T("calendar-line")
	case name == "":
		return v.T("timetable-frame")
	}
	return name
}

// Spot is spot for templates.
func (v *visit) Spot(key string) string { return v.spot(key) }

// Spots is what places are called, one after the other.
func (v *visit) Spots(keys []string) string {
	var out []string
	for _, k := range keys {
		out = append(out, v.spot(k))
	}
	return strings.Join(out, ", ")
}

// HourOf is a time of day: 8:00.
func (v *visit) HourOf(t time.Time) string { return clock(t) }

func clock(t time.Time) string { return strings.TrimPrefix(t.Format("15:04"), "0") }

// Short is a date without its year: what is on the page is near.
func (v *visit) Short(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return v.T("timetable-day", "day", strconv.Itoa(d.Day()), "month", v.T("month-"+strconv.Itoa(int(d.Month()))))
}

// Brief is a day and the first letters of its month: 4 Mar.
func (v *visit) Brief(date string) string { return v.DayOf(date) + "\u00a0" + v.MonthOf(date) }

// Day is the date of a time.
func (v *visit) Day(t time.Time) string { return t.Format(time.DateOnly) }

// When is a day and hour: Thursday 4 March, 8:00.
func (v *visit) When(t time.Time) string {
	date := v.Day(t)
	return v.WeekDay(date) + " " + v.Short(date) + ", " + v.HourOf(t)
}

// HourCount is hands' time in hours.
func (v *visit) HourCount(hours float64) string { return v.Words.Num(hours, 1) + "\u202fh" }
