package web

import (
	"cmp"
	"io"
	"slices"
	"time"

	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/sheet"
)

// monthView is a member's own calendar.
type monthView struct {
	workshop.MemberMonth
	Before, After string // months
}

// Past is the days of the month before today, which are folded.
func (m monthView) Past() []workshop.MonthDay { return m.Days[:m.today()] }

// Coming is today and the days after it.
func (m monthView) Coming() []workshop.MonthDay { return m.Days[m.today():] }

// today is which day of the month is the first that is not past; none of a month
// that is over, so that it is shown as it was.
func (m monthView) today() int {
	n := slices.IndexFunc(m.Days, func(d workshop.MonthDay) bool { return d.Date >= m.Today })
	return max(n, 0)
}

// ownMonth is the calendar of a member: what she was told.
func (v *visit) ownMonth() error {
	if v.Person.Member == "" {
		return v.page("calendar-own", v.T("calendar"), monthView{})
	}
	q := v.r.URL.Query()
	month := q.Get("month")
	if day := q.Get("day"); month == "" && len(day) >= 7 {
		month = day[:7] // of a reminder
	}
	m, err := v.s.house.MemberMonth(v.r.Context(), v.Person, v.Person.Member, month)
	if err != nil {
		return err
	}
	view := monthView{MemberMonth: m}
	if view.Before = monthOn(m.First, -1); view.Before < monthOn(m.Today[:7]+"-01", -monthsBack) {
		view.Before = ""
	}
	if view.After = monthOn(m.First, 1); view.After > monthOn(m.Today[:7]+"-01", monthsAhead) {
		view.After = ""
	}
	return v.page("calendar-own", v.T("calendar"), view)
}

// How many months a member sees behind and ahead of this one: what was told is
// seldom further off, and no longer shown a month after it was done.
const (
	monthsBack  = 1
	monthsAhead = 6
)

// monthOn is a month some months on from the one a date is the first of.
func monthOn(first string, n int) string {
	d, err := time.Parse(time.DateOnly, first)
	if err != nil {
		return ""
	}
	return d.AddDate(0, n, 0).Format("2006-01")
}

// monthSheet sends months to be printed: a member's own, one that is named, or
// everybody's for who sees the workshop.
func monthSheet(v *visit) error {
	ids, err := v.monthsOf(v.r.FormValue("member"))
	if err != nil {
		return err
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	var papers []sheet.MonthPaper
	name := v.T("month-sheet")
	for _, id := range ids {
		m, none := v.s.house.MemberMonth(v.r.Context(), v.Person, id, v.r.FormValue("month"))
		if none != nil {
			return none
		}
		papers = append(papers, v.monthPaper(m))
		if name = v.T("month-sheet") + " " + m.First[:7]; len(ids) == 1 {
			name = m.Member.Value.Name + " " + m.First[:7]
		}
	}
	return v.send("application/pdf", fileName(name)+".pdf", func(w io.Writer) error { return sheet.Months(w, name, papers, o) })
}

// monthsOf is whose months are asked for.
func (v *visit) monthsOf(member string) ([]string, error) {
	if member != "" || !v.May("Members") {
		return []string{cmp.Or(member, v.Person.Member)}, nil
	}
	all, err := v.s.house.Members(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return nil, err
	}
	var out []string
	for _, m := range all.Items {
		if !m.Value.Away {
			out = append(out, m.ID)
		}
	}
	if len(out) == 0 {
		return nil, &workshop.Error{Code: workshop.NotFound}
	}
	return out, nil
}

// monthPaper is a month as the sheet takes it.
func (v *visit) monthPaper(m workshop.MemberMonth) sheet.MonthPaper {
	out := sheet.MonthPaper{Workshop: m.Workshop, Member: m.Member.Value.Name, Month: v.Month(m.First)}
	for _, d := range m.Days {
		day := sheet.MonthDay{Date: d.Date, Moon: d.Moon, Name: d.Name, Closed: d.Closed, Away: d.Away, Why: d.Why}
		for _, h := range d.Hours {
			day.Offered += measure.Minute(h.To.Sub(h.From) / time.Minute)
		}
		for _, t := range d.Turns {
			day.Turns = append(day.Turns, sheet.MonthTurn{From: v.HourOf(t.From), To: v.HourOf(t.To), Kind: string(t.Kind), Name: t.Name})
		}
		out.Days = append(out.Days, day)
	}
	return out
}
