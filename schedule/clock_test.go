package schedule

import (
	"testing"

	"pgregory.net/rapid"
)

// anyClock is hours by chance, some of them longer than a day, or none.
func anyClock(t *rapid.T, name string) *clock {
	var spans []span
	at := int32(0)
	for range rapid.IntRange(0, 12).Draw(t, name) {
		at += int32(rapid.IntRange(1, 900).Draw(t, "closed"))
		to := at + int32(rapid.IntRange(1, 2000).Draw(t, "open"))
		spans = append(spans, span{at, to})
		at = to
	}
	return newClock(spans)
}

// open is whether a clock runs in a minute, by looking at every span.
func (c *clock) open(m int32) bool {
	for _, s := range c.spans {
		if s.from <= m && m < s.to {
			return true
		}
	}
	return false
}

// Work ends when it would if every minute were counted, and takes no less than is
// said of it beforehand.
func TestClock_minuteByMinute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyClock(t, "spans")
		from, work := int32(rapid.IntRange(0, 8000).Draw(t, "from")), int32(rapid.IntRange(1, 4000).Draw(t, "work"))
		first, last := never, never
		for m, left := from, work; m < 36000 && left > 0; m++ {
			if !c.open(m) {
				continue
			}
			if first == never {
				first = m
			}
			if left--; left == 0 {
				last = m + 1
			}
		}
		if last == never {
			first = never
		}
		if a, b := c.run(from, work, false); a != first || b != last {
			t.Fatalf("%d minutes from %d: %d to %d, counted %d to %d", work, from, a, b, first, last)
		}
		if least := c.atLeast(work); last < never && last-first < least {
			t.Errorf("%d minutes from %d take %d, and at least %d", work, first, last-first, least)
		}
	})
}

// Clocks together run when any of them does.
func TestClock_together(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyClock(t, "one"), anyClock(t, "other")
		both := together([]*clock{a, b})
		for m := range int32(36000) {
			if got, want := both.open(m), a.open(m) || b.open(m); got != want {
				t.Fatalf("at %d: got %v, want %v", m, got, want)
			}
		}
		if together([]*clock{a, nil}) != nil {
			t.Error("one of them always runs, and together they do not")
		}
	})
}
