package main

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"

	_ "modernc.org/sqlite" // past the store, to spoil it

	"urdir/internal/store"
	"urdir/internal/workshop"
	"urdir/price"
)

// worked is a folder with a workshop in which Benita taught for two hours in May 2031,
// for 5.00, and the floor is 3.50.
func worked(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	db, err := store.Open(t.Context(), filepath.Join(dir, "urdir.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	h := workshop.New(db, func() time.Time { return time.Date(2031, time.May, 6, 12, 0, 0, 0, time.UTC) })
	head, err := h.SetUp(t.Context(), "Taller del Estero", "Amaranta", "amaranta", "una frase larga", "es")
	if err != nil {
		t.Fatal(err)
	}
	set, err := h.Settings(t.Context(), head)
	if err != nil {
		t.Fatal(err)
	}
	money := workshop.MoneyOf(set)
	money.Value.Floors.Workshop = price.Money{Minor: 350, Currency: "USD"}
	if _, _, err = h.SaveMoneyHouse(t.Context(), head, money); err != nil {
		t.Fatal(err)
	}
	m, err := h.SaveMember(t.Context(), head, workshop.Kept[workshop.Member]{Value: workshop.Member{Name: "Benita", Skills: []string{"teach"}}})
	if err != nil {
		t.Fatal(err)
	}
	_, err = h.TellWork(t.Context(), head, workshop.Work{Member: m.ID, Kind: "teach", Name: "clase de peine", Minutes: 120, Pay: price.Money{Minor: 500, Currency: "USD"}})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return dir
}

// says runs the program and gives its exit code and what it printed.
func says(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), &o, &e, noEnv)
	return code, o.String(), e.String()
}

func TestPay(t *testing.T) {
	dir := worked(t)
	code, out, errOut := says(t, "pay", "--month", "2031-05", "--data", dir)
	for _, want := range []string{"Benita, 2031-05\n", "2031-05-06  teaching: clase de peine", "2 h", "USD\u00a05.00", "an hour"} {
		if code != exitGood || !strings.Contains(out, want) {
			t.Errorf("exit %d, no %q in:\n%s%s", code, want, out, errOut)
		}
	}
	// Two hours at 3.50 are 7.00: 2.00 are missing, and it says so.
	if !strings.Contains(errOut, "Benita: caution: ") || !strings.Contains(errOut, "2.00") {
		t.Errorf("below the floor: %s", errOut)
	}
	if _, out, _ = says(t, "pay", "--month", "2031-05", "--data", dir, "--lang", "es"); !strings.Contains(out, "enseñar: clase de peine") {
		t.Errorf("in Spanish:\n%s", out)
	}
	_, out, _ = says(t, "pay", "--month", "2031-05", "--data", dir, "--json")
	var got struct{ Members []payRow }
	if err := json.Unmarshal([]byte(out), &got); err != nil || len(got.Members) != 1 || got.Members[0].Due.Minor != 500 || len(got.Members[0].Problems) != 1 {
		t.Errorf("JSON: %v\n%s", err, out)
	}
	if code, out, _ = says(t, "pay", "--month", "2031-04", "--data", dir); code != exitGood || !strings.Contains(out, "Nobody did paid work in 2031-04") {
		t.Errorf("another month: exit %d, %s", code, out)
	}
	if code, _, errOut = says(t, "pay", "--month", "May", "--data", dir); code != exitMistake || !strings.Contains(errOut, "--month: error") {
		t.Errorf("no month: exit %d, %s", code, errOut)
	}
	if code, _, _ = says(t, "pay", "--data", filepath.Join(dir, "none")); code != exitMistake {
		t.Errorf("no workshop: exit %d", code)
	}
}

func TestBooksCheck(t *testing.T) {
	dir := worked(t)
	code, out, errOut := says(t, "books", "check", "--data", dir)
	if code != exitGood || out != "The books add up.\n\nBalances\n  pay of members       USD\u00a05.00\n  pay due to members  -USD\u00a05.00\n" || errOut != "" {
		t.Errorf("exit %d: %s%s", code, out, errOut)
	}
	db, err := sql.Open("sqlite", filepath.Join(dir, "urdir.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = db.ExecContext(t.Context(), `UPDATE lines SET minor = 499 WHERE n = 1`); err != nil {
		t.Fatal(err)
	}
	if err = db.Close(); err != nil {
		t.Fatal(err)
	}
	code, _, errOut = says(t, "books", "check", "--data", dir)
	for _, want := range []string{"error: entry 1 is off by -1 USD.", "sums of 500 and 0 USD are kept"} {
		if code != exitMistake || !strings.Contains(errOut, want) {
			t.Errorf("spoiled: exit %d, no %q in:\n%s", code, want, errOut)
		}
	}
	code, out, _ = says(t, "books", "check", "--data", dir, "--json")
	if code != exitMistake || !strings.Contains(out, `"code": "books-fault"`) || !strings.Contains(out, `"code": "entry-unbalanced"`) {
		t.Errorf("JSON: exit %d, %s", code, out)
	}
	if code, _, errOut = says(t, "books", "mend"); code != exitMistake || !strings.Contains(errOut, "check") {
		t.Errorf("no such command: exit %d, %s", code, errOut)
	}
}
