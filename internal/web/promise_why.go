package web

import (
	"time"

	"urdir/internal/workshop"
	"urdir/measure"
)

// Took writes minutes of hands. A day has as many hours of hands as someone offers,
// so they are never written as days.
func (v *visit) Took(minutes int) string {
	if minutes < 24*60 {
		return v.S(measure.Minute(minutes))
	}
	return v.HourCount(float64(minutes) / 60)
}

// Hour writes a time of the day.
func (v *visit) Hour(t time.Time) string { return t.Format("15:04") }

// WhyThen is why a task of the chain does not begin earlier, in words.
func (v *visit) WhyThen(l workshop.Link) string {
	by := ""
	if l.By != nil {
		by = v.T("task-"+string(l.By.Kind)) + ": " + l.By.Name
	}
	switch l.Cause {
	case workshop.AfterTask:
		return v.T("promise-why-after", "by", by, "day", v.OnDay(l.Ready))
	case workshop.PersonBusy:
		return v.T("promise-why-person", "by", by)
	case workshop.PlaceBusy:
		return v.T("promise-why-place", "by", by, "place", l.Place)
	case workshop.NoHours:
		return v.T("promise-why-hours", "day", v.OnDay(l.Ready))
	case workshop.WasTold:
		return v.T("promise-why-told")
	case workshop.InWork:
		return v.T("promise-why-begun")
	case workshop.ClassDay:
		return v.T("promise-why-class")
	}
	return v.T("promise-why-now")
}

// TryWords is what might make an order ready earlier, in words.
func (v *visit) TryWords(t workshop.Try) string {
	return v.T("promise-try-"+string(t.Kind), "name", t.Name)
}
