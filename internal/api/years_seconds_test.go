package api_test

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"time"
)

// seconds is how long each request took.
type seconds []request

type request struct {
	day     int
	pattern string
	took    time.Duration
}

func (s *seconds) add(day int, pattern string, took time.Duration) {
	*s = append(*s, request{day, pattern, took})
}

func (s seconds) sum() (all time.Duration) {
	for _, r := range s {
		all += r.took
	}
	return all
}

// slowest compares the last ninety days with the first, or the last third with the
// first, by operation, those that are slowest in the end first.
func (s seconds) slowest(days int) (out []string) {
	span := min(90, days/3)
	first, last := map[string][]time.Duration{}, map[string][]time.Duration{}
	for _, r := range s {
		switch {
		case r.day < span:
			first[r.pattern] = append(first[r.pattern], r.took)
		case r.day >= days-span:
			last[r.pattern] = append(last[r.pattern], r.took)
		}
	}
	names := slices.SortedFunc(maps.Keys(last), func(a, b string) int { return cmp.Compare(at(last[b], 0.5), at(last[a], 0.5)) })
	out = append(out, fmt.Sprintf("milliseconds, median and 95 of 100, in the first and in the last %d days", span))
	for _, n := range names {
		f, l := first[n], last[n]
		out = append(out, fmt.Sprintf("%8.2f %8.2f   %8.2f %8.2f  %6d  %s", ms(at(f, 0.5)), ms(at(f, 0.95)), ms(at(l, 0.5)), ms(at(l, 0.95)), len(l), n))
	}
	return out
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// at is the quantile of times; zero of none.
func at(of []time.Duration, q float64) time.Duration {
	if len(of) == 0 {
		return 0
	}
	slices.Sort(of)
	return of[int(q*float64(len(of)-1))]
}
