package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// What a browser is told with every answer (Content Security Policy Level 3;
// Fetch standard, "X-Content-Type-Options"; RFC 9111 for no-store).
func TestHeaders(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, path := range []string{"/", "/orders", "/orders/" + s.ours["order"], "/signin", "/nothing", "/static/none", "/healthz", "/readyz", "/people", "/cloths/" + s.ours["cloth"] + "/design", "/cloths/" + s.ours["cloth"] + "/draft"} {
		for _, who := range []string{"head", "member", ""} {
			h := s.get(path, who).Header()
			csp := h.Get("Content-Security-Policy")
			for _, want := range []string{"default-src 'none'", "style-src 'self'", "script-src 'self'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
				if !strings.Contains(csp, want) {
					t.Errorf("%s: policy %q, want %s in it", path, csp, want)
				}
			}
			if strings.Contains(csp, "'unsafe-") || strings.Contains(csp, "*") { // 'wasm-unsafe-eval' lets no script text be run
				t.Errorf("%s: policy %q is open", path, csp)
			}
			for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Cache-Control": "no-store", "Referrer-Policy": "same-origin",
				"Cross-Origin-Opener-Policy": "same-origin", "Strict-Transport-Security": ""} {
				if got := h.Get(name); got != want {
					t.Errorf("%s %s: got %q, want %q", path, name, got, want)
				}
			}
		}
	}
	if got := newSiteWith(t, Options{Secure: true}).get("/signin", "").Header().Get("Strict-Transport-Security"); !strings.HasPrefix(got, "max-age=") {
		t.Errorf("with TLS: Strict-Transport-Security: got %q", got)
	}
}

// Files are kept by the browser under a name that changes with them, and only
// under it. Every file that a page or the styles name is there.
func TestStatic(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get("/signin", "").body
	css := ""
	for _, part := range strings.Split(page, `"/static/`)[1:] {
		name, _, _ := strings.Cut(part, `"`)
		name = strings.ReplaceAll(name, "&#43;", "+")
		got := s.get("/static/"+name, "")
		s.want(name, got, http.StatusOK)
		if c := got.Header().Get("Cache-Control"); !strings.Contains(c, "immutable") || !strings.Contains(c, "max-age=31536000") {
			t.Errorf("%s: Cache-Control: got %q, want a year", name, c)
		}
		if strings.HasPrefix(name, "urdir.css") {
			css = got.body
			if kind := got.Header().Get("Content-Type"); !strings.HasPrefix(kind, "text/css") {
				t.Errorf("%s: got %q", name, kind)
			}
		}
	}
	if css == "" || !strings.Contains(css, `.woff2?v=`) {
		t.Fatal("the page names no styles, or they no letters")
	}
	for _, part := range strings.Split(css, `url("`)[1:] {
		name, _, _ := strings.Cut(part, `"`)
		if got := s.get("/static/"+name, ""); got.Code != http.StatusOK || !strings.Contains(got.Header().Get("Cache-Control"), "immutable") {
			t.Errorf("%s: got %d %q, want a year", name, got.Code, got.Header().Get("Cache-Control"))
		}
	}
	for _, path := range []string{"/static/urdir.css", "/static/urdir.css?v=other", "/static/urdir.css?v="} {
		if got := s.get(path, ""); got.Code != http.StatusOK || got.Header().Get("Cache-Control") != "no-cache" { // asked again each time
			t.Errorf("%s: got %d %q, want 200 and no-cache", path, got.Code, got.Header().Get("Cache-Control"))
		}
	}
}

// Cookies are out of reach of scripts and of other sites (RFC 6265bis, from
// memory), and of open networks if the server says it is behind TLS.
func TestCookies(t *testing.T) {
	t.Parallel()
	for _, secure := range []bool{false, true} {
		s := newSiteWith(t, Options{Secure: secure})
		for what, got := range map[string]answer{
			"sign-in":  s.post("/signin", "", pairs("login", "amaranta", "passphrase", phrase)),
			"language": s.post("/language", "", pairs("lang", "en")),
			"sign-out": s.post("/signout", "elvira", nil),
		} {
			cs := got.Result().Cookies()
			if len(cs) != 1 {
				t.Fatalf("%s: %d cookies, want 1", what, len(cs))
			}
			if c := cs[0]; !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Secure != secure || c.Path != "/" {
				t.Errorf("%s: got %v, want HttpOnly, SameSite=Lax, Secure %v", what, c, secure)
			}
		}
	}
}

// A form that another site sends is refused (Fetch Metadata; RFC 6454 for
// Origin), one from here and one from a program are not.
func TestCrossOrigin(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, c := range []struct {
		header, value string
		want          int
	}{
		{"Sec-Fetch-Site", "cross-site", http.StatusForbidden},
		{"Sec-Fetch-Site", "same-site", http.StatusForbidden},
		{"Origin", "https://elsewhere.example", http.StatusForbidden},
		{"Origin", "null", http.StatusForbidden},
		{"Sec-Fetch-Site", "same-origin", http.StatusSeeOther},
		{"Sec-Fetch-Site", "none", http.StatusSeeOther},
		{"Origin", "http://example.com", http.StatusSeeOther}, // httptest's own host
		{"Accept", "text/html", http.StatusSeeOther},
	} {
		r := httptest.NewRequest(http.MethodPost, "/customers/new", strings.NewReader("name=Nueva"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set(c.header, c.value)
		got := s.request(r, "head")
		s.want(c.header+": "+c.value, got, c.want)
		if got.Code == http.StatusForbidden && !strings.Contains(got.body, "<main") {
			t.Errorf("%s: %s: no page", c.header, c.value)
		}
	}
	s.noFaults()
}

// Only Spanish and English are languages here, kept for the person and for the
// browser.
func TestLanguage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, lang := range []string{"", "fr", "ES", "es-MX", "en\x00", "../es", "<script>"} {
		if got := s.post("/language", "head", pairs("lang", lang)); got.Code < 400 || got.Code >= 500 || len(got.Result().Cookies()) != 0 {
			t.Errorf("%q: got %d, want it refused", lang, got.Code)
		}
	}
	for _, lang := range []string{"en", "es"} {
		s.want(lang, s.post("/language", "head", pairs("lang", lang, "to", "/orders")), http.StatusSeeOther)
		if got := s.get("/orders", "head", "Accept-Language", "de").body; !strings.Contains(got, `<html lang="`+lang+`"`) {
			t.Errorf("after choosing %s the page is in another language", lang)
		}
	}
	for accept, want := range map[string]string{"es-MX,en;q=0.5": "es", "de-DE, de": "en", "en-GB,es": "en", "qu": "es", "": "en", ";;,,=": "en"} {
		if got := s.get("/signin", "", "Accept-Language", accept).body; !strings.Contains(got, `<html lang="`+want+`"`) {
			t.Errorf("Accept-Language %q: want %s", accept, want)
		}
	}
	s.noFaults()
}

// Where a visitor is sent after signing in or choosing a language is on this
// server, as a browser reads addresses (URL standard: a backslash is a slash,
// tabs and line ends are left out).
func TestRedirects_stayHere(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, to := range []string{"//elsewhere.example", "https://elsewhere.example", "http:elsewhere.example", "\\\\elsewhere.example", "/\\elsewhere.example",
		"/\t/elsewhere.example", "/\n/elsewhere.example", "\t//elsewhere.example", " //elsewhere.example", "/.//elsewhere.example", "/a/..//elsewhere.example",
		"javascript:alert(1)", "elsewhere.example", "", "///elsewhere.example", "/%09/elsewhere.example", "//elsewhere.example%2f.."} {
		for what, got := range map[string]answer{
			"signin":   s.post("/signin", "", pairs("login", "amaranta", "passphrase", phrase, "to", to)),
			"language": s.post("/language", "", pairs("lang", "en", "to", to)),
		} {
			at := got.Header().Get("Location")
			if what == "signin" && got.Code == http.StatusUnprocessableEntity {
				s = newSite(t) // ten tries at once are all
				at = s.post("/signin", "", pairs("login", "amaranta", "passphrase", phrase, "to", to)).Header().Get("Location")
			}
			read := strings.NewReplacer("\t", "", "\n", "", "\r", "", "\\", "/").Replace(strings.TrimSpace(at))
			u, err := url.Parse(read)
			if err != nil || u.Host != "" || u.Scheme != "" || !strings.HasPrefix(read, "/") || strings.HasPrefix(read, "//") {
				t.Errorf("%s to %q: sent to %q", what, to, at)
			}
		}
	}
	if got := newSite(t).post("/signin", "", pairs("login", "amaranta", "passphrase", phrase, "to", "/orders?state=open")); got.Header().Get("Location") != "/orders?state=open" {
		t.Errorf("after signing in: sent to %q, want where she was", got.Header().Get("Location"))
	}
	if got := s.get("/orders?state=open", ""); got.Header().Get("Location") != "/signin?to=%2Forders%3Fstate%3Dopen" {
		t.Errorf("a stranger is sent to %q", got.Header().Get("Location"))
	}
}
