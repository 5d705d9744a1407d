package torture_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"urdir/internal/store/pgtest"
)

// A server that is killed while several people write has kept every act that it
// acknowledged, and no act by half.
func TestKilledServer(t *testing.T) {
	const lives = 400
	for left := kills(lives); left > 0; left -= 50 { // a new workshop now and then, so that to look at it stays quick
		killServer(t, newShop(t, ""), min(left, 50))
	}
}

func TestKilledServer_PostgreSQL(t *testing.T) {
	killServer(t, newShop(t, pgtest.Start(t)), kills(50))
}

func killServer(t *testing.T, s *shop, times int) {
	t.Helper()
	for range times {
		v := serve(t, s)
		ctx, stop := context.WithTimeout(t.Context(), time.Minute)
		go func(before int) { // some time after the first act is acknowledged
			for s.acts() == before && ctx.Err() == nil {
				time.Sleep(time.Millisecond)
			}
			time.Sleep(rand.N(80 * time.Millisecond))
			v.Kill()
		}(s.acts())
		err := crowd(ctx, s, 4, func(int) string { return v.At }, func(error) bool { return false })
		stop()
		stop()
		if errors.Is(err, errRefused) {
			t.Fatalf("an act was refused: %v\n%s", err, v.Kill())
		}
		v.Kill()
		s.check(t)
		counts.add("kills: server", 1)
		if t.Failed() {
			return
		}
	}
	counts.add("acts acknowledged before a kill", s.acts())
}
