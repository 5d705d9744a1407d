package web

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"urdir/internal/workshop"
	"urdir/measure"
)

// calendarSettings is what the workshop's calendar goes by, as its form shows it.
type calendarSettings struct {
	workshop.Kept[workshop.Settings]
	Closed []closureRow
	Frames []frameCount
	Rates  []rateMinutes
}

// closureRow is days on which less is worked, and how its fields are called.
type closureRow struct {
	workshop.Closure
	Name string // of its fields
	N    int    // from 1, for people
}

// frameCount is how many there are of a warping frame.
type frameCount struct {
	Field, Name string
	N           int
}

// rateMinutes is how long a kind of work takes until records say more.
type rateMinutes struct {
	Kind  string
	Value string // what the workshop says; empty: as is usual
	Usual measure.Minute
}

const newClosures = 2

// monthWeeks is which of a weekday in a month, for forms.
var monthWeeks = []string{"1", "2", "3", "4", "5", "-1"}

// MonthWeeks is for forms.
func (v *visit) MonthWeeks() []string { return monthWeeks }

// WeeksOf is the boxes that are ticked.
func (r closureRow) WeeksOf() (out []string) {
	for _, n := range r.Weeks {
		out = append(out, strconv.Itoa(n))
	}
	return out
}

// Worked is the share that is still worked, as its field shows it.
func (r closureRow) Worked() string {
	if r.Share == 0 {
		return ""
	}
	return strconv.FormatFloat(float64(r.Share)*100, 'f', -1, 64)
}

func calendarSettingsOf(k workshop.Kept[workshop.Settings]) (c calendarSettings) {
	c.Kept = k
	house := k.Value.Calendar
	for n := range len(house.Closed) + newClosures {
		r := closureRow{Name: fmt.Sprintf("closed.%d", n), N: n + 1}
		if n < len(house.Closed) {
			r.Closure = house.Closed[n]
		}
		c.Closed = append(c.Closed, r)
	}
	for i, f := range k.Value.Frames {
		n, said := house.Frames[f.Name]
		if !said {
			n = 1
		}
		c.Frames = append(c.Frames, frameCount{fmt.Sprintf("frames.%d", i), f.Name, n})
	}
	for _, s := range house.Usual() {
		r := rateMinutes{Kind: s.Kind, Usual: s.Minutes}
		if m, own := house.Minutes[s.Kind]; own {
			r.Value = strconv.FormatFloat(float64(m), 'f', -1, 64)
		}
		c.Rates = append(c.Rates, r)
	}
	return c
}

func calendarSettingsPage(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("settings-calendar", v.T("settings-calendar"), calendarSettingsOf(set))
}

func saveCalendarSettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view := calendarSettingsOf(set)
	set.Revision = f.revision()
	fields := f.calendarHouse(&set.Value, view)
	if err = f.err(); err == nil {
		_, err = v.s.house.SaveSettings(v.r.Context(), v.Person, set)
	}
	if err != nil {
		besideFields(err, fields)
		return v.again(err, "settings-calendar", v.T("settings-calendar"), view)
	}
	return v.to("/settings/calendar", "saved")
}

// calendarHouse reads the form, and gives for each path of what was read the field
// it was read from.
func (f *form) calendarHouse(s *workshop.Settings, view calendarSettings) map[string]string {
	fields := map[string]string{}
	c := &s.Calendar
	c.Zone = f.text("zone")
	c.Opens, _ = f.hour("opens")
	c.Looms, c.Buying = f.whole("looms"), f.whole("buying")
	s.Week = map[string]int{}
	for _, d := range weekDays {
		s.Week[d] = f.whole("week-" + d)
	}
	s.Feasts = nil
	for line := range strings.Lines(f.text("feasts")) {
		day, name, _ := strings.Cut(strings.TrimSpace(line), " ")
		if day != "" {
			s.Feasts = append(s.Feasts, workshop.Feast{Day: day, Name: strings.TrimSpace(name)})
		}
	}
	c.Closed = nil
	for _, r := range view.Closed {
		if k := f.closure(r.Name); k != nil {
			at := fmt.Sprintf("closed[%d]", len(c.Closed))
			fields[at], fields[at+".from"], fields[at+".share"] = r.Name+".name", r.Name+".from", r.Name+".share"
			c.Closed = append(c.Closed, *k)
		}
	}
	frames := map[string]int{}
	for _, k := range view.Frames {
		if n := f.whole(k.Field); n != 1 || f.filled(k.Field) && hasCount(view.Value.Calendar.Frames, k.Name) {
			frames[k.Name] = n
		}
		fields["frames."+k.Name] = k.Field
	}
	c.Frames = frames
	minutes := maps.Clone(c.Minutes)
	for _, r := range view.Rates {
		at := "minutes." + r.Kind
		if !f.filled(at) {
			delete(minutes, r.Kind)
			continue
		}
		if minutes == nil {
			minutes = map[string]measure.Minute{}
		}
		minutes[r.Kind] = quantity(f, at, " min", measure.ParseMinutes)
	}
	c.Minutes = minutes
	return fields
}

// filled says whether anything was typed into a field.
func (f *form) filled(field string) bool { return strings.TrimSpace(f.text(field)) != "" }

func hasCount(counts map[string]int, name string) bool { _, ok := counts[name]; return ok }

// closure reads one; nil if nothing was typed.
func (f *form) closure(at string) *workshop.Closure {
	c := workshop.Closure{Name: f.text(at + ".name"), From: f.text(at + ".from"), To: f.text(at + ".to"), Share: f.percent(at + ".share")}
	c.Weekdays = slices.Clone(f.texts(at + ".weekdays"))
	for _, n := range f.texts(at + ".weeks") {
		c.Weeks = append(c.Weeks, f.wholeOf(at+".name", n))
	}
	if !f.filled(at+".name") && c.From == "" && c.To == "" && len(c.Weekdays) == 0 {
		return nil
	}
	return &c
}
