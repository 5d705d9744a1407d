package web

import (
	"image/jpeg"
	"net/http"
	"testing"
)

// The cloth on a member's page is a small photograph's kind of file that no cache of
// the browser keeps: the worker does, until somebody signs out.
func TestHand_picture(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get("/work/"+s.ours["job"]+"/small.jpg", "head")
	s.want("the picture", got, http.StatusOK)
	sent := got.Result().Header // as it went out, and not as it was changed after
	if sent.Get("Cache-Control") != "no-store" || sent.Get("Content-Type") != "image/jpeg" || got.Body.Len() > handBytes {
		t.Errorf("%d bytes, %v", got.Body.Len(), sent)
	}
	if _, err := jpeg.Decode(got.Body); err != nil {
		t.Error(err)
	}
	s.want("another's", s.get("/work/"+s.ours["job"]+"/small.jpg", ""), http.StatusSeeOther)
}
