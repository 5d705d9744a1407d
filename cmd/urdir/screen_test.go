package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"urdir/examples"
	"urdir/internal/lang"
	"urdir/internal/screen"
)

// The numbers beside a cloth in the designer are those that the command prints,
// in the same words.
func TestDesigner_saysWhatPlanPrints(t *testing.T) {
	once := 0
	for _, kind := range examples.Kinds {
		text, err := fs.ReadFile(examples.Files, kind+".yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, language := range []string{"en", "es-MX"} {
			printed, w := planPrinted(t, text, language), wordsOf(t, language)
			d, err := screen.Open(string(text), language, screen.Bench{})
			if err != nil {
				t.Fatal(err)
			}
			var n screen.Numbers
			if err := json.Unmarshal([]byte(d.Settle()), &n); err != nil {
				t.Fatal(err)
			}
			fact := map[string]string{}
			for _, f := range n.Facts {
				fact[f.Word] = f.Value
			}
			size := fact[w.T("size", nil)]
			wide, long, _ := strings.Cut(size, " × ")
			hand, perM2, _ := strings.Cut(fact[w.T("hand", nil)], ", ")
			want := []string{
				w.T("size", nil) + " " + strings.TrimSuffix(wide, "\u202fcm") + " × " + long,
				w.T("weight", nil) + " " + fact[w.T("weight", nil)] + " " + perM2, w.T("hand", nil) + ": " + hand,
				w.T("length", nil) + " " + fact[w.T("lay-length", nil)],
			}
			if c := d.Cloth(); len(c.Warps) == 1 && strings.Contains(printed, w.N("layings", 1, nil)) {
				once++
				want = append(want, w.T("ends", nil)+" "+fact[w.T("ends", nil)]+" "+fact[w.T("circuits", nil)]+" ")
			}
			for _, y := range n.Yarns {
				want = append(want, " "+y.Label, " "+y.Need+" ")
			}
			for _, s := range want {
				if !strings.Contains(printed, s) {
					t.Errorf("%s, %s: the designer says %q, which is not in\n%s", kind, language, s, printed)
				}
			}
		}
	}
	if once < 4 {
		t.Errorf("ends and circuits of %d cloths compared", once)
	}
}

// planPrinted is what the command prints of a cloth, every gap in it one space.
func planPrinted(t *testing.T, text []byte, language string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "cloth.yaml")
	if err := os.WriteFile(file, text, 0o600); err != nil {
		t.Fatal(err)
	}
	var out, errOut bytes.Buffer
	if code := run(context.Background(), []string{"plan", file, "--lang", language}, strings.NewReader(""), &out, &errOut, func(string) string { return "" }); code != exitGood {
		t.Fatalf("exit %d: %s", code, errOut.String())
	}
	words := strings.FieldsFunc(out.String(), func(r rune) bool { return r == ' ' || r == '\n' }) // the gap before a unit stays
	return " " + strings.Join(words, " ") + " "
}

func wordsOf(t *testing.T, language string) *lang.Words {
	t.Helper()
	w, err := lang.For(language)
	if err != nil {
		t.Fatal(err)
	}
	return w
}
