package clothfile_test

import (
	"strings"
	"testing"

	"urdir/clothfile"
	"urdir/plan"
)

// Whatever is in a file, reading and planning it end without panic, and every
// problem stands on a line that the file has.
func FuzzRead(f *testing.F) {
	for _, file := range append(examples(f), "testdata/mat.yaml") {
		f.Add(readFile(f, file))
	}
	for _, text := range []string{
		"", "a", "urdir: 1\nname: &a *a\n<<: {}", "? a\n: - b", "--- |\n a\n...\n--- b",
		"figures:\n  a:\n    colours: {x: y}\n    chart: |+2\n\n      .x.\n",
		"figures: {a: {chart: '.x\n\n  .q'}}", "panels: {a: {bands: [{mirror: [{repeat: 2, of: [{woven: 1 cm}]}]}]}}",
		"warps: {a: {stripes: [1 b, 2 cm c, 1 part d, {alternate: [1 b, 2 c], over: 9}]}}",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, src, ps := clothfile.Read([]byte(text))
		c.Frame = nil // the search for a way round is fuzzed where it is
		if ps.Failed() {
			ps = append(ps, plan.Check(c)...)
		} else {
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
