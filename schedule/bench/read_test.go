package bench_test

import (
	"strings"
	"testing"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// Our own: 2 and 3 need one of two units each, 4 both; the shortest is 2 and 3
// side by side, then 4: 3 + 2 days. Written as PSPLIB writes.
const sm = `file with basedata            : own
jobs (incl. supersource/sink ):  5
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          3           2   3   4
   2        1          1           5
   3        1          1           5
   4        1          1           5
   5        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     3       1
  3      1     2       1
  4      1     2       2
  5      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    2
`

func TestReadSM(t *testing.T) {
	p, err := bench.ReadSM(strings.NewReader(sm))
	if err != nil {
		t.Fatal(err)
	}
	plan, ps := schedule.Make(p, 1, 100)
	if ps.Failed() || plan.Score.Late != 5 || plan.Bound.Late != 5 {
		t.Errorf("%v: %+v, bound %+v", ps, plan.Score, plan.Bound)
	}
	for _, bad := range []string{"", "PRECEDENCE RELATIONS:\n 1 1 2 3\n", strings.Replace(sm, "  2   3   4", "  2   3   9", 1), strings.Replace(sm, "  5      1     0", "  6      1     0", 1)} {
		if _, err := bench.ReadSM(strings.NewReader(bad)); err == nil {
			t.Errorf("read without an error:\n%s", bad)
		}
	}
}

// Our own: two jobs of two operations on two machines. Each machine has what it
// does faster: 2 + 2 for the first job, 3 + 1 for the second, side by side.
const fjs = `2 2 2
2 2 0 2 1 5 2 0 5 1 2
2 2 0 5 1 3 2 0 1 1 5
`

func TestReadFJS(t *testing.T) {
	p, err := bench.ReadFJS(strings.NewReader(fjs))
	if err != nil {
		t.Fatal(err)
	}
	// Machine 1 is busy with 3, then with 2: no schedule is below 5.
	plan, ps := schedule.Make(p, 1, 200)
	if ps.Failed() || plan.Score.Late != 5 || plan.Bound.Late > 5 {
		t.Errorf("%v: %+v, bound %+v", ps, plan.Score, plan.Bound)
	}
	for _, bad := range []string{"", "2 2\n2 2 0 2", "a b\n"} {
		if _, err := bench.ReadFJS(strings.NewReader(bad)); err == nil {
			t.Errorf("read without an error: %q", bad)
		}
	}
}
