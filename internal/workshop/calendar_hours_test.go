package workshop

import (
	"fmt"
	"testing"
	"time"

	"urdir/schedule"
)

func closed(cs ...Closure) hoursBook {
	s := defaultSettings("Taller", "es")
	s.Calendar.Closed = cs
	return newHoursBook(s)
}

// closedOn is the days of a month on which nothing is worked by a closure, Sundays
// left out.
func closedOn(b hoursBook, year int, month time.Month) (out []int) {
	for d := time.Date(year, month, 1, 12, 0, 0, 0, time.UTC); d.Month() == month; d = d.AddDate(0, 0, 1) {
		if hours, _ := b.house(d); len(hours) == 0 && d.Weekday() != time.Sunday {
			out = append(out, d.Day())
		}
	}
	return out
}

// May 2031 begins on a Thursday and has five Saturdays, June has four: by any
// calendar of the wall.
func TestClosure_marketDays(t *testing.T) {
	sat := []string{"sat"}
	for _, c := range []struct {
		name  string
		weeks []int
		month time.Month
		want  string
	}{
		{"every", nil, time.May, "[3 10 17 24 31]"},
		{"first and third", []int{1, 3}, time.May, "[3 17]"},
		{"fifth", []int{5}, time.May, "[31]"},
		{"fifth of a month with four", []int{5}, time.June, "[]"},
		{"last of five", []int{-1}, time.May, "[31]"},
		{"last of four", []int{-1}, time.June, "[28]"},
	} {
		if got := fmt.Sprint(closedOn(closed(Closure{Name: "Mercado", Weekdays: sat, Weeks: c.weeks}), 2031, c.month)); got != c.want {
			t.Errorf("%s: closed on %s, want %s", c.name, got, c.want)
		}
	}
}

func TestMember_hours(t *testing.T) {
	b := closed(Closure{Name: "Cosecha", From: "2031-05-12", To: "2031-05-17", Share: 0.5}, Closure{Name: "Mercado", Weekdays: []string{"thu"}})
	b.feasts["2031-05-14"] = "Bendición de las lanchas"
	m := Member{Time: Hours{Offers: []Offer{{"mon", 480, 720}, {"wed", 480, 720}, {"thu", 480, 720}, {"fri", 480, 720}, {"fri", 840, 960}},
		Absences: []Absence{{From: "2031-05-19", To: "2031-05-23", Why: "Boda"}, {From: "2031-06-30"}}}}
	for date, want := range map[string]string{
		"2031-05-05": "[{480 720}] ",                  // a Monday as usual
		"2031-05-06": "[] ",                           // a Tuesday, of which she offers nothing
		"2031-05-12": "[{480 600}] Cosecha",           // half of the hours of each stretch
		"2031-05-14": "[] Bendición de las lanchas",   // a feast in the harvest
		"2031-05-15": "[] Mercado",                    // the least that is left counts
		"2031-05-16": "[{480 600} {840 900}] Cosecha", //
		"2031-05-19": "[] Boda",                       //
		"2031-05-26": "[{480 720}] ",                  // back again
		"2031-07-07": "[] ",                           // away until she says
	} {
		hours, why := b.member(m, noon(date))
		if got := fmt.Sprintf("%v %s", hours, why); got != want {
			t.Errorf("%s: %s, want %s", date, got, want)
		}
	}
}

// One who only says how many hours a week she offers works them as the workshop
// spreads its own: 22 of 44 is half of each day.
func TestMember_hoursSpread(t *testing.T) {
	b := closed()
	m := Member{Hours: 22}
	if got := b.weekly(m); got != 22*60 {
		t.Errorf("%d min a week, want %d", got, 22*60)
	}
	if got := fmt.Sprint(b.offered(m, "mon"), b.offered(m, "sat"), b.offered(m, "sun")); got != "[{480 720}] [{480 600}] []" {
		t.Errorf("hours %s", got)
	}
}

// On 30 March 2031 clocks in Madrid go from 2:00 to 3:00, on 26 October from 3:00
// back to 2:00 (EU directive 2000/84/EC: the last Sundays of March and October): a
// night shift from 0:00 to 6:00 is five hours long, and seven.
func TestStretches_clocksChange(t *testing.T) {
	madrid, err := time.LoadLocation("Europe/Madrid")
	if err != nil {
		t.Fatal(err)
	}
	all := func(time.Time) ([]schedule.Span, string) { return []schedule.Span{{From: 0, To: 360}}, "" }
	for date, want := range map[string]time.Duration{"2031-03-30": 5 * time.Hour, "2031-10-26": 7 * time.Hour, "2031-04-06": 6 * time.Hour} {
		day, err := time.ParseInLocation(time.DateOnly, date, madrid)
		if err != nil {
			t.Fatal(err)
		}
		got := stretches(day, day.AddDate(0, 0, 1), all)
		if len(got) != 1 || got[0].To.Sub(got[0].From) != want {
			t.Errorf("%s: %v, want %s", date, got, want)
		}
	}
}

// A warp that goes on over the day clocks change: every day of work is at the
// hours of the wall, and the minutes add up.
func TestTimetable_clocksChange(t *testing.T) {
	s := calendarShop(t, file(t))
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Calendar.Zone = "Europe/Madrid"
	must(s.h.SaveSettings(ctx, s.head, set))
	s.clock.at = time.Date(2031, 10, 21, 6, 0, 0, 0, time.UTC)
	s.running("scarf", 2)
	s.running("bag", 1)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	s.sound(tt)
	before, after := false, false
	for _, k := range tt.Tasks {
		for _, h := range k.Hands {
			if k.Member != s.weaver.Member {
				continue
			}
			if h.From.Hour() < 8 || h.To.Hour() > 12 {
				t.Errorf("%s from %s to %s", k.Key, h.From, h.To)
			}
			_, offset := h.From.Zone()
			before, after = before || offset == 7200, after || offset == 3600
		}
	}
	if !before || !after {
		t.Errorf("work before the change %v, after it %v", before, after)
	}
}
