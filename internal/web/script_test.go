package web

import (
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// script is text that becomes part of a page wherever a sign of it is let through:
// in text, in an attribute of either quote, in a script's data and in a title.
const script = `<script>x</script>"'><img src=x onerror=x>`

// through says where script stands in an answer as code; empty if nowhere.
func through(got answer) string {
	kind := got.Header().Get("Content-Type")
	if !strings.Contains(kind, "html") && !strings.Contains(kind, "svg") && !strings.Contains(kind, "xml") {
		return "" // no browser reads it as a page: X-Content-Type-Options
	}
	for _, part := range []string{"<script>x", "<img src=x", `"'><img`} {
		if at := strings.Index(got.body, part); at >= 0 {
			return got.body[max(0, at-60):min(len(got.body), at+60)]
		}
	}
	return ""
}

// typed are the fields of a form in which anything may be typed.
func (n *node) typed() (out []string) {
	for _, tag := range []string{"input", "textarea"} {
		for _, f := range n.all(tag) {
			switch f.attr["type"] {
			case "hidden", "checkbox", "radio", "file", "submit":
			default:
				if name := f.attr["name"]; name != "" && !slices.Contains(out, name) {
					out = append(out, name)
				}
			}
		}
	}
	return out
}

// addresses are the pages of the table, without pictures and documents.
func (s *site) addresses() (out []string) {
	for _, path := range s.everyPage() {
		if at, _, _ := strings.Cut(path, "?"); !strings.Contains(filepath.Base(at), ".") && !slices.Contains(out, path) {
			out = append(out, path)
		}
	}
	return out
}

// Script typed into any field of any form is text, on the page that refuses it and on
// every page that shows what was kept.
func TestScript_stored(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	done, sent, kept := map[string]bool{}, 0, 0
	for _, path := range s.addresses() {
		for again := true; again; { // the page is read anew after what it kept
			again = false
			for _, f := range s.formsAt(path) {
				to := f.attr["action"]
				for _, name := range f.typed() {
					shape := digits.ReplaceAllString(s.shapeOf(to)+" "+name, "0")
					if done[shape] || again {
						continue // fields of a list's rows are alike
					}
					done[shape] = true
					form := f.fields()
					form.Set(name, script)
					answered := s.post(to, "head", form)
					sent++
					if answered.Code < 400 {
						kept, again = kept+1, true
					}
					if part := through(answered); part != "" || answered.Code >= 500 {
						t.Errorf("POST %s with script as %s: %d %q", to, name, answered.Code, part)
					}
				}
			}
		}
	}
	if sent < 150 || kept < 40 {
		t.Errorf("%d fields were tried and %d took it, want more", sent, kept)
	}
	shown := 0
	for _, path := range s.everyPage() {
		for _, who := range []string{"head", "member", ""} {
			if strings.HasSuffix(path, ".pdf") || strings.HasSuffix(path, ".png") || who != "head" && strings.Contains(path, "?") {
				continue
			}
			got := s.get(path, who)
			if part := through(got); part != "" {
				t.Errorf("%s sees script at %s: %q", who, path, part)
			}
			if strings.Contains(got.body, "&lt;script&gt;x") {
				shown++
			}
		}
	}
	if shown < 40 {
		t.Errorf("%d pages show what was typed, want more", shown)
	}
	s.noFaults()
}

// formsAt are the forms of a page that change something, with the address each is
// sent to; none if it is no page.
func (s *site) formsAt(path string) (out []*node) {
	s.Helper()
	got := s.get(path, "head")
	if got.Code != http.StatusOK || !strings.HasPrefix(got.Header().Get("Content-Type"), "text/html") {
		return nil
	}
	for _, f := range s.read(path, got).mainForms() {
		if f.attr["method"] != "post" || strings.HasPrefix(f.attr["action"], "#") { // a script's own
			continue
		}
		if f.attr["action"] == "" {
			f.attr["action"], _, _ = strings.Cut(path, "?")
		}
		out = append(out, f)
	}
	return out
}

var digits = regexp.MustCompile(`\d+`)

// shapeOf is the route an action's address belongs to.
func (s *site) shapeOf(path string) string {
	for what, id := range s.ours {
		if id != "" && strings.Contains(path, id) {
			path = strings.ReplaceAll(path, id, "{"+strings.Fields(what)[0]+"}")
		}
	}
	return path
}

// asked are the names that this package reads from an address's query.
func asked(t *testing.T) []string {
	t.Helper()
	names := map[string]bool{}
	call := regexp.MustCompile(`(?:\bq|Query\(\)|\.text|\.whole|\.texts|\.cm|\.grams|cmOr|versionOf)(?:\.(?:Get|Has))?\("([a-zA-Z.]+)"`)
	for _, file := range must(filepath.Glob("*.go")) {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text := string(must(os.ReadFile(file)))
		if !strings.Contains(text, "Query()") && !strings.Contains(text, "asked()") {
			continue
		}
		for _, m := range call.FindAllStringSubmatch(text, -1) {
			names[m[1]] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

// Script in an address is text on the page it leads to: in every parameter that pages
// read, alone and all together, and in the address itself.
func TestScript_reflected(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	names := asked(t)
	for _, name := range []string{"q", "state", "after", "to", "done", "wish", "month", "from", "kind", "v", "beside", "mark", "lang"} {
		if !slices.Contains(names, name) {
			t.Fatalf("%q is not among what was found: %q", name, names)
		}
	}
	all := url.Values{}
	for _, name := range names {
		all.Set(name, script)
	}
	tried, shown := 0, 0
	for _, r := range s.server().routes() {
		method, path := address(r.pattern, s.ours)
		if method != http.MethodGet || strings.HasSuffix(path, ".pdf") || strings.HasSuffix(path, ".png") || strings.HasSuffix(path, ".zip") {
			continue
		}
		queries := []string{all.Encode()}
		for i := range names {
			if i%12 == 0 { // some at a time: the first that is wrong may end it
				some := url.Values{}
				for _, name := range names[i:min(i+12, len(names))] {
					some.Set(name, script)
				}
				queries = append(queries, some.Encode())
			}
		}
		if strings.Contains(r.pattern, "{") {
			queries = append(queries, "") // the address itself
		}
		for _, q := range queries {
			at := path + "?" + q
			if q == "" {
				at = path + url.PathEscape(script)
			}
			for _, who := range []string{"head", ""} {
				if who == "" && r.call != "" && q != queries[0] {
					continue // sent to sign in, whatever it is
				}
				got := s.get(at, who)
				tried++
				if strings.Contains(got.body, "&lt;script&gt;x") {
					shown++
				}
				if part := through(got); part != "" || got.Code >= 500 {
					t.Errorf("%s: %.80s: %d %q", who, at, got.Code, part)
				}
				if strings.ContainsAny(got.Header().Get("Location")+got.Header().Get("Content-Disposition"), "<>") {
					t.Errorf("%s: script in a header: %v", at, got.Header())
				}
			}
		}
	}
	if tried < 500 || shown < 30 {
		t.Errorf("%d addresses, %d show what stood in them; want more", tried, shown)
	}
	s.noFaults()
}
