package figure_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/figure"
)

// The charts of TestCheck_brocadeFloats and TestCheck_pickUpFloats, and where
// their floats lie: rows from the top, columns from the left, both from 0.
func TestTooLong(t *testing.T) {
	c := chart(t, ""+
		"o..xxx....o\n"+
		"oxxxxxxxxxo\n")
	c.Limit, c.Way = 25, figure.Across
	want := []figure.Stretch{
		{Row: 1, Column: 1, Rows: 1, Columns: 9, Length: 27},
		{Row: 1, Column: 1, Rows: 1, Columns: 9, Back: true, Length: 27},
		{Row: 0, Column: 1, Rows: 1, Columns: 9, Back: true, Length: 27},
	}
	if d := cmp.Diff(want, c.TooLong(20, 6)); d != "" {
		t.Errorf("brocade:\n%s", d)
	}
	c.Limit = 0
	if got := c.TooLong(20, 6); got != nil {
		t.Errorf("without a limit: %v", got)
	}
	// Picks 2, 3 and 4 of the middle pair.
	p := pickUp(t, "...\n...\n.o.\n...\n...\n")
	p.Limit = 5
	if d := cmp.Diff([]figure.Stretch{{Row: 1, Column: 1, Rows: 3, Columns: 1, Length: 6}}, p.TooLong(20, 5)); d != "" {
		t.Errorf("pick-up:\n%s", d)
	}
	// Its first pick lies in the ground below, so two rows of it are in the chart.
	p = pickUp(t, ".\no\n")
	p.Limit = 5
	if d := cmp.Diff([]figure.Stretch{{Row: 0, Rows: 2, Columns: 1, Length: 6}}, p.TooLong(20, 5)); d != "" {
		t.Errorf("pick-up, from below:\n%s", d)
	}
}
