package browser_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// tellsByPage fills in how far she is and sends the form, as a finger does.
const tellsByPage = `(cm => { const i = document.querySelector('input[name="cm"]'); i.value = cm; i.form.requestSubmit(); return true; })`

// settled waits until nothing waits in the browser any more, and gives what the
// workshop was told since.
func (w world) settled(t *testing.T, b *tab, me workshop.Person, job string, before int) []float64 {
	t.Helper()
	b.until("nothing waits", waiting+`.then(n => n === 0)`)
	return w.told(t, me, job)[before:]
}

func (w world) wants(t *testing.T, got, want []float64) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("told %v, want %v", got, want)
	}
}

// nearby opens another tab of the same browser, with the same cookies and the same
// store.
func (b *tab) nearby() *tab {
	b.t.Helper()
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.t.Cleanup(cancel)
	other := *b
	other.ctx = ctx
	other.must("open a tab", chromedp.Do(ctx, telephone.steps()...))
	return &other
}

// Two tabs of one browser tell at once, and send at once: each telling comes once,
// and each tab's in its order.
func TestPhone_twoTabs(t *testing.T) {
	w := newWorld(t)
	b, me, j := w.inHand(t)
	other := b.nearby()
	other.visit("/hand")
	before := len(w.told(t, me, j.ID))
	done := make(chan bool)
	tell := func(b *tab, cms ...int) {
		for _, cm := range cms {
			eval[bool](b, "tell", fmt.Sprintf("%s(%d)", tellsByPage, cm))
		}
		done <- true
	}
	go tell(b, 11, 12, 13, 14)
	go tell(other, 21, 22, 23, 24)
	<-done
	<-done
	got := w.settled(t, b, me, j.ID, before)
	of := func(tens int) (out []float64) {
		for _, cm := range got {
			if int(cm)/10 == tens {
				out = append(out, cm)
			}
		}
		return out
	}
	w.wants(t, of(1), []float64{11, 12, 13, 14})
	w.wants(t, of(2), []float64{21, 22, 23, 24})
	if len(got) != 8 {
		t.Errorf("told %v", got)
	}
	for _, b := range []*tab{b, other} {
		b.until("both show it", `document.getElementById("hand-queue").hidden && document.querySelector("[data-job]").dataset.woven === `+quote(fmt.Sprint(got[len(got)-1])))
	}
}

// own starts a browser of its own on a profile. kill ends its process as a battery
// does that runs out.
func (w world) own(t *testing.T, profile string) (b *tab, kill func()) {
	t.Helper()
	browser(t) // the one of all tests tells first if there is none
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium.path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(profile))
	all, stopAll := chromedp.NewExecAllocator(t.Context(), opts...)
	ctx, stop := chromedp.NewContext(all)
	t.Cleanup(func() { stop(); stopAll() })
	b = &tab{t: t, ctx: ctx, url: w.url, words: words(t, telephone.lang), heard: &heard{asked: map[string]bool{}}}
	b.must("start", chromedp.Do(ctx, telephone.steps()...))
	return b, func() {
		p := chromedp.FromContext(ctx).Browser.Process()
		if err := p.Kill(); err != nil {
			t.Fatal(err)
		}
		<-ctx.Done()
	}
}

// The browser is killed with something unsent; opened again, by its owner, it sends
// it, once and in order, and goes on counting.
func TestPhone_killed(t *testing.T) {
	near, l := newWorld(t).onLine(t)
	profile := t.TempDir()
	b, kill := near.own(t, profile)
	b.signIn(workshop.MemberRole)
	b.visit("/hand")
	me := near.person(t, workshop.MemberRole)
	j := near.weaving(t, me)
	before := len(near.told(t, me, j.ID))
	l.cut.Store(true)
	for _, cm := range []int{11, 12, 13} {
		eval[bool](b, "tell", fmt.Sprintf("%s(%d)", tellsByPage, cm))
	}
	b.until("they wait", waiting+`.then(n => n === 3)`)
	kill()
	l.cut.Store(false)
	b, _ = near.own(t, profile)
	b.signIn(workshop.MemberRole) // the session may be lost with what was not written yet
	b.visit("/hand")
	eval[bool](b, "tell", tellsByPage+"(14)")
	near.wants(t, near.settled(t, b, me, j.ID, before), []float64{11, 12, 13, 14})
}

// offline cuts or mends the line of one tab, as the browser's own tools do; the page
// is told, as it is on a telephone.
func (b *tab) offline(cut bool) {
	b.t.Helper()
	b.do("line", call(network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}),
		call(network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{
			{Offline: cut, Latency: 40, DownloadThroughput: -1, UploadThroughput: -1}}}))
}

// The line comes and goes while she tells, also between what is sent and its answer:
// everything comes once, in order, and the page says so.
func TestPhone_flapping(t *testing.T) {
	w := newWorld(t)
	b, me, j := w.inHand(t)
	before := len(w.told(t, me, j.ID))
	var want []float64
	for i := range 8 {
		b.offline(true)
		eval[bool](b, "tell", fmt.Sprintf("%s(%d)", tellsByPage, 11+i))
		want = append(want, float64(11+i))
		b.offline(false)
		time.Sleep(time.Duration(10+15*i) * time.Millisecond) // until before, at or after the answer
	}
	b.offline(true)
	eval[bool](b, "tell", tellsByPage+"(40)")
	b.until("it says what waits", `document.getElementById("hand-status").textContent.length > 0`)
	b.offline(false)
	w.wants(t, w.settled(t, b, me, j.ID, before), append(want, 40))
	b.until("nothing is said to wait", `document.getElementById("hand-queue").hidden`)
	b.away()
}

// clock sets the clock that the pages of a tab see from now on.
func (b *tab) clock(at string) {
	b.t.Helper()
	source := `(() => { const D = window.realDate || Date; window.realDate = D; const off = D.parse(` + quote(at) + `) - D.now();
		window.Date = class extends D { constructor(...a) { super(...(a.length ? a : [D.now() + off])); } static now() { return D.now() + off; } }; })()`
	b.do("clock", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: source})
		return err
	}))
}

// A telephone whose clock is ahead and then falls back tells in order; the workshop
// dates it by its own.
func TestPhone_clock(t *testing.T) {
	near, l := newWorld(t).onLine(t)
	b, me, j := near.inHand(t)
	b.until("the page is kept", `caches.open("urdir-hand").then(c => c.match("/hand")).then(r => !!r)`)
	before := len(near.told(t, me, j.ID))
	l.cut.Store(true)
	for i, at := range []string{"2099-06-15T12:00:00Z", "1999-02-26T12:00:00Z", "2031-06-15T12:00:00Z"} {
		b.clock(at)
		b.visit("/hand")
		eval[bool](b, "tell", fmt.Sprintf("%s(%d)", tellsByPage, 11+i))
		b.until("it waits", waiting+fmt.Sprintf(`.then(n => n === %d)`, i+1))
	}
	b.away()
	l.cut.Store(false)
	b.sendNow()
	near.wants(t, near.settled(t, b, me, j.ID, before), []float64{11, 12, 13})
	now, err := near.house.Job(t.Context(), me, j.ID)
	if err != nil {
		t.Fatal(err)
	}
	facts := now.Value.Facts[len(now.Value.Facts)-3:]
	for i, shown := range []string{"2099", "1999", "2031"} {
		if f := facts[i]; f.At != time.Now().Format(time.DateOnly) || !strings.HasPrefix(f.Shown, shown) {
			t.Errorf("dated %s, shown %s, want %s...", f.At, f.Shown, shown)
		}
	}
	b.away()
}

// speaker stands in for the telephone's loudspeaker, and for its list of voices, of
// which a browser without one has none.
const speaker = `window.spoken = []; Object.defineProperty(window, "speechSynthesis", { value: { speaking: false, getVoices: () => [{ lang: "de-DE" }, { lang: "en_GB" }, { lang: "es_MX" }],
	addEventListener() {}, cancel() { window.spoken = []; }, speak(u) { window.spoken.push([u.lang, u.text]); } } });`

// The page has the telephone's own voice read what it says, in its language, one
// part at a time; every part can be read.
func TestPhone_aloud(t *testing.T) {
	w := newWorld(t)
	for _, c := range []struct{ lang, voice string }{{"es", "es-MX"}, {"en", "en-GB"}} {
		b := w.open(t, screen{wide: 390, lang: c.lang, script: true})
		b.do("a speaker", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: speaker})
			return err
		}))
		b.signIn(workshop.MemberRole)
		b.visit("/hand")
		if n := eval[int](b, "parts without a voice", `[...document.querySelectorAll("#hand section")].filter(s => s.offsetParent && !s.querySelector(".hand-say")).length`); n != 0 {
			t.Errorf("%s: %d parts cannot be read aloud", c.lang, n)
		}
		next := eval[string](b, "the next step", `document.querySelector(".hand-next").innerText`)
		b.do("read", chromedp.Click(".hand-job .hand-say"))
		got := eval[[][2]string](b, "spoken", `spoken`)
		said := slices.Contains(got, [2]string{c.voice, next})
		for _, u := range got {
			if u[0] != c.voice || strings.Contains(u[1], "▶") {
				t.Errorf("%s: said %q", c.lang, u)
			}
		}
		if !said || len(got) < 4 {
			t.Errorf("%s: spoken %q, want %q among it", c.lang, got, next)
		}
		b.do("read another part", chromedp.Click(".hand-me .hand-say"))
		if got = eval[[][2]string](b, "spoken", `spoken`); slices.Contains(got, [2]string{c.voice, next}) || len(got) < 2 {
			t.Errorf("%s: of another part %q", c.lang, got)
		}
	}
}
