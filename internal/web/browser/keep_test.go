package browser_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// line is the line between a browser and the server, which can be cut: whatever
// is asked then gets no answer.
type line struct{ cut atomic.Bool }

// onLine gives the same world at the far end of a line.
func (w world) onLine(t *testing.T) (world, *line) {
	t.Helper()
	to, err := url.Parse(w.url)
	if err != nil {
		t.Fatal(err)
	}
	l, through := &line{}, httputil.NewSingleHostReverseProxy(to)
	near := httptest.NewServer(http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		if l.cut.Load() {
			c, _, err := http.NewResponseController(rw).Hijack()
			if err != nil {
				t.Error(err)
				return
			}
			_ = c.Close() // that is what is wanted
			return
		}
		through.ServeHTTP(rw, r)
	}))
	t.Cleanup(near.Close)
	w.url = near.URL
	return w, l
}

// away takes what the browser complained of while the line was cut: that nothing
// was loaded, and nothing else.
func (b *tab) away() {
	b.t.Helper()
	for _, f := range b.heard.take() {
		if !strings.Contains(f, "net::ERR_") {
			b.t.Error("the browser says: ", f)
		}
	}
}

// scarf is the demo's first scarf.
func (w world) scarf(t *testing.T) workshop.Kept[workshop.Cloth] {
	t.Helper()
	all, err := w.house.Cloths(t.Context(), w.head, workshop.Page{State: "scarf", Limit: 1})
	if err != nil || len(all.Items) == 0 {
		t.Fatalf("no scarf in the demo: %v", err)
	}
	return all.Items[0]
}

// designing opens a tab with someone at the designer.
func (w world) designing(t *testing.T, s screen, who workshop.Role, cloth string) *tab {
	t.Helper()
	b := w.open(t, s)
	b.signIn(who)
	b.design(cloth)
	return b
}

func (b *tab) design(cloth string) {
	b.t.Helper()
	b.visit("/cloths/" + cloth + "/design")
	b.laidOut()
}

func (b *tab) laidOut() {
	b.t.Helper()
	b.until("the designer is there", `!document.getElementById("designer").hidden`)
}

// widen makes the first stripe wider.
func (b *tab) widen() {
	b.t.Helper()
	before := b.listed()
	eval[bool](b, "focus", `(document.querySelector('#designer-stripes [data-row*=\'"path":[0,1]\']').focus(), true)`)
	b.do("widen", chromedp.KeyEvent("+"))
	if slices.Equal(before, b.listed()) {
		b.t.Fatal("+ changed nothing")
	}
}

func (b *tab) listed() []string { return eval[[]string](b, "rows", rowNames) }

const said = `document.getElementById("designer-status").textContent`

// saying waits for the status line to begin as a text does, up to its first value.
func (b *tab) saying(key string) {
	b.t.Helper()
	begin, _, _ := strings.Cut(b.words.T(key, map[string]any{"at": "#", "version": "#"}), "#")
	b.until(key+", not "+eval[string](b, "status", said), said+`.startsWith(`+quote(begin)+`)`)
}

func (b *tab) save() {
	b.t.Helper()
	b.do("save", chromedp.KeyEvent("s", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
}

// use presses something of the page's that leads nowhere.
func (b *tab) use(text string) {
	b.t.Helper()
	s := b.find("main button", text, false)
	b.do(text, chromedp.MouseClickXY(s.X, s.Y))
}

func (w world) drafts(t *testing.T, as workshop.Person, cloth string) workshop.Desks {
	t.Helper()
	d, err := w.house.Drafts(t.Context(), as, cloth)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// person is who signs in with a role.
func (w world) person(t *testing.T, role workshop.Role) workshop.Person {
	t.Helper()
	l := login(t, role)
	p, _, err := w.house.SignIn(t.Context(), l.Login, l.Passphrase)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Two people design one cloth: the second sees the first; both keep a version;
// nobody loses anything.
func TestKeep_twoPeople(t *testing.T) {
	for _, s := range []screen{desk, telephone} {
		w := newWorld(t)
		cloth := w.scarf(t)
		dyer := w.person(t, workshop.Dyer)
		first := w.designing(t, desk, workshop.Head, cloth.ID)
		first.saying("keep-same")
		first.widen()
		first.saying("keep-kept")
		if vs, err := w.house.Versions(t.Context(), w.head, cloth.ID); err != nil || len(vs) != cloth.Value.Version {
			t.Errorf("designing made versions: %d, want %d (%v)", len(vs), cloth.Value.Version, err)
		}
		second := w.designing(t, s, workshop.Dyer, cloth.ID)
		if text := second.text(); !strings.Contains(text, w.head.Name) {
			t.Errorf("the second does not see that %s designs this cloth:\n%.400s", w.head.Name, text)
		}
		second.widen()
		second.widen()
		second.saying("keep-kept")
		hers := w.drafts(t, dyer, cloth.ID).Mine.Text

		first.save()
		first.saying("keep-saved")
		second.save()
		second.until("she is told", `!document.getElementById("keep-behind").hidden && document.getElementById("keep-behind").textContent.includes(`+quote(w.head.Name)+`)`)
		if d := w.drafts(t, dyer, cloth.ID); d.Mine == nil || d.Mine.Text != hers || d.Newest.N != cloth.Value.Version+1 || d.Newest.By != w.head.Name {
			t.Errorf("after both kept theirs: %+v", d)
		}
		second.soundKeeping(t)
		second.heard.ask(w.url + "/cloths/" + cloth.ID + "/design") // it was answered with a conflict
		for _, f := range second.heard.take() {
			if !strings.Contains(f, "409") {
				t.Error("the browser says: ", f)
			}
		}
		second.pictured("keep-behind")
		second.follow(second.T("keep-compare"))
		second.compared(t)
		second.pictured("compare")

		second.design(cloth.ID)
		second.until("her draft is laid out", `!document.getElementById("keep-draft").hidden`)
		second.saying("keep-kept")
		second.use(second.T("keep-over"))
		second.saying("keep-saved")
		vs, err := w.house.Versions(t.Context(), w.head, cloth.ID)
		if err != nil || len(vs) != cloth.Value.Version+2 || vs[0].Value.By != dyer.Name || vs[1].Value.By != w.head.Name || vs[0].Value.Text == vs[1].Value.Text {
			t.Errorf("versions: %d, %v, want the second's upon the first's", len(vs), err)
		}
		if d := w.drafts(t, dyer, cloth.ID); d.Mine != nil {
			t.Error("kept as a version and still unsaved")
		}

		// The first, who knows nothing of that, keeps hers as a cloth of its own.
		first.widen()
		first.saying("keep-kept")
		if eval[bool](first, "told with the draft", `document.getElementById("keep-behind").hidden`) {
			t.Error("the first is not told that there is a newer version")
		}
		first.leaveBy(first.T("keep-branch"))
		if text := first.text(); first.path() == "/cloths/"+cloth.ID || !strings.Contains(text, cloth.Value.Name+" (2)") || !strings.Contains(text, first.T("branch-of")) {
			t.Errorf("kept as a cloth of its own: %s\n%.300s", first.path(), text)
		}
		second.visit("/cloths/" + cloth.ID)
		second.check(t, "a cloth with versions")
		second.pictured("cloth-versions")
		second.heard.take()
	}
}

// soundKeeping checks the part of the designer's page that keeps, by day and by
// night.
func (b *tab) soundKeeping(t *testing.T) {
	t.Helper()
	// A wider typeface stands in until the page's own is there.
	for _, face := range []string{`"DejaVu Sans"`, ""} {
		eval[bool](b, "typeface", `(document.body.querySelectorAll("*").forEach(e => e.style.fontFamily = '`+face+`'), true)`)
		if wide := eval[int](b, "width", "document.documentElement.scrollWidth - innerWidth"); wide > 0 {
			t.Errorf("%s: the page is %d px wider than its window", face, wide)
		}
	}
	for _, shade := range []string{"dark", "light"} {
		b.shade(shade)
		for _, v := range b.wcag() {
			if strings.Contains(v, "keep") || strings.Contains(v, "designer-s") || strings.Contains(v, "f-said") {
				t.Errorf("%s: %s", shade, v)
			}
		}
	}
}

// leaveBy presses a button whose script leaves the page.
func (b *tab) leaveBy(text string) {
	b.t.Helper()
	was := b.path()
	b.use(text)
	b.until("the page is left", `location.pathname !== `+quote(was)+` && document.readyState === "complete"`)
}

// pictured takes a picture for people to look at, if one was asked for.
func (b *tab) pictured(name string) {
	b.t.Helper()
	if *shots != "" {
		wide := eval[string](b, "width", "String(innerWidth)")
		eval[bool](b, "lazy pictures", `Promise.all([...document.images].map(i => { i.loading = "eager"; return i.complete || new Promise(r => { i.onload = i.onerror = r }); })).then(() => true)`)
		b.shoot(name + "-" + wide)
	}
}

// compared checks the page with two versions beside each other.
func (b *tab) compared(t *testing.T) {
	t.Helper()
	p := eval[struct {
		Pictures, Wide, Stacked int
		Apart                   []string
	}](b, "pictures", `(async () => {
		const all = [...document.querySelectorAll(".beside img")];
		await Promise.all(all.map(i => i.decode()));
		const r = all.map(i => i.getBoundingClientRect());
		return { Pictures: all.length, Wide: Math.abs(r[0].width - r[1].width) + Math.abs(all[0].naturalHeight / all[0].naturalWidth - all[1].naturalHeight / all[1].naturalWidth),
			Stacked: r[1].top >= r[0].bottom ? 1 : 0, Apart: [...document.querySelectorAll("tr.apart")].map(e => e.innerText) } })()`)
	if p.Pictures != 2 || p.Wide != 0 {
		t.Errorf("%d pictures, want 2 of one size on the page: %d apart", p.Pictures, p.Wide)
	}
	narrow := eval[bool](b, "narrow", "innerWidth < 768")
	if (p.Stacked == 1) != narrow {
		t.Errorf("one above the other: %v on a narrow page: %v", p.Stacked == 1, narrow)
	}
	if len(p.Apart) == 0 || !strings.Contains(strings.Join(p.Apart, " "), b.T("compare-apart")) {
		t.Errorf("what differs is not said in words: %q", p.Apart)
	}
	if text := b.text(); strings.Contains(text, b.T("compare-nothing")) {
		t.Errorf("no stripe is said to differ:\n%s", text)
	}
	b.check(t, "two versions beside each other")
}

// The line goes in the middle of the work: what is done is safe in the browser,
// also over opening the page again, and goes to the workshop, the last of it
// last, when the line is back.
func TestKeep_lineLost(t *testing.T) {
	w := newWorld(t)
	cloth := w.scarf(t)
	near, l := w.onLine(t)
	b := near.designing(t, telephone, workshop.Head, cloth.ID)
	b.until("the worker has the page", `caches.open("urdir-pages").then(c => c.match(location.pathname)).then(Boolean)`)
	b.until("the worker has the program", `caches.open("urdir-files").then(c => c.match(document.getElementById("designer").dataset.program)).then(Boolean)`)
	b.widen()
	b.saying("keep-kept")
	first := w.drafts(t, w.head, cloth.ID).Mine.Text

	b.do("offline", call(network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}))
	l.cut.Store(true)
	b.widen()
	b.widen()
	b.saying("keep-away")
	rows := b.listed()
	if got := w.drafts(t, w.head, cloth.ID).Mine.Text; got != first {
		t.Error("something reached the workshop without a line")
	}
	b.away()
	b.reload()
	b.laidOut()
	b.saying("keep-away")
	if again := b.listed(); !slices.Equal(rows, again) {
		t.Errorf("opened again without a line:\n%q\nwant\n%q", again, rows)
	}
	if !strings.Contains(b.text(), b.T("keep-go-on")) {
		t.Error("the page does not say that unsaved work is laid out")
	}
	b.soundKeeping(t)
	b.pictured("keep-away")
	b.widen()
	rows = b.listed()
	b.away()

	l.cut.Store(false)
	b.do("online", call(network.OverrideNetworkState, network.OverrideNetworkStateParams{DownloadThroughput: -1, UploadThroughput: -1}))
	b.saying("keep-kept")
	b.away()
	if got := w.drafts(t, w.head, cloth.ID); got.Mine == nil || got.Mine.Text == first || got.Mine.Text != eval[string](b, "file", "urdir.file()") {
		t.Errorf("the workshop has %+v, not what is on the table", got.Mine)
	}
	b.reload()
	b.laidOut()
	if again := b.listed(); !slices.Equal(rows, again) {
		t.Errorf("opened again with the line back:\n%q\nwant\n%q", again, rows)
	}
	b.save()
	b.saying("keep-saved")
	b.reload()
	b.laidOut()
	b.saying("keep-same")
	if again := b.listed(); !slices.Equal(rows, again) || eval[int](b, "left over", `Object.keys(localStorage).filter(k => k.startsWith("urdir-draft")).length`) != 0 {
		t.Errorf("after the version was kept: %q", again)
	}
}

// reload opens the page again, with or without a line.
func (b *tab) reload() {
	b.t.Helper()
	eval[bool](b, "mark", "window.old = true")
	b.do("reload", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("setTimeout(() => location.reload(), 0), true"))
		return err
	}))
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(100 * time.Millisecond) {
		if fresh, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`!window.old && document.readyState === "complete"`)); err == nil && fresh {
			return
		}
	}
	b.t.Fatal("the page does not come again")
}

// On a shared telephone the next person sees nothing of the one before: no page,
// no draft. What had not reached the workshop waits for its own person.
func TestKeep_sharedTelephone(t *testing.T) {
	w := newWorld(t)
	cloth := w.scarf(t)
	near, l := w.onLine(t)
	b := near.designing(t, telephone, workshop.Head, cloth.ID)
	b.until("the worker has the page", `caches.open("urdir-pages").then(c => c.match(location.pathname)).then(Boolean)`)
	asItWas := b.listed()
	l.cut.Store(true)
	b.widen()
	rows := b.listed()
	b.saying("keep-away")
	b.do("go away", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("setTimeout(() => { location.href = 'about:blank' }, 0), true"))
		return err
	}))
	time.Sleep(500 * time.Millisecond)
	l.cut.Store(false)
	b.away()
	if d := w.drafts(t, w.head, cloth.ID); d.Mine != nil {
		t.Fatal("the draft reached the workshop: this test is about one that did not")
	}

	b.visit("/")
	b.click("header button", b.T("sign-out"))
	if kept := eval[[]string](b, "kept", "caches.keys()"); slices.Contains(kept, "urdir-pages") {
		t.Error("after signing out there are pages left")
	}
	b.signIn(workshop.Dyer)
	b.design(cloth.ID)
	b.saying("keep-same")
	if got := b.listed(); !slices.Equal(got, asItWas) || strings.Contains(b.text(), b.T("keep-go-on")) {
		t.Errorf("the next person sees\n%q\nwant the version\n%q", got, asItWas)
	}
	b.visit("/")
	b.click("header button", b.T("sign-out"))
	b.signIn(workshop.Head)
	b.design(cloth.ID)
	b.saying("keep-kept")
	if got := b.listed(); !slices.Equal(got, rows) {
		t.Errorf("her own work is\n%q\nwant\n%q", got, rows)
	}
	if d := w.drafts(t, w.head, cloth.ID); d.Mine == nil {
		t.Error("what was done without a line did not reach the workshop later")
	}
	b.away()
}

// One person at two pages: the second goes on from the first, and the first is
// asked; what is thrown away can be laid out again.
func TestKeep_twoPages(t *testing.T) {
	w := newWorld(t)
	cloth := w.scarf(t)
	one := w.designing(t, desk, workshop.Head, cloth.ID)
	one.widen()
	one.saying("keep-kept")
	two := w.designing(t, screen{wide: 390, lang: "en", script: true}, workshop.Head, cloth.ID)
	two.saying("keep-kept")
	if !slices.Equal(one.listed(), two.listed()) {
		t.Error("the second page does not go on from the first's work")
	}
	two.widen()
	two.widen()
	two.saying("keep-unsaved")
	two.until("sent", said+`.startsWith(`+quote(strings.Split(two.words.T("keep-kept", map[string]any{"at": "#"}), "#")[0])+`)`)
	one.widen()
	one.until("the first is asked", `!document.getElementById("keep-desks").hidden`)
	for _, f := range one.heard.take() {
		if !strings.Contains(f, "409") {
			t.Error("the browser says: ", f)
		}
	}
	mine := one.listed()
	one.use(one.T("keep-that"))
	one.until("the other's is laid out", `!document.getElementById("keep-found").hidden`)
	one.saying("keep-kept")
	one.use(one.words.T("keep-found-at", map[string]any{"at": ""}))
	one.saying("keep-kept")
	if got := one.listed(); !slices.Equal(got, mine) {
		t.Errorf("its own laid out again: %q, want %q", got, mine)
	}
	one.use(one.T("keep-drop"))
	one.saying("keep-thrown")
	if d := w.drafts(t, w.head, cloth.ID); d.Mine != nil {
		t.Error("thrown away and still there")
	}
	one.visit("/cloths/" + cloth.ID + "/share")
	one.check(t, "what a customer is shown")
	one.pictured("share")
	two.heard.take()
	two.visit("/cloths/" + cloth.ID + "/share")
	two.check(t, "what a customer is shown")
	two.pictured("share")
}
