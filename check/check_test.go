package check_test

import (
	"errors"
	"fmt"
	"testing"

	"urdir/check"
)

func TestProblems_onlyErrorsFail(t *testing.T) {
	var ps check.Problems
	if ps.Err() != nil {
		t.Error("no problems is an error")
	}
	ps.Look("warps.body.sett", "cover-low", check.Args{"cover": 0.9})
	if ps.Err() != nil || ps.Failed() {
		t.Error("a caution alone fails")
	}
	ps.Wrong("warps.body.width", "too-wide", nil)
	var got check.Problems
	if !errors.As(ps.Err(), &got) || len(got) != 2 {
		t.Errorf("Err() = %v", ps.Err())
	}
}

func TestUnder_joinsPaths(t *testing.T) {
	part := check.Problems{{Path: ""}, {Path: "ends"}, {Path: "[2].yarn"}}
	var ps check.Problems
	ps.Under("stripes", part)
	got := fmt.Sprint(ps[0].Path, " ", ps[1].Path, " ", ps[2].Path)
	if got != "stripes stripes.ends stripes[2].yarn" {
		t.Errorf("paths = %s", got)
	}
}

func TestError_listsArgumentsInOrder(t *testing.T) {
	var ps check.Problems
	ps.Wrong("a", "b", check.Args{"z": 1, "y": 2})
	if ps.Error() != "a: b y=2 z=1" {
		t.Errorf("%q", ps.Error())
	}
}
