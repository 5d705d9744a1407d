package demo

import (
	"sync"
	"time"
)

// Clock is the clock of a demo: it runs like any other from the time it was
// made for, but Fill sets it back to live through the season. It may be used by
// many goroutines.
type Clock struct {
	mu    sync.Mutex
	at    time.Time
	since time.Time // when it began to run from at; zero while it stands still
}

// NewClock makes a clock that runs from now.
func NewClock(now time.Time) *Clock { return &Clock{at: now, since: time.Now()} }

// Now is the time by the clock.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.since.IsZero() {
		return c.at
	}
	return c.at.Add(time.Since(c.since))
}

// stop has the clock stand still at a time.
func (c *Clock) stop(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at, c.since = at, time.Time{}
}

// run has the clock run from a time.
func (c *Clock) run(from time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at, c.since = from, time.Now()
}
