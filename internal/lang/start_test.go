package lang_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"urdir/internal/lang"
)

// The words of one language are read at every start of the program, so it must
// be quick: in a process of its own, because it is read only once in each.
func TestFor_isQuickAtStart(t *testing.T) {
	const most = 150 * time.Millisecond // 8 ms measured; a busy machine may be ten times slower
	if os.Getenv("URDIR_TEST_START") != "" {
		start := time.Now()
		if _, err := lang.For("es"); err != nil {
			t.Fatal(err)
		}
		os.Stdout.WriteString("took " + time.Since(start).String() + "\n")
		return
	}
	best := time.Hour
	for range 3 {
		c := exec.Command(os.Args[0], "-test.run", "^TestFor_isQuickAtStart$")
		c.Env = append(os.Environ(), "URDIR_TEST_START=1")
		out, err := c.Output()
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(out), "took ")
		line, _, _ := strings.Cut(rest, "\n")
		d, err := time.ParseDuration(line)
		if err != nil {
			t.Fatalf("%q: %v", out, err)
		}
		best = min(best, d)
	}
	t.Logf("words of one language in %v", best)
	if best > most {
		t.Errorf("the words of one language take %v; want at most %v", best, most)
	}
}
