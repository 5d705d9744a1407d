package api_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"

	"urdir/internal/api"
	"urdir/internal/workshop"
)

// everything wraps a season: whatever it asks for is asked for as programs on bad
// lines do.
type everything struct {
	*shop
	n      int
	calls  map[string]bool // operations of the description that were tried so
	called func(method, path string) string
}

// ask asks for a thing twice, the second time only if it has changed; for a list
// also in parts; and for a change four times at once.
func (e *everything) ask(as workshop.Role, method, path string, body any, headers []string) answer {
	e.Helper()
	e.calls[e.called(method, path)] = true
	if method == http.MethodGet {
		a := e.shop.ask(as, method, path, body, headers...)
		same := e.shop.ask(as, method, path, body, append(headers, "If-None-Match", a.header.Get("ETag"))...)
		if a.status == http.StatusOK && (same.status != http.StatusNotModified || len(same.raw) > 0) && !reckoned(path) {
			e.Errorf("%s: read again and not changed: %d", path, same.status)
		}
		e.parts(as, path, a)
		return a
	}
	e.n++
	headers = append(slices.Clone(headers), "Idempotency-Key", fmt.Sprint("n ", e.n))
	answers := make([]answer, 4)
	var group sync.WaitGroup
	for i := range answers {
		group.Go(func() { answers[i] = e.shop.ask(as, method, path, body, headers...) })
	}
	group.Wait()
	first := 0
	for _, a := range answers {
		if a.header.Get("Idempotent-Replayed") == "" {
			first++
		}
		if a.status != answers[0].status || string(a.raw) != string(answers[0].raw) || a.header.Get("ETag") != answers[0].header.Get("ETag") {
			e.Errorf("%s %s four times at once: %d %s and %d %s", method, path, answers[0].status, answers[0].raw, a.status, a.raw)
		}
	}
	if first != 1 && answers[0].status/100 == 2 {
		e.Errorf("%s %s was done %d times", method, path, first)
	}
	return answers[0]
}

// reckoned says whether an answer is found anew each time, with the time it was
// found at.
func reckoned(path string) bool { return strings.HasPrefix(path, "/timetable") }

// parts reads a list one thing at a time: by next, and by the header Link, the same
// things in the same order.
func (e *everything) parts(as workshop.Role, path string, whole answer) {
	e.Helper()
	items, isList := whole.at("items").([]any)
	if !isList || strings.Contains(path, "limit=") || !e.paged(path) {
		return
	}
	more := "?"
	if strings.Contains(path, "?") {
		more = "&"
	}
	var got []string
	for at := path + more + "limit=1"; at != ""; {
		part := e.shop.ask(as, http.MethodGet, at, nil)
		one, _ := part.at("items").([]any)
		if len(one) > 1 || part.status != http.StatusOK || len(got) > len(items) {
			e.Fatalf("%s: %d %s", at, part.status, part.raw)
		}
		for _, v := range one {
			got = append(got, fmt.Sprint(v.(object)["id"]))
		}
		link := part.header.Get("Link")
		if (link == "") != (part.text("next") == "") {
			e.Errorf("%s: Link %q and next %q", at, link, part.text("next"))
		}
		at, _, _ = strings.Cut(strings.TrimPrefix(link, "</api/v1"), ">")
	}
	var want []string
	for _, v := range items {
		want = append(want, fmt.Sprint(v.(object)["id"]))
	}
	if !slices.Equal(got, want) {
		e.Errorf("%s in parts: %q, whole %q", path, got, want)
	}
}

// paged says whether a list comes in parts.
func (e *everything) paged(path string) bool {
	return slices.Contains(api.Paged(), e.called(http.MethodGet, path))
}

// On every operation: a change that is asked for four times at once is made once and
// answered the same; a thing that was read and has not changed is not sent again; a
// list comes in parts.
func TestEvery_again(t *testing.T) {
	s := newShop(t, file(t))
	c := readContract(s)
	e := &everything{shop: s, calls: map[string]bool{}, called: func(method, path string) string { return strings.ToLower(method) + " " + c.find(path) }}
	s.done = e.ask
	season(s)
	for _, op := range api.Served() {
		if !e.calls[op] {
			t.Errorf("%s was not tried", op)
		}
	}
}

// On every operation: strangers, tokens of other areas, roles without the right, and
// requests that are nothing are refused as RFC 9457 has it, and as the operation's
// description says.
func TestEvery_refusals(t *testing.T) {
	s := newShop(t, file(t))
	c := readContract(s)
	s.seen = c.seen // every status is described, and every body fits
	narrow := map[bool]workshop.Role{true: workshop.Role(s.token(s.head, "hooks:read")), false: workshop.Role(s.token(s.head, "figures:read"))}
	for _, op := range api.Served() {
		verb, pattern, _ := strings.Cut(op, " ")
		method := strings.ToUpper(verb)
		path := strings.NewReplacer("{id}", "nothing", "{line}", "nothing", "{month}", "2031-05", "{member}", "nothing").Replace(strings.TrimPrefix(pattern, "/api/v1"))
		described := c.doc["paths"].(object)[pattern].(object)[verb].(object)
		body, takes := described["requestBody"].(object)
		want := func(status int, name string, as workshop.Role, path string, body any, headers ...string) {
			t.Helper()
			a := s.refused(status, as, method, path, body, headers...)
			if a.header.Get("Content-Type") != "application/problem+json" || a.number("status") != float64(status) || a.text("type") != "/api/v1/problems/"+name || a.text("title") == "" {
				t.Errorf("%s %s: %v %s", method, path, a.header, a.raw)
			}
		}
		want(http.StatusUnauthorized, "token", "urdir_nobody", path, nil)
		want(http.StatusForbidden, "scope", narrow[strings.HasPrefix(path, "/figures")], path, nil)
		want(http.StatusUnprocessableEntity, "invalid", head, path+"?nonsense=1", nil)
		if method == http.MethodGet {
			if strings.Contains(pattern, "{id}") {
				want(http.StatusNotFound, "not-found", head, path, nil)
			}
			continue
		}
		if must := c.mustMatch(described); must {
			want(http.StatusPreconditionRequired, "unread", head, path, object{})
			want(http.StatusPreconditionFailed, "changed", head, path, object{}, "If-Match", "x")
		}
		if !takes {
			want(http.StatusBadRequest, "no-body", head, path, object{"a": 1}, "If-Match", `"1"`)
			continue
		}
		want(http.StatusUnsupportedMediaType, "media", head, path, object{}, "Content-Type", "text/plain", "If-Match", `"1"`)
		want(http.StatusBadRequest, "json", head, path, `{"a": `, "If-Match", `"1"`)
		want(http.StatusUnprocessableEntity, "invalid", head, path, object{"nonsense": 1}, "If-Match", `"1"`)
		want(http.StatusBadRequest, "key", head, path, body["content"].(object)["application/json"].(object)["example"], "Idempotency-Key", "ñ", "If-Match", `"1"`)
	}
}

// mustMatch says whether an operation must name the version it changes.
func (c *contract) mustMatch(operation object) bool {
	for _, p := range operation["parameters"].([]any) {
		if p := p.(object); p["name"] == "If-Match" && p["required"] == true {
			return true
		}
	}
	return false
}

// idsOf is a name of something of a workshop for each part of the address that
// operations name things in, found by its own lists.
func (s *shop) idsOf() map[string]string {
	s.Helper()
	out := map[string]string{"members": s.member}
	for _, room := range []string{"orders", "customers", "cloths", "figures", "yarn", "supplies", "dyeings", "warps", "pieces", "quotes", "papers", "prices", "hooks"} {
		if out[room] = s.good(head, "GET", "/"+room, nil).text("items.0.id"); out[room] == "" {
			s.Fatalf("nothing among the %s", room)
		}
	}
	out["payouts"] = s.good(head, "GET", "/pay/2031-05/"+s.member, nil).text("payouts.0.id")
	return out
}

// Whatever operation a program of one workshop tries on things of another by their
// names, they are not there; and no list of the one shows a name of the other.
func TestEvery_otherWorkshop(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		theirs := addShop(t, s.house, "zoila")
		theirs.url = s.url
		season(theirs)
		theirs.good(seller, "POST", "/prices", object{"name": "Chalina", "each": usd(4500)})
		ids, c, tried := theirs.idsOf(), readContract(s), 0
		for _, op := range api.Served() {
			verb, pattern, _ := strings.Cut(op, " ")
			method, path := strings.ToUpper(verb), strings.TrimPrefix(pattern, "/api/v1")
			room, _, _ := strings.Cut(path[1:], "/")
			if !strings.Contains(path, "{") {
				if method == http.MethodGet {
					shown := string(s.ask(head, method, path, nil).raw)
					for what, id := range ids {
						if strings.Contains(shown, id) {
							t.Errorf("%s shows one of the other workshop's %s", path, what)
						}
					}
				}
				continue
			}
			if room == "pay" && !strings.Contains(path, "{member}") {
				continue // a month is nobody's
			}
			path = strings.NewReplacer("{id}", ids[room], "{line}", "nothing", "{month}", "2031-05", "{member}", theirs.member).Replace(path)
			described := c.doc["paths"].(object)[pattern].(object)[verb].(object)
			var body any
			if b, ok := described["requestBody"].(object); ok {
				body = b["content"].(object)["application/json"].(object)["example"]
			}
			tried++
			if a := s.refused(http.StatusNotFound, head, method, path, body, "If-Match", `"1"`); strings.Contains(string(a.raw), "Taller") {
				t.Errorf("%s %s says %s", method, path, a.raw)
			}
		}
		if tried < 50 {
			t.Errorf("only %d operations name a thing", tried)
		}
	})
}
