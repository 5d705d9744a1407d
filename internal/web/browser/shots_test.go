package browser_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

var shots = flag.String("shots", "", "folder to write pictures of the pages into")

// shot is a page to be taken a picture of.
type shot struct{ name, path string }

// TestShots writes pictures of the pages for people to look at.
func TestShots(t *testing.T) {
	if *shots == "" {
		t.Log("no pictures asked for; give a folder with -shots")
		return
	}
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		t.Fatal(err)
	}
	w := newWorld(t)
	all := append(w.places(), w.states()...)
	some := []shot{}
	for _, s := range all {
		switch s.name {
		case "today", "order-form", "cloth", "work-weaving", "settings", "lot":
			some = append(some, s)
		}
	}
	for _, g := range []struct {
		screen
		pages []shot
	}{
		{screen{wide: 1280, lang: "es", script: true}, all},
		{screen{wide: 390, lang: "es", script: true}, all},
		{screen{wide: 1280, lang: "es", dark: true, script: true}, some},
		{screen{wide: 390, lang: "es", dark: true, script: true}, some},
		{screen{wide: 1280, lang: "en", script: true}, some},
		{screen{wide: 390, lang: "en", script: true}, some},
	} {
		w.shoot(t, g.screen, g.pages)
	}
}

func (w world) shoot(t *testing.T, s screen, pages []shot) {
	shade := "light"
	if s.dark {
		shade = "dark"
	}
	b := w.open(t, s)
	take := func(name string) {
		height := eval[int64](b, "height", "document.documentElement.scrollHeight")
		ctx := b.ctx
		r, err := chromedp.Call(ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{CaptureBeyondViewport: new(true),
			Clip: &page.Viewport{Width: float64(s.wide), Height: float64(min(height, 8000)), Scale: 1}})
		b.must("picture of "+name, err)
		file := filepath.Join(*shots, fmt.Sprintf("%s-%s-%s-%d.png", name, s.lang, shade, s.wide))
		b.must("keep picture", os.WriteFile(file, r.Data, 0o644))
	}
	b.visit("/signin")
	take("signin")
	b.visit("/card/0123456789")
	take("card")
	b.signIn(workshop.Head)
	for _, p := range pages {
		b.visit(p.path)
		take(p.name)
	}
	b.refused("/orders/nothing", 404)
	take("error")
}

// places is the pages that are always there.
func (w world) places() []shot {
	return []shot{
		{"today", "/"}, {"look", "/look"}, {"search", "/search?q=marea"}, {"history", "/history"}, {"me", "/me"},
		{"orders", "/orders"}, {"order-form", "/orders/new"},
		{"customers", "/customers"}, {"customer-form", "/customers/new"},
		{"cloths", "/cloths"}, {"cloth-new", "/cloths/new"}, {"cloth-bring", "/cloths/bring"}, {"figures", "/figures"}, {"figure-form", "/figures/new"}, {"figure-draw", "/figures/new/draw"},
		{"yarn", "/yarn"}, {"lot-form", "/yarn/new"}, {"members", "/members"}, {"member-form", "/members/new"},
		{"work", "/work"}, {"pieces", "/pieces"}, {"dye", "/dye"}, {"dye-lots", "/dye/lots"},
		{"recipes", "/recipes"}, {"recipe", "/recipes/madder-cotton"}, {"recipe-form", "/recipes/new"}, {"shades", "/recipes/madder-cotton/shades"}, {"learned", "/dye/learned"},
		{"shelf", "/yarn/shelf"}, {"supplies", "/supplies"}, {"supply-form", "/supplies/new"},
		{"settings", "/settings"}, {"settings-dye", "/settings/dye"}, {"frame", "/settings/frames/0"}, {"people", "/people"}, {"account-form", "/people/new"},
		{"classes", "/classes"}, {"promises", "/promises"}, {"questions", "/questions"}, {"feeds", "/me/feeds"}, {"hours", "/me/hours"}, {"settings-calendar", "/settings/calendar"},
		{"keeping", "/keeping"}, {"server", "/keeping/server"}, {"partners", "/partners"},
		{"yarn-bring", "/yarn/bring"}, {"customers-bring", "/customers/bring"}, {"prices-bring", "/prices/bring"},
		{"pay", "/pay"}, {"books", "/books"}, {"journal", "/books/journal"}, {"entry-form", "/books/entries/new"}, {"profit", "/books/profit"}, {"books-check", "/books/check"},
		{"books-close", "/books/close"}, {"settings-money", "/settings/money"}, {"prices", "/prices"}, {"channels", "/prices/channels"}, {"ware-form", "/prices/new"},
		{"quotes", "/quotes"}, {"papers", "/papers"}, {"cards", "/cards"}, {"card-settings", "/cards/settings"}, {"shop", "/shop"},
		{"tokens", "/me/tokens"}, {"hooks", "/settings/hooks"}, {"hook-form", "/settings/hooks/new"},
	}
}

// states is the pages of single things: one order at each stage, one warp and
// one piece in each state, and one of everything else.
func (w world) states() (out []shot) {
	ctx, every := w.t.Context(), workshop.Page{}
	check := func(err error) {
		if err != nil {
			w.t.Fatal(err)
		}
	}
	seen := map[string]bool{}
	once := func(name, path string) {
		if !seen[name] {
			seen[name] = true
			out = append(out, shot{name, path})
		}
	}
	os, _, err := w.house.Orders(ctx, w.head, every)
	check(err)
	for _, o := range os.Items {
		v, failed := w.house.Order(ctx, w.head, o.ID)
		check(failed)
		if k, ok := v.Thread.Now(); ok {
			once("order-"+string(k.Stage)+"-"+string(k.State), "/orders/"+o.ID)
		} else {
			once("order-all-done", "/orders/"+o.ID)
		}
		if o.Value.Cancelled != "" {
			once("order-cancelled", "/orders/"+o.ID)
		}
		once("order-edit", "/orders/"+o.ID+"/edit")
		once("customer", "/customers/"+o.Value.Customer)
	}
	js, _, err := w.house.Jobs(ctx, w.head, every)
	check(err)
	for _, j := range js.Items {
		once(fmt.Sprintf("work-%s", j.Value.State()), "/work/"+j.ID)
	}
	ps, err := w.house.Pieces(ctx, w.head, every)
	check(err)
	for _, p := range ps.Items {
		once(fmt.Sprintf("piece-%s", p.Value.State()), "/pieces/"+p.ID)
	}
	ds, err := w.house.Dyeings(ctx, w.head, every)
	check(err)
	for _, d := range ds.Items {
		once("dyeing-"+string(d.Value.State()), "/dye/"+d.ID)
	}
	cs, err := w.house.Cloths(ctx, w.head, every)
	check(err)
	for _, c := range cs.Items {
		once("cloth", "/cloths/"+c.ID)
		once("cloth-form", "/cloths/"+c.ID+"/edit")
		once("cloth-compare", "/cloths/"+c.ID+"/compare")
		once("cloth-share", "/cloths/"+c.ID+"/share")
		once("cloth-with", "/cloths/"+c.ID+"/with")
		once("cloth-"+c.Value.Kind, "/cloths/"+c.ID)
	}
	fs, err := w.house.Figures(ctx, w.head, every)
	check(err)
	for _, f := range fs.Items {
		once("figure", "/figures/"+f.ID)
		once("figure-edit", "/figures/"+f.ID+"/edit")
	}
	ls, _, err := w.house.Lots(ctx, w.head, every)
	check(err)
	for _, l := range ls.Items {
		once("lot", "/yarn/"+l.ID)
		once("lot-edit", "/yarn/"+l.ID+"/edit")
		if l.Value.Dye.Measured != nil {
			once("lot-dyed", "/yarn/"+l.ID)
		}
		once("lot-colour", "/yarn/"+l.ID+"/colour")
		once("lot-trials", "/yarn/"+l.ID+"/trials")
	}
	gs, err := w.house.Supplies(ctx, w.head)
	check(err)
	for _, g := range gs {
		for _, b := range g.Bags {
			once("supply", "/supplies/"+b.ID)
			once("supply-edit", "/supplies/"+b.ID+"/edit")
			if b.Expired {
				once("supply-expired", "/supplies/"+b.ID)
			}
		}
	}
	ms, err := w.house.Members(ctx, w.head, every)
	check(err)
	for _, m := range ms.Items {
		once("member", "/members/"+m.ID)
		once("member-edit", "/members/"+m.ID+"/edit")
	}
	as, err := w.house.Accounts(ctx, w.head)
	check(err)
	for _, a := range as {
		once("account", "/people/"+a.ID)
	}
	return out
}
