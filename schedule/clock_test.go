package schedule_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/schedule"
)

// anyClock is hours by chance, some of them longer than a day, or none.
func anyClock(t *rapid.T, name string) *schedule.Clock {
	var hours [][2]int32
	at := int32(0)
	for range rapid.IntRange(0, 12).Draw(t, name) {
		at += int32(rapid.IntRange(1, 900).Draw(t, "closed"))
		to := at + int32(rapid.IntRange(1, 2000).Draw(t, "open"))
		hours = append(hours, [2]int32{at, to})
		at = to
	}
	return schedule.NewClock(hours)
}

// runs is whether a clock runs in a minute, by looking at all its hours.
func runs(c *schedule.Clock, minute int32) bool {
	return slices.ContainsFunc(c.Hours(), func(h [2]int32) bool { return h[0] <= minute && minute < h[1] })
}

// Work ends when it would if every minute were counted, and takes no less than is
// said of it beforehand.
func TestClock_minuteByMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyClock(t, "spans")
		from, work := int32(rapid.IntRange(0, 8000).Draw(t, "from")), int32(rapid.IntRange(1, 4000).Draw(t, "work"))
		first, last := schedule.NoTime, schedule.NoTime
		for m, left := from, work; m < 36000 && left > 0; m++ {
			if !runs(c, m) {
				continue
			}
			if first == schedule.NoTime {
				first = m
			}
			if left--; left == 0 {
				last = m + 1
			}
		}
		if last == schedule.NoTime {
			first = schedule.NoTime
		}
		if a, b := schedule.Run(c, from, work, false); a != first || b != last {
			t.Fatalf("%d minutes from %d: %d to %d, counted %d to %d", work, from, a, b, first, last)
		}
		if least := schedule.AtLeast(c, work); last < schedule.NoTime && last-first < least {
			t.Errorf("%d minutes from %d take %d, and at least %d", work, first, last-first, least)
		}
	})
}

// Clocks together run when any of them does.
func TestClock_together(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyClock(t, "one"), anyClock(t, "other")
		both := schedule.Together([]*schedule.Clock{a, b})
		for m := range int32(36000) {
			if got, want := runs(both, m), runs(a, m) || runs(b, m); got != want {
				t.Fatalf("at %d: got %v, want %v", m, got, want)
			}
		}
		if schedule.Together([]*schedule.Clock{a, nil}) != nil {
			t.Error("one of them always runs, and together they do not")
		}
	})
}
