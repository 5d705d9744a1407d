package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"urdir/internal/workshop"
	"urdir/price"
	"urdir/price/books"
)

// payForm is the form of a month's page that pays those who are ticked.
func (s *site) payForm(month, who string) url.Values {
	s.Helper()
	for _, f := range s.page("/pay?month="+month, who).mainForms() {
		if f.field("month") != nil && f.field("pay") != nil {
			return f.fields()
		}
	}
	s.Fatalf("nobody is to be paid in %s", month)
	return nil
}

// The bookkeeper pays one member of the month and not the others; paying her again is
// refused; she sees it, and undoing it makes the work due again.
func TestPay_month(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	earner, month := s.ours["earner"], s.ours["month"]
	before := must(s.house.Statement(ctx, s.people["head"], earner, month))
	form := s.payForm(month, "bookkeeper")
	others := len(form["pay"]) - 1
	if others < 2 || before.Due.Minor == 0 {
		t.Fatalf("%d others, %v due; want some of both", others, before.Due)
	}
	form["pay"] = []string{earner}
	s.want("pay", s.post("/pay", "bookkeeper", form), http.StatusSeeOther)
	if again := s.post("/pay", "bookkeeper", form); again.Code != http.StatusUnprocessableEntity || !strings.Contains(again.body, "problem-list") {
		t.Errorf("paid twice: got %d", again.Code)
	}
	if left := len(s.payForm(month, "bookkeeper")["pay"]); left != others {
		t.Errorf("%d are still to be paid, want %d", left, others)
	}
	after := must(s.house.Statement(ctx, s.people["head"], earner, month))
	paid := after.Payouts[len(after.Payouts)-1]
	if after.Due.Minor != 0 || paid.Value.Paid != before.Due || paid.Value.Withheld != before.Withheld {
		t.Fatalf("after: %+v, paid %+v", after.Due, paid.Value)
	}
	mine := s.get("/pay/me?month="+month, "member")
	slip := "/pay/" + earner + "/slips/" + paid.ID + "/slip.pdf"
	if s.want("her page", mine, http.StatusOK); !strings.Contains(mine.body, paid.Value.Number) || !strings.Contains(mine.body, slip) || strings.Contains(mine.body, "/undo") {
		t.Error("her own page does not show the pay, or lets her undo it")
	}
	if got := s.get(slip, "member"); got.Code != http.StatusOK || !strings.HasPrefix(got.body, "%PDF-1.") {
		t.Errorf("her slip: %d", got.Code)
	}
	s.want("another's slip", s.get(slip, "zoila"), http.StatusNotFound)
	undo := pairs("revision", "1", "month", month)
	s.want("undo by herself", s.post("/pay/"+earner+"/slips/"+paid.ID+"/undo", "member", undo), http.StatusForbidden)
	s.want("undo", s.post("/pay/"+earner+"/slips/"+paid.ID+"/undo", "bookkeeper", undo), http.StatusSeeOther)
	if got := must(s.house.Statement(ctx, s.people["head"], earner, month)).Due; got != before.Due {
		t.Errorf("due after undoing: %v, want %v", got, before.Due)
	}
	form["due-"+earner] = []string{"USD 1"}
	s.want("what is no longer due", s.post("/pay", "bookkeeper", form), http.StatusUnprocessableEntity)
	s.sound()
}

// sound fails the test if the books are not, or the server wrote a fault.
func (s *site) sound() {
	s.Helper()
	if ps := must(s.house.AuditBooks(ctx, s.people["head"])); len(ps) > 0 {
		s.Errorf("books: %v", ps)
	}
	s.noFaults()
}

// Pay below the floor stands on the head's first page with a way to it, and not on that
// of those who may not see pay; one button mends it.
func TestPay_belowFloor(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	m := s.people["zoila"].Member
	month := theDay.Format("2006-01")
	at := "/pay/" + m + "?month=" + month
	told := pairs("month", month, "kind", "teach", "name", "Enseñar a dos", "minutes", "2 h", "pay", "4.00", "at", theDay.Format("2006-01-02"), "order", s.ours["order"])
	s.want("tell", s.post("/pay/"+m+"/told", "bookkeeper", told), http.StatusSeeOther)
	for who, sees := range map[string]bool{"head": true, "bookkeeper": true, "dyer": false, "seller": false} {
		if got := strings.Contains(s.get("/", who).body, at); got != sees {
			t.Errorf("%s sees it on the first page: %v, want %v", who, got, sees)
		}
	}
	page := s.get(at, "head").body
	// Two hours at 3.50, the workshop's floor.
	for _, says := range []string{"Enseñar a dos", "7,00\u00a0USD", "2,00\u00a0USD", "/orders/" + s.ours["order"]} {
		if !strings.Contains(page, says) {
			t.Errorf("the page does not say %q", says)
		}
	}
	s.want("raise", s.post("/pay/"+m+"/raise", "head", pairs("month", month)), http.StatusSeeOther)
	if st := must(s.house.Statement(ctx, s.people["head"], m, month)); len(st.Low) > 0 || st.Works[len(st.Works)-1].Value.Pay.Minor != 700 {
		t.Errorf("after raising: %+v", st.Works)
	}
	s.want("raise again", s.post("/pay/"+m+"/raise", "head", pairs("month", month)), http.StatusUnprocessableEntity)
	if strings.Contains(s.get("/", "head").body, at) {
		t.Error("it is still on the first page")
	}
	s.sound()
}

// Hours of a line are corrected, a line is dropped with its reason in the journal, and
// an advance is given and undone.
func TestPay_correct(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	m, month, day := s.people["zoila"].Member, theDay.Format("2006-01"), theDay.Format("2006-01-02")
	s.want("tell", s.post("/pay/"+m+"/told", "head", pairs("month", month, "kind", "meet", "name", "Junta larga", "minutes", "1", "at", day)), http.StatusSeeOther)
	works := must(s.house.Statement(ctx, s.people["head"], m, month)).Works
	w := works[len(works)-1]
	line := "/pay/" + m + "/work/" + w.ID
	form := s.page("/pay/"+m+"?month="+month+"&work="+w.ID, "head").field("counted")
	if form == nil {
		t.Fatal("the line is not offered to be corrected")
	}
	s.want("count", s.post(line+"/count", "head", pairs("revision", "1", "month", month, "counted", "2,5")), http.StatusSeeOther)
	// By the hour at 3.50: 2.5 h are 8.75.
	works = must(s.house.Statement(ctx, s.people["head"], m, month)).Works
	if got := works[len(works)-1].Value; got.Minutes != 150 || got.Pay.Minor != 875 || !got.Told {
		t.Errorf("counted: %+v", got)
	}
	s.want("drop", s.post(line+"/drop", "head", pairs("revision", "2", "month", month, "why", "Fue otra")), http.StatusSeeOther)
	if page := s.get("/books/journal?q=fue+otra", "bookkeeper").body; !strings.Contains(page, "Junta larga · Fue otra") {
		t.Error("the journal does not say why")
	}
	s.want("advance", s.post("/pay/"+m+"/advance", "head", pairs("month", month, "amount", "12,50", "share", "15 %", "note", "Pasaje")), http.StatusSeeOther)
	st := must(s.house.Statement(ctx, s.people["head"], m, month))
	a := st.Advances[len(st.Advances)-1]
	if st.Owed.Minor != 1250 || st.Share.String() != "15" || a.Value.Note != "Pasaje" {
		t.Errorf("advance: %v, %v of each pay", st.Owed, st.Share)
	}
	s.want("undo", s.post("/pay/"+m+"/advances/"+a.ID+"/undo", "head", pairs("revision", "1", "month", month)), http.StatusSeeOther)
	if st = must(s.house.Statement(ctx, s.people["head"], m, month)); st.Owed.Minor != 0 {
		t.Errorf("owed after undoing: %v", st.Owed)
	}
	s.sound()
}

// An entry by hand is written and reversed; what follows from a fact is not reversed
// here; a period with open items is closed only when they are carried over, and opened.
func TestBooks_entriesAndPeriods(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := pairs("text", "Hilo de amarre", "date", "2027-02-20", "document", "B-17", "lines[0].account", books.Overhead, "lines[0].in", "7,30", "lines[1].account", books.Cash, "lines[1].out", "7,30", "channel", "Feria")
	got := s.post("/books/entries/new", "bookkeeper", form)
	s.want("write", got, http.StatusSeeOther)
	at, _, _ := strings.Cut(got.Header().Get("Location"), "?")
	if page := s.get("/books/journal?document=B-17", "bookkeeper").body; !strings.Contains(page, at) {
		t.Error("it is not found by its document")
	}
	got = s.post(at+"/reverse", "bookkeeper", pairs("why", "Era de la casa"))
	s.want("reverse", got, http.StatusSeeOther)
	s.want("reverse again", s.post(at+"/reverse", "bookkeeper", pairs("why", "otra vez")), http.StatusUnprocessableEntity)
	es, _, err := s.house.Journal(ctx, s.people["head"], workshop.JournalPage{Account: books.Payable, Limit: 1})
	if err != nil || es[0].Source == "" {
		t.Fatalf("%+v, %v", es, err)
	}
	fact := "/books/entries/" + itoa(int(es[0].N))
	s.want("an entry of a fact", s.post(fact+"/reverse", "bookkeeper", pairs("why", "porque sí")), http.StatusUnprocessableEntity)
	if form := recordForm(s.page(fact, "bookkeeper")); form.attr["action"] != "" {
		t.Errorf("its page offers %s", form.attr["action"])
	}
	period := pairs("key", "enero", "begins", "2027-01-01", "ends", "2027-01-31", "into", books.Savings)
	refused := s.post("/books/close", "bookkeeper", period)
	if s.want("close with open items", refused, http.StatusUnprocessableEntity); !strings.Contains(refused.body, "sigue") && !strings.Contains(refused.body, "abiert") {
		t.Error("it does not say what is open")
	}
	period.Set("carry-all", "yes")
	s.want("close", s.post("/books/close", "bookkeeper", period), http.StatusSeeOther)
	closed := must(s.house.Books(ctx, s.people["head"], "")).Closed
	if closed[0].Closes != "enero" {
		t.Fatalf("closed: %+v", closed[0])
	}
	form.Set("date", "2027-01-20")
	s.want("an entry in closed books", s.post("/books/entries/new", "bookkeeper", form), http.StatusUnprocessableEntity)
	s.want("open", s.post("/books/entries/"+itoa(int(closed[0].N))+"/reverse", "bookkeeper", pairs("why", "Faltaba un recibo")), http.StatusSeeOther)
	s.want("an entry in books that are open again", s.post("/books/entries/new", "bookkeeper", form), http.StatusSeeOther)
	s.sound()
}

// The accountant gets the whole journal, as a table and as plain text.
func TestBooks_exports(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for path, says := range map[string]string{"/books/journal.csv": "assets:cash", "/books/journal.txt": "    assets:cash"} {
		got := s.get(path, "bookkeeper")
		s.want(path, got, http.StatusOK)
		if !strings.Contains(got.body, says) || !strings.Contains(got.Header().Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %.200s", path, got.body)
		}
		s.want(path+" by the seller", s.get(path, "seller"), http.StatusForbidden)
	}
	s.noFaults()
}

// Yarn that comes in is worth what it cost; its page says so, with the kilo's average.
func TestLot_cost(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	l := must(s.house.SaveLot(ctx, s.people["dyer"], workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Prueba", Colour: "#336699", Fibre: "cotton", Count: "Ne 8/2"}}))
	s.want("receive", s.post("/yarn/"+l.ID+"/receive", "dyer", pairs("grams", "500", "cost", "7,50")), http.StatusSeeOther)
	s.want("receive more", s.post("/yarn/"+l.ID+"/receive", "dyer", pairs("grams", "1 kg", "cost", "18.00")), http.StatusSeeOther)
	stock, _, err := s.house.Lot(ctx, s.people["dyer"], l.ID)
	if err != nil || stock.Worth != (price.Money{Minor: 2550, Currency: "USD"}) || stock.Kilo.Minor != 1700 {
		t.Errorf("worth %v, a kilo %v, %v; want 25.50 and 17.00", stock.Worth, stock.Kilo, err)
	}
	if page := s.get("/yarn/"+l.ID, "dyer").body; !strings.Contains(page, "25,50") || !strings.Contains(page, "17,00") {
		t.Error("its page does not say what it cost")
	}
	s.sound()
}

// What the settings of money hold is kept as typed; without a rate nothing was agreed
// for a kind of work. How the workshop sells stands on another page, and stays.
func TestMoneySettings(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := recordForm(s.page("/settings/money", "bookkeeper")).fields()
	form.Set("pay-weave", "4,25")
	form.Set("pay-sew", "")
	form.Set("minutes.meet", "1,5")
	form.Set("accounts", "expenses:rent\nequity:roof-fund\n")
	form.Set("rates[1].from", "mxn")
	form.Set("rates[1].rate", "0,055")
	form.Set("pay-day", "10")
	s.want("keep", s.post("/settings/money", "bookkeeper", form), http.StatusSeeOther)
	set := must(s.house.Settings(ctx, s.people["head"])).Value
	m := set.Money
	if _, sew := m.Pay["sew"]; m.Pay["weave"].Rate.Minor != 425 || sew || m.Minutes["meet"] != 90 || !m.Aim.Margin.IsPos() || len(m.Accounts) != 2 || m.Accounts[1].Kind != books.Equity ||
		len(m.Exchange) != 2 || m.Exchange[1].From != "MXN" || m.Exchange[1].Rate.String() != "0.055" || m.PayDay != 10 {
		t.Errorf("kept %+v", m)
	}
	if page := s.get("/pay?month=2027-02", "head").body; !strings.Contains(page, "10 de marzo de 2027") {
		t.Error("the month's page does not say when it is paid")
	}
	s.noFaults()
}
