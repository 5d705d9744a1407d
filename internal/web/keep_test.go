package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// clothNow is the test's cloth as it is.
func (s *site) clothNow() workshop.Kept[workshop.Cloth] {
	s.Helper()
	c, _, err := s.house.Cloth(ctx, s.people["head"], s.ours["cloth"], 0)
	return must(c, err)
}

// script sends a form as a script does, and reads the JSON that comes back.
func (s *site) script(path, as string, form url.Values) (int, desksJSON) {
	s.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept", "application/json")
	got := s.request(r, as)
	var out desksJSON
	if err := json.Unmarshal([]byte(got.body), &out); err != nil {
		s.Fatalf("%s: %v: %.200s", path, err, got.body)
	}
	return got.Code, out
}

// redder is a cloth's text with something in it that can be told again.
func redder(text, mark string) string { return text + "\n# " + mark + "\n" }

func TestDraft_byScript(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	c := s.clothNow()
	at := "/cloths/" + c.ID
	step := func(text, desk, n string, more ...string) url.Values {
		return pairs(append([]string{"version", strconv.Itoa(c.Value.Version), "text", text, "desk", desk, "step", n}, more...)...)
	}
	if code, d := s.script(at+"/draft", "seller", step(redder(c.Value.Text, "one"), "a", "1")); code != http.StatusOK || d.Mine == nil || d.Newest.Version != c.Value.Version {
		t.Errorf("a first step: %d %+v", code, d)
	}
	code, d := s.script(at+"/draft", "seller", step(redder(c.Value.Text, "two"), "b", "1"))
	if code != http.StatusConflict || d.Mine == nil || !strings.Contains(d.Mine.Text, "# one") {
		t.Errorf("from another page: %d %+v", code, d.Mine)
	}
	if code, d := s.script(at+"/draft", "seller", step(redder(c.Value.Text, "two"), "b", "1", "read-desk", "a", "read-step", "1")); code != http.StatusOK || !strings.Contains(d.Mine.Text, "# two") {
		t.Errorf("from another page that knows: %d", code)
	}
	// Another sees whose it is, and nothing of what is in it.
	got := s.get(at+"/draft", "dyer")
	if !strings.Contains(got.body, s.people["seller"].Name) || strings.Contains(got.body, "# two") {
		t.Errorf("another is told %.300s", got.body)
	}
	for _, who := range []string{"dyer", "bookkeeper"} {
		if page := s.page(at, who).text; !strings.Contains(page, s.people["seller"].Name) {
			t.Errorf("the cloth's page does not tell %s who designs it", who)
		}
	}
	if page := s.get(at, "seller").body; !strings.Contains(page, `href="`+at+`/design"`) {
		t.Error("her own unsaved work is not linked from the cloth's page")
	}
	if got := s.get(at+"/draft", ""); got.Code != http.StatusSeeOther {
		t.Errorf("a stranger: %d", got.Code)
	}
	s.noFaults()
}

// Without scripts: someone kept a version meanwhile. The page comes back with
// what was typed, which is her draft now, and every way on works.
func TestDesign_conflictWithoutScripts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	c := s.clothNow()
	at, version := "/cloths/"+c.ID, strconv.Itoa(c.Value.Version)
	form := pairs("version", version, "text", redder(c.Value.Text, "theirs"), "said", "más clara")
	s.want("the first", s.post(at+"/design", "dyer", form), http.StatusSeeOther)
	form = pairs("version", version, "text", redder(c.Value.Text, "hers"))
	got := s.post(at+"/design", "seller", form)
	s.want("the second", got, http.StatusConflict)
	root := s.read("conflict", got)
	if area := root.byID("f-text"); area == nil || !strings.Contains(area.text, "# hers") {
		t.Error("what was typed is not on the page")
	}
	if _, hidden := root.byID("keep-behind").attr["hidden"]; hidden || !strings.Contains(root.byID("keep-behind").text, s.people["dyer"].Name) {
		t.Error("the page does not say who kept a version")
	}
	s.want("beside each other", s.get(root.byID("keep-compare").attr["href"], "seller"), http.StatusOK)
	if mine := s.page(at+"/design", "seller").byID("f-text"); !strings.Contains(mine.text, "# hers") {
		t.Error("opened again, her work is not there")
	}
	over := pairs("version", version, "text", redder(c.Value.Text, "hers"), "over", root.byID("keep-over").attr["value"])
	s.want("on top", s.post(at+"/design", "seller", over), http.StatusSeeOther)
	vs := must(s.house.Versions(ctx, s.people["head"], c.ID))
	if len(vs) != c.Value.Version+2 || !strings.Contains(vs[0].Value.Text, "# hers") || !strings.Contains(vs[1].Value.Text, "# theirs") || vs[1].Value.Note != "más clara" {
		t.Errorf("%d versions, want hers upon theirs", len(vs))
	}
	branched := s.post(root.byID("keep-branch").attr["formaction"], "seller", pairs("text", redder(c.Value.Text, "apart")))
	to, _, _ := strings.Cut(branched.Header().Get("Location"), "?")
	s.want("as a cloth of its own", branched, http.StatusSeeOther)
	if page := s.page(to, "seller").text; !strings.Contains(page, c.Value.Name+" (2)") {
		t.Errorf("%s is not the branch", to)
	}
	s.want("an empty design", s.post(at+"/design", "seller", pairs("version", "1", "text", " ")), http.StatusUnprocessableEntity)
	s.noFaults()
}

func TestVersions_backAndCompare(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	c := s.clothNow()
	at := "/cloths/" + c.ID
	wide := strings.Replace(c.Value.Text, "label: ", "label: Otra ", 1)
	if wide == c.Value.Text {
		t.Fatal("the demo's cloth has no label to change")
	}
	s.want("save", s.post(at+"/design", "head", pairs("version", strconv.Itoa(c.Value.Version), "text", wide)), http.StatusSeeOther)
	page := s.page(at+"/compare", "bookkeeper")
	if n := len(page.byID("main").all("img")); n != 2 {
		t.Errorf("%d pictures beside each other, want 2", n)
	}
	if len(page.byID("compare-a").all("option")) != c.Value.Version+1 {
		t.Errorf("%d versions to choose from", len(page.byID("compare-a").all("option")))
	}
	if !strings.Contains(page.text, "Otra ") {
		t.Errorf("the page does not say that a yarn has another name")
	}
	for _, img := range page.byID("main").all("img") {
		if got := s.get(img.attr["src"], "bookkeeper"); got.Code != http.StatusOK || !strings.Contains(got.body, "<svg") {
			t.Errorf("%s: %d", img.attr["src"], got.Code)
		}
	}
	for _, bad := range []string{"?a=99", "?a=draft", "?b=draft"} {
		s.want(bad, s.get(at+"/compare"+bad, "head"), http.StatusNotFound)
	}
	now := strconv.FormatInt(s.clothNow().Revision, 10)
	s.want("back", s.post(at+"/back/1", "seller", pairs("revision", now)), http.StatusSeeOther)
	s.want("back again from the old page", s.post(at+"/back/2", "seller", pairs("revision", now)), http.StatusConflict)
	if got := s.clothNow().Value; got.Version != c.Value.Version+2 || got.Text == wide {
		t.Errorf("after going back: version %d", got.Version)
	}
	s.noFaults()
}

// A cloth file brought in is a cloth; one with errors comes back with each
// problem's line, and can be kept all the same.
func TestBring(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	if page := s.get("/cloths", "seller").body; !strings.Contains(page, `action="/cloths/bring"`) {
		t.Error("the cloths' page has no form for a file")
	}
	if page := s.get("/cloths", "bookkeeper").body; strings.Contains(page, "/cloths/bring") {
		t.Error("the cloths' page offers the form to someone who may not")
	}
	good := s.clothNow().Value.Text
	got := s.upload("/cloths/bring", nil, []byte(good))
	s.want("a good file", got, http.StatusSeeOther)
	to, _, _ := strings.Cut(got.Header().Get("Location"), "?")
	id := strings.TrimPrefix(to, "/cloths/")
	if c, made, err := s.house.Cloth(ctx, s.people["head"], id, 0); err != nil || c.Value.Text != good || c.Value.Name == "" || made.Failed() {
		t.Errorf("brought in as %q, %v", c.Value.Name, err)
	}
	// The wrong word stands on the third line.
	bad := "urdir: 1\nname: Prueba\nsettt: 20 /cm\n"
	got = s.upload("/cloths/bring", nil, []byte(bad))
	s.want("a file with errors", got, http.StatusUnprocessableEntity)
	page := s.read("errors", got)
	if !strings.Contains(page.text, "3:") || !strings.Contains(page.text, "settt") {
		t.Errorf("the page does not name line 3: %.600s", page.text)
	}
	if area := page.byID("f-text"); area == nil || strings.TrimSpace(area.text) != strings.TrimSpace(bad) {
		t.Error("the file is not there to be mended")
	}
	got = s.post("/cloths/bring", "seller", pairs("name", "Prueba", "text", bad, "anyhow", "1"))
	s.want("kept all the same", got, http.StatusSeeOther)
	for what, file := range map[string]string{"nothing": "", "no text": "\x00\x01\x02", "a picture": "\x89PNG\r\n\x1a\n"} {
		s.want(what, s.upload("/cloths/bring", nil, []byte(file)), http.StatusUnprocessableEntity)
	}
	s.noFaults()
}

// What a customer is shown has the workshop's own numbers only if they are
// ticked; every choice is on the picture's and the document's address.
func TestShare(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	at := "/cloths/" + s.ours["cloth"]
	page := s.page(at+"/share", "bookkeeper")
	ticked := map[string]bool{}
	for _, in := range page.all("input") {
		if _, on := in.attr["checked"]; in.attr["type"] == "checkbox" {
			ticked[in.attr["name"]] = on
		}
	}
	if !ticked["name"] || !ticked["size"] || !ticked["materials"] || !ticked["weight"] || ticked["numbers"] {
		t.Errorf("ticked at first: %v, want all but the numbers", ticked)
	}
	links := 0
	for _, a := range page.byID("main").all("a") {
		if to := a.attr["href"]; strings.Contains(to, "/share.") {
			links++
			got := s.get(to, "bookkeeper")
			if kind := got.Header().Get("Content-Type"); got.Code != http.StatusOK || kind != "image/png" && kind != "application/pdf" {
				t.Errorf("%s: %d %s", to, got.Code, kind)
			}
			if strings.Contains(to, "numbers") {
				t.Errorf("%s asks for the numbers", to)
			}
		}
	}
	if links != 2 {
		t.Errorf("%d links, want a picture and a document", links)
	}
	none := s.get(at+"/share.pdf?chosen=1", "head")
	if name := none.Header().Get("Content-Disposition"); strings.Contains(name, fileName(s.clothNow().Value.Name)) {
		t.Errorf("the name was not chosen and the file is called %s", name)
	}
	s.noFaults()
}

// The worker stands at the top, so that all pages are in its reach (Service
// Workers, "path restriction"), and is asked for anew.
func TestWorker(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get("/worker.js", "")
	if kind := got.Header().Get("Content-Type"); got.Code != http.StatusOK || !strings.Contains(kind, "javascript") || got.Header().Get("Cache-Control") != "no-cache" {
		t.Errorf("got %d %q %q", got.Code, kind, got.Header().Get("Cache-Control"))
	}
	if again := s.get("/worker.js", "", "If-None-Match", got.Header().Get("ETag")); again.Code != http.StatusNotModified || again.body != "" {
		t.Errorf("asked again: got %d and %d bytes", again.Code, len(again.body))
	}
	s.noFaults()
}
