package torture_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"urdir/internal/store/pgtest"
)

// Two servers on one database: one is killed and started again under its clients
// while the other works; both acknowledge nothing that is lost.
func TestTwoServers(t *testing.T) {
	t.Run("SQLite", func(t *testing.T) { together(t, newShop(t, "")) })
	t.Run("PostgreSQL", func(t *testing.T) { together(t, newShop(t, pgtest.Start(t))) })
}

func together(t *testing.T, s *shop) {
	t.Helper()
	steady, other := serve(t, s), serve(t, s)
	var mu sync.Mutex
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() {
		ended <- crowd(ctx, s, 6, func(i int) string {
			mu.Lock()
			defer mu.Unlock()
			return []string{steady.At, other.At}[i%2]
		}, func(err error) bool {
			time.Sleep(5 * time.Millisecond)
			return !errors.Is(err, errRefused)
		})
	}()
	times := kills(150)
	for range times {
		time.Sleep(100*time.Millisecond + rand.N(100*time.Millisecond))
		other.Kill()
		next := serve(t, s)
		mu.Lock()
		other = next
		mu.Unlock()
	}
	stop()
	must(t, <-ended)
	steady.Kill()
	other.Kill()
	s.check(t)
	counts.add("kills: one of two servers", times)
	counts.add("acts acknowledged by two servers", s.acts())
}
