package web

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/emersion/go-ical"

	"urdir/internal/workshop"
)

// link makes a calendar's link as someone and reads it off the page.
func (s *site) link(who, whole string) string {
	s.Helper()
	got := s.post("/me/feeds", who, pairs("whole", whole))
	s.want("link of "+who, got, http.StatusOK)
	for _, f := range faultsOf(got.body, "es") {
		s.Errorf("%s: %s", who, f)
	}
	at := s.read("feeds", got).byID("f-link").attr["value"]
	if !regexp.MustCompile(`^http://example\.com/feed/[a-z2-7]{26}\.ics$`).MatchString(at) {
		s.Fatalf("the link of %s is %q", who, at)
	}
	return strings.TrimPrefix(at, "http://example.com")
}

// The file behind a link is read by another general-purpose library than the one
// that writes it: her turns, and for the workshop everybody's with what is due.
func TestFeed_served(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	tt := must(s.house.Timetable(ctx, head, 50))
	must(s.house.AcceptTimetable(ctx, head, tt.Mark, 50, ""))
	turns := must(s.house.Turns(ctx, s.people["member"]))
	own, whole := s.link("member", ""), s.link("head", "yes")
	count := map[string]int{}
	for _, at := range []string{own, whole} {
		got := s.get(at, "")
		s.want(at, got, http.StatusOK)
		h := got.Header()
		if h.Get("Content-Type") != "text/calendar; charset=utf-8" || h.Get("ETag") == "" || h.Get("Cache-Control") != "private, max-age=300" {
			t.Errorf("%s: %v", at, h)
		}
		c, err := ical.NewDecoder(got.Body).Decode()
		if err != nil {
			t.Fatal(err)
		}
		count[at] = len(c.Events())
		if again := s.get(at, "", "If-None-Match", h.Get("ETag")); again.Code != http.StatusNotModified || again.body != "" {
			t.Errorf("%s again: got %d and %d bytes, want 304 and none", at, again.Code, len(again.body))
		}
	}
	hands := 0
	for _, turn := range turns {
		hands += max(1, len(turn.Hands))
	}
	if hands == 0 || count[own] != hands || count[whole] <= hands {
		t.Errorf("%d events of her own, want %d; %d of the workshop", count[own], hands, count[whole])
	}
	if !strings.Contains(s.page("/me/feeds", "member").text, "Hay un enlace") {
		t.Error("her page does not say that there is a link")
	}
	s.want("end it", s.post("/me/feeds/drop", "member", nil), http.StatusSeeOther)
	s.want("an ended link", s.get(own, ""), http.StatusNotFound)
	s.want("a member asks for the whole", s.post("/me/feeds", "member", pairs("whole", "yes")), http.StatusForbidden)
	s.want("the link signs nobody in", s.get("/me/feeds", ""), http.StatusSeeOther)
	s.noFaults()
}

// Guessing is slowed down; whoever has a link is not, from another address.
func TestFeed_guessed(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	own := s.link("head", "")
	for n := range workshop.TriesAtOnce {
		s.want("guess", s.get("/feed/"+strings.Repeat("a", 20+n)+".ics", ""), http.StatusNotFound)
	}
	slow := s.get("/feed/no-such-key.ics", "")
	s.want("one guess more", slow, http.StatusTooManyRequests)
	if slow.Header().Get("Retry-After") == "" {
		t.Error("it does not say when to try again")
	}
	elsewhere := newGet(own)
	elsewhere.RemoteAddr = "198.51.100.7:1234"
	s.want("elsewhere", s.request(elsewhere, ""), http.StatusOK)
	if p := cleanPath(own); p != "/feed/..." {
		t.Errorf("the log would say %s", p)
	}
	if p := must(s.house.Who(ctx, strings.TrimSuffix(strings.TrimPrefix(own, "/feed/"), ".ics"))); p != (workshop.Person{}) {
		t.Errorf("the key signs in as %+v", p)
	}
	s.noFaults()
}

func newGet(path string) *http.Request { return must(http.NewRequest(http.MethodGet, path, nil)) }

// A member without a telephone of her own is given her link by the head, who does
// not go in by her name.
func TestFeed_given(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := "/people/" + s.ours["account"]
	got := s.post(at+"/feed", "head", nil)
	s.want("her link", got, http.StatusOK)
	for _, f := range faultsOf(got.body, "es") {
		t.Error(f)
	}
	link := regexp.MustCompile(`/feed/[a-z2-7]{26}\.ics`).FindString(s.read("her link", got).text)
	s.want("her calendar", s.get(link, ""), http.StatusOK)
	s.want("end it", s.post(at+"/nofeed", "head", nil), http.StatusSeeOther)
	s.want("her calendar, ended", s.get(link, ""), http.StatusNotFound)
}
