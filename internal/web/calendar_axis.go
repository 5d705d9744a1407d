package web

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"urdir/internal/workshop"
)

// About is what a turn is about, beside what its row says: whose it is where the
// row is a pot or an order, else what is made.
func (c calendarView) About(t calendarTurn) string {
	switch c.By {
	case byPlaces:
		return strings.Join(slices.DeleteFunc([]string{t.Name, c.Names[t.Member]}, func(s string) bool { return s == "" }), " · ")
	case byOrders:
		_, part, _ := strings.Cut(t.Name, " · ")
		return strings.Join(slices.DeleteFunc([]string{c.Names[t.Member], part}, func(s string) bool { return s == "" }), " · ")
	}
	if t.N > 1 {
		name, _, _ := strings.Cut(t.Name, " · ")
		return name
	}
	return t.Name
}

// Hours is from when to when by the clock a turn goes on on its day: an end that is
// the day's own is left out, and so are both of what may be at any hour.
func (t calendarTurn) Hours() string {
	if t.Waits || !t.Drawn() {
		return ""
	}
	from, to := clock(t.From), clock(t.To)
	if t.Goes && from == "0:00" {
		from = ""
	}
	if t.Lasts && to == "0:00" {
		to = ""
	}
	if from+to == "" {
		return ""
	}
	return from + "–" + to
}

// AtWork is the rows of the day shown in which there is something: people without
// hours or work are named together below.
func (c calendarView) AtWork() []calendarRow {
	return slices.DeleteFunc(slices.Clone(c.Rows), calendarRow.idle)
}

// Idle is the names of who has neither hours nor work on the day shown.
func (c calendarView) Idle() (out []string) {
	for _, r := range c.Rows {
		if r.idle() {
			out = append(out, r.Name)
		}
	}
	return out
}

func (r calendarRow) idle() bool {
	return r.Person && len(r.Cells[0].Turns) == 0 && len(r.Cells[0].Hours) == 0 && !r.Cells[0].Away
}

// AnyOn says whether anything is done on a day shown.
func (c calendarView) AnyOn(day int) bool {
	return slices.ContainsFunc(c.Rows, func(r calendarRow) bool { return len(r.Cells[day].Turns) > 0 || r.Cells[day].Away })
}

// ThisWeek is the Monday of today's week.
func (c calendarView) ThisWeek() string { return monday(c.Today) }

// WeekAbout is the feasts, market days and weeks of harvest of a week, each once.
func (c calendarView) WeekAbout(first string) (out []string) {
	for n := range 7 {
		if d := c.Day(dayOn(first, n)); d.Name != "" && !slices.Contains(out, d.Name) {
			out = append(out, d.Name)
		}
	}
	return out
}

// LateSum is how many days all orders are late together.
func (c calendarView) LateSum() (n int) {
	for _, o := range c.Late {
		n += o.Late
	}
	return n
}

// SharePart is how much of what she wants a member is given, in whole per cent.
func (r calendarRow) SharePart() int {
	if r.Wants <= 0 {
		return 0
	}
	return int(100*r.Given/r.Wants + 0.5)
}

// MonthOf is the short name of a date's month.
func (v *visit) MonthOf(date string) string {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return ""
	}
	name := []rune(v.T("month-" + strconv.Itoa(int(d.Month()))))
	return string(name[:min(3, len(name))])
}

// dayAxis is the hours of a day along a strand, in minutes after its midnight.
type dayAxis struct {
	From, To int
	Begin    time.Time // midnight
}

// Axis is the hours in which anything is done on the day shown, or offered.
func (c calendarView) Axis() dayAxis {
	begin, _ := c.At(c.First, 0)
	a := dayAxis{From: 24 * 60, Begin: begin}
	reach := func(s workshop.Stretch) {
		if s.From.Equal(s.To) {
			return // it may be at any hour
		}
		a.From, a.To = min(a.From, a.At(s.From)), max(a.To, a.At(s.To))
	}
	for _, r := range c.Rows {
		for _, s := range r.Cells[0].Hours {
			reach(s)
		}
		for _, t := range r.Cells[0].Turns {
			reach(t.Stretch)
		}
	}
	if a.From >= a.To {
		a.From, a.To = workshop.DefaultOpens, workshop.DefaultOpens+10*60
	}
	a.From, a.To = a.From/60*60, (a.To+59)/60*60
	return a
}

// Long is how many minutes there are along it.
func (a dayAxis) Long() int { return a.To - a.From }

// At is where a time stands.
func (a dayAxis) At(t time.Time) int { return int(t.Sub(a.Begin) / time.Minute) }

// Wide is how long a stretch is drawn: what takes no time is seen too.
func (a dayAxis) Wide(s workshop.Stretch) int { return max(4, a.At(s.To)-a.At(s.From)) }

// Ticks are the whole hours along it.
func (a dayAxis) Ticks() (out []int) {
	for m := a.From; m <= a.To; m += 60 {
		out = append(out, m)
	}
	return out
}

// Hours are the hours of the clock along it.
func (a dayAxis) Hours() (out []int) {
	for _, m := range a.Ticks() {
		out = append(out, m/60)
	}
	return out
}

// Drawn says whether a turn has a length: what has none may be at any hour.
func (t calendarTurn) Drawn() bool { return t.To.After(t.From) }
