// Package feed writes a calendar of the workshop as iCalendar (RFC 5545), for the
// calendar programs that people have already.
//
// Every stretch of work of a day is an event of its own, so that it stands at its
// hours. Times are in UTC, which needs no table of time zones (RFC 5545, 3.3.5,
// form 2); days that are due are dates. A task that is told anew keeps its UID.
package feed

import (
	"fmt"
	"io"
	"time"

	ics "github.com/arran4/golang-ical"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// ask is how often a calendar program is to ask again: RFC 7986, 5.7.
const ask = "PT1H"

// Write writes a calendar in the words of a language. The same feed gives the same
// bytes.
func Write(w io.Writer, f workshop.Feed, words *lang.Words) error {
	c := ics.NewCalendarFor("Urdir")
	c.SetProductId("-//Urdir//" + words.Tag)
	c.SetMethod(ics.MethodPublish)
	name := words.T("feed-name-own", check.Args{"name": f.Person.Name, "workshop": f.Workshop})
	if f.Whole {
		name = f.Workshop
	}
	c.SetName(name)
	c.SetRefreshInterval(ask, ics.WithValue(string(ics.ValueDataTypeDuration)))
	for _, t := range f.Turns {
		turn(c, f, t, words)
	}
	for _, d := range f.Days {
		day(c, f, d, words)
	}
	return c.SerializeTo(w, ics.WithNewLineWindows)
}

// turn writes what someone was told of a task.
func turn(c *ics.Calendar, f workshop.Feed, t workshop.TurnView, words *lang.Words) {
	what := words.T("task-"+string(t.Kind), nil) + ": " + t.Turn.Name
	if f.Whole && t.Name != "" {
		what += " · " + t.Name
	}
	for i, h := range t.Hands {
		e := event(c, fmt.Sprintf("%s.%d@%s", t.Key, i+1, f.Person.Workshop), what, t.Told)
		e.SetStartAt(h.From)
		e.SetEndAt(h.To)
	}
	if len(t.Hands) > 0 {
		return
	}
	e := event(c, fmt.Sprintf("%s@%s", t.Key, f.Person.Workshop), what, t.Told)
	whole(e, t.Start)
}

// day writes a class, or a day that is due.
func day(c *ics.Calendar, f workshop.Feed, d workshop.FeedDay, words *lang.Words) {
	key := "feed-due"
	switch {
	case d.Class:
		key = "feed-class"
	case d.Promised:
		key = "feed-promised"
	}
	e := event(c, fmt.Sprintf("due.%s@%s", d.Order, f.Person.Workshop), words.T(key, check.Args{"number": d.Number, "customer": d.Customer}), d.Told)
	if d.Class {
		e.SetStartAt(d.From)
		e.SetEndAt(d.To)
		return
	}
	whole(e, d.From)
}

func event(c *ics.Calendar, uid, what string, told time.Time) *ics.VEvent {
	e := c.AddEvent(uid)
	e.SetDtStampTime(told)
	e.SetSummary(what)
	return e
}

// whole makes an event one of a whole day, on which one is free all the same.
func whole(e *ics.VEvent, day time.Time) {
	y, m, d := day.Date()
	e.SetAllDayStartAt(time.Date(y, m, d, 0, 0, 0, 0, time.UTC))
	e.SetAllDayEndAt(time.Date(y, m, d+1, 0, 0, 0, 0, time.UTC))
	e.SetTimeTransparency(ics.TransparencyTransparent)
}
