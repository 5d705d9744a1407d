// Package torture_test harms a real server, and holds what is left against what it had
// said was kept. Without -long it is a short form of half a minute; with it, a
// thousand kills (make torture). The last lines of a run are the counts.
package torture_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"sync"
	"testing"

	"urdir/internal/served"
)

var long = flag.Bool("long", false, "a thousand kills, about eight minutes")

// program is the binary under test, built once.
var program string

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "urdir-torture-")
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer func() { _ = os.RemoveAll(dir) }() // a folder of ours
		if program, err = served.Build(context.Background(), dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		code := m.Run()
		counts.print()
		return code
	}())
}

// kills is how often something is killed: in the short form a hundredth.
func kills(n int) int {
	if *long {
		return n
	}
	return max(2, n/100)
}

// tally counts what was done, and is printed at the end.
type tally struct {
	mu    sync.Mutex
	names []string
	of    map[string]int
}

var counts = tally{of: map[string]int{}}

func (c *tally) add(name string, n int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.of[name]; !ok {
		c.names = append(c.names, name)
	}
	c.of[name] += n
}

func (c *tally) print() {
	c.mu.Lock()
	defer c.mu.Unlock()
	slices.Sort(c.names)
	fmt.Println("\nwhat was done, and how often")
	for _, n := range c.names {
		fmt.Printf("%8d  %s\n", c.of[n], n)
	}
}

// notHere says loudly that something could not be tried on this machine.
func notHere(t *testing.T, why string, err error) {
	t.Helper()
	counts.add("NOT RUN HERE: "+why, 1)
	t.Skipf("NOT RUN HERE: %s: %v", why, err)
}

func must(tb testing.TB, errs ...error) {
	tb.Helper()
	if err := errors.Join(errs...); err != nil {
		tb.Fatal(err)
	}
}

// run runs a command of the program to its end.
func run(ctx context.Context, args ...string) (string, error) {
	out, err := exec.CommandContext(ctx, program, args...).CombinedOutput()
	return string(out), err
}
