package bench_test

import (
	"strings"
	"testing"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// FuzzRead: an instance is read or refused, in either form; what is read can be
// looked over, whatever is wrong with it.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"PRECEDENCE RELATIONS:\n1 1 1 2\n2 1 0\nREQUESTS/DURATIONS:\n1 1 0 0\n2 1 3 1\nRESOURCEAVAILABILITIES:\n1\n",
		"1 2\n1 2 1 3 2 4\n", "2 1 1.5\n1 1 1 5\n1 1 1 -5\n", "9999999999 1\n", "1 1\n1 1 99 1\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, read := range []func(string) (schedule.Problem, error){
			func(s string) (schedule.Problem, error) { return bench.ReadSM(strings.NewReader(s)) },
			func(s string) (schedule.Problem, error) { return bench.ReadFJS(strings.NewReader(s)) },
		} {
			if p, err := read(text); err == nil && len(p.Steps) == 0 {
				t.Errorf("%q: read, and nothing to do", text)
			}
		}
	})
}
