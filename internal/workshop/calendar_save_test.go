package workshop

import (
	"encoding/json"
	"testing"
	"time"
)

func TestSaveHours_refused(t *testing.T) {
	s := newShop(t, file(t))
	m, _, err := s.h.Member(ctx, s.head, s.weaver.Member)
	must(0, err)
	for what, h := range map[string]struct {
		path, code string
		hours      Hours
	}{
		"a day nobody knows":   {"offers[0]", "value-choice", Hours{Offers: []Offer{{"lun", 480, 720}}}},
		"back to front":        {"offers[0]", "hours-order", Hours{Offers: []Offer{{"mon", 720, 480}}}},
		"past midnight":        {"offers[0]", "hours-order", Hours{Offers: []Offer{{"mon", 1200, 1500}}}},
		"twice at one time":    {"offers[1]", "hours-twice", Hours{Offers: []Offer{{"mon", 480, 720}, {"mon", 700, 800}}}},
		"more than a week has": {"wants", "out-of-range", Hours{Wants: 200}},
		"no first day":         {"absences[0]", "field-empty", Hours{Absences: []Absence{{To: "2031-05-09"}}}},
		"no date":              {"absences[0]", "date-unread", Hours{Absences: []Absence{{From: "mañana"}}}},
		"ends before it began": {"absences[0]", "days-order", Hours{Absences: []Absence{{From: "2031-05-09", To: "2031-05-01"}}}},
	} {
		_, err = s.h.SaveHours(ctx, s.head, m.ID, m.Revision, h.hours)
		wantProblem(t, what, err, h.path, h.code)
	}
	own := Hours{Absences: []Absence{{From: "2031-05-09"}}}
	_, err = s.h.SaveHours(ctx, s.other, m.ID, m.Revision, own)
	wantCode(t, "another's hours", err, NotFound)
	kept := must(s.h.SaveHours(ctx, s.weaver, m.ID, m.Revision, own))
	kept.Value.Time, kept.Value.Note = Hours{}, "otra nota"
	if kept = must(s.h.SaveMember(ctx, s.head, kept)); len(kept.Value.Time.Absences) != 1 {
		t.Error("changing a member took her absence away")
	}
}

func TestSaveSettings_calendarRefused(t *testing.T) {
	s := newShop(t, file(t))
	for what, c := range map[string]struct {
		path, code string
		calendar   CalendarHouse
	}{
		"a zone of no atlas":  {"zone", "zone-unknown", CalendarHouse{Zone: "Estero/Anzales"}},
		"opens tomorrow":      {"opens", "hours-order", CalendarHouse{Opens: 1440}},
		"without a name":      {"closed[0]", "field-empty", CalendarHouse{Closed: []Closure{{Weekdays: []string{"sat"}}}}},
		"closed for ever":     {"closed[0]", "closed-always", CalendarHouse{Closed: []Closure{{Name: "Siesta"}}}},
		"the sixth Saturday":  {"closed[0]", "out-of-range", CalendarHouse{Closed: []Closure{{Name: "M", Weekdays: []string{"sat"}, Weeks: []int{6}}}}},
		"more than all hours": {"closed[0].share", "out-of-range", CalendarHouse{Closed: []Closure{{Name: "M", From: "2031-05-01", Share: 1.5}}}},
		"ends before":         {"closed[0].from", "days-order", CalendarHouse{Closed: []Closure{{Name: "M", From: "2031-05-09", To: "2031-05-01"}}}},
		"fewer than no looms": {"looms", "out-of-range", CalendarHouse{Looms: -1}},
	} {
		set := must(s.h.Settings(ctx, s.head))
		set.Value.Calendar = c.calendar
		_, err := s.h.SaveSettings(ctx, s.head, set)
		wantProblem(t, what, err, c.path, c.code)
	}
}

// What was kept before there was a calendar reads as it did, and is written so.
func TestCalendar_oldRecords(t *testing.T) {
	var m Member
	old := `{"Name":"Benita","Skills":["weave"],"Hours":20,"Languages":null,"Reach":"","Named":false,"Away":false,"Note":""}`
	must(0, json.Unmarshal([]byte(old), &m))
	if got := string(must(json.Marshal(m))); got != old {
		t.Errorf("a member reads as %s", got)
	}
	if hours, _ := closed().member(m, time.Date(2031, 5, 5, 12, 0, 0, 0, time.UTC)); len(hours) != 1 {
		t.Errorf("she works %v on a Monday", hours)
	}
}
