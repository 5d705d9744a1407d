package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// told is a lot of the demo that was dyed here and is in pieces, and its story.
func (s *site) told() (workshop.LotStock, workshop.Story) {
	s.Helper()
	for _, d := range must(s.house.Dyeings(ctx, s.people["head"], workshop.Page{})).Items {
		story := must(s.house.Story(ctx, s.people["head"], d.Value.Lot))
		if len(story.Pieces) > 0 && len(story.Used) > 0 {
			l, _, err := s.house.Lot(ctx, s.people["head"], d.Value.Lot)
			if err != nil {
				s.Fatal(err)
			}
			return l, story
		}
	}
	s.Fatal("no lot of the demo is in pieces")
	return workshop.LotStock{}, workshop.Story{}
}

// From a piece to the plant, and from the plant back to the piece, by links alone.
func TestStory_bothWays(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	lot, story := s.told()
	plant := story.Used[0].Supply
	for _, u := range story.Used {
		if strings.Contains(u.Supply.Value.What, " ") {
			plant = u.Supply
		}
	}
	has := func(page, link string) {
		t.Helper()
		for _, a := range s.page(page, "seller").all("a") {
			if to, _, _ := strings.Cut(a.attr["href"], "#"); to == link {
				return
			}
		}
		t.Errorf("%s has no link to %s", page, link)
	}
	piece := story.Pieces[0]
	at, bath, bag := "/yarn/"+lot.ID, "/dye/"+story.Dyeing.ID, "/supplies/"+plant.ID
	for _, step := range [][2]string{{"/pieces/" + piece.ID, at}, {"/pieces/" + piece.ID, bath}, {at, bag}, {bag, bath}, {bath, at}, {at, "/pieces/" + piece.ID},
		{at, "/customers/" + piece.Customer.ID}, {at, "/yarn/" + story.From.ID}, {"/yarn/" + story.From.ID, at}, {at, "/work/" + story.Jobs[0].ID}} {
		has(step[0], step[1])
	}
	page := s.get(at, "seller").body
	for _, says := range []string{plant.Value.Gathered, "CIEDE2000", "labels.pdf", "/trials"} {
		if !strings.Contains(page, says) {
			t.Errorf("the lot does not tell %q", says)
		}
	}
	if strings.Contains(page, at+"/colour") {
		t.Error("the seller is offered to tell its colour")
	}
	s.noFaults()
}

// Undyed yarn is said to be so in its form, and stays so.
func TestLot_undyed(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	form := recordForm(s.page("/yarn/"+s.ours["lot"]+"/edit", "dyer")).fields()
	for _, yes := range []bool{true, false} {
		form.Del("undyed")
		if yes {
			form.Set("undyed", "yes")
		}
		s.want("keep", s.post("/yarn/"+s.ours["lot"]+"/edit", "dyer", form), http.StatusSeeOther)
		l, _, err := s.house.Lot(ctx, s.people["head"], s.ours["lot"])
		if err != nil || l.Value.Dye.Undyed != yes {
			t.Errorf("undyed: %v %v, want %v", l.Value.Dye.Undyed, err, yes)
		}
		form = recordForm(s.page("/yarn/"+s.ours["lot"]+"/edit", "dyer")).fields()
		if form.Has("undyed") != yes {
			t.Errorf("the form shows %v, want %v", form.Has("undyed"), yes)
		}
	}
	s.noFaults()
}

// A wish finds the nearest lots, however it is written; what is no colour is said.
func TestShelf(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	lot, _ := s.told()
	want := lot.Value.Dye.Measured
	typed := s.get("/yarn/shelf?by=wish&wish="+url.QueryEscape(want.String()), "seller")
	picked := s.get("/yarn/shelf?by=picked&picked="+url.QueryEscape(lot.Value.Colour), "seller")
	for name, got := range map[string]answer{"typed": typed, "picked": picked} {
		s.want(name, got, http.StatusOK)
		list := s.read(name, got).all("ul")
		found := ""
		for _, ul := range list {
			if ul.attr["class"] == "list" && found == "" {
				found = ul.all("a")[0].attr["href"]
			}
		}
		if found != "/yarn/"+lot.ID {
			t.Errorf("%s: nearest is %s, want %s", name, found, lot.ID)
		}
	}
	if !strings.Contains(typed.body, "no se distinguen") || !strings.Contains(typed.body, "ΔE 0,0") {
		t.Error("the lot's own colour is not said to be the same")
	}
	for _, nothing := range []string{"rojo", "140; 0; 0", "1,2,3,4,5", strings.Repeat("9", 900)} {
		got := s.get("/yarn/shelf?by=wish&wish="+url.QueryEscape(nothing), "seller")
		s.want(nothing[:3], got, http.StatusOK)
		if !strings.Contains(got.body, "w-wish") {
			t.Errorf("%.20q is taken for a colour", nothing)
		}
	}
	s.noFaults()
}

// Another lot is looked at in a cloth and in an order, and there it is taken: the
// other lots of the line stay.
func TestInstead(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	lot, _ := s.told()
	o := must(s.house.Order(ctx, s.people["head"], s.ours["order"]))
	line := o.Lines[0]
	yarn := ""
	for _, w := range line.Wants {
		if w.Lot.ID != "" && w.Lot.ID != lot.ID && w.Need.Mass > 0 {
			yarn = w.Yarn
		}
	}
	q := "?yarn=" + url.QueryEscape(yarn) + "&lot=" + lot.ID
	at := "/orders/" + o.ID + "/" + line.ID + "/with"
	for _, path := range []string{at, at + q, "/cloths/" + line.Cloth.ID + "/with", "/cloths/" + line.Cloth.ID + "/with" + q + "&v=1"} {
		s.want(path, s.get(path, "seller"), http.StatusOK)
	}
	with, without := s.get(at+".svg"+q, "seller").body, s.get(at+".svg?yarn="+url.QueryEscape(yarn), "seller").body
	if !strings.Contains(with, lot.Value.Colour) || with == without {
		t.Error("the cloth is not drawn in the lot's colour")
	}
	if strings.Contains(s.get(at+q, "seller").body, "/lots/"+line.ID) {
		t.Error("the seller is offered to choose the lot")
	}
	form := recordForm(s.page(at+q, "dyer")).fields()
	s.want("use it", s.post("/orders/"+o.ID+"/lots/"+line.ID, "dyer", form), http.StatusSeeOther)
	now := must(s.house.Order(ctx, s.people["head"], o.ID)).Lines[0].Lots
	for y, was := range line.Lots {
		want := was
		if y == yarn {
			want = lot.ID
		}
		if now[y] != want {
			t.Errorf("%s: got %s, want %s", y, now[y], want)
		}
	}
	for _, path := range []string{at + "?yarn=nada&lot=" + lot.ID, at + "?yarn=" + yarn + "&lot=nada", "/orders/" + o.ID + "/nada/with",
		"/cloths/" + line.Cloth.ID + "/with?yarn=" + yarn + "&lot=" + url.QueryEscape("\x00"), "/cloths/" + line.Cloth.ID + "/with?v=99"} {
		s.want(path, s.get(path, "dyer"), http.StatusNotFound)
	}
	s.noFaults()
}
