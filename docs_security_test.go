package urdir_test

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// Every file that docs/security.md names is there, and every test or function it
// names in it; each line of its tables names at least one, or says why in words.
func TestSecurity_answers(t *testing.T) {
	named := regexp.MustCompile("`([\\w./-]+\\.(?:go|html|js|sh|mod|sum))(?:#(\\w+))?`")
	tests := 0
	for line := range strings.Lines(read(t, "docs/security.md")) {
		for _, m := range named.FindAllStringSubmatch(line, -1) {
			body, err := os.ReadFile(m[1])
			switch {
			case err != nil:
				t.Errorf("security.md: %v", err)
			case m[2] != "" && !regexp.MustCompile(`(?m)^func (\([^)]*\) )?`+m[2]+`\(`).Match(body):
				t.Errorf("security.md: %s has no %s", m[1], m[2])
			case m[2] != "":
				tests++
			}
		}
		if cells := strings.Split(line, "|"); strings.HasPrefix(line, "| ") && len(cells) == 4 && strings.TrimSpace(cells[2]) == "" {
			t.Errorf("security.md: nothing answers %s", cells[1])
		}
	}
	if tests < 40 {
		t.Errorf("security.md names %d tests; the search is broken, or it says too little", tests)
	}
}
