package workshop

import "testing"

// Each person has one photograph laid ready; another takes its place, and no one
// else sees it.
func TestLayPhoto(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		first := must(s.h.LayPhoto(ctx, s.dyer, Picture{"image/png", []byte("one")}))
		if got := must(s.h.LaidPhoto(ctx, s.dyer, first)); string(got.Body) != "one" || got.Kind != "image/png" {
			t.Errorf("laid %q, %q", got.Kind, got.Body)
		}
		_, err := s.h.LaidPhoto(ctx, s.head, first)
		wantProblem(t, "another's", err, "photo", "photo-gone")
		second := must(s.h.LayPhoto(ctx, s.dyer, Picture{"image/jpeg", []byte("two")}))
		_, err = s.h.LaidPhoto(ctx, s.dyer, first)
		wantProblem(t, "the one before", err, "photo", "photo-gone")
		if got := must(s.h.LaidPhoto(ctx, s.dyer, second)); string(got.Body) != "two" {
			t.Errorf("then laid %q", got.Body)
		}
		_, err = s.h.LayPhoto(ctx, s.dyer, Picture{"text/html", []byte("x")})
		wantProblem(t, "no picture", err, "photo", "file-too-big")
	})
}
