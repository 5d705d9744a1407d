package main

import (
	"bufio"
	"bytes"
	"testing"

	"urdir/check"
	"urdir/internal/lang"
)

// Columns stand under each other whatever the letters: a combining accent takes
// no room, a wide letter takes two cells (Unicode TR 11).
func TestTable_alignsByWhatIsSeen(t *testing.T) {
	tb := table{indent: 1, numbers: true}
	tb.add("a\u0301", "1")
	tb.add("糸", "10")
	tb.add("añil", "100")
	var b bytes.Buffer
	tb.print(&b)
	want := " a\u0301       1\n 糸     10\n añil  100\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestTell(t *testing.T) {
	w, err := lang.For("es")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	a := &app{words: w, errOut: &b}
	p := check.Problem{Path: "warps.body.sett", Code: "sett-missing", Args: check.Args{"warp": "body"}}
	a.tell([]located{{File: "faja.yaml", Line: 12, Column: 5, Problem: p}, {File: "faja.yaml", Line: 12, Problem: p}, {Problem: p}})
	const text = "error: La urdimbre body no tiene densidad. Escriba sett: 20 /cm; enrolle el hilo en una regla y cuente, luego vea urdir yarn.\n"
	if got, want := b.String(), "faja.yaml:12:5: "+text+"faja.yaml:12: "+text+text; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestStrong_onlyWhereSeen(t *testing.T) {
	a := &app{out: bufio.NewWriter(nil)}
	for _, bold := range []bool{false, true} {
		a.bold = func() bool { return bold }
		want := "x"
		if bold {
			want = "\x1b[1mx\x1b[0m"
		}
		if got := a.strong("x"); got != want {
			t.Errorf("bold %v: %q; want %q", bold, got, want)
		}
	}
}

func TestFold(t *testing.T) {
	if got, want := fold("uno dos tres\n\ncuatro", 7), "uno dos\ntres\n\ncuatro"; got != want {
		t.Errorf("fold = %q; want %q", got, want)
	}
}
