package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
	"time"

	"urdir/internal/workshop"
)

// pageWithout is a page without the key in its own address, so that two can be
// compared.
func pageWithout(page, key string) string { return strings.ReplaceAll(page, key, "KEY") }

// A key that was never made, one that is over, one that was revoked and one that
// opens something else are answered alike: there is no such page.
func TestGuest_keysThatOpenNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head, order := s.people["head"], s.ours["order"]
	none := s.get("/c/aaaaaaaaaaaaaaaaaaaaaaaaaa", "")
	s.want("no key", none, http.StatusNotFound)
	alike := func(what, key string) {
		t.Helper()
		for _, end := range []string{"", "/quote.pdf", "/" + s.ours["line"] + "/cloth.png"} {
			got := s.get("/c/"+key+end, "")
			s.want(what+end, got, http.StatusNotFound)
			if end == "" && pageWithout(got.body, key) != pageWithout(none.body, "aaaaaaaaaaaaaaaaaaaaaaaaaa") {
				t.Errorf("%s is answered otherwise than a key that never was", what)
			}
			if got.Header().Get("Referrer-Policy") != "no-referrer" || !strings.Contains(got.Header().Get("X-Robots-Tag"), "noindex") {
				t.Errorf("%s: got headers %v", what, got.Header())
			}
		}
		s.want("accept with "+what, s.post("/c/"+key+"/accept", "", pairs("by", "Nadie", "quote", s.ours["quote open"])), http.StatusNotFound)
	}
	first := s.ours["guest"]
	s.want("the link", s.get("/c/"+first, ""), http.StatusOK)
	alike("a key in capitals", strings.ToUpper(first))
	alike("a key cut short", first[:len(first)-1])
	alike("the key of a card", s.ours["card"])
	alike("a session", s.keys["head"])
	second, _, err := s.house.MakeLink(ctx, head, order, "", true)
	if err != nil {
		t.Fatal(err)
	}
	alike("a link that another took the place of", first)
	if err = s.house.DropLink(ctx, head, order); err != nil {
		t.Fatal(err)
	}
	alike("a revoked link", second)
	third, _, err := s.house.MakeLink(ctx, head, order, theDay.Format(time.DateOnly), true)
	if err != nil {
		t.Fatal(err)
	}
	s.want("a link on its last day", s.get("/c/"+third, ""), http.StatusOK)
	later := workshop.New(s.db, func() time.Time { return theDay.AddDate(0, 0, 1) })
	if _, err := later.GuestBy(ctx, third); workshop.CodeOf(err) != workshop.NotFound {
		t.Errorf("the day after: got %v, want not found", err)
	}
	if err := s.house.CloseWorkshop(ctx, head.Workshop); err != nil {
		t.Fatal(err)
	}
	alike("a link of a workshop that is closed", third)
	s.want("a card of a workshop that is closed", s.get("/p/"+s.ours["card"], ""), http.StatusNotFound)
	s.noFaults()
}

// The key itself is nowhere in the database; 128 bits of it are chance (the letters
// and digits of RFC 4648, base 32).
func TestGuest_keyIsNotKept(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	key := s.ours["guest"]
	if len(key) < 26 || strings.Trim(key, "abcdefghijklmnopqrstuvwxyz234567") != "" {
		t.Errorf("key %q: want 26 letters and digits of base 32 or more", key)
	}
	if bytes.Contains(s.file, []byte(key)) {
		t.Error("the key stands in the database")
	}
	l, err := s.house.OrderLinks(ctx, s.people["head"], s.ours["order"])
	if err != nil || len(l.Items) == 0 || !bytes.Contains(s.file, []byte(l.Items[0].ID)) {
		t.Errorf("the link's own record is not where the key was looked for: %v", err)
	}
}

// A customer's page says what is hers and nothing of others, of members, or of what
// the order costs the workshop; nor may anyone find it or learn of it.
func TestGuest_tellsNothingElse(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	o := must(s.house.Order(ctx, head, s.ours["order"]))
	for _, who := range []string{"", "head", "seller"} {
		got := s.get("/c/"+s.ours["guest"], who)
		s.want("the page", got, http.StatusOK)
		if !strings.Contains(got.body, o.Customer.Value.Name) || !strings.Contains(got.body, o.Lines[0].Cloth.Value.Name) {
			t.Error("the page does not say whose it is or what was ordered")
		}
		for _, m := range must(s.house.Members(ctx, head, workshop.Page{})).Items {
			if strings.Contains(got.body, m.Value.Name) {
				t.Errorf("it names %s", m.Value.Name)
			}
		}
		for _, c := range must(s.house.Customers(ctx, head, workshop.Page{})).Items {
			if c.ID != o.Customer.ID && strings.Contains(got.body, c.Value.Name) {
				t.Errorf("it names %s", c.Value.Name)
			}
		}
		for _, word := range []string{`href="/orders`, `href="/quotes`, "revision", o.ID} {
			if strings.Contains(got.body, word) {
				t.Errorf("as %q: %s is on the page", who, word)
			}
		}
		h := got.Header()
		if h.Get("Referrer-Policy") != "no-referrer" || !strings.Contains(h.Get("X-Robots-Tag"), "noindex") || h.Get("Cache-Control") != "no-store" || !strings.Contains(got.body, `name="robots" content="noindex`) {
			t.Errorf("headers %v", h)
		}
	}
	key, _, err := s.house.MakeLink(ctx, head, s.ours["order"], "", false)
	if err != nil {
		t.Fatal(err)
	}
	if got := s.get("/c/"+key, ""); strings.Contains(got.body, "USD") {
		t.Error("a link without the price shows one")
	}
	s.want("its quote", s.get("/c/"+key+"/quote.pdf", ""), http.StatusNotFound)
	s.noFaults()
}

// The customer accepts with her name: it is written down with the day and the link.
// Nothing is accepted twice, without a name, past its day, or for another quote.
func TestGuest_accepts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	q := must(s.house.Quote(ctx, head, s.ours["quote open"]))
	key, link, err := s.house.MakeLink(ctx, head, q.Value.Order, "", true)
	if err != nil {
		t.Fatal(err)
	}
	accept := "/c/" + key + "/accept"
	if got := s.post(accept, "", pairs("by", " ", "quote", q.ID)); got.Code != http.StatusUnprocessableEntity || s.beside("no name", s.read("guest", got), "by") == "" {
		t.Errorf("without a name: got %d", got.Code)
	}
	s.want("another quote", s.post(accept, "", pairs("by", "Ofelia", "quote", s.ours["quote"])), http.StatusUnprocessableEntity)
	late := workshop.New(s.db, func() time.Time { return theDay.AddDate(0, 0, 60) })
	if err := late.AcceptByLink(ctx, key, q.ID, "Ofelia"); workshop.CodeOf(err) != workshop.Invalid {
		t.Errorf("past its day: got %v, want it refused", err)
	}
	s.want("accept", s.post(accept, "", pairs("by", "Ofelia Marchant", "quote", q.ID)), http.StatusSeeOther)
	a := must(s.house.Quote(ctx, head, q.ID)).Value.Accepted
	want := workshop.Acceptance{By: "Ofelia Marchant", On: theDay.Format(time.DateOnly), Link: link.ID}
	if a == nil || *a != want {
		t.Errorf("accepted: got %+v, want %+v", a, want)
	}
	s.want("twice", s.post(accept, "", pairs("by", "Otra", "quote", q.ID)), http.StatusUnprocessableEntity)
	if page := s.get("/c/"+key, "").body; !strings.Contains(page, "Ofelia Marchant") || strings.Contains(page, accept) {
		t.Error("the page does not say that it is accepted")
	}
	if today := s.get("/", "seller").body; !strings.Contains(today, q.Value.Number) {
		t.Error("the first page does not say that a quote was accepted")
	}
	s.want("sign in to see it", s.get("/quotes/"+q.ID, ""), http.StatusSeeOther)
	s.noFaults()
}
