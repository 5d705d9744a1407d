package workshop

import (
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
)

// What many ask for together is reckoned once, and kept; a fault of whoever reckoned
// it is nobody else's.
func TestRecent_once(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var r recent[int]
		var reckoned atomic.Int64
		ask := func(fault error) (got [9]int, failed int) {
			open := make(chan struct{})
			var all sync.WaitGroup
			errs := make([]error, len(got))
			for i := range got {
				all.Go(func() {
					got[i], errs[i] = r.of("k", 2, func() (int, error) {
						n := int(reckoned.Add(1))
						<-open
						if n == 1 {
							return 0, fault
						}
						return n, nil
					})
				})
			}
			synctest.Wait() // all have asked
			close(open)
			all.Wait()
			for _, err := range errs {
				if err != nil {
					failed++
				}
			}
			return got, failed
		}
		if _, failed := ask(errors.New("gone away")); failed > 0 {
			t.Errorf("%d failed by another's fault", failed)
		}
		reckoned.Store(100)
		if got, failed := ask(nil); failed > 0 || got != [9]int{101, 101, 101, 101, 101, 101, 101, 101, 101} || reckoned.Load() != 101 {
			t.Errorf("%v, %d failed, reckoned %d times", got, failed, reckoned.Load()-100)
		}
		if got, _ := ask(nil); got[0] != 101 || reckoned.Load() != 101 {
			t.Errorf("not kept: %v", got)
		}
	})
}
