package api

import (
	"math"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// limiter slows down each token by itself.
type limiter struct {
	every rate.Limit
	burst int
	mu    sync.Mutex
	by    map[string]*rate.Limiter
}

// limitMost is how many tokens are remembered; then all are forgotten.
const limitMost = 10_000

// wait is how many seconds a token has to wait before it asks again; 0: none, and
// this request counts.
func (l *limiter) wait(token string, now time.Time) int {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.by == nil || len(l.by) > limitMost {
		l.by = map[string]*rate.Limiter{}
	}
	if l.by[token] == nil {
		l.by[token] = rate.NewLimiter(l.every, l.burst)
	}
	r := l.by[token].ReserveN(now, 1)
	if delay := r.DelayFrom(now); delay > 0 {
		r.CancelAt(now)
		return int(math.Ceil(delay.Seconds()))
	}
	return 0
}
