package colour_test

import (
	"slices"
	"testing"

	"urdir/check"
	"urdir/measure"
)

func degrees(v float64) measure.Degree { return measure.Degree(v) }

// codes are the problems as "path code", cautions with a question mark.
func codes(ps check.Problems) []string {
	out := []string{}
	for _, p := range ps {
		s := p.Path + " " + p.Code
		if p.Severity == check.Caution {
			s += "?"
		}
		out = append(out, s)
	}
	return out
}

func wantCodes(t *testing.T, name string, ps check.Problems, want ...string) {
	t.Helper()
	if got := codes(ps); !slices.Equal(got, want) && len(got)+len(want) > 0 {
		t.Errorf("%s: %q; want %q", name, got, want)
	}
}
