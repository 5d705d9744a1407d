package web

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"urdir/internal/lang"
)

// acting is where the workshop writes under the name of an act.
var acting = regexp.MustCompile(`\b(?:update|change|save)\([^"\n]*"([A-Z][A-Za-z]*)"`)

// What was done is named in the history; each act has words.
func TestHistory_everyActHasWords(t *testing.T) {
	t.Parallel()
	files := must(filepath.Glob("../workshop/*.go"))
	acts := map[string]bool{}
	for _, name := range files {
		for _, m := range acting.FindAllSubmatch(must(os.ReadFile(name)), -1) {
			acts[string(m[1])] = true
		}
	}
	if len(acts) < 70 {
		t.Fatalf("only %d acts found", len(acts))
	}
	for _, base := range []string{"es", "en"} {
		w := must(lang.For(base))
		for act := range acts {
			if !w.Has("act-" + act) {
				t.Errorf("%s: no words for act-%s", base, act)
			}
		}
	}
}
