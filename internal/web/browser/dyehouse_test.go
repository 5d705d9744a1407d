package browser_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// TestDye_fromWishToJudged has a yarn of a new order dyed, by what the pages
// show: the wish, the plan, every day's baths, the scales, the verdict.
func TestDye_fromWishToJudged(t *testing.T) {
	for _, c := range []struct {
		name string
		screen
	}{
		{"telephone in Spanish", telephone},
		{"desk in English", desk},
		{"without scripts", screen{wide: 390, lang: "es"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			w := newWorld(t)
			o := &ordered{world: w, screen: c.screen, seller: w.open(t, c.screen), dyer: w.open(t, c.screen)}
			o.order(t)
			b := o.dyer
			b.signIn(workshop.Dyer)
			o.wish(t)
			o.acceptPlan(t)
			o.dye(t)
			o.judge(t)
		})
	}
}

// unfold opens what is folded below a line.
func (b *tab) unfold(text string) {
	b.t.Helper()
	s := b.find("main summary", text, false)
	b.do("unfold "+text, chromedp.MouseClickXY(s.X, s.Y))
}

// wish asks for the first yarn of the order in red of madder.
func (o *ordered) wish(t *testing.T) {
	t.Helper()
	b := o.dyer
	b.visit(o.at)
	b.unfold(b.T("wish-title"))
	b.choose(b.T("wish-recipe"), map[string]string{"es": "Rubia", "en": "Madder"}[b.words.Base])
	b.write(b.T("wish-strength"), "25")
	b.write(b.T("wish-colour"), "42, 40, 24")
	o.sound(t)
	b.press(b.T("wish-keep"))
	if !strings.Contains(b.text(), b.T("done-wished")) || !strings.Contains(b.text(), map[string]string{"es": "por teñir: Rubia en algodón", "en": "to be dyed: Madder on cotton"}[b.words.Base]) {
		t.Errorf("after the wish the order says:\n%s", b.text())
	}
}

// sound looks at the dyer's page, where scripts run: what looks is one.
func (o *ordered) sound(t *testing.T) {
	t.Helper()
	if o.script {
		o.dyer.check(t, o.dyer.path())
	}
}

// dyeing is the dyeing of the order, as the workshop has it: only to know where
// its page is and what to type.
func (o *ordered) dyeing(t *testing.T) workshop.DyeingView {
	t.Helper()
	for _, w := range o.view(t).Lines[0].Wants {
		if id := w.Lot.Value.Dye.Dyeing; id != "" {
			d, err := o.house.Dyeing(t.Context(), o.head, id)
			if err != nil {
				t.Fatal(err)
			}
			return d
		}
	}
	t.Fatal("the order has no dyeing")
	return workshop.DyeingView{}
}

// acceptPlan has the dyer look longer for a plan, and take it.
func (o *ordered) acceptPlan(t *testing.T) {
	t.Helper()
	b := o.dyer
	b.follow(b.T("dyehouse"))
	o.sound(t)
	if !strings.Contains(b.text(), b.T("no-bath")) {
		t.Errorf("the wish is not in the dye house:\n%s", b.text())
	}
	if strings.Contains(b.text(), b.T("plan-longer")) {
		b.follow(b.T("plan-longer"))
	}
	b.press(b.T("plan-accept"))
	if !strings.Contains(b.text(), b.T("done-planned")) {
		t.Errorf("the dye house does not say that the plan is accepted:\n%s", b.text())
	}
}

// dye takes undyed yarn through every day of the recipe to the scales.
func (o *ordered) dye(t *testing.T) {
	t.Helper()
	b, d := o.dyer, o.dyeing(t)
	bare, err := o.house.SaveLot(t.Context(), o.head, workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Crudo de prueba", Colour: "#e9e1d0",
		Fibre: d.Value.Fibre, Count: d.Value.Count, Dye: workshop.LotDye{Undyed: true}}})
	if err != nil {
		t.Fatal(err)
	}
	if err = o.house.Receive(t.Context(), o.head, bare.ID, 5000, workshop.Money{}, ""); err != nil {
		t.Fatal(err)
	}
	b.visit("/dye/" + d.ID)
	o.sound(t)
	b.choose(b.T("yarn-from"), "Crudo de prueba")
	b.press(b.T("dye-begin"))
	for n := range d.Value.Days {
		b.write(b.T("stage-hottest"), "60")
		b.write(b.T("stage-time"), "70")
		if n == 0 {
			o.sound(t)
		}
		b.press(b.T("stage-done"))
	}
	b.write(b.T("yarn-dry"), fmt.Sprint(int(d.Value.Mass)))
	b.press(b.T("dye-to-shelf"))
	if got := o.dyeing(t); int(got.Lot.OnShelf) != int(d.Value.Mass) {
		t.Errorf("on the shelf lie %v, want %v", got.Lot.OnShelf, int(d.Value.Mass))
	}
}

// judge has the lot, whose colour is as wished, accepted; the order goes on.
func (o *ordered) judge(t *testing.T) {
	t.Helper()
	b, d := o.dyer, o.dyeing(t)
	if _, err := o.house.ColourDyeing(t.Context(), o.head, d.ID, d.Revision, *d.Value.Standard, "typed", nil); err != nil {
		t.Fatal(err)
	}
	b.visit("/dye/" + d.ID)
	o.sound(t)
	b.press(b.T("lot-accept"))
	if s := o.dyeing(t).Value.State(); s != workshop.DyeAccepted || !strings.Contains(b.text(), b.T("dyelot-accepted")) {
		t.Errorf("the lot is %s; the page says:\n%s", s, b.text())
	}
}

// kept is what the browser keeps of the times that run.
const keptTimes = `JSON.parse(localStorage.getItem("urdir-timers") || "{}")`

// timed is a page with times on it, of a lot that waits for its baths.
func timed(t *testing.T, w world, b *tab) string {
	t.Helper()
	l, err := w.house.Dyeings(t.Context(), w.head, workshop.Page{State: string(workshop.DyePlanned)})
	if err != nil || len(l.Items) == 0 {
		t.Fatal("the demo has nothing planned in the dye house: ", err)
	}
	b.signIn(workshop.Dyer)
	b.visit("/dye/" + l.Items[0].ID)
	return "/dye/" + l.Items[0].ID
}

// startTime starts the n-th time on the page.
func (b *tab) startTime(n int) {
	b.t.Helper()
	s := eval[spot](b, "the button", fmt.Sprintf(`(() => { const e = document.querySelectorAll(".timer-go")[%d]; e.scrollIntoView({block: "center"});
		const r = e.getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2, Wrong: r.height < 44 ? "small" : ""} })()`, n))
	if s.Wrong != "" {
		b.t.Errorf("the button to start a time is %s", s.Wrong)
	}
	b.do("start", chromedp.MouseClickXY(s.X, s.Y))
}

// Times go on when the page is loaded again and when another is open, several at
// once; when one is over the page says so in its title, aloud and by shaking.
func TestTimers(t *testing.T) {
	w := newWorld(t)
	b := w.open(t, telephone)
	path := timed(t, w, b)
	if eval[bool](b, "the board", `!document.getElementById("timers").hidden`) {
		t.Error("times are said to run before one was started")
	}
	b.startTime(0)
	b.startTime(1)
	before := eval[string](b, "kept", `JSON.stringify(Object.values(`+keptTimes+`).map(t => t.begin))`)
	b.visit(path)
	if got := eval[string](b, "kept", `JSON.stringify(Object.values(`+keptTimes+`).map(t => t.begin))`); got != before || strings.Count(got, ",") != 1 {
		t.Errorf("after loading again the times began at %s, want %s", got, before)
	}
	b.visit("/dye")
	b.visit(path)
	rows := eval[[]string](b, "rows", `[...document.querySelectorAll("#timers li .timer-left")].map(e => e.textContent)`)
	if len(rows) != 2 || !strings.Contains(rows[0], ":") {
		t.Errorf("the page shows the times %v, want two that run", rows)
	}
	b.check(t, path)
	if *shots != "" {
		b.shoot("timers-390")
	}
	eval[bool](b, "let time pass", `(() => { window.shaken = 0; navigator.vibrate = () => { window.shaken++; return true };
		const all = `+keptTimes+`, t = Object.values(all)[0]; t.begin -= (t.seconds - 1) * 1000; localStorage.setItem("urdir-timers", JSON.stringify(all)); return true })()`)
	b.until("it is over", `document.title.startsWith("●")`)
	if got := eval[string](b, "alert", `document.querySelector("#timers [role=alert]").textContent`); !strings.HasPrefix(got, b.T("timer-done")) {
		t.Errorf("said aloud: %q, want %q", got, b.T("timer-done"))
	}
	if n := eval[int](b, "shaken", "window.shaken"); n != 1 {
		t.Errorf("shaken %d times, want once", n)
	}
	eval[bool](b, "put away", `(document.querySelector("#timers li.over button").click(), true)`)
	if got := eval[int](b, "left", `Object.keys(`+keptTimes+`).length`); got != 1 {
		t.Errorf("%d times are kept after one was put away, want 1", got)
	}
}

// A device whose clock is set an hour ahead loses none of a time that runs: what
// is left is as it was, by the server's clock, and the page says so.
func TestTimers_clockChanged(t *testing.T) {
	w := newWorld(t)
	b := w.open(t, telephone)
	path := timed(t, w, b)
	b.until("the server's hour is known", `performance.getEntriesByType("resource").some(e => e.name.endsWith("/healthz"))`)
	b.startTime(0)
	left := `(Object.values(` + keptTimes + `)[0].begin + Object.values(` + keptTimes + `)[0].seconds * 1000 - Date.now())`
	before := eval[float64](b, "left", left)
	b.do("set the clock", call(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
		Source: `{ const now = Date.now; Date.now = () => now() + 3600_000 }`}))
	b.visit(path)
	b.until("it is noticed", `[...document.querySelectorAll("#timers p.hint")].some(p => !p.hidden)`)
	if after := eval[float64](b, "left", left); after > before+2000 || after < before-20_000 {
		t.Errorf("left: %.0f s, before the clock was changed %.0f s", after/1000, before/1000)
	}
}

// Without scripts the times stand as words, and no button does nothing.
func TestTimers_withoutScripts(t *testing.T) {
	w := newWorld(t)
	b := w.open(t, screen{wide: 390, lang: "es"})
	timed(t, w, b)
	if n := eval[int](b, "times", `[...document.querySelectorAll(".timer-left")].filter(e => /\d/.test(e.textContent)).length`); n == 0 {
		t.Error("no times stand on the page")
	}
	if n := eval[int](b, "buttons", `document.querySelectorAll(".timer-go").length`); n != 0 || eval[bool](b, "board", `!document.getElementById("timers").hidden`) {
		t.Errorf("%d buttons to start a time, want none", n)
	}
}
