package web

import (
	"errors"
	"fmt"
	"maps"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
)

// hoursView is the form of when a member can work.
type hoursView struct {
	workshop.HoursView
	Own    bool // she writes them herself
	Days   []hoursDay
	Absent []absenceRow
}

// hoursDay is a day of the week with its stretches, some of them empty.
type hoursDay struct {
	Day    string
	Ranges []hoursRange
}

// hoursRange is from when to when on the clock, and how its fields are called.
type hoursRange struct{ Name, From, To string }

// absenceRow is days on which she does not work, and how its fields are called.
type absenceRow struct {
	workshop.Absence
	Name string
	N    int // from 1, for people
}

const (
	rangesADay  = 2 // to be typed; more if she has more
	newAbsences = 2
)

// AtHour writes minutes after midnight as a field of a time holds them.
func (v *visit) AtHour(minutes int) string { return atHour(minutes) }

// atHour writes midnight at the end of a day as fields do, as that at its beginning.
func atHour(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60%24, minutes%60) }

// hour reads a time of the clock: 8, 8:30 or 08:30.
func (f *form) hour(field string) (minutes int, given bool) {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return 0, false
	}
	hours, rest, _ := strings.Cut(strings.ReplaceAll(s, ".", ":"), ":")
	if rest == "" {
		rest = "0"
	}
	h, err1 := strconv.Atoi(hours)
	m, err2 := strconv.Atoi(rest)
	if err := errors.Join(err1, err2); err != nil || h < 0 || h > 24 || m < 0 || m > 59 {
		f.ps.Wrong(field, "hour-unread", check.Args{"text": s})
	}
	return 60*h + m, true
}

// hoursOf is whose hours a page is about: hers who is named, or one's own.
func (v *visit) hoursOf() (view hoursView, title string, err error) {
	id := v.r.PathValue("id")
	view.Own = id == ""
	if view.Own {
		id = v.Person.Member
	}
	view.HoursView, err = v.s.house.Hours(v.r.Context(), v.Person, id)
	view.layOut()
	title = v.T("hours-of", "name", view.Value.Name)
	if view.Own {
		title = v.T("hours-own")
	}
	return view, title, err
}

// layOut makes the rows of the form.
func (h *hoursView) layOut() {
	h.Days, h.Absent = nil, nil
	for _, d := range weekDays {
		row := hoursDay{Day: d}
		add := func(from, to string) {
			row.Ranges = append(row.Ranges, hoursRange{fmt.Sprintf("%s.%d", d, len(row.Ranges)+1), from, to})
		}
		for _, o := range h.Value.Time.Offers {
			if o.Day == d {
				add(atHour(o.From), atHour(o.To))
			}
		}
		for len(row.Ranges) < rangesADay {
			add("", "")
		}
		h.Days = append(h.Days, row)
	}
	rows := h.Value.Time.Absences
	for n := range len(rows) + newAbsences {
		r := absenceRow{Name: fmt.Sprintf("away.%d", n), N: n + 1}
		if n < len(rows) {
			r.Absence = rows[n]
		}
		h.Absent = append(h.Absent, r)
	}
}

// Said is what there is to be looked at about one row, in words: what is in the
// way without those hours.
func (h hoursView) Said(v *visit, path string) (out []string) {
	for _, p := range h.Problems {
		if p.Path == path {
			out = append(out, v.Say(v.withDates(p)))
		}
	}
	return out
}

// withDates writes the dates a problem speaks of as people do.
func (v *visit) withDates(p check.Problem) check.Problem {
	if day, ok := p.Args["day"].(string); ok {
		p.Args = maps.Clone(p.Args)
		p.Args["day"] = v.Date(day)
	}
	return p
}

func hoursPage(v *visit) error {
	if v.noMember() {
		return v.to("/me", "")
	}
	view, title, err := v.hoursOf()
	if err != nil {
		return err
	}
	return v.page("hours", title, view)
}

// noMember says whether one's own hours are asked for by someone who has none.
func (v *visit) noMember() bool { return v.r.PathValue("id") == "" && v.Person.Member == "" }

func saveHours(v *visit) error {
	if v.noMember() {
		return v.to("/me", "")
	}
	f, err := v.read()
	if err != nil {
		return err
	}
	view, title, err := v.hoursOf()
	if err != nil {
		return err
	}
	hours, fields := f.hours(view)
	if err = f.err(); err == nil {
		_, err = v.s.house.SaveHours(v.r.Context(), v.Person, view.ID, f.revision(), hours)
	}
	if err != nil {
		besideFields(err, fields)
		return v.again(err, "hours", title, view)
	}
	return v.to(v.r.URL.Path, "saved")
}

// hours reads the form, and gives for each path of what was read the field it was
// read from.
func (f *form) hours(view hoursView) (h workshop.Hours, fields map[string]string) {
	fields = map[string]string{}
	h.Wants = f.whole("wants")
	for _, d := range view.Days {
		for _, r := range d.Ranges {
			from, begins := f.hour(r.Name + ".from")
			to, ends := f.hour(r.Name + ".to")
			if !begins && !ends {
				continue
			}
			if ends && to == 0 {
				to = 24 * 60 // until midnight
			}
			if begins != ends {
				f.ps.Wrong(r.Name+".from", "hours-half", nil)
			}
			fields[fmt.Sprintf("offers[%d]", len(h.Offers))] = r.Name + ".from"
			h.Offers = append(h.Offers, workshop.Offer{Day: d.Day, From: from, To: to})
		}
	}
	for _, r := range view.Absent {
		a := workshop.Absence{From: f.text(r.Name + ".from"), To: f.text(r.Name + ".to"), Why: strings.TrimSpace(f.text(r.Name + ".why"))}
		if a == (workshop.Absence{}) {
			continue
		}
		fields[fmt.Sprintf("absences[%d]", len(h.Absences))] = r.Name + ".from"
		h.Absences = append(h.Absences, a)
	}
	return h, fields
}

// besideFields puts what is wrong with a part of what was read beside the field it was
// read from.
func besideFields(err error, fields map[string]string) {
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i := range e.Problems {
			if at, ok := fields[e.Problems[i].Path]; ok {
				e.Problems[i].Path = at
			}
		}
	}
}
