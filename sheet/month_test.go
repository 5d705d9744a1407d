package sheet_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"urdir/dye"
	"urdir/sheet"
)

// may is the month of a member in May 2031, which begins on a Thursday and has five
// Saturdays, each a market day; she is away from the 12th to the 14th.
func may() sheet.MonthPaper {
	m := sheet.MonthPaper{Workshop: "Taller del Estero", Member: "Benita Solórzano", Month: "2031-05"}
	for n := 1; n <= 31; n++ {
		day := time.Date(2031, 5, n, 0, 0, 0, 0, time.UTC)
		d := sheet.MonthDay{Date: day.Format(time.DateOnly), Moon: dye.MoonOn(dye.Day{Year: 2031, Month: 5, Day: n}, -5*60)}
		switch {
		case day.Weekday() == time.Saturday:
			d.Name, d.Closed = "Mercado del muelle", true
		case n >= 12 && n <= 14:
			d.Away, d.Why = true, "bautizo"
		case day.Weekday() != time.Sunday:
			d.Offered = 240
		}
		m.Days = append(m.Days, d)
	}
	m.Days[5].Turns = []sheet.MonthTurn{{From: "8:00", To: "9:30", Kind: "wind", Name: "#12 Rebozo de la orilla · cuerpo"}, {From: "9:30", To: "12:00", Kind: "warp", Name: "#12 Rebozo de la orilla · cuerpo"}}
	m.Days[9].Turns = []sheet.MonthTurn{{From: "8:00", To: "12:00", Kind: "class", Name: strings.Repeat("#14 Escuela de la Peña ", 8)}} // on a market day
	return m
}

func months(t *testing.T, o sheet.Options, ms ...sheet.MonthPaper) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.Months(&b, "Mayo", ms, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A month says of each day what it is and what she does, in both languages and on
// both papers, and nothing runs over an edge.
func TestMonths_says(t *testing.T) {
	for _, o := range []sheet.Options{{Language: "es", Paper: sheet.A4}, {Language: "en", Paper: sheet.Letter}} {
		w := words(t, o.Language)
		file := months(t, o, may())
		if dir := os.Getenv("SHEETS"); dir != "" { // to be looked at
			if err := os.WriteFile(filepath.Join(dir, "month-"+o.Language+".pdf"), file, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(file, months(t, o, may())) {
			t.Errorf("%s: made twice it is not the same", o.Language)
		}
		text := everyWord(t, file)
		for _, want := range []string{"Benita Solórzano", "Taller del Estero", "8:00–9:30", w.T("task-wind", nil), w.T("task-warp", nil), w.T("task-class", nil),
			"#12 Rebozo de la orilla · cuerpo", w.T("month-away", nil) + ": bautizo", w.T("month-free", nil), w.T("moon-full", nil), w.T("moon-new", nil), w.T("day-sun", nil)} {
			if !strings.Contains(text, spaced(want)) {
				t.Errorf("%s: no %q in\n%s", o.Language, want, text)
			}
		}
		for what, want := range map[string]int{"Mercado del muelle": 5, "bautizo": 3, w.T("day-sat", nil): 5, w.T("day-mon", nil): 4} {
			if got := strings.Count(text, spaced(what)); got != want {
				t.Errorf("%s: %q stands %d times, want %d", o.Language, what, got, want)
			}
		}
		days := 0
		for i, p := range read(t, file) {
			for _, x := range p.texts {
				if x.x < 0 || x.x+x.wide > p.w || x.y-x.size < 0 || x.y > p.h {
					t.Errorf("%s, page %d: %q runs over the edge", o.Language, i+1, x.s)
				}
				if days < 31 && x.s == fmt.Sprint(days+1) && x.size > 5 {
					days++
				}
			}
		}
		if days != 31 {
			t.Errorf("%s: %d days in their order, want 31", o.Language, days)
		}
	}
}

// Each member's month begins on a page of her own; one who was told nothing reads
// that.
func TestMonths_each(t *testing.T) {
	o := sheet.Options{Language: "en", Paper: sheet.A4}
	idle := may()
	idle.Member = "Zoila Carrizo"
	for i := range idle.Days {
		idle.Days[i].Turns = nil
	}
	pages := read(t, months(t, o, may(), idle))
	hers := 0
	for _, p := range pages {
		if line := p.line(); strings.Contains(line, "Zoila Carrizo") {
			if hers++; strings.Contains(line, "Benita Solórzano") || !strings.Contains(line, words(t, "en").T("month-nothing", nil)) {
				t.Errorf("her page says %s", line)
			}
		}
	}
	if hers != 1 {
		t.Errorf("%d pages bear her name, want 1", hers)
	}
	pictures := 0
	if err := sheet.MonthPictures([]sheet.MonthPaper{may(), idle}, o, func(sheet.Page) error { pictures++; return nil }); err != nil || pictures != len(pages) {
		t.Errorf("%d pictures of %d pages: %v", pictures, len(pages), err)
	}
}
