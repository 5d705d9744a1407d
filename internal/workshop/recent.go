package workshop

import (
	"sync"

	"golang.org/x/sync/singleflight"
)

// recent keeps what was reckoned last, by what it was reckoned from: pages ask for the
// same again and again, and after a change many ask together.
type recent[T any] struct {
	mu    sync.Mutex
	last  map[string]T
	under singleflight.Group
}

// of is what was kept, or reckons it: once, for all who ask meanwhile. So many are
// kept at the most.
func (r *recent[T]) of(key string, most int, reckon func() (T, error)) (T, error) {
	if v, ok := r.at(key); ok {
		return v, nil
	}
	v, err, shared := r.under.Do(key, func() (any, error) {
		v, err := reckon()
		if err == nil {
			r.keep(key, v, most)
		}
		return v, err
	})
	if err != nil && shared { // whoever reckoned it may have gone away
		return reckon()
	}
	return v.(T), err
}

func (r *recent[T]) at(key string) (T, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	found, ok := r.last[key]
	return found, ok
}

func (r *recent[T]) keep(key string, found T, most int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.last) >= most || r.last == nil {
		r.last = map[string]T{}
	}
	r.last[key] = found
}
