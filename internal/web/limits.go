package web

import (
	"net"
	"net/http"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// limiter slows down whoever tries to sign in again and again, by the address
// she comes from and by the name she tries.
type limiter struct {
	mu sync.Mutex
	by map[string]*rate.Limiter
}

// Ten tries at once, then one in six seconds.
const (
	triesAtOnce = 10
	tryEvery    = 6 * time.Second
	limitMost   = 10_000 // names remembered; then all are forgotten
)

// allow says whether another try may be made now.
func (l *limiter) allow(keys ...string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.by == nil || len(l.by) > limitMost {
		l.by = map[string]*rate.Limiter{}
	}
	ok := true
	for _, k := range keys {
		if l.by[k] == nil {
			l.by[k] = rate.NewLimiter(rate.Every(tryEvery), triesAtOnce)
		}
		ok = l.by[k].Allow() && ok
	}
	return ok
}

// spent says whether no more tries may be made now; asking is none.
func (l *limiter) spent(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	k, known := l.by[key]
	return known && k.Tokens() < 1
}

// from is the address a request comes from.
func from(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
