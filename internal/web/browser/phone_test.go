package browser_test

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"sync/atomic"
	"testing"

	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// waiting is how many tellings wait in the browser, of whoever.
const waiting = `new Promise((yes) => { const o = indexedDB.open("urdir-hand", 1); o.onsuccess = () => {
	const r = o.result.transaction("tellings").objectStore("tellings").getAll(); r.onsuccess = () => { yes(r.result.length); o.result.close(); }; }; })`

// inHand opens a tab on a member's own page, with a warp she weaves.
func (w world) inHand(t *testing.T) (*tab, workshop.Person, workshop.HandJob) {
	t.Helper()
	me := w.person(t, workshop.MemberRole)
	b := w.open(t, telephone)
	b.signIn(workshop.MemberRole)
	b.visit("/hand")
	return b, me, w.weaving(t, me)
}

// weaving is her first warp, told to be laid if it is not yet.
func (w world) weaving(t *testing.T, me workshop.Person) workshop.HandJob {
	t.Helper()
	h, err := w.house.Hand(t.Context(), me)
	if err != nil || len(h.Jobs) == 0 {
		t.Fatalf("nothing in her hands: %v", err)
	}
	return h.Jobs[0]
}

// tellCM tells by the queue that the page uses.
func (b *tab) tellCM(job, cm string) {
	b.t.Helper()
	eval[bool](b, "tell", `handQueue.put(document.getElementById("hand").dataset.account, {kind: "woven", job: `+quote(job)+`, cm: `+quote(cm)+`}, "x").then(() => true)`)
}

func (b *tab) sendNow() {
	b.t.Helper()
	eval[bool](b, "send", `handQueue.send(document.getElementById("hand").dataset.account).then(() => true)`)
}

// told is how far she was told to be, one telling after the other.
func (w world) told(t *testing.T, me workshop.Person, job string) (out []float64) {
	t.Helper()
	j, err := w.house.Job(t.Context(), me, job)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range j.Value.Facts {
		if f.Kind == workshop.ToldFact {
			out = append(out, float64(f.CM))
		}
	}
	return out
}

// Without a line the page opens; what is told waits, also when the page is closed
// in between, and comes once and in order.
func TestPhone_noLine(t *testing.T) {
	near, l := newWorld(t).onLine(t)
	b, me, j := near.inHand(t)
	b.until("the page and the pictures are kept", `caches.open("urdir-hand").then(async c => !!(await c.match("/hand")) && (await c.keys()).length > 1)`)
	before := len(near.told(t, me, j.ID))
	l.cut.Store(true)
	b.visit("/hand")
	if !eval[bool](b, "pictures", `Promise.all([...document.querySelectorAll(".hand-picture")].map(i => i.decode())).then(() => document.querySelectorAll(".hand-picture").length > 0)`) {
		t.Error("no pictures")
	}
	b.tellCM(j.ID, "11")
	b.tellCM(j.ID, "12")
	b.until("it says what waits", `!document.getElementById("hand-queue").hidden && document.getElementById("hand-waiting").children.length === 2`)
	b.visit("/hand") // the page that laid it down is gone
	if n := eval[int](b, "waiting", waiting); n != 2 {
		t.Fatalf("%d wait, want 2", n)
	}
	b.away()
	l.cut.Store(false)
	b.sendNow()
	got := near.told(t, me, j.ID)[before:]
	if len(got) != 2 || got[0] != 11 || got[1] != 12 {
		t.Errorf("told: %v, want 11 and 12", got)
	}
	b.heard.take()
}

// lossy gives the world behind a line that swallows every second answer after the
// workshop has done what was asked.
func (w world) lossy(t *testing.T) (world, *atomic.Int64) {
	t.Helper()
	to, err := url.Parse(w.url)
	if err != nil {
		t.Fatal(err)
	}
	through, asked := httputil.NewSingleHostReverseProxy(to), &atomic.Int64{}
	near := httptest.NewServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost && r.URL.Path == "/hand" && asked.Add(1)%2 == 1 {
			through.ServeHTTP(httptest.NewRecorder(), r)
			if c, _, err := http.NewResponseController(rw).Hijack(); err == nil {
				_ = c.Close() // the answer is lost
			}
			return
		}
		through.ServeHTTP(rw, r)
	}))
	t.Cleanup(near.Close)
	w.url = near.URL
	return w, asked
}

// When answers are lost on the way and two pages tell and send at once, everything
// comes once.
func TestPhone_lostAnswers(t *testing.T) {
	near, asked := newWorld(t).lossy(t)
	b, me, j := near.inHand(t)
	before := len(near.told(t, me, j.ID))
	eval[bool](b, "tell", `(async () => { const a = document.getElementById("hand").dataset.account;
		await Promise.all(["21", "22", "23"].map(cm => handQueue.put(a, {kind: "woven", job: `+quote(j.ID)+`, cm}, "x"))); return true; })()`)
	// A browser without locks: nothing but the workshop keeps two pages apart.
	eval[bool](b, "no locks", `(Object.defineProperty(navigator, "locks", { value: undefined }), true)`)
	for range 8 {
		eval[bool](b, "send twice at once", `Promise.all([1, 2].map(() => handQueue.send(document.getElementById("hand").dataset.account))).then(() => true)`)
	}
	got := near.told(t, me, j.ID)[before:]
	if len(got) != 3 || got[0] != 21 || got[1] != 22 || got[2] != 23 {
		t.Errorf("told %v, want 21, 22, 23", got)
	}
	if n := eval[int](b, "waiting", waiting); n != 0 || asked.Load() < 6 {
		t.Errorf("%d wait after %d sendings", n, asked.Load())
	}
	b.heard.take()
}

// Whoever signs out with something unsent is asked first; the next at the same
// telephone sees nothing of it and sends nothing.
func TestPhone_handsChange(t *testing.T) {
	near := newWorld(t)
	b, me, j := near.inHand(t)
	before := len(near.told(t, me, j.ID))
	eval[bool](b, "another page is sending", `new Promise((yes) => { navigator.locks.request("urdir-hand", () => { yes(true); return new Promise(() => {}); }); })`)
	b.tellCM(j.ID, "31")
	eval[bool](b, "sign out", `(document.getElementById("sign-out").requestSubmit(), true)`)
	b.until("asked", `document.getElementById("hand-leave").open`)
	b.do("out", chromedp.Click("#hand-leave-go"))
	b.until("out", `location.pathname === "/signin"`)
	b.heard.take()
	b.signIn(workshop.Dyer)
	b.visit("/hand")
	if n := eval[int](b, "what she sees", `handQueue ? document.querySelectorAll("#hand-waiting li").length : -1`); n != 0 {
		t.Errorf("the next one sees %d", n)
	}
	if got := near.told(t, me, j.ID); len(got) != before {
		t.Error("the next one sent it")
	}
	if n := eval[int](b, "waiting", waiting); n != 1 {
		t.Errorf("%d wait for her, want 1", n)
	}
	b.heard.take()
}

// The page keeps to the guidelines and does not scroll sideways, on the narrowest
// telephone either.
func TestPhone_narrow(t *testing.T) {
	w := newWorld(t)
	b, _, _ := w.inHand(t)
	for _, v := range b.wcag() {
		t.Error(v)
	}
	b.do("320 px", chromedp.EmulateViewport(320, 640))
	if over := eval[int](b, "sideways", `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		t.Errorf("%d px to the side", over)
	}
	if small := eval[[]string](b, "small", `[...document.querySelectorAll("#hand button, #hand summary, #hand .button")].filter(e => e.offsetParent && e.getBoundingClientRect().height < 48).map(e => e.textContent)`); len(small) > 0 {
		t.Errorf("lower than 48 px: %q", small)
	}
}
