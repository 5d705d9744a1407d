package urdir_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	relied = regexp.MustCompile("`go test (\\./[^`']*?)(?: -run '?([^`']*)'?)?`")
	aTest  = regexp.MustCompile(`(?m)^func (Test\w+)\(`)
)

// What the README says shows a claim is there: each package has tests, and each part
// of a pattern finds one.
func TestREADME_whatShowsItIsThere(t *testing.T) {
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	all := relied.FindAllStringSubmatch(string(text), -1)
	if len(all) < 10 {
		t.Fatalf("found only %d commands: the search is broken", len(all))
	}
	for _, m := range all {
		var names []string
		for pkg := range strings.FieldsSeq(m[1]) {
			found := testsIn(t, pkg)
			if len(found) == 0 {
				t.Errorf("%s: no tests in %s", m[0], pkg)
			}
			names = append(names, found...)
		}
		for part := range strings.SplitSeq(m[2], `\|`) {
			if !regexp.MustCompile(part).MatchString(strings.Join(names, "\n")) {
				t.Errorf("%s: no test is called %q", m[0], part)
			}
		}
	}
}

// testsIn is the names of the tests of a package, or of all below it: ./warp/...
func testsIn(t *testing.T, pkg string) (names []string) {
	t.Helper()
	dir, deep := strings.CutSuffix(pkg, "/...")
	err := filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && p != dir && !deep {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(p, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(p)
		for _, m := range aTest.FindAllStringSubmatch(string(text), -1) {
			names = append(names, m[1])
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	return names
}
