package web

import (
	"bytes"
	"maps"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
)

// page asks for a page and reads it.
func (s *site) page(path, who string) *node {
	s.Helper()
	got := s.get(path, who)
	s.want(path, got, http.StatusOK)
	return s.read(path, got)
}

func (s *site) read(what string, got answer) *node {
	s.Helper()
	root, err := parse(got.body)
	if err != nil {
		s.Fatalf("%s: %v", what, err)
	}
	return root
}

// records are the forms of what is kept, and one text that each page shows.
func (s *site) records() map[string]string {
	o := s.ours
	return map[string]string{"/orders/" + o["draft"] + "/edit": "wishes", "/customers/" + o["customer"] + "/edit": "name", "/cloths/" + o["cloth"] + "/edit": "name",
		"/figures/" + o["figure"] + "/edit": "origin", "/yarn/" + o["lot"] + "/edit": "label", "/members/" + o["member"] + "/edit": "name", "/settings": "name",
		"/settings/frames/0": "name", "/supplies/" + o["supply"] + "/edit": "name", "/settings/dye": "dye.waters",
		"/settings/calendar": "closed.0.name", "/members/" + o["hours"] + "/hours": "away.0.why",
		"/prices/channels": "channels[0].name", "/prices/" + o["ware"]: "name", "/cards/settings": "region", "/settings/money": "season"}
}

// recordForm is the form on a page that keeps the record: the one with the most
// fields.
func recordForm(root *node) *node {
	most := &node{}
	for _, f := range root.mainForms() {
		if len(f.fields()) > len(most.fields()) {
			most = f
		}
	}
	return most
}

// A form sent as it came changes nothing that can be seen: every quantity is read
// as it was written, in both languages.
func TestForms_asTheyCome(t *testing.T) {
	t.Parallel()
	for _, lang := range []string{"es", "en"} {
		s := newSite(t)
		s.post("/language", "head", pairs("lang", lang))
		for _, path := range slices.Sorted(maps.Keys(s.records())) {
			was := recordForm(s.page(path, "head")).fields()
			s.want(lang+" "+path, s.post(path, "head", was), http.StatusSeeOther)
			now := recordForm(s.page(path, "head")).fields()
			was.Del("revision")
			now.Del("revision")
			if was.Encode() != now.Encode() {
				t.Errorf("%s %s:\ngot  %v\nwant %v", lang, path, now, was)
			}
		}
		s.noFaults()
	}
}

// An order that is edited keeps the lots that were chosen for it.
func TestOrderForm_keepsLots(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	order := "/orders/" + s.ours["draft"]
	o, err := s.house.Order(ctx, s.people["head"], s.ours["draft"])
	if err != nil {
		t.Fatal(err)
	}
	yarn, line := o.Lines[0].Made.Plan.Yarns[0].Key, o.Value.Lines[0].ID
	s.want("choose", s.post(order+"/lots/"+line, "head", pairs("revision", s.revision("order", o.ID), "lot."+yarn, s.ours["lot"])), http.StatusSeeOther)
	form := recordForm(s.page(order+"/edit", "head")).fields()
	form.Set("wishes", "Otra cosa")
	s.want("edit", s.post(order+"/edit", "head", form), http.StatusSeeOther)
	if o, err = s.house.Order(ctx, s.people["head"], o.ID); err != nil || o.Value.Lines[0].Lots[yarn] != s.ours["lot"] || o.Value.Wishes != "Otra cosa" {
		t.Errorf("lots after editing: got %v %v, want %s", o.Value.Lines[0].Lots, err, s.ours["lot"])
	}
	s.noFaults()
}

// A line left out in the middle does not move what was typed into others.
func TestOrderForm_lines(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := pairs("customer", s.ours["customer"], "due", "not a date", "lines[0].cloth", s.ours["cloth"], "lines[0].quantity", "2",
		"lines[1].cloth", "", "lines[1].quantity", "3", "lines[2].cloth", s.ours["cloth"], "lines[2].quantity", "7", "lines[2].wishes", "sin flores")
	for _, button := range []string{"", "add"} {
		form.Set(button, "line")
		got := s.post("/orders/new", "head", form)
		want := map[string]int{"": http.StatusUnprocessableEntity, "add": http.StatusOK}[button]
		s.want("button "+button, got, want)
		now := recordForm(s.read("order", got)).fields()
		if now.Get("lines[0].quantity") != "2" || now.Get("lines[1].quantity") != "7" || now.Get("lines[1].wishes") != "sin flores" || now.Get("lines[1].cloth") != s.ours["cloth"] {
			t.Errorf("button %q: got %v", button, now)
		}
		if button == "add" && (now.Get("lines[2].quantity") != "1" || now.Get("lines[2].cloth") != "") {
			t.Errorf("the new line: got %q pieces of %q", now.Get("lines[2].quantity"), now.Get("lines[2].cloth"))
		}
	}
	s.noFaults()
}

// bad is a form with one thing wrong, and the field beside which it is said.
type bad struct {
	path, field string
	form        url.Values
}

func (s *site) badForms() []bad {
	o := s.ours
	order := func(v ...string) url.Values {
		f := pairs("customer", o["customer"], "due", "2027-06-01", "lines[0].cloth", o["cloth"], "lines[0].quantity", "2", "wishes", "Que no destiña", "deposit", "12.50")
		for i := 0; i+1 < len(v); i += 2 {
			f.Set(v[i], v[i+1])
		}
		return f
	}
	job := func(state string, v ...string) url.Values {
		return pairs(append([]string{"revision", s.revision("job", o["job "+state])}, v...)...)
	}
	piece := func(state string, v ...string) url.Values {
		return pairs(append([]string{"revision", s.revision("piece", o["piece "+state])}, v...)...)
	}
	long := strings.Repeat("ñ", 5000)
	out := []bad{
		{"/customers/new", "name", pairs("name", "", "contact", "en el muelle", "note", "nota")},
		{"/customers/new", "name", pairs("name", long, "contact", "en el muelle")},
		{"/customers/new", "note", pairs("name", "Nueva", "note", long)},
		{"/members/new", "name", pairs("name", " ", "hours", "20", "reach", "por su hija")},
		{"/members/new", "hours", pairs("name", "Nueva", "hours", "veinte", "reach", "por su hija")},
		{"/members/new", "hours", pairs("name", "Nueva", "hours", "-1")},
		{"/members/new", "hours", pairs("name", "Nueva", "hours", "99999999999999999999")},
		{"/yarn/new", "label", pairs("label", "", "colour", "#336699", "fibre", "cotton")},
		{"/yarn/new", "colour", pairs("label", "Azul", "colour", "azul", "fibre", "cotton")},
		{"/yarn/new", "skein", pairs("label", "Azul", "colour", "#336699", "fibre", "cotton", "skein", "1.234,5,6")},
		{"/yarn/new", "skein", pairs("label", "Azul", "colour", "#336699", "fibre", "cotton", "skein", "-5")},
		{"/yarn/new", "reorder", pairs("label", "Azul", "colour", "#336699", "fibre", "cotton", "reorder", "1e300")},
		{"/yarn/new", "count", pairs("label", "Azul", "colour", "#336699", "fibre", "cotton", "count", "gordo")},
		{"/yarn/new", "dyed", pairs("label", "Azul", "colour", "#336699", "fibre", "cotton", "dyed", "2027-02-30")},
		{"/figures/new", "name", pairs("name", "", "sale", "yes", "text", "chart: x", "origin", "De la barra")},
		{"/figures/new", "text", pairs("name", "nueva", "sale", "yes", "text", "chart: [", "origin", "De la barra")},
		{"/figures/new", "granted", pairs("name", "nueva", "sale", "yes", "owner", "Las de la barra", "text", "cell: {ends: 6, picks: 2}\ncolours: {x: figure}\nchart: |\n  .x.\n")},
		{"/cloths/new", "name", pairs("name", "", "kind", "scarf", "text", "urdir: 1\n", "note", "nota")},
		{"/cloths/new", "text", pairs("name", "Nueva", "kind", "scarf", "text", " ", "note", "nota")},
		{"/orders/new", "customer", order("customer", "")},
		{"/orders/new", "due", order("due", "31/12/2027")},
		{"/orders/new", "taken", order("taken", "1889-01-01")},
		{"/orders/new", "deposit", order("deposit", "1.234,50")},
		{"/orders/new", "deposit", order("deposit", "-5")},
		{"/orders/new", "lines[0].cloth", order("lines[0].cloth", "")},
		{"/orders/new", "lines[0].cloth", order("lines[0].cloth", "nobody")},
		{"/orders/new", "lines[0].quantity", order("lines[0].quantity", "0")},
		{"/orders/new", "lines[0].quantity", order("lines[0].quantity", "2,5")},
		{"/orders/new", "wishes", order("wishes", long)},
		{"/people/new", "name", pairs("name", "", "login", "nueva", "role", "seller", "lang", "es")},
		{"/people/new", "login", pairs("name", "Nueva", "login", "AMARANTA", "role", "seller", "lang", "es")},
		{"/people/new", "role", pairs("name", "Nueva", "login", "nueva", "role", "king", "lang", "es")},
		{"/people/new", "member", pairs("name", "Nueva", "login", "nueva", "role", "member", "lang", "es")},
		{"/people/new", "passphrase", pairs("name", "Nueva", "login", "nueva", "role", "seller", "lang", "es", "passphrase", "corta")},
		{"/me", "old", pairs("old", "otra", "passphrase", "una frase larga")},
		{"/me", "passphrase", pairs("old", phrase, "passphrase", "corta")},
		{"/yarn/" + o["lot"] + "/receive", "grams", pairs("grams", "1.234,5,6")},
		{"/yarn/" + o["lot"] + "/receive", "grams", pairs("grams", "")},
		{"/yarn/" + o["lot"] + "/discard", "grams", pairs("grams", "999999")},
		{"/work/" + o["job waiting"] + "/give", "member", job("waiting", "member", "", "pay", "12")},
		{"/work/" + o["job waiting"] + "/give", "pay", job("waiting", "member", o["member"], "pay", "1.234,5,6")},
		{"/work/" + o["job given"] + "/tell", "cm", job("given", "cm", "mucho")},
		{"/work/" + o["job given"] + "/tell", "cm", job("given", "cm", "99999")},
		{"/work/" + o["job given"] + "/tell", "bands", job("given", "bands", "999")},
		{"/work/" + o["job weaving"] + "/back", "woven", job("weaving", "woven", "pesa")},
		{"/work/" + o["job weaving"] + "/back", "woven", job("weaving", "woven", "90000")},
		{"/work/" + o["job back"] + "/paid", "paid", job("back", "paid", "1.234,5,6")},
		{"/work/" + o["job back"] + "/paid", "paid", job("back", "paid", "0")},
		{"/pieces/" + o["piece ready"] + "/finish", "mass", piece("ready", "mass", "", "length", "100", "width", "20", "note", "nota")},
		{"/pieces/" + o["piece ready"] + "/finish", "length", piece("ready", "mass", "100", "length", "-1", "width", "20", "note", "nota")},
		{"/pieces/" + o["piece delivered"] + "/return", "note", piece("delivered", "note", long)},
	}
	set := recordForm(s.page("/settings", "head")).fields()
	for field, v := range map[string]string{"name": "", "currency": "ZZZ", "shrink-length": "900", "shrink-width": "diez", "spare": "-1", "pots": "Olla: mucho", "address": strings.Repeat("Calle\n", 9)} {
		f := maps.Clone(set)
		f.Set(field, v)
		out = append(out, bad{"/settings", field, f})
	}
	bag, err := s.house.Job(ctx, s.people["head"], o["job weaving"])
	if err != nil || len(bag.Bag) == 0 {
		s.Fatal("no yarn in the bag", err)
	}
	lot := bag.Bag[0].Lot
	out = append(out, s.badSupplies()...)
	out = append(out, s.badDates()...)
	out = append(out, s.badPay()...)
	out = append(out, s.badSales()...)
	out = append(out, bad{"/work/" + o["job weaving"] + "/back", "left." + lot, job("weaving", "woven", "0", "left."+lot, "poco")},
		bad{"/work/" + o["job weaving"] + "/back", "left." + lot, job("weaving", "woven", "0", "left."+lot, "99000")})
	waits, err := s.house.Job(ctx, s.people["head"], o["job waiting"])
	if err != nil || len(waits.Needs) == 0 || waits.Needs[0].Lot == "" {
		s.Fatal("no lot is chosen for the warp that waits", err)
	}
	lot = waits.Needs[0].Lot
	return append(out, bad{"/work/" + o["job waiting"] + "/give", "grams." + lot, job("waiting", "member", o["member"], "grams."+lot, "poco")},
		bad{"/work/" + o["job waiting"] + "/give", "grams." + lot, job("waiting", "member", o["member"], "grams."+lot, "990000")})
}

// Each form with something wrong is refused; what was typed stays, what is wrong
// is said beside its field in the page's language, and nothing was changed.
func TestForms_refused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	said := map[string]string{} // in Spanish
	for _, lang := range []string{"es", "en"} {
		s.post("/language", "head", pairs("lang", lang))
		before, shelf := s.get("/history", "head").body, s.onShelf()
		for _, b := range s.badForms() {
			if b.path == "/me" {
				s = newSite(t) // too many tries there
				s.post("/language", "head", pairs("lang", lang))
			}
			what := lang + " POST " + b.path + " with " + b.field + "=" + b.form.Get(b.field)[:min(20, len(b.form.Get(b.field)))]
			got := s.post(b.path, "head", b.form)
			s.want(what, got, http.StatusUnprocessableEntity)
			root := s.read(what, got)
			for _, f := range faultsOf(got.body, lang) {
				t.Errorf("%s: %s", what, f)
			}
			if text := s.beside(what, root, b.field); text != "" {
				key := what[3:]
				if lang == "es" {
					said[key] = text
				} else if said[key] == text {
					t.Errorf("%s: said the same in both languages: %s", what, text)
				}
			}
			s.kept(what, root, b.form)
			s.want(what+": the page for another language", s.get(root.field("to").holds(), "head"), http.StatusOK)
		}
		if s.get("/history", "head").body != before && lang == "es" {
			t.Error("something was changed by a form that was refused")
		}
		if got := s.onShelf(); got != shelf {
			t.Errorf("%v g on the shelf, want %v", got, shelf)
		}
		s.noFaults()
	}
}

// beside is what is said beside a field, to which the field points.
func (s *site) beside(what string, root *node, field string) string {
	s.Helper()
	if strings.HasPrefix(field, "week-") {
		field = "week-mon"
	}
	f := root.byID("f-" + field)
	if f == nil {
		s.Errorf("%s: the field is not on the page", what)
		return ""
	}
	for ref := range strings.FieldsSeq(f.attr["aria-describedby"]) {
		if w := root.byID(ref); w != nil && w.attr["class"] == "wrong" && strings.TrimSpace(w.text) != "" {
			if f.attr["aria-invalid"] != "true" {
				s.Errorf("%s: the field is not marked", what)
			}
			return w.text
		}
	}
	s.Errorf("%s: nothing is said beside the field", what)
	return ""
}

// kept fails the test if a field does not hold what was typed, passphrases
// aside, which no page repeats.
func (s *site) kept(what string, root *node, typed url.Values) {
	s.Helper()
	for name, v := range typed {
		f := root.field(name)
		switch {
		case f == nil || name == "revision" || f.attr["type"] == "checkbox":
		case f.attr["type"] == "password":
			if f.attr["value"] != "" {
				s.Errorf("%s: a passphrase is in the page", what)
			}
		case f.tag == "select" && !slices.ContainsFunc(f.all("option"), func(o *node) bool { return o.attr["value"] == v[0] }):
		case f.holds() != v[0]:
			s.Errorf("%s: %s holds %.60q, want %.60q", what, name, f.holds(), v[0])
		}
	}
}

// Someone else changed the thing in the meantime: refused, what was typed stays,
// and the page as it is now is where it was.
func TestForms_conflict(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for path, field := range s.records() {
		mine, theirs := recordForm(s.page(path, "head")).fields(), recordForm(s.page(path, "head")).fields()
		mine.Set(field, "lo mío")
		theirs.Set(field, "lo suyo")
		s.want(path+" theirs", s.post(path, "head", theirs), http.StatusSeeOther)
		got := s.post(path, "head", mine)
		s.want(path+" mine", got, http.StatusConflict)
		if !strings.Contains(got.body, "lo suyo") {
			t.Errorf("%s: theirs is not shown beside mine", path)
		}
		mine.Set("revision", recordForm(s.page(path, "head")).fields().Get("revision")) // keeping again replaces theirs knowingly
		s.kept(path, s.read(path, got), mine)
		for _, f := range faultsOf(got.body, "es") {
			t.Errorf("%s: %s", path, f)
		}
		if now := recordForm(s.page(path, "head")).fields(); now.Get(field) != "lo suyo" {
			t.Errorf("%s: got %q, want theirs", path, now.Get(field))
		}
	}
	s.noFaults()
}

// An action sent twice, as by an impatient finger, is done once.
func TestActions_twice(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	o := s.ours
	waits, err := s.house.Job(ctx, s.people["head"], o["job waiting"])
	if err != nil {
		t.Fatal(err)
	}
	give := pairs("revision", s.revision("job", o["job waiting"]), "member", o["member"])
	for _, n := range waits.Needs {
		give.Set("grams."+n.Lot, "1")
	}
	one := func(kind, what string, more ...string) url.Values {
		return pairs(append([]string{"revision", s.revision(kind, o[what])}, more...)...)
	}
	customer := recordForm(s.page("/customers/"+o["customer"]+"/edit", "head")).fields()
	customer.Set("note", "otra")
	for _, c := range []struct {
		path string
		form url.Values
	}{
		{"/work/" + o["job waiting"] + "/give", give},
		{"/work/" + o["job given"] + "/laid", one("job", "job given")},
		{"/work/" + o["job laid"] + "/tell", one("job", "job laid", "cm", "3")},
		{"/work/" + o["job weaving"] + "/back", one("job", "job weaving", "woven", "1")},
		{"/work/" + o["job back"] + "/paid", one("job", "job back", "paid", "3")},
		{"/work/" + o["job paid"] + "/undo", one("job", "job paid")},
		{"/pieces/" + o["piece ready"] + "/finish", one("piece", "piece ready", "mass", "5", "length", "100", "width", "20")},
		{"/pieces/" + o["piece finished"] + "/deliver", one("piece", "piece finished")},
		{"/pieces/" + o["piece delivered"] + "/return", one("piece", "piece delivered", "note", "roto")},
		{"/pieces/" + o["piece returned"] + "/repair", one("piece", "piece returned", "note", "zurcido")},
		{"/orders/" + o["draft"] + "/cancel", one("order", "draft")},
		{"/customers/" + o["customer"] + "/edit", customer},
	} {
		s.want(c.path, s.post(c.path, "head", c.form), http.StatusSeeOther)
		shelf := s.onShelf()
		if got := s.post(c.path, "head", c.form); got.Code != http.StatusConflict && got.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s again: got %d, want it refused", c.path, got.Code)
		}
		if got := s.onShelf(); got != shelf {
			t.Errorf("%s again: %v g on the shelf, want %v", c.path, got, shelf)
		}
	}
	if faults, err := s.house.CheckBooks(ctx, s.people["head"]); err != nil || len(faults) > 0 {
		t.Errorf("books: %v %v", faults, err)
	}
	s.noFaults()
}

// upload sends a cloth file.
func (s *site) upload(path string, fields url.Values, file []byte) answer {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name := range fields {
		must(0, w.WriteField(name, fields.Get(name)))
	}
	must(must(w.CreateFormFile("file", "../../cloth.yaml")).Write(file))
	must(0, w.Close())
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return s.request(r, "head")
}

// A cloth file that is sent: kept even with errors, which are shown; refused if
// it is no text or too big.
func TestUpload(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := pairs("name", "Enviada", "kind", "scarf", "text", "urdir: 1\n# escrito antes\n")
	for _, c := range []struct {
		what string
		file []byte
		want int
	}{
		{"a picture", append([]byte("\x89PNG\r\n\x1a\n"), make([]byte, 900)...), http.StatusUnprocessableEntity},
		{"with a zero", []byte("urdir: 1\x00\n"), http.StatusUnprocessableEntity},
		{"not UTF-8", []byte("urdir: 1\nname: \xff\xfe\xfa\n"), http.StatusUnprocessableEntity},
		{"1 MB", bytes.Repeat([]byte("# \n"), 350_000), http.StatusUnprocessableEntity},
		{"3 MB", bytes.Repeat([]byte("# \n"), 1_000_000), http.StatusRequestEntityTooLarge},
	} {
		got := s.upload("/cloths/new", form, c.file)
		s.want(c.what, got, c.want)
		root := s.read(c.what, got)
		if c.want == http.StatusUnprocessableEntity {
			s.kept(c.what, root, form)
			s.beside(c.what, root, "file")
		}
	}
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := byte('b'); c < 'k'; c++ {
		p := string(c - 1)
		bomb += string(c) + ": &" + string(c) + " [" + strings.TrimSuffix(strings.Repeat("*"+p+",", 9), ",") + "]\n"
	}
	for what, file := range map[string]string{"aliases of aliases": "urdir: 1\n" + bomb, "deep": "urdir: 1\nx: " + strings.Repeat("[", 50_000), "no YAML": "urdir: 1\n\t{]", "empty parts": "\ufeffurdir: 1\nname:\n"} {
		got := s.upload("/cloths/new", form, []byte(file))
		s.want(what, got, http.StatusSeeOther)
		page, _, _ := strings.Cut(got.Header().Get("Location"), "?")
		shown := s.get(page, "head")
		s.want(what, shown, http.StatusOK)
		if len(s.read(what, shown).all("main")[0].all("ul")) == 0 || !strings.Contains(shown.body, `class="error"`) {
			t.Errorf("%s: no problems are shown", what)
		}
		if down := s.get(page+"/file", "head").body; down != strings.TrimPrefix(file, "\ufeff") {
			t.Errorf("%s: what comes back is not what was sent", what)
		}
		s.want(what+" as picture", s.get(page+"/cloth.svg", "head"), http.StatusNotFound)
	}
	s.noFaults()
}

// Bodies that are too big, or no form at all, are refused with a page.
func TestForms_bodies(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	urlencoded, many := "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"
	for _, c := range []struct {
		what, kind, body string
		want             int
	}{
		{"3 MB", urlencoded, "note=" + strings.Repeat("a", 3<<20), http.StatusRequestEntityTooLarge},
		{"3 MB in parts", many, "--x\r\nContent-Disposition: form-data; name=\"note\"\r\n\r\n" + strings.Repeat("a", 3<<20) + "\r\n--x--\r\n", http.StatusRequestEntityTooLarge},
		{"wrong escapes", urlencoded, "name=%zz", http.StatusUnprocessableEntity},
		{"cut parts", many, "--x\r\nContent-Disposition: form-data; name=\"na", http.StatusUnprocessableEntity},
		{"no boundary", "multipart/form-data", "x", http.StatusUnprocessableEntity},
		{"a zero", urlencoded, "name=a%00b", http.StatusUnprocessableEntity},
		{"not UTF-8", urlencoded, "name=%ff%fe", http.StatusUnprocessableEntity},
		{"a field that is not UTF-8", urlencoded, "name=a&%ff=1", http.StatusUnprocessableEntity},
		{"JSON", "application/json", `{"name": "x"}`, http.StatusUnprocessableEntity},
		{"many fields", urlencoded, strings.Repeat("x=1&", 20_000), http.StatusUnprocessableEntity},
	} {
		for _, path := range []string{"/customers/new", "/orders/new", "/cloths/new", "/settings", "/people/new", "/yarn/new"} {
			r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(c.body))
			r.Header.Set("Content-Type", c.kind)
			got := s.request(r, "head")
			if got.Code != c.want && (c.want != http.StatusUnprocessableEntity || got.Code != http.StatusConflict) { // no revision
				t.Errorf("%s to %s: got %d, want %d", c.what, path, got.Code, c.want)
			}
			if !strings.Contains(got.body, "<main") {
				t.Errorf("%s to %s: no page", c.what, path)
			}
		}
	}
	s.noFaults()
}

// What looks like a page's own code is shown as the text it is, wherever it is
// shown.
func TestForms_code(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, code := range []string{`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `{{.}} {{.Person}}`, `'-alert(1)-'`, `</textarea></title><b id=x>`, `javascript:alert(1)`} {
		s.plant(code)
		for _, path := range append(s.everyPage(), "/search?q="+url.QueryEscape(code), "/orders?q="+url.QueryEscape(code)+"&state="+url.QueryEscape(code), "/?done="+url.QueryEscape(code), "/signin?to="+url.QueryEscape(code)) {
			if strings.Contains(path, ".") && !strings.Contains(path, "?") || strings.HasSuffix(path, "/file") || strings.HasSuffix(path, "/draft") || strings.Contains(path, "/step/") || strings.HasPrefix(path, "/pictures/") {
				continue // pictures and documents: TestPictures, TestDyeing_forms, TestDyeing_stepPictures
			}
			got := s.get(path, "head")
			for _, f := range faultsOf(got.body, "es") {
				if !strings.HasPrefix(f, "words are missing") || !strings.Contains(code, "[") {
					t.Errorf("%s after %s: %s", path, code, f)
				}
			}
			root := s.read(path, got)
			if n := len(root.all("script")) + len(root.all("b")); strings.Contains(code, "<") && root.byID("x") != nil || n > 0 && slices.ContainsFunc(root.all("script"), func(k *node) bool { return k.attr["src"] == "" && k.attr["type"] != linkedData }) {
				t.Errorf("%s: %s is part of the page", path, code)
			}
		}
		if got := s.get("/customers/"+s.ours["customer"], "head"); !strings.Contains(s.read("customer", got).text, code) {
			t.Errorf("the customer's page does not show %s as it is", code)
		}
	}
	s.noFaults()
}

// plant puts a text into every field of every record that takes it.
func (s *site) plant(code string) {
	s.Helper()
	n := 0
	for path := range s.records() {
		form := recordForm(s.page(path, "head"))
		for _, name := range []string{"name", "label", "letter", "note", "contact", "wishes", "lines[0].wishes", "origin", "meaning", "owner", "ask", "granted", "reach", "count", "pots", "feasts", "text", "peg-0-id", "cross-1"} {
			f := form.field(name)
			if f == nil || path == "/settings" && name != "name" {
				continue
			}
			v := recordForm(s.page(path, "head")).fields()
			v.Set(name, code)
			if s.post(path, "head", v).Code == http.StatusSeeOther {
				n++
			}
		}
	}
	if n < 15 {
		s.Errorf("%s: %d fields took it, want more", code, n)
	}
	o := s.ours
	s.post("/pieces/"+o["piece delivered"]+"/return", "head", pairs("revision", s.revision("piece", o["piece delivered"]), "note", code))
	s.post("/pieces/"+o["piece delivered"]+"/repair", "head", pairs("revision", s.revision("piece", o["piece delivered"]), "note", code))
	s.post("/people/"+o["account"], "head", pairs("name", code, "login", code, "role", "seller", "lang", "es"))
}

// Lists take anything as words, state and place to go on.
func TestLists_anyQuery(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, list := range []string{"/orders", "/customers", "/cloths", "/figures", "/yarn", "/members", "/work", "/pieces", "/search", "/history", "/"} {
		for _, q := range []string{"q=%00", "q=%ff", "q=%25_%27%22", "after=x", "after=%1f%1f%1f", "after=a%1fb%1fc", "state=%00", "state=,,,", "q=" + strings.Repeat("a+", 20_000),
			"q=" + strings.Repeat("a", 50_000), "state=" + strings.Repeat("a,", 20_000), "q=%zz", ";", "done=" + strings.Repeat("a", 9999), "kind=order&id=%00", "v=1"} {
			if got := s.get(list+"?"+q, "head"); got.Code != http.StatusOK && got.Code != http.StatusNotFound {
				t.Errorf("%s?%.30s: got %d, want 200 or 404", list, q, got.Code)
			}
		}
	}
	s.noFaults()
}
