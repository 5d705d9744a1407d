package api_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"net/http/httptest"

	"urdir/internal/api"
	"urdir/internal/workshop"
)

// The same change asked for many times at once, at two servers of one database, is
// made once, and all get the same answer.
func TestIdempotency_together(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		second, _ := opened(t, address)
		other := httptest.NewServer(api.New(second, api.Options{Rate: 1e6, Burst: 1e6}))
		t.Cleanup(other.Close)
		body := object{"name": "Posada Los Juncos"}
		const n = 16
		answers := make([]answer, n)
		var group sync.WaitGroup
		for i := range n {
			url := s.url
			if i%2 == 1 {
				url = other.URL
			}
			group.Go(func() { answers[i] = s.askAt(url, seller, "POST", "/customers", body, "Idempotency-Key", "uno") })
		}
		group.Wait()
		first := 0
		for _, a := range answers {
			if a.status != http.StatusCreated || string(a.raw) != string(answers[0].raw) || a.header.Get("ETag") != answers[0].header.Get("ETag") {
				t.Errorf("%d %s, want %s", a.status, a.raw, answers[0].raw)
			}
			if a.header.Get("Idempotent-Replayed") == "" {
				first++
			}
		}
		if got := s.good(seller, "GET", "/customers", nil).at("items").([]any); len(got) != 1 || first != 1 {
			t.Errorf("%d customers, %d first answers; want one of each", len(got), first)
		}

		a := s.refused(http.StatusUnprocessableEntity, seller, "POST", "/customers", object{"name": "Otra"}, "Idempotency-Key", "uno")
		if a.text("problems.0.code") != "key-again" {
			t.Errorf("another change: %s", a.raw)
		}
		s.refused(http.StatusUnprocessableEntity, seller, "POST", "/customers", object{"name": ""}, "Idempotency-Key", "dos")
		s.good(seller, "POST", "/customers", object{"name": "Fonda"}, "Idempotency-Key", "dos") // what was refused is not remembered
		s.good(head, "POST", "/customers", object{"name": "De la cabeza"}, "Idempotency-Key", "uno")
		s.refused(http.StatusBadRequest, seller, "POST", "/customers", body, "Idempotency-Key", strings.Repeat("k", 201))

		s.clock.pass(8 * 24 * time.Hour)
		if a = s.good(seller, "POST", "/customers", body, "Idempotency-Key", "uno"); a.header.Get("Idempotent-Replayed") != "" {
			t.Error("remembered for more than seven days")
		}
	})
}

// Nothing of another workshop is there: whatever its name, it is not found.
func TestOtherWorkshop_isNotFound(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		theirs := addShop(t, s.house, "zoila")
		theirs.url = s.url
		o := theirs.draft(1)
		theirs.good(seller, "POST", "/orders/"+o.text("id")+"/confirm", nil)
		v := theirs.good(seller, "GET", "/orders/"+o.text("id"), nil)
		q := theirs.good(seller, "POST", "/orders/"+o.text("id")+"/quotes", object{"price": usd(1000000)})
		lot := theirs.good(dyer, "POST", "/yarn", object{"label": "x", "colour": "#000000"})
		order, warp, piece := "/orders/"+o.text("id"), "/warps/"+v.text("warps.0.id"), "/pieces/"+v.text("pieces.0.id")
		for _, c := range []struct {
			method, path string
			body         any
		}{
			{"GET", order, nil}, {"POST", order + "/confirm", nil}, {"POST", order + "/cancel", nil}, {"POST", order + "/promise", object{"day": "2031-08-01", "probability": 0.8}},
			{"GET", order + "/promise", nil}, {"POST", order + "/quotes", object{}}, {"PUT", order + "/lines/" + v.text("lines.0.id") + "/lots", object{"lots": object{}}},
			{"GET", "/customers/" + o.text("customer"), nil}, {"GET", "/cloths/" + o.text("lines.0.cloth"), nil}, {"GET", "/cloths/" + o.text("lines.0.cloth") + "/file", nil},
			{"GET", warp, nil}, {"POST", warp + "/laid", nil}, {"POST", warp + "/give", object{"member": s.member}}, {"POST", warp + "/undo", nil},
			{"GET", piece, nil}, {"POST", piece + "/finish", object{"mass_g": 10}}, {"POST", piece + "/deliver", nil},
			{"GET", "/yarn/" + lot.text("id"), nil}, {"POST", "/yarn/" + lot.text("id") + "/receive", object{"mass_g": 5}}, {"POST", "/yarn/" + lot.text("id") + "/count", object{"mass_g": 5}},
			{"GET", "/members/" + theirs.member, nil}, {"GET", "/pay/2031-05/" + theirs.member, nil},
			{"GET", "/quotes/" + q.text("id"), nil}, {"POST", "/quotes/" + q.text("id") + "/accept", object{"by": "x"}}, {"POST", "/quotes/" + q.text("id") + "/invoice", nil},
			{"PUT", "/customers/" + o.text("customer"), object{"name": "x"}}, {"PUT", "/yarn/" + lot.text("id"), object{"label": "x", "colour": "#000000"}},
		} {
			s.refused(http.StatusNotFound, head, c.method, c.path, c.body, "If-Match", `"1"`)
		}
		for _, list := range []string{"/orders", "/customers", "/cloths", "/yarn", "/warps", "/pieces", "/quotes", "/history?kind=order&id=" + o.text("id")} {
			if got := s.good(head, "GET", list, nil).at("items").([]any); len(got) != 0 {
				t.Errorf("%s shows %v of another workshop", list, got)
			}
		}
		mine := s.draft(1)
		a := s.refused(http.StatusUnprocessableEntity, seller, "POST", "/orders", object{"customer": o.text("customer"), "lines": []any{object{"cloth": mine.text("lines.0.cloth"), "quantity": 1}}})
		if a.text("problems.0.where") != "customer" {
			t.Errorf("a customer of another workshop: %s", a.raw)
		}
	})
}

// A token does what its scopes say, as far as its owner may.
func TestScopes(t *testing.T) {
	s := newShop(t, file(t))
	reads := workshop.Role(s.token(s.head, "orders:read"))
	writes := workshop.Role(s.token(s.head, "customers:write"))
	s.good(reads, "GET", "/orders", nil)
	s.good(writes, "GET", "/customers", nil)
	s.good(writes, "POST", "/customers", object{"name": "Posada"})
	a := s.refused(http.StatusForbidden, reads, "POST", "/orders", object{"customer": "x", "lines": []any{}})
	if a.text("type") != "/api/v1/problems/scope" || !strings.Contains(a.text("title"), "orders:write") {
		t.Errorf("beyond the scope: %s", a.raw)
	}
	s.refused(http.StatusForbidden, writes, "GET", "/orders", nil)
	if a = s.refused(http.StatusForbidden, weaver, "GET", "/orders", nil); a.text("type") != "/api/v1/problems/scope" {
		t.Errorf("beyond the role: %s", a.raw)
	}
	for _, key := range []string{"", "nonsense", "urdir_nonsense"} {
		a = s.refused(http.StatusUnauthorized, workshop.Role(key), "GET", "/orders", nil)
		if a.header.Get("WWW-Authenticate") == "" {
			t.Errorf("%q: no challenge", key)
		}
	}
	s.clock.pass(91 * 24 * time.Hour)
	s.refused(http.StatusUnauthorized, head, "GET", "/orders", nil)
}

// What is private of a member is for whoever keeps the members; a member sees her own
// warps and pay alone.
func TestPrivate(t *testing.T) {
	s := newShop(t, file(t))
	at := "/members/" + s.member
	if got := s.good(head, "GET", at, nil); got.text("reach") != "por la mañana" {
		t.Errorf("the head sees %s", got.raw)
	}
	for _, r := range []workshop.Role{dyer, seller, keeper} {
		for _, path := range []string{at, "/members"} {
			if got := s.good(r, "GET", path, nil); strings.Contains(string(got.raw), "mañana") {
				t.Errorf("the %s sees %s", r, got.raw)
			}
		}
	}
	s.good(head, "POST", "/members", object{"name": "Casilda"})
	other := s.good(head, "GET", "/members?find=casilda", nil).text("items.0.id")
	s.refused(http.StatusNotFound, weaver, "GET", "/pay/2031-05/"+other, nil)
	s.refused(http.StatusForbidden, weaver, "GET", "/members", nil)
}

// Whoever changes a whole thing must have read it as it is; what has not changed is
// not sent again.
func TestVersions(t *testing.T) {
	s := newShop(t, file(t))
	c := s.good(seller, "POST", "/customers", object{"name": "Posada"})
	at, tag := "/customers/"+c.text("id"), c.header.Get("ETag")
	s.refused(http.StatusPreconditionRequired, seller, "PUT", at, object{"name": "Fonda"})
	s.good(seller, "PUT", at, object{"name": "Fonda"}, "If-Match", tag)
	for _, old := range []string{tag, `"9"`, `"x"`, "*", `W/"1"`} {
		s.refused(http.StatusPreconditionFailed, seller, "PUT", at, object{"name": "Otra"}, "If-Match", old)
	}
	now := s.good(seller, "GET", at, nil)
	if now.text("name") != "Fonda" || now.number("revision") != 2 {
		t.Errorf("now %s", now.raw)
	}
	same := s.ask(seller, "GET", at, nil, "If-None-Match", `"other", `+now.header.Get("ETag"))
	if same.status != http.StatusNotModified || len(same.raw) != 0 {
		t.Errorf("unchanged: %d %s", same.status, same.raw)
	}
	if got := s.good(seller, "GET", at, nil, "If-None-Match", tag); len(got.raw) == 0 {
		t.Error("changed, and still not sent")
	}
	o := s.draft(1)
	s.refused(http.StatusPreconditionFailed, seller, "POST", "/orders/"+o.text("id")+"/confirm", nil, "If-Match", `"7"`)
	s.good(seller, "POST", "/orders/"+o.text("id")+"/confirm", nil, "If-Match", o.header.Get("ETag"))
	s.refused(http.StatusPreconditionFailed, seller, "POST", "/orders/"+o.text("id")+"/cancel", nil, "If-Match", o.header.Get("ETag"))
}

// A list comes in parts, each thing once, and Link leads from one to the next.
func TestPages(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		var want, got []string
		for i := range 7 {
			want = append(want, fmt.Sprintf("Cliente %d", i))
			s.good(seller, "POST", "/customers", object{"name": want[i]})
		}
		path := "/customers?limit=3&find=cliente"
		for parts := 0; path != ""; parts++ {
			a := s.good(seller, "GET", path, nil)
			for _, c := range a.at("items").([]any) {
				got = append(got, c.(object)["name"].(string))
			}
			link := a.header.Get("Link")
			if (link == "") != (a.text("next") == "") || parts > 3 {
				t.Fatalf("part %d: Link %q, next %q", parts, link, a.text("next"))
			}
			path, _, _ = strings.Cut(strings.TrimPrefix(link, "</api/v1"), ">")
		}
		if !slices.Equal(got, want) {
			t.Errorf("got %q", got)
		}
		for _, bad := range []string{"limit=0", "limit=x", "cursor=%25", "limits=3", "state=x"} {
			s.refused(http.StatusUnprocessableEntity, seller, "GET", "/orders?"+bad, nil)
		}
	})
}

// What is wrong is said all at once, by field, in the reader's language, as RFC 9457
// has it.
func TestProblems(t *testing.T) {
	s := newShop(t, file(t))
	body := object{"customer": 5, "due": "soon", "colour": "red", "lines": []any{object{"cloth": "x", "quantity": "two", "lots": object{}}}}
	for l, want := range map[string]string{"es-MX, en;q=0.5": "No es del tipo", "en": "It is not of the type"} {
		a := s.refused(http.StatusUnprocessableEntity, seller, "POST", "/orders", body, "Accept-Language", l)
		if a.header.Get("Content-Type") != "application/problem+json" || a.number("status") != 422 {
			t.Errorf("%v %s", a.header, a.raw)
		}
		var got []string
		for _, p := range a.at("problems").([]any) {
			p := p.(object)
			got = append(got, fmt.Sprint(p["where"], " ", p["code"]))
			if p["what"] == "" || p["mend"] == "" || p["code"] == "api-type" && !strings.HasPrefix(p["what"].(string), want) {
				t.Errorf("in words: %v", p)
			}
		}
		if w := []string{"customer api-type", "lines[0].quantity api-type", "lines[0].lots api-unknown", "colour api-unknown"}; !slices.Equal(got, w) {
			t.Errorf("problems %q, want %q", got, w)
		}
	}
	a := s.refused(http.StatusUnprocessableEntity, seller, "POST", "/orders", object{"customer": "x", "due": "soon", "lines": []any{object{"cloth": "x", "quantity": 0}}})
	if got := a.text("problems.0.where") + a.text("problems.1.where"); got != "duelines[0].quantity" {
		t.Errorf("the workshop's own problems are about %q: %s", got, a.raw)
	}
	lot := s.good(dyer, "POST", "/yarn", object{"label": "x", "colour": "#000000"}).text("id")
	if a = s.refused(http.StatusUnprocessableEntity, dyer, "POST", "/yarn/"+lot+"/waste", object{"mass_g": 5}); a.text("problems.0.where") != "mass_g" {
		t.Errorf("by the API's own name of the field: %s", a.raw)
	}
	if a = s.refused(http.StatusUnprocessableEntity, dyer, "POST", "/yarn", object{"colour": "#000000"}); a.text("problems.0.code") != "api-missing" {
		t.Errorf("a field that is missing: %s", a.raw)
	}
	s.refused(http.StatusUnprocessableEntity, dyer, "POST", "/yarn", object{"label": nil, "colour": "#000000"})
	s.refused(http.StatusBadRequest, seller, "POST", "/customers", `{"name": `)
	s.refused(http.StatusBadRequest, seller, "POST", "/customers", `{"name": "a"} {}`)
	s.refused(http.StatusBadRequest, seller, "POST", "/orders/x/confirm", object{"a": 1})
	s.refused(http.StatusUnsupportedMediaType, seller, "POST", "/customers", object{"name": "a"}, "Content-Type", "text/plain")
	s.refused(http.StatusRequestEntityTooLarge, seller, "POST", "/customers", `{"name": "`+strings.Repeat("a", 1<<20)+`"}`)
	s.refused(http.StatusNotFound, seller, "GET", "/nothing", nil)
	if a = s.refused(http.StatusMethodNotAllowed, seller, "DELETE", "/orders", nil); a.header.Get("Allow") != "GET, HEAD, POST" {
		t.Errorf("Allow: %q", a.header.Get("Allow"))
	}
}

// A token that asks too often is told how long to wait; others are not kept waiting.
func TestLimits(t *testing.T) {
	s := newShop(t, file(t))
	s.serve(s.house, api.Options{Rate: 0.5, Burst: 3})
	for range 3 {
		s.good(seller, "GET", "/workshop", nil)
	}
	a := s.refused(http.StatusTooManyRequests, seller, "GET", "/workshop", nil)
	if a.header.Get("Retry-After") != "2" {
		t.Errorf("Retry-After: %q", a.header.Get("Retry-After"))
	}
	s.good(dyer, "GET", "/workshop", nil)
}
