package web

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"urdir/internal/archive"
	"urdir/internal/workshop"
)

// sharing invites a workshop to share and offers it yarn.
func sharing(h *workshop.House, p workshop.Person) (partner, offer string) {
	must(h.InvitePartner(ctx, p, "Taller del Estero"))
	all := must(h.Partners(ctx, p))
	l, _, err := h.Lots(ctx, p, workshop.Page{})
	o := must(h.OfferYarn(ctx, p, workshop.Kept[workshop.YarnOffer]{Value: workshop.YarnOffer{Lot: must(l, err).Items[0].ID, Grams: 100}}))
	return all[0].ID, o.ID
}

// sendTable sends a table of customers as a browser does, with fields beside it.
func (s *site) sendTable(name string, body []byte, fields ...string) answer {
	s.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for i := 0; i+1 < len(fields); i += 2 {
		if err := w.WriteField(fields[i], fields[i+1]); err != nil {
			s.Fatal(err)
		}
	}
	if name != "" {
		if _, err := must(w.CreateFormFile("file", name)).Write(body); err != nil {
			s.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		s.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, "/customers/bring", &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return s.request(r, "seller")
}

// A backup made on the page is one that restores, and is listed then.
func TestKeeping_backup(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get("/keeping", "head", "Accept-Language", "en")
	s.want("page", page, http.StatusOK)
	made := s.post("/keeping/backup", "head", pairs())
	s.want("backup", made, http.StatusSeeOther)
	if after := s.get("/keeping", "head"); !strings.Contains(after.body, "urdir-20270302T") {
		t.Error("the page does not name the backup that was made")
	}
	sent := s.post("/keeping/backup/file", "head", pairs())
	s.want("backup as a file", sent, http.StatusOK)
	file := filepath.Join(t.TempDir(), "sent.urdir")
	if err := os.WriteFile(file, sent.Body.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := archive.Try(t.Context(), file); err != nil {
		t.Error("the backup that was sent does not restore: ", err)
	}
	s.noFaults()
}

// The head of another workshop of the server takes no backup, which would hold
// this one's, and her export holds her own alone.
func TestKeeping_anotherWorkshop(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, path := range []string{"/keeping/backup", "/keeping/backup/file", "/keeping/server"} {
		s.want(path, s.post(path, "foreign", pairs()), http.StatusForbidden)
	}
	s.want("page", s.get("/keeping", "foreign"), http.StatusOK)
	sent := s.post("/keeping/export", "foreign", pairs("accounts", "yes"))
	s.want("export", sent, http.StatusOK)
	z := must(zip.NewReader(bytes.NewReader(sent.Body.Bytes()), int64(sent.Body.Len())))
	all := string(must(io.ReadAll(must(z.Open("tables/accounts.jsonl")))))
	if !strings.Contains(all, "fermina") || strings.Contains(all, "amaranta") {
		t.Errorf("accounts of the export: %.300s", all)
	}
	s.noFaults()
}

// Whatever list goes out has a line for each thing, in both forms alike, and
// nothing in it that a spreadsheet would reckon (OWASP, CSV injection).
func TestLists_goOut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	evil := `=HYPERLINK("http://nowhere.example","x")`
	must(s.house.SaveCustomer(ctx, s.people["head"], workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: evil}}))
	must(s.house.SaveWare(ctx, s.people["head"], workshop.Kept[workshop.Ware]{Value: workshop.Ware{Name: "Rebozo", Price: workshop.Money{Minor: 4550, Currency: "USD"}}}))
	for _, l := range lists {
		text := s.get("/lists/"+l.name+".csv", "head", "Accept-Language", "en")
		s.want(l.name, text, http.StatusOK)
		r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text.body, "\ufeff")))
		if strings.Contains(strings.SplitN(text.body, "\n", 2)[0], ";") {
			r.Comma = ';'
		}
		rows, err := r.ReadAll()
		if err != nil || len(rows) < 2 {
			t.Errorf("%s: %d rows, %v", l.name, len(rows), err)
			continue
		}
		for _, row := range rows {
			for _, cell := range row {
				if cell != "" && strings.ContainsRune("=+-@", rune(cell[0])) {
					t.Errorf("%s: a spreadsheet reckons %q", l.name, cell)
				}
			}
		}
		sheet := s.get("/lists/"+l.name+".xlsx", "head")
		f, err := excelize.OpenReader(bytes.NewReader(sheet.Body.Bytes()))
		if err != nil {
			t.Errorf("%s: %v", l.name, err)
			continue
		}
		got := must(f.GetRows(f.GetSheetName(0)))
		if len(got) != len(rows) {
			t.Errorf("%s: %d rows as XLSX, %d as CSV", l.name, len(got), len(rows))
		}
		if formula, _ := f.GetCellFormula(f.GetSheetName(0), "B2"); formula != "" {
			t.Errorf("%s: a formula %q", l.name, formula)
		}
	}
	s.noFaults()
}

// What goes out as a table comes in again and changes nothing, in either
// language.
func TestLists_comeInAgain(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	must(s.house.SaveWare(ctx, s.people["head"], workshop.Kept[workshop.Ware]{Value: workshop.Ware{Name: "Rebozo", Price: workshop.Money{Minor: 4550, Currency: "USD"}}}))
	for _, lang := range []string{"es", "en"} {
		s.want("language", s.post("/language", "head", pairs("lang", lang)), http.StatusSeeOther)
		for list, kind := range map[string]string{"yarn": workshop.ImportYarn, "customers": workshop.ImportCustomers, "prices": workshop.ImportPrices} {
			for _, form := range []string{".csv", ".xlsx"} {
				body := s.get("/lists/"+list+form, "head").Body.Bytes()
				got, err := s.house.PreviewImport(ctx, s.people["head"], kind, body)
				if err != nil || got.Same == 0 || got.Same != len(got.Rows) || len(got.Ignored) > 0 {
					t.Errorf("%s %s%s: %d rows, %d the same, ignored %v, %v %v", lang, list, form, len(got.Rows), got.Same, got.Ignored, got.Rows, err)
				}
			}
		}
	}
}

// A table is looked at, then brought in as it was looked at.
func TestBringTable(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.sendTable("c.csv", []byte("name;contact\nRosaura Peña;+1 555 0101\n;nobody\n"))
	s.want("with a fault", page, http.StatusOK)
	if strings.Contains(page.body, `name="mark"`) {
		t.Error("a table with a fault can be brought in")
	}
	if !strings.Contains(page.body, `<th scope="row">3</th>`) {
		t.Error("the page does not name the line that is wrong")
	}
	page = s.sendTable("c.csv", []byte("name;contact\nRosaura Peña;+1 555 0101\n"))
	s.want("look", page, http.StatusOK)
	sent := must(parse(page.body)).mainForms()[0].fields()
	if l := must(s.house.Customers(ctx, s.people["head"], workshop.Page{Find: "Rosaura"})); len(l.Items) != 0 {
		t.Error("to look at a table brought it in")
	}
	must(s.house.SaveCustomer(ctx, s.people["head"], workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: "Otra"}}))
	page = s.sendTable("", nil, "mark", sent.Get("mark"), "body", sent.Get("body"))
	s.want("after a change", page, http.StatusConflict)
	sent = must(parse(page.body)).mainForms()[0].fields()
	s.want("go", s.sendTable("", nil, "mark", sent.Get("mark"), "body", sent.Get("body")), http.StatusSeeOther)
	if l := must(s.house.Customers(ctx, s.people["head"], workshop.Page{Find: "Rosaura"})); len(l.Items) != 1 {
		t.Errorf("brought in: %d", len(l.Items))
	}
	for name, body := range map[string]string{"empty": "", "no headings": "a;b\n1;2\n", "binary": "\xd0\xcf\x11\xe0"} {
		s.want(name, s.sendTable("c.csv", []byte(body)), http.StatusUnprocessableEntity)
	}
	s.want("nothing", s.sendTable("", nil), http.StatusUnprocessableEntity)
	s.want("too large", s.sendTable("c.csv", make([]byte, 9<<20)), http.StatusUnprocessableEntity)
	s.want("changed on the way", s.sendTable("", nil, "mark", "x", "body", "!"), http.StatusUnprocessableEntity)
	s.noFaults()
}

// She is erased when that was asked for twice and her name was written; what is
// handed over before holds her name, and the pages after do not.
func TestPerson(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	c := must(s.house.SaveCustomer(ctx, s.people["head"], workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: "Hermelinda Oquendo", Contact: "hermelinda@nowhere.example"}}))
	path := "/customers/" + c.ID
	file := s.get(path+"/data.zip", "head")
	s.want("file", file, http.StatusOK)
	z := must(zip.NewReader(bytes.NewReader(file.Body.Bytes()), int64(file.Body.Len())))
	for _, name := range []string{"data.json", "data.txt"} {
		if body := must(io.ReadAll(must(z.Open(name)))); !bytes.Contains(body, []byte("hermelinda@nowhere.example")) {
			t.Errorf("%s does not hold how she is reached: %.200s", name, body)
		}
	}
	s.want("once", s.post(path+"/erase", "head", pairs()), http.StatusOK)
	s.want("another name", s.post(path+"/erase", "head", pairs("sure", "Rosa", "revision", "1")), http.StatusUnprocessableEntity)
	if got := must(firstOf(s.house.Customer(ctx, s.people["head"], c.ID))); got.Value.Name != c.Value.Name {
		t.Error("she was erased before she was to be")
	}
	done := s.post(path+"/erase", "head", pairs("sure", " hermelinda oquendo ", "revision", "1"))
	s.want("twice", done, http.StatusOK)
	for _, page := range []string{path, "/customers", "/history"} {
		if strings.Contains(s.get(page, "head").body, "Oquendo") {
			t.Errorf("%s still names her", page)
		}
	}
	open := must(s.house.Order(ctx, s.people["head"], s.ours["order"])).Customer
	busy := s.post("/customers/"+open.ID+"/erase", "head", pairs("sure", open.Value.Name, "revision", itoa(int(open.Revision))))
	s.want("with an order open", busy, http.StatusUnprocessableEntity)
	s.noFaults()
}

func firstOf[A, B any](a A, _ B, err error) (A, error) { return a, err }

// Two workshops share from when both agreed, and show each other's load and yarn,
// but no name of a person.
func TestPartners(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.post("/partners/invite", "head", pairs("name", "Taller Ajeno"))
	s.want("invite", page, http.StatusOK)
	code := ""
	for _, p := range must(parse(page.body)).all("p") {
		if strings.HasPrefix(p.text, s.people["head"].Workshop+".") {
			code = p.text
		}
	}
	s.want("answer", s.post("/partners/answer", "foreign", pairs("code", code)), http.StatusSeeOther)
	var id, revision string
	for _, p := range must(s.house.Partners(ctx, s.people["head"])) {
		if p.State == workshop.PartnerAsks {
			id, revision = p.ID, itoa(int(p.Revision))
		}
	}
	if strings.Contains(s.get("/partners", "foreign").body, "Bahía") {
		t.Error("the other sees before both agreed")
	}
	s.want("agree", s.post("/partners/"+id+"/agree", "head", pairs("revision", revision)), http.StatusSeeOther)
	mine := must(s.house.Settings(ctx, s.people["head"])).Value.Name
	theirs := s.get("/partners", "foreign").body
	if !strings.Contains(theirs, mine) {
		t.Errorf("the other does not see %s", mine)
	}
	for _, name := range []string{"Amaranta", "Benita"} {
		if strings.Contains(theirs, name) {
			t.Errorf("the other sees %s", name)
		}
	}
	s.want("wrong code", s.post("/partners/answer", "foreign", pairs("code", "x.y")), http.StatusUnprocessableEntity)
	s.noFaults()
}

// A new workshop's head enters by the link that is shown once, and finds nothing
// of the others.
func TestServer_newWorkshop(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.post("/keeping/server", "head", pairs("workshop", "Taller del Estero", "name", "Ludivina", "login", "ludivina", "lang", "es"))
	s.want("make", page, http.StatusOK)
	_, after, ok := strings.Cut(page.body, "/invite/")
	key, _, _ := strings.Cut(after, "<")
	if !ok {
		t.Fatal("no link is shown")
	}
	in := s.post("/invite/"+key, "", pairs("passphrase", "una frase bien larga"))
	s.want("enter", in, http.StatusSeeOther)
	s.keys["new"] = in.Result().Cookies()[0].Value
	if got := s.get("/customers", "new"); got.Code != http.StatusOK || strings.Contains(got.body, "/customers/"+s.ours["customer"]) {
		t.Errorf("customers: %d", got.Code)
	}
	s.want("twice", s.post("/keeping/server", "head", pairs("workshop", "Otro", "name", "Ludivina", "login", "ludivina", "lang", "es")), http.StatusUnprocessableEntity)
	delete(s.keys, "new")
	s.noFaults()
}
