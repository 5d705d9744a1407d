package torture_test

import (
	"context"
	"testing"
	"time"

	"urdir/internal/store/pgtest"
)

// PostgreSQL that stops in the middle of everything, and comes back, has kept what
// was acknowledged; the server, which was never stopped, goes on.
func TestDatabaseGoneAndBack(t *testing.T) {
	pg := pgtest.New(t)
	s := newShop(t, pg.Database(t))
	v := serve(t, s)
	for range kills(40) {
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() {
			ended <- crowd(ctx, s, 4, func(int) string { return v.At }, func(error) bool {
				time.Sleep(10 * time.Millisecond)
				return true
			})
		}()
		time.Sleep(150 * time.Millisecond)
		pg.Stop(t)
		before := s.acts()
		pg.Restart(t)
		must(t, v.Answers())
		for end := time.Now().Add(20 * time.Second); s.acts() < before+8 && time.Now().Before(end); {
			time.Sleep(5 * time.Millisecond)
		}
		stop()
		must(t, <-ended)
		if s.acts() < before+8 {
			t.Fatalf("the server does not go on: %s", v.Kill())
		}
		s.check(t)
		counts.add("database stopped and started again", 1)
	}
	counts.add("acts acknowledged around a stopped database", s.acts())
}
