package web

import (
	"fmt"
	"strings"

	"urdir/internal/workshop"
)

// spread is a picture of on which days an order is ready how often: the days up to
// the one that is promised are filled, those after it hollow, so that it needs no
// colour.
type spread struct {
	Kept, Late string // paths, in a box of Wide by 100
	Wide       int    // columns
	At         int    // column after which the promised day ends
	Weeks      bool   // a column is a week
	First, End string // dates
	Times      []spreadTimes
}

// spreadTimes is a column in words.
type spreadTimes struct {
	Day  string // its last
	Runs int
	By   int // times of a hundred that it is ready by then
}

// spreadDays is how many days are drawn one by one; more are drawn as weeks.
const spreadDays = 62

func spreadOf(days []workshop.ReadyDay, promised string, v *visit) (s spread) {
	if len(days) == 0 {
		return s
	}
	s.First, s.End = days[0].Day, days[len(days)-1].Day
	each := 1
	if len(days) > spreadDays {
		each, s.Weeks = 7, true
	}
	most := 1
	for from := 0; from < len(days); from += each {
		to := min(from+each, len(days))
		t := spreadTimes{Day: days[to-1].Day, By: v.Hundred(days[to-1].By)}
		for _, d := range days[from:to] {
			t.Runs += d.Runs
		}
		if days[from].Day <= promised {
			s.At = len(s.Times) + 1
		}
		most = max(most, t.Runs)
		s.Times = append(s.Times, t)
	}
	s.Wide = len(s.Times)
	var kept, late strings.Builder
	for i, t := range s.Times {
		if t.Runs == 0 {
			continue
		}
		b := &kept
		if i >= s.At {
			b = &late
		}
		high := max(2, 96*t.Runs/most)
		fmt.Fprintf(b, "M%d.1 100v-%dh.8v%dz", i, high, high)
	}
	s.Kept, s.Late = kept.String(), late.String()
	return s
}
