package web

import (
	"fmt"
	"strings"
	"time"

	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
)

// MoonPath is the lit part of the moon's disc, of radius 8 around 10, 10: on the
// right while it grows, as it is seen north of the tropics.
func (v *visit) MoonPath(m dye.Moon) string {
	lit := float64(m.Lit)
	side, bulge := 1, 0 // of an arc's sweep
	if waning(m.Phase) {
		side, bulge = 0, 1
	}
	if lit > 0.5 {
		bulge = 1 - bulge
	}
	across := 8 * (1 - 2*lit)
	if across < 0 {
		across = -across
	}
	return fmt.Sprintf("M10 2A8 8 0 0 %d 10 18A%.2f 8 0 0 %d 10 2Z", side, across, bulge)
}

func waning(p dye.Phase) bool {
	return p == dye.WaningGibbous || p == dye.LastQuarter || p == dye.WaningCrescent
}

// Principal says whether a day has one of the four phases people name days by.
func (v *visit) Principal(m dye.Moon) bool {
	return m.Phase == dye.NewMoon || m.Phase == dye.FirstQuarter || m.Phase == dye.FullMoon || m.Phase == dye.LastQuarter
}

// DayOf is the number of a day in its month.
func (v *visit) DayOf(date string) string {
	return strings.TrimLeft(date[max(0, len(date)-2):], "0")
}

// WeekDay is the name of a day of the week.
func (v *visit) WeekDay(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return ""
	}
	return v.T("day-" + strings.ToLower(t.Weekday().String()[:3]))
}

// Initial is the first letter of a word.
func (v *visit) Initial(word string) string {
	for _, r := range word {
		return strings.ToUpper(string(r))
	}
	return ""
}

// Notable says whether a day of the calendar has anything to be told in a list.
func (v *visit) Notable(d workshop.CalendarDay) bool {
	return len(d.Fires) > 0 || d.Hung() > 0 || d.Feast != "" || v.Principal(d.Moon)
}

// Full is how full the line is, in whole per cent, for its bar.
func (v *visit) Full(c workshop.DyeCalendar, g measure.Gram) int {
	if c.Line <= 0 {
		return 0
	}
	return min(100, int(100*g/c.Line+0.5))
}
