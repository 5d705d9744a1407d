package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"urdir/internal/demo"
	"urdir/internal/workshop"
)

// A class begins as an order, gets its day and hours, learners come and go, and its
// page says what must be ready.
func TestClass_story(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	var cloth string
	for _, c := range must(s.house.Cloths(ctx, s.people["head"], workshop.Page{})).Items {
		if c.Value.Kind == "class" {
			cloth = c.ID
		}
	}
	if cloth == "" {
		t.Fatal("the demo has no cloth for classes")
	}
	if !strings.Contains(s.page("/orders/new?class=yes", "seller").text, "Primero el pedido") {
		t.Error("the form does not say that a class begins here")
	}
	got := s.post("/orders/new", "seller", pairs("class", "yes", "customer", s.ours["customer"], "lines[0].cloth", cloth, "lines[0].quantity", "2"))
	s.want("order", got, http.StatusSeeOther)
	at, _, _ := strings.Cut(got.Header().Get("Location"), "?")
	form := recordForm(s.page(at, "seller")).fields()
	form.Set("day", "2027-05-12")
	form.Set("seats", "3")
	s.want("class", s.post(at, "seller", form), http.StatusSeeOther)
	page := strings.TrimSuffix(at, "/edit")
	order := strings.TrimPrefix(strings.TrimSuffix(page, "/class"), "/orders/")
	s.want("one more", s.post("/orders/"+order+"/learners", "seller", pairs("revision", s.revision("order", order), "more", "1")), http.StatusSeeOther)
	full := s.post("/orders/"+order+"/learners", "seller", pairs("revision", s.revision("order", order), "more", "1"))
	s.want("no seat left", full, http.StatusUnprocessableEntity)
	s.want("one fewer", s.post("/orders/"+order+"/learners", "seller", pairs("revision", s.revision("order", order), "fewer", "1")), http.StatusSeeOther)
	shown := s.page(page, "seller")
	if len(shown.all("table")) == 0 || !strings.Contains(shown.text, "Montar el telar") {
		t.Errorf("nothing says what must be ready:\n%s", shown.all("main")[0].text)
	}
	if list := s.page("/classes", "head"); !strings.Contains(list.text, "2 de 3 lugares") {
		t.Error("the list does not have it")
	}
	s.want("no class", s.post(at, "seller", pairs("revision", s.revision("order", order), "none", "yes")), http.StatusSeeOther)
	s.want("an order like others", s.get(page, "seller"), http.StatusSeeOther)
	s.noFaults()
}

// Hours as they are typed are kept; a member writes her own.
func TestHours_own(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := recordForm(s.page("/me/hours", "member")).fields()
	form.Set("sun.1.from", "20:00")
	form.Set("sun.1.to", "00:00")
	form.Set("away.0.from", "2027-03-10")
	form.Set("away.0.to", "2027-03-12")
	form.Set("away.0.why", "Fiesta del barrio")
	s.want("her own", s.post("/me/hours", "member", form), http.StatusSeeOther)
	h := must(s.house.Hours(ctx, s.people["head"], s.people["member"].Member)).Value.Time
	last := h.Offers[len(h.Offers)-1]
	if last != (workshop.Offer{Day: "sun", From: 1200, To: 1440}) || len(h.Absences) != 1 || h.Absences[0].Why != "Fiesta del barrio" {
		t.Errorf("kept: %+v", h)
	}
	again := recordForm(s.page("/me/hours", "member")).fields()
	if again.Get("sun.1.to") != "00:00" || again.Get("away.0.to") != "2027-03-12" {
		t.Errorf("shown again: %v", again)
	}
	s.want("another's", s.get("/members/"+s.ours["hours"]+"/hours", "member"), http.StatusForbidden)
	s.noFaults()
}

// Minutes that are far from usual are asked about, from the first page on; each
// answer is kept, and then nothing is asked any more.
func TestQuestions_answers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ field, value string }{{"say", "120"}, {"unknown", "yes"}, {"other", "1,5 h"}} {
		s := newSite(t)
		if !strings.Contains(s.get("/", "head").body, `href="/questions"`) {
			t.Error("the first page does not lead to the question")
		}
		before := len(must(s.house.Questions(ctx, s.people["head"])))
		a := must(s.house.Questions(ctx, s.people["head"]))[0]
		field := c.field
		if field == "other" {
			field = "minutes." + questionsView{}.Spot(a)
		}
		s.want(c.field, s.post("/work/"+a.Job+"/answer", "head", pairs("revision", s.revision("job", a.Job), "fact", s.ours["asked fact"], field, c.value)), http.StatusSeeOther)
		if after := len(must(s.house.Questions(ctx, s.people["head"]))); after != before-1 {
			t.Errorf("%s: %d questions, were %d", c.field, after, before)
		}
		s.noFaults()
	}
}

// Of few promises nothing is claimed; of none the page says what will be there.
func TestPromises_few(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.page("/promises", "head")
	if !strings.Contains(page.text, "muy pocas para saber") || strings.Contains(page.text, "calzado") || len(page.all("circle")) == 0 {
		t.Errorf("of few promises:\n%s", page.all("main")[0].text)
	}
	if none := s.page("/promises", "foreign"); !strings.Contains(none.text, "Todavía no pasa ningún día prometido") {
		t.Errorf("of none:\n%s", none.all("main")[0].text)
	}
	s.noFaults()
}

// The demo's clock may stand anywhere: a class that is over is told as such.
func TestClass_over(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s = serveSite(t, workshop.New(s.db, demo.NewClock(theDay.Add(28*24*time.Hour)).Now), s.db, s.season, Options{})
	if page := s.page("/orders/"+s.ours["class"]+"/class", "head"); !strings.Contains(page.text, "Su día ya pasó") {
		t.Errorf("a class that is over:\n%s", page.all("main")[0].text)
	}
	s.noFaults()
}

// How long it took is told once for each telling, in minutes or hours.
func TestWorked_told(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.untimed()
	s.want("worked", s.post("/work/"+id+"/worked", "head", pairs("revision", s.revision("job", id), "minutes", "2,5 h")), http.StatusSeeOther)
	j := must(s.house.Job(ctx, s.people["head"], id))
	if f := j.Value.Facts[len(j.Value.Facts)-1]; f.Minutes != 150 || j.Untimed() {
		t.Errorf("kept: %+v", f)
	}
	if strings.Contains(s.get("/work/"+id, "head").body, "/worked") {
		t.Error("it is asked for again")
	}
	s.noFaults()
}
