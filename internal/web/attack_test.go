package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/internal/workshop"
)

// anew is what each page has of its own: the key by which a form that is sent twice is
// known.
var anew = regexp.MustCompile(`name="once" value="[A-Z2-7]+"`)

// An address that names a thing of one's own and in it a thing of another workshop is
// answered as with a name nobody ever gave, to the last byte.
func TestAttack_namesWithin(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	tried := 0
	for _, r := range s.server().routes() {
		for _, name := range []string{"{line}", "{work}", "{advance}", "{payout}"} {
			if r.call == "" || !strings.Contains(r.pattern, "{id}") || !strings.Contains(r.pattern, name) {
				continue
			}
			kind := map[string]string{"{line}": "line", "{work}": "work line", "{advance}": "advance", "{payout}": "payout"}[name]
			ask := func(id string) answer {
				method, path := address(strings.ReplaceAll(r.pattern, name, id), s.ours)
				return s.send(method, path, "head", s.wellFormed(path, s.ours))
			}
			got, none := ask(s.theirs[kind]), ask("nobody")
			tried++
			if s.theirs[kind] == "" || got.Code != none.Code || got.Code < 400 || got.Code >= 500 ||
				strings.ReplaceAll(anew.ReplaceAllString(got.body, ""), s.theirs[kind], "nobody") != anew.ReplaceAllString(none.body, "") {
				t.Errorf("%s with another's %s (%q): %d, with nobody's: %d; want the same", r.pattern, name, s.theirs[kind], got.Code, none.Code)
			}
		}
	}
	if tried < 8 {
		t.Errorf("%d addresses, want more", tried)
	}
	s.noFaults()
}

// A cookie that was made up, cut, changed or is over is a stranger's, whoever made it.
func TestAttack_cookies(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	key := s.keys["head"]
	stranger := s.get("/orders", "")
	forged := []string{"", "x", strings.ToLower(key), key[:len(key)-1], key + "A", key + "%00", key + " " + key, "1" + key[1:], "' OR '1'='1", "../" + key, "head", s.people["head"].Account,
		strings.Repeat("A", 26), strings.Repeat("A", 60_000), strings.ToUpper(s.ours["guest"]), s.ours["guest"], s.ours["card"], "null", "0", "%ff"}
	for _, value := range forged {
		r := httptest.NewRequest(http.MethodGet, "/orders", nil)
		r.Header.Set("Cookie", "urdir="+value)
		if got := s.request(r, ""); got.Code != stranger.Code || got.Header().Get("Location") != stranger.Header().Get("Location") || got.body != stranger.body {
			t.Errorf("cookie %.40q: got %d %s, want what a stranger gets", value, got.Code, got.Header().Get("Location"))
		}
	}
	for after, in := range map[time.Duration]bool{29 * 24 * time.Hour: true, 31 * 24 * time.Hour: false} {
		late := workshop.New(s.db, func() time.Time { return theDay.Add(after) })
		got := serveSite(t, late, s.db, s.season, Options{}).get("/me", "head")
		if (got.Code == http.StatusOK) != in {
			t.Errorf("a session after %v: got %d", after, got.Code)
		}
	}
	s.noFaults()
}

// A cookie that someone put into a browser before its owner signed in opens nothing
// afterwards: each sign-in makes a key of its own (session fixation).
func TestAttack_fixation(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	planted := strings.Repeat("B", 26)
	for what, before := range map[string]string{"made up": planted, "another's session": s.keys["elvira"]} {
		r := httptest.NewRequest(http.MethodPost, "/signin", strings.NewReader(pairs("login", "amaranta", "passphrase", phrase).Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Cookie", "urdir="+before)
		got := s.request(r, "")
		s.want(what, got, http.StatusSeeOther)
		if got.cookie() == "" || got.cookie() == before {
			t.Errorf("%s: after signing in the key is %q", what, got.cookie())
		}
		if p := must(s.house.Who(ctx, before)); p.Account == s.people["head"].Account {
			t.Errorf("%s: whoever planted it is signed in as %s", what, p.Name)
		}
	}
	s.noFaults()
}

// The same form sent by several at the same moment is done once: stock, money and
// states move by one.
func TestAttack_parallel(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	o := s.ours
	one := func(kind, what string, more ...string) url.Values {
		return pairs(append([]string{"revision", s.revision(kind, o[what])}, more...)...)
	}
	for _, c := range []struct {
		path string
		form url.Values
	}{
		{"/work/" + o["job given"] + "/laid", one("job", "job given")},
		{"/work/" + o["job laid"] + "/tell", one("job", "job laid", "cm", "3")},
		{"/work/" + o["job weaving"] + "/back", one("job", "job weaving", "woven", "1")},
		{"/pieces/" + o["piece ready"] + "/finish", one("piece", "piece ready", "mass", "5", "length", "100", "width", "20")},
		{"/pieces/" + o["piece finished"] + "/deliver", one("piece", "piece finished")},
		{"/orders/" + o["draft"] + "/cancel", one("order", "draft")},
		{"/customers/" + o["customer"] + "/edit", recordForm(s.page("/customers/"+o["customer"]+"/edit", "head")).fields()},
	} {
		const n = 6
		answers := make([]answer, n)
		var group sync.WaitGroup
		for i := range n {
			group.Go(func() { answers[i] = s.post(c.path, "head", c.form) })
		}
		group.Wait()
		done := 0
		for _, a := range answers {
			switch a.Code {
			case http.StatusSeeOther:
				done++
			case http.StatusConflict, http.StatusUnprocessableEntity:
			default:
				t.Errorf("%s: got %d, want it done or refused", c.path, a.Code)
			}
		}
		if done != 1 {
			t.Errorf("%s sent %d times at once: done %d times", c.path, n, done)
		}
	}
	if faults, err := s.house.CheckBooks(ctx, s.people["head"]); err != nil || len(faults) > 0 {
		t.Errorf("books: %v %v", faults, err)
	}
	s.noFaults()
}

// A link that opens something by itself is long and of chance: no two are alike, all
// letters of the alphabet come, and a wrong one is answered as any other (RFC 4648,
// base 32: five bits a letter).
func TestAttack_privateLinks(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	var keys []string
	for range 12 {
		guest, _, err := s.house.MakeLink(ctx, head, s.ours["order"], "", true)
		keys = append(keys, must(guest, err), must(s.house.MakeFeed(ctx, head, false)), must(s.house.MakeCard(ctx, head, s.ours["account"])))
	}
	seen, letters := map[string]bool{}, map[rune]int{}
	for _, key := range keys {
		if seen[key] || len(key) < 26 {
			t.Errorf("key %q: want 130 bits of its own", key)
		}
		seen[key] = true
		for _, r := range strings.ToLower(key) {
			letters[r]++
		}
	}
	if len(letters) != 32 { // of 936 letters one is missing once in 10^11
		t.Errorf("%d different letters, want 32: %v", len(letters), letters)
	}
	if card := s.ours["card"]; len(card)*5 < 75 {
		t.Errorf("a piece's card has key %q, want 75 bits", card)
	}
	for begins, right := range map[string]string{"/c/": keys[len(keys)-3], "/p/": s.ours["card"], "/invite/": "", "/card/": keys[len(keys)-1]} {
		never := strings.Repeat("a", 26)
		want := s.get(begins+never, "")
		wrong := []string{strings.Repeat("z", 26), strings.Repeat("a", 25), strings.Repeat("a", 400), s.ours["order"], s.ours["piece"], "%20", "1"}
		if right != "" {
			wrong = append(wrong, right[:len(right)-1], right+"a", right[:len(right)-1]+"1") // 1 is no letter of base 32
		}
		for _, key := range wrong {
			got := s.get(begins+key, "")
			plainKey, _ := url.PathUnescape(key)
			if got.Code != want.Code || len(plainKey) > 8 && pageWithout(pageWithout(got.body, plainKey), "KEY") != pageWithout(pageWithout(want.body, never), "KEY") {
				t.Errorf("%s%.40s: got %d, want what one that never was gets (%d)", begins, key, got.Code, want.Code)
			}
		}
	}
	s.noFaults()
}

// What a request says of where it comes from and what it is meant for changes nothing;
// no header of it comes back.
func TestAttack_headers(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, Options{Address: "https://telar.example"})
	const mark = "evil.example"
	for _, path := range []string{"/", "/orders", "/me/feeds", "/people/" + s.ours["account"], "/signin", "/orders/" + s.ours["order"] + "/link", "/nothing", "/settings/hooks"} {
		plain := s.get(path, "")
		for name, value := range map[string]string{"X-Forwarded-Host": mark, "X-Forwarded-For": "127.0.0.1", "X-Forwarded-Proto": "https", "Forwarded": "host=" + mark, "X-Original-Url": "/settings",
			"X-Rewrite-Url": "/settings", "X-Http-Method-Override": "POST", "X-Real-Ip": "127.0.0.1", "Referer": "https://" + mark + "/", "User-Agent": script, "Accept-Language": script, "X-Long": strings.Repeat("a", 500_000)} {
			if got := s.get(path, "", name, value); got.Code != plain.Code || got.Header().Get("Location") != plain.Header().Get("Location") || name != "Accept-Language" && got.body != plain.body {
				t.Errorf("%s as a stranger with %s: got %d %s, want %d as without", path, name, got.Code, got.Header().Get("Location"), plain.Code)
			} else if through(got) != "" {
				t.Errorf("%s: %s is part of the page", path, name)
			}
		}
		for _, who := range []string{"head", ""} {
			r := httptest.NewRequest(http.MethodGet, path, nil)
			r.Host = mark
			if got := s.request(r, who); got.Code >= 500 || strings.Contains(got.body+got.Header().Get("Location"), mark) {
				t.Errorf("%s for host %s: %d, and it comes back", path, mark, got.Code)
			}
		}
	}
	for _, path := range []string{"/people/" + s.ours["account"] + "/card", "/me/feeds"} {
		r := httptest.NewRequest(http.MethodPost, path, nil)
		r.Host = mark
		if got := s.request(r, "head"); got.Code != http.StatusOK || strings.Contains(got.body, mark) || !strings.Contains(got.body, "https://telar.example/") {
			t.Errorf("%s: a link made for another host: %d", path, got.Code)
		}
	}
	s.noFaults()
}
