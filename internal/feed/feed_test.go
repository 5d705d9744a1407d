package feed_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"urdir/internal/feed"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// bogota is five hours behind universal time all year.
var bogota = time.FixedZone("-05", -5*3600)

// told is a feed with what feeds hold: work of two days, yarn that is sent for, a
// class and a day that is promised; and names with every sign that iCalendar
// quotes.
func told() workshop.Feed {
	at := func(day, hour int) time.Time { return time.Date(2031, 5, day, hour, 30, 0, 0, bogota) }
	said := time.Date(2031, 5, 1, 9, 0, 0, 0, time.UTC)
	return workshop.Feed{Person: workshop.Person{Name: "Benita", Workshop: "w1"}, Workshop: "Taller del Estero",
		Turns: []workshop.TurnView{
			{Key: "j1/weave", Name: "Benita", Told: said, Turn: workshop.Turn{Kind: workshop.WeaveTask, Name: `#12 Faja "añil"; ola, ave \ flor · body`,
				Start: at(6, 8), End: at(7, 12), Hands: []workshop.Stretch{{From: at(6, 8), To: at(6, 12)}, {From: at(7, 8), To: at(7, 12)}}}},
			{Key: "o1.l1/yarn", Told: said, Turn: workshop.Turn{Kind: workshop.YarnTask, Name: "#12 " + strings.Repeat("Urdimbre larga ñ ", 12), Start: at(6, 23), End: at(13, 8)}},
		},
		Days: []workshop.FeedDay{
			{Order: "o2", Number: 3, Customer: "Escuela de la Barra", From: at(10, 8), To: at(10, 16), Class: true, Told: said},
			{Order: "o1", Number: 12, Customer: "Posada Los Juncos", From: time.Date(2031, 5, 20, 0, 0, 0, 0, bogota), Promised: true, Told: said},
		}}
}

func written(t *testing.T, f workshop.Feed, tag string) []byte {
	t.Helper()
	words, err := lang.For(tag)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := feed.Write(&b, f, words); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// What is written is read back by another general-purpose library.
func TestWrite_readByAnother(t *testing.T) {
	c, err := ical.NewDecoder(bytes.NewReader(written(t, told(), "es"))).Decode()
	if err != nil {
		t.Fatal(err)
	}
	if v, err := c.Props.Text(ical.PropVersion); err != nil || v != "2.0" {
		t.Errorf("VERSION %q, %v", v, err)
	}
	got := map[string]string{}
	for _, e := range c.Events() {
		uid, err := e.Props.Text(ical.PropUID)
		if err != nil || got[uid] != "" {
			t.Errorf("UID %q twice or unread: %v", uid, err)
		}
		from, err1 := e.DateTimeStart(bogota)
		to, err2 := e.DateTimeEnd(bogota)
		what, err3 := e.Props.Text(ical.PropSummary)
		if err1 != nil || err2 != nil || err3 != nil || e.Props.Get(ical.PropDateTimeStamp) == nil {
			t.Errorf("%s: %v, %v, %v", uid, err1, err2, err3)
		}
		got[uid] = from.In(bogota).Format("02 15:04") + " " + to.In(bogota).Format("02 15:04") + " " + what
	}
	for uid, want := range map[string]string{
		"j1/weave.1@w1": `06 08:30 06 12:30 Tejer: #12 Faja "añil"; ola, ave \ flor · body`,
		"j1/weave.2@w1": `07 08:30 07 12:30 Tejer: #12 Faja "añil"; ola, ave \ flor · body`,
		"o1.l1/yarn@w1": "06 00:00 07 00:00 Pedir hilo: #12 " + strings.Repeat("Urdimbre larga ñ ", 12),
		"due.o2@w1":     "10 08:30 10 16:30 Clase n.º 3, Escuela de la Barra",
		"due.o1@w1":     "20 00:00 21 00:00 Prometido: n.º 12, Posada Los Juncos",
	} {
		if strings.TrimSpace(got[uid]) != strings.TrimSpace(want) {
			t.Errorf("%s:\n got %q\nwant %q", uid, got[uid], want)
		}
	}
	if len(got) != 5 {
		t.Errorf("%d events, want 5", len(got))
	}
}

// RFC 5545, 3.1: lines end in CRLF and are no longer than 75 octets.
func TestWrite_lines(t *testing.T) {
	out := written(t, told(), "en")
	for i, line := range bytes.SplitAfter(out, []byte("\r\n")) {
		if len(line) > 77 || bytes.Contains(bytes.TrimSuffix(line, []byte("\r\n")), []byte("\n")) {
			t.Errorf("line %d: %q", i+1, line)
		}
	}
	if !bytes.Equal(out, written(t, told(), "en")) {
		t.Error("written twice, it differs")
	}
	if !bytes.HasSuffix(out, []byte("END:VCALENDAR\r\n")) {
		t.Errorf("it ends in %q", out[max(0, len(out)-30):])
	}
}

// The workshop's calendar says whose work it is.
func TestWrite_whole(t *testing.T) {
	f := told()
	f.Whole = true
	if out := written(t, f, "en"); !bytes.Contains(bytes.ReplaceAll(out, []byte("\r\n "), nil), []byte("body · Benita")) {
		t.Errorf("nobody's name in\n%s", out)
	}
}
