package clothfile_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"urdir/clothfile"
	"urdir/plan"
)

// Whatever is in a file, reading and planning it end without panic, and every
// problem stands on a line that the file has.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) == 0 {
		f.Fatal("no examples", err)
	}
	for _, file := range append(files, "testdata/mat.yaml") {
		text, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, src, ps := clothfile.Read([]byte(text))
		if !ps.Failed() {
			c.Frame = nil // the search for a way round is fuzzed where it is
			_, ps = plan.Make(c)
		}
		lines := 1 + strings.Count(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\n")
		for _, p := range ps {
			at, _ := src.Locate(p.Path)
			if at.Line < 1 || at.Line > lines || at.Column < 1 {
				t.Errorf("%s stands at %d:%d; the file has %d lines", p, at.Line, at.Column, lines)
			}
			checkWords(t, p)
		}
	})
}
