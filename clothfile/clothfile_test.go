package clothfile_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/plan"
)

// mat is a good cloth file.
func mat(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("testdata/mat.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// change spoils a text in one place. Two changes are divided by a line "--".
func change(t testing.TB, text, old, new string) string {
	t.Helper()
	olds, news := strings.Split(old, "\n--\n"), strings.Split(new, "\n--\n")
	for i := range olds {
		if strings.Count(text, olds[i]) != 1 {
			t.Fatalf("%q stands %d times in the text, want once", olds[i], strings.Count(text, olds[i]))
		}
		text = strings.Replace(text, olds[i], news[i], 1)
	}
	return text
}

// problems reads a text and, if it can be read, plans it. It gives what stops
// the plan as "line:column code".
func problems(t testing.TB, text string) []string {
	t.Helper()
	c, src, ps := clothfile.Read([]byte(text))
	if !ps.Failed() {
		_, ps = plan.Make(c)
	}
	var got []string
	for _, p := range ps {
		if p.Severity == check.Error {
			at, _ := src.Locate(p.Path)
			got = append(got, fmt.Sprintf("%d:%d %s", at.Line, at.Column, p.Code))
			checkWords(t, p)
		}
	}
	return got
}

// checkWords checks that every language says what is wrong and how to mend it.
func checkWords(t testing.TB, p check.Problem) {
	t.Helper()
	for _, l := range lang.Languages {
		w, err := lang.For(l)
		if err != nil {
			t.Fatal(err)
		}
		what, mend := w.Problem(p)
		for key, s := range map[string]string{p.Code: what, p.Code + ".mend": mend} {
			if s == "" || strings.Contains(s, "<no value>") || s == "["+key+"]" {
				t.Errorf("%s: %s %v says %q", l, key, p.Args, s)
			}
		}
	}
}

func TestRead_examplesPlan(t *testing.T) {
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) != 7 {
		t.Fatalf("found %d examples, want 7: %v", len(files), err)
	}
	for _, file := range append(files, "testdata/mat.yaml") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		c, _, ps := clothfile.Read(text)
		if len(ps) > 0 {
			t.Errorf("%s: %v", file, ps)
			continue
		}
		if _, ps := plan.Make(c); ps.Failed() {
			t.Errorf("%s: %v", file, ps)
		}
	}
}
