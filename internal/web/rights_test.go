package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// rooms says which of the named things a route's {id} is.
func room(path string) string {
	for _, r := range []struct{ begins, what string }{
		{"/orders/", "order"}, {"/customers/", "customer"}, {"/cloths/", "cloth"}, {"/figures/", "figure"}, {"/yarn/", "lot"},
		{"/members/", "member"}, {"/work/", "job"}, {"/pieces/", "piece"}, {"/people/", "account"}, {"/restore/", "customer"},
		{"/pay/", "earner"},
		{"/dye/", "dyeing"}, {"/pictures/", "picture"}, {"/samples/", "sample"}, {"/supplies/", "supply"}, {"/settings/hooks/", "hook"},
		{"/partners/yarn/", "offer"}, {"/partners/", "partner"},
		{"/quotes/", "quote"}, {"/papers/", "paper"}, {"/cards/", "piece"}, {"/prices/", "ware"},
	} {
		if strings.HasPrefix(path, r.begins) {
			return r.what
		}
	}
	return ""
}

// address fills a route's pattern with names of things.
func address(pattern string, ids map[string]string) (method, path string) {
	method, path, _ = strings.Cut(pattern, " ")
	n := "0" // the first frame
	if room(path) == "cloth" || strings.HasPrefix(path, "/books/") {
		n = "1" // the first version, or entry
	}
	key := "no-such-key"
	if strings.HasPrefix(path, "/recipes/") {
		key = ownRecipe
	}
	if strings.HasPrefix(path, "/c/") {
		key = ids["guest"]
	}
	if strings.HasPrefix(path, "/p/") {
		key = ids["card"]
	}
	return method, strings.NewReplacer("{$}", "", "{kind}", "customer", "{id}", ids[room(path)], "{line}", ids["line"],
		"{page}", "1.png", "{n}", n, "{key}", key, "{work}", ids["work line"], "{advance}", ids["advance"], "{payout}", ids["payout"]).Replace(path)
}

// wellFormed is a form as the page of a route sends it.
func (s *site) wellFormed(path string, ids map[string]string) url.Values {
	form := pairs("revision", "1", "name", "Nueva", "label", "Nueva", "colour", "#336699", "fibre", "cotton", "count", "Ne 8/2", "sale", "yes",
		"language", "es", "paper", "a4", "currency", "USD", "lang", "es", "role", "seller", "login", "nueva", "passphrase", "una frase larga",
		"old", phrase, "text", "cell: {ends: 6, picks: 2}\nfloat: 30 mm\ncolours: {x: figure}\nchart: |\n  .x.\n  xxx\n",
		"customer", ids["customer"], "lines[0].cloth", ids["cloth"], "lines[0].quantity", "1", "due", "2027-06-01", "hours", "10",
		"grams", "5", "spoiled", "1", "what", "alum", "member", ids["member"], "cm", "3", "woven", "0", "paid", "3", "pay", "3", "mass", "20", "length", "100", "width", "20")
	for _, kind := range []string{"order", "job", "piece", "dyeing"} {
		if room(path) == kind && ids[kind] == s.ours[kind] {
			form.Set("revision", s.revision(kind, ids[kind]))
		}
	}
	if room(path) == "supply" && strings.HasSuffix(path, "/undo") {
		form.Set("purchase", must(s.house.Supply(ctx, s.people["head"], s.ours["supply"])).Purchases[0].ID)
	}
	if room(path+"/") == "cloth" {
		c, _, err := s.house.Cloth(ctx, s.people["head"], s.ours["cloth"], 0)
		form.Set("text", must(c, err).Value.Text)
		form.Set("version", "1")
		form.Set("desk", "a page")
		form.Set("step", "1")
	}
	if strings.HasPrefix(path, "/settings") {
		form.Set("revision", s.revision("settings", ""))
	}
	return form
}

// Who may do what is decided in package workshop; here every address of the
// table is held to it, for every role and for a stranger, who is sent to sign in.
func TestRoutes_everyRole(t *testing.T) {
	t.Parallel()
	for _, who := range []string{"", "head", "dyer", "seller", "bookkeeper", "member", "idle"} {
		t.Run("as "+who, func(t *testing.T) {
			t.Parallel()
			for _, body := range []string{"empty", "well-formed"} {
				s := newSite(t)
				for _, r := range s.server().routes() {
					if r.call != "" {
						s.tryRoute(r, who, body)
					}
				}
				s.noFaults()
			}
		})
	}
}

// server is the table's owner, which the handler hides.
func (s *site) server() *server { return &server{house: s.house} }

func (s *site) tryRoute(r route, who, body string) {
	s.Helper()
	method, path := address(r.pattern, s.ours)
	if who == "member" && room(path) == "job" {
		path = strings.Replace(path, s.ours["job"], s.ours["hers"], 1)
	}
	form := url.Values{}
	if body == "well-formed" {
		form = s.wellFormed(path, s.ours)
	}
	may := s.people[who].May(r.call)
	if strings.HasSuffix(path, "/undo") && room(path) == "job" {
		may = may && s.people[who].May(s.lastTold(strings.Split(path, "/")[2])) // what UndoJob asks besides
	}
	got := s.send(method, path, who, form)
	what := fmt.Sprintf("%s %s (%s form)", method, path, body)
	if path == "/me" && got.cookie() != "" {
		s.renewed[who] = got.cookie() // her passphrase was changed, and what was open has ended
	}
	if strings.HasPrefix(path, "/restore/customer/") {
		may = may && s.people[who].May("SaveCustomer") // what Restore asks besides
	}
	switch at := got.Header().Get("Location"); {
	case who == "":
		if got.Code != http.StatusSeeOther || !strings.HasPrefix(at, "/signin") {
			s.Errorf("%s: got %d to %q, want to be sent to sign in", what, got.Code, at)
		}
	case !may:
		s.want(what, got, http.StatusForbidden)
	case who == "idle" && room(path) == "job" && strings.Contains(r.pattern, "{id}"):
		s.want(what, got, http.StatusNotFound) // a warp that is not hers
	case who == "idle" && room(path) == "earner" && strings.Contains(r.pattern, "{id}"):
		s.want(what, got, http.StatusNotFound) // pay that is not hers
	case got.Code == http.StatusSeeOther && strings.HasPrefix(at, "/signin"):
		s.Errorf("%s: sent to sign in, though she is", what)
	case got.Code >= 500 || got.Code == http.StatusForbidden || got.Code == http.StatusNotFound:
		s.Errorf("%s: got %d, want it to be done or refused for what was typed", what, got.Code)
	}
}

// lastTold is the call that told the last thing of a warp.
func (s *site) lastTold(job string) string {
	facts := must(s.house.Job(ctx, s.people["head"], job)).Value.Facts
	if len(facts) == 0 {
		return "UndoJob"
	}
	return map[workshop.FactKind]string{workshop.GivenFact: "GiveOut", workshop.LaidFact: "Laid", workshop.ToldFact: "Tell",
		workshop.BackFact: "TakeBack", workshop.PaidFact: "Paid"}[facts[len(facts)-1].Kind]
}

func (s *site) send(method, path, who string, form url.Values) answer {
	if method == http.MethodGet {
		return s.get(path, who)
	}
	return s.post(path, who, form)
}

// A warp that another member has is not there for a member, whatever she asks
// of it; nor does she see in her lists.
func TestRoutes_anothersWarp(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	ids := map[string]string{"job": s.ours["another's"]}
	if ids["job"] == "" || ids["job"] == s.ours["hers"] {
		t.Fatal("the demo has no warp of another's")
	}
	for _, who := range []string{"member", "idle"} {
		for _, r := range s.server().routes() {
			if method, path := address(r.pattern, ids); room(path) == "job" && s.people[who].May(r.call) {
				s.want(who+": "+r.pattern, s.send(method, path, who, pairs("revision", "1", "cm", "3")), http.StatusNotFound)
			}
		}
		for _, path := range []string{"/work", "/", "/work?state=weaving", "/work?q=" + url.QueryEscape("a"), "/work?state=" + url.QueryEscape("weaving:"+s.people["zoila"].Member)} {
			if page := s.get(path, who); strings.Contains(page.body, ids["job"]) {
				t.Errorf("%s: %s shows another's warp", who, path)
			}
		}
	}
	if page := s.get("/work", "member"); !strings.Contains(page.body, s.ours["hers"]) {
		t.Error("a member's list has not her own warp")
	}
	s.noFaults()
}

// What a member may not do she may not undo either: giving out is the
// workshop's.
func TestUndo_onlyWhatOneMayDo(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	var id string
	mine, _, err := s.house.Jobs(ctx, s.people["zoila"], workshop.Page{})
	for _, j := range must(mine, err).Items {
		if j.Value.State() == workshop.Given {
			id = j.ID
		}
	}
	who := "zoila"
	if id == "" {
		id, who = s.ours["job back"], "bookkeeper"
	}
	got := s.post("/work/"+id+"/undo", who, pairs("revision", s.revision("job", id)))
	s.want("undo of what she may not do", got, http.StatusForbidden)
	s.noFaults()
}

// Nothing of another workshop on the same server is there, read or written; it
// answers as a name nobody has ever given.
func TestRoutes_anotherWorkshop(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	nobody := map[string]string{"line": "nobody"}
	for what := range s.theirs {
		nobody[what] = "nobody"
	}
	before := s.get("/history", "foreign").body
	for _, r := range s.server().routes() {
		if r.call == "" || !strings.Contains(r.pattern, "{id}") {
			continue
		}
		method, path := address(r.pattern, s.theirs)
		got := s.send(method, path, "head", s.wellFormed(path, s.theirs))
		_, none := address(r.pattern, nobody)
		want := s.send(method, none, "head", s.wellFormed(path, s.theirs))
		s.want(r.pattern+" of another workshop", got, want.Code)
		if strings.HasPrefix(r.pattern, "POST /restore/") {
			continue // there is nothing to undo, whatever the name
		}
		s.want(r.pattern+" of another workshop", got, http.StatusNotFound)
	}
	if s.get("/history", "foreign").body != before {
		t.Error("something was done in the other workshop")
	}
	s.noFaults()
}

// Names of another workshop's things are refused in forms as well.
func TestForms_anotherWorkshop(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	job, order := s.ours["job waiting"], s.ours["order"]
	for _, c := range []struct {
		path string
		form url.Values
	}{
		{"/orders/new", pairs("customer", s.theirs["customer"], "lines[0].cloth", s.ours["cloth"], "lines[0].quantity", "1")},
		{"/orders/new", pairs("customer", s.ours["customer"], "lines[0].cloth", s.theirs["cloth"], "lines[0].quantity", "1")},
		{"/orders/" + order + "/lots/" + s.ours["line"], pairs("revision", s.revision("order", order), "lot."+s.ours["yarn"], s.theirs["lot"])},
		{"/work/" + job + "/give", pairs("revision", s.revision("job", job), "member", s.theirs["member"])},
		{"/work/" + job + "/give", pairs("revision", s.revision("job", job), "member", s.ours["member"], "grams."+s.theirs["lot"], "5")},
		{"/people/new", pairs("name", "Nueva", "login", "nueva", "role", "member", "member", s.theirs["member"], "lang", "es")},
	} {
		if got := s.post(c.path, "head", c.form); got.Code < 400 || got.Code >= 500 {
			t.Errorf("POST %s with %v: got %d, want it refused", c.path, c.form, got.Code)
		}
	}
	s.noFaults()
}

// An address that is not in the table, and a method that is not, are refused
// with a page; so are the tricks with paths.
func TestRoutes_otherAddresses(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.ours["order"]
	for _, path := range []string{"/nothing", "/orders/" + id + "/nothing", "/orders/" + id + "/%2e%2e/%2e%2e/settings", "/static/../server.go", "/static/%2e%2e/server.go",
		"/static/..%2fserver.go", "/orders/%00", "/orders/%ff", "/orders/" + id + "%00", "/orders/" + strings.Repeat("a", 60_000), "/cloths/..%2f..%2fetc%2fpasswd",
		"/work/" + s.ours["job"] + "/page/0.png", "/work/" + s.ours["job"] + "/page/999.png", "/work/" + s.ours["job"] + "/page/-1", "/work/" + s.ours["job"] + "/page/x",
		"/settings/frames/-1", "/settings/frames/99", "/settings/frames/9999999999999999999", "/settings/frames/x", "/static/", "/static/none.css"} {
		got := s.get(path, "head")
		if got.Code < 300 || got.Code >= 500 {
			t.Errorf("GET %.60s: got %d, want it refused or sent on", path, got.Code)
		}
		if got.Code == http.StatusNotFound && !strings.Contains(got.body, "<main") {
			t.Errorf("GET %.60s: got no page", path)
		}
	}
	for _, method := range []string{"PUT", "DELETE", "PATCH", "TRACE", "BREW", "OPTIONS", "CONNECT"} {
		for _, path := range []string{"/", "/orders", "/orders/" + id, "/signin"} {
			if got := s.request(httptest.NewRequest(method, path, strings.NewReader("")), "head"); got.Code < 400 || got.Code >= 500 {
				t.Errorf("%s %s: got %d, want it refused", method, path, got.Code)
			}
		}
	}
	if got := s.request(httptest.NewRequest(http.MethodHead, "/orders", nil), "head"); got.Code != http.StatusOK {
		t.Errorf("HEAD /orders: got %d, want 200", got.Code)
	}
	s.noFaults()
}
