package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"urdir/internal/demo"
	"urdir/internal/workshop"
)

func isReady(o workshop.OrderView) bool {
	return !slices.ContainsFunc(o.Pieces, func(x workshop.Kept[workshop.Piece]) bool { return x.Value.State() == workshop.Unfinished })
}

// chosenDay is the day that is ticked on a page, as its form sends it.
func chosenDay(root *node) string {
	for _, k := range root.all("input") {
		if _, on := k.attr["checked"]; on && k.attr["name"] == "day" {
			return k.attr["value"]
		}
	}
	return ""
}

// A day is asked for with the telephone at one's ear, before there is an order; the
// order is kept with it, and its page tells of the promise.
func TestPromise_newOrder(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := pairs("customer", "", "lines[0].cloth", s.ours["cloth"], "lines[0].quantity", "2", "wishes", "Para el bautizo", "due", "2027-12-01")
	form.Set("ask", "date")
	got := s.post("/orders/new", "seller", form)
	s.want("which day", got, http.StatusOK)
	root := s.read("which day", got)
	s.kept("which day", root, form)
	day := chosenDay(root)
	if !strings.Contains(got.body, `value="2027-12-01 `) || day == "" {
		t.Fatalf("the days are not to be chosen from: %q", day)
	}
	for _, f := range faultsOf(got.body, "es") {
		t.Error(f)
	}
	form.Del("ask")
	form.Set("promise", "yes")
	form.Set("day", day)
	refused := s.post("/orders/new", "seller", form)
	s.want("nobody's order", refused, http.StatusUnprocessableEntity)
	if chosenDay(s.read("nobody's order", refused)) == "" {
		t.Error("the days are gone when the customer is still to be chosen")
	}
	form.Set("customer", s.ours["customer"])
	done := s.post("/orders/new", "seller", form)
	s.want("promised", done, http.StatusSeeOther)
	at, _, _ := strings.Cut(done.Header().Get("Location"), "?")
	o := must(s.house.Order(ctx, s.people["head"], strings.TrimPrefix(at, "/orders/")))
	if date, _, _ := strings.Cut(day, " "); o.Value.Due != date || o.Value.Promise == "" {
		t.Errorf("due %s with promise %q, want %s", o.Value.Due, o.Value.Promise, date)
	}
	if page := s.page(at, "seller"); !strings.Contains(page.text, "Días que se prometieron") {
		t.Error("the order's page does not tell of the promise")
	}
	s.noFaults()
}

// A class is asked for before there is one, and when it has its day: the answer is
// that of a class, whose warps have to stand on looms the evening before.
func TestPromise_class(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := pairs("customer", s.ours["customer"], "lines[0].cloth", s.ours["cloth"], "lines[0].quantity", "2", "class", "yes", "due", "2027-12-01", "ask", "date")
	got := s.post("/orders/new", "seller", form)
	s.want("which day", got, http.StatusOK)
	root := s.read("which day", got)
	day := chosenDay(root)
	if !strings.Contains(root.text, "se puede dar la clase") || !strings.Contains(got.body, `value="2027-12-01 `) || day == "" {
		t.Fatalf("not a class's answer; the day is %q", day)
	}
	for _, f := range faultsOf(got.body, "es") {
		t.Error(f)
	}
	form.Del("ask")
	form.Set("promise", "yes")
	form.Set("day", day)
	done := s.post("/orders/new", "seller", form)
	s.want("kept", done, http.StatusSeeOther)
	if at := done.Header().Get("Location"); !strings.Contains(at, "/class/edit") {
		t.Errorf("then on %s", at)
	}
	page := s.page("/orders/"+s.ours["class"]+"/date", "head")
	if !strings.Contains(page.text, "La tarde antes") || strings.Contains(page.text, "Prometer este día") || strings.Contains(page.text, "Qué lo adelantaría") {
		t.Errorf("not a class's answer:\n%s", page.text)
	}
	s.noFaults()
}

// A promise is given anew on the page of the day; a late one is marked.
func TestPromise_newDay(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s = serveSite(t, workshop.New(s.db, demo.NewClock(theDay.AddDate(0, 0, 20)).Now), s.db, s.season, Options{})
	var open workshop.Kept[workshop.Order]
	all, _, err := s.house.Orders(ctx, s.people["head"], workshop.Page{State: "open"})
	for _, o := range must(all, err).Items {
		if o.Value.Class == nil && o.Value.Due < "2027-03-22" && !isReady(must(s.house.Order(ctx, s.people["head"], o.ID))) && o.Value.Promise != "" {
			open = o
		}
	}
	if open.ID == "" {
		t.Fatal("the demo has no late promise")
	}
	at := "/orders/" + open.ID
	if page := s.page(at, "head"); !strings.Contains(page.text, "sin terminar") {
		t.Error("the late promise is not marked")
	}
	if list := s.page("/orders?state=open", "head"); !strings.Contains(list.text, "atrasado") {
		t.Error("the list does not mark the late order")
	}
	if page := s.page(at+"/date?by=2027-01-01", "head"); !strings.Contains(page.text, "El 1 de enero de 2027 no estaba listo ninguna vez") {
		t.Errorf("of a day that is past it is said:\n%s", page.text)
	}
	page := s.page(at+"/date?sure=95&by=2027-06-01&earlier=1", "head")
	day := chosenDay(page)
	none := s.post(at+"/promise", "head", pairs("revision", s.revision("order", open.ID)))
	s.want("no day", none, http.StatusUnprocessableEntity)
	if w := s.read("no day", none).byID("w-day"); w == nil || w.text == "" {
		t.Error("nothing is said beside the days")
	}
	s.want("past", s.post(at+"/promise", "head", pairs("revision", s.revision("order", open.ID), "day", "2027-01-01 0.8")), http.StatusUnprocessableEntity)
	s.want("promise", s.post(at+"/promise", "head", url.Values{"revision": {s.revision("order", open.ID)}, "day": {day}}), http.StatusSeeOther)
	given, _, err := s.house.Promises(ctx, s.people["head"], open.ID, workshop.Page{})
	if len(must(given, err)) != 2 || !strings.HasPrefix(day, given[0].Value.Day) || given[0].Value.Probability < 0.95 {
		t.Errorf("given: %+v, want %s", given, day)
	}
	s.noFaults()
}

// What is in the way of a day stands on the page, with what would mend it.
func TestPromise_none(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	for _, m := range must(s.house.Members(ctx, head, workshop.Page{})).Items {
		must(s.house.SaveHours(ctx, head, m.ID, m.Revision, workshop.Hours{Absences: []workshop.Absence{{From: "2027-01-01"}}}))
	}
	got := s.get("/orders/"+s.ours["draft"]+"/date", "head")
	s.want("nobody has hours", got, http.StatusOK)
	if root := s.read("nobody has hours", got); len(root.all("main")[0].all("ul")) == 0 || chosenDay(root) != "" {
		t.Errorf("nothing says why there is no day:\n%s", root.all("main")[0].text)
	}
	done := s.get("/orders/"+s.ours["cancelled"]+"/date", "head")
	s.want("cancelled", done, http.StatusOK)
	s.noFaults()
}
