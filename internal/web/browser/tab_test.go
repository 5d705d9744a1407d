package browser_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// screen is how a visitor looks at the pages.
type screen struct {
	wide   int64
	dark   bool
	lang   string
	script bool // whether scripts run
}

var (
	telephone = screen{wide: 390, lang: "es", script: true}
	desk      = screen{wide: 1280, lang: "en", script: true}
)

// tab is one visitor's tab, with cookies of its own.
type tab struct {
	t     testing.TB
	ctx   context.Context
	url   string
	words *lang.Words
	heard *heard
}

// heard is what the browser complained of, and where it went.
type heard struct {
	mu     sync.Mutex
	faults []string
	asked  map[string]bool // pages whose status the test itself looks at
}

func (h *heard) add(s string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.faults = append(h.faults, s)
}

// ask notes that a page was asked for that may not be there.
func (h *heard) ask(url string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.asked[url] = true
}

func (h *heard) wasAsked(url string) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.asked[url]
}

// take gives what was heard since the last time.
func (h *heard) take() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	out := h.faults
	h.faults = nil
	return out
}

const patience = 30 * time.Second

// open opens a tab. When the test ends it must have heard no complaint.
func (w world) open(t testing.TB, s screen) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser(t), chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx, url: w.url, words: words(t, s.lang), heard: &heard{asked: map[string]bool{}}}
	b.must("open a tab", chromedp.Do(ctx))
	b.must("listen", chromedp.Listen(ctx, func(ev any) { b.heard.hear(w.url, ev) }))
	b.must("set the screen", chromedp.Do(ctx, s.steps()...))
	t.Cleanup(func() {
		for _, f := range b.heard.take() {
			t.Error("the browser says: ", f)
		}
	})
	return b
}

// hear notes scripts' and the browser's own complaints (of the policy on
// content as well), and what is asked of any other server.
func (h *heard) hear(own string, ev any) {
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		h.add(fmt.Sprintf("console %s", ev.Type))
	case *runtime.EventExceptionThrown:
		what := ev.ExceptionDetails.Text
		if e := ev.ExceptionDetails.Exception; e != nil {
			what += " " + e.Description
		}
		h.add("exception: " + what)
	case *log.EventEntryAdded:
		if ev.Entry.Level == log.EntryLevelVerbose || ev.Entry.Source == log.EntrySourceNetwork && h.wasAsked(ev.Entry.URL) {
			return // advice, or an error page
		}
		h.add(fmt.Sprintf("%s %s: %s %s", ev.Entry.Source, ev.Entry.Level, ev.Entry.Text, ev.Entry.URL))
	case *network.EventRequestWillBeSent:
		u, err := url.Parse(ev.Request.URL)
		if err != nil || u.Scheme != "data" && u.Scheme+"://"+u.Host != own {
			h.add("asked of another server: " + ev.Request.URL)
		}
	case *network.EventLoadingFailed:
		if !ev.Canceled {
			h.add("not loaded: " + ev.ErrorText)
		}
	}
}

func (s screen) steps() []chromedp.Action[chromedp.Void] {
	scheme := "light"
	if s.dark {
		scheme = "dark"
	}
	return []chromedp.Action[chromedp.Void]{
		chromedp.EmulateViewport(s.wide, 844),
		call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}}),
		call(network.SetExtraHTTPHeaders, network.SetExtraHTTPHeadersParams{Headers: network.Headers{"Accept-Language": json.RawMessage(`"` + s.lang + `"`)}}),
		call(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !s.script}),
	}
}

// call is a command of the browser's as a step.
func call[P, R any](c cdp.Command[P, R], p P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, c, p)
		return err
	})
}

func (b *tab) must(what string, err error) {
	b.t.Helper()
	if err != nil {
		b.t.Fatalf("%s: %v", what, err)
	}
}

// do runs steps that do not leave the page.
func (b *tab) do(what string, steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	b.must(what, chromedp.Do(ctx, steps...))
}

// leave runs steps that bring another page, and gives its status.
func (b *tab) leave(what string, steps ...chromedp.Action[chromedp.Void]) int64 {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	resp, err := chromedp.RunResponse(ctx, steps...)
	b.must(what, err)
	return resp.Status
}

// visit opens a page, which must be there.
func (b *tab) visit(path string) {
	b.t.Helper()
	if status := b.leave("visit "+path, to(path, b.url)); status != 200 {
		b.t.Fatalf("%s: status %d, want 200", path, status)
	}
}

// status opens a page that may not be there, and gives its status.
func (b *tab) status(path string) int64 {
	b.t.Helper()
	b.heard.ask(b.url + path)
	return b.leave("visit "+path, to(path, b.url))
}

// refused opens a page that is not for the visitor to see.
func (b *tab) refused(path string, want int64) {
	b.t.Helper()
	if got := b.status(path); got != want {
		b.t.Errorf("%s: status %d, want %d", path, got, want)
	}
}

// eval gives what an expression of the page's is worth.
func eval[T any](b *tab, what, js string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	b.must(what, err)
	return v
}

// quote writes a text for an expression.
func quote(s string) string {
	q, err := json.Marshal(s)
	if err != nil {
		panic(err) // no string is refused
	}
	return string(q)
}

// path is where the tab is.
func (b *tab) path() string {
	b.t.Helper()
	return eval[string](b, "path", "location.pathname")
}

// T is a text of the visitor's language.
func (b *tab) T(key string) string { return b.words.T(key, nil) }

// find has the browser look for something to use, as a person does: by its
// words, among what is seen. It gives the middle of it, scrolled into view, or
// why it cannot be used.
const find = `(function(selector, text, field) {
  const seen = e => { const r = e.getBoundingClientRect(); return r.width > 1 && r.height > 1 && getComputedStyle(e).visibility === "visible" };
  const plain = s => s.replace(/\s+/g, " ").trim(), said = e => plain(e.innerText);
  text = plain(text);
  let all = [...document.querySelectorAll(selector)].filter(e => said(e) === text);
  if (!all.length) all = [...document.querySelectorAll(selector)].filter(e => said(e).startsWith(text));
  if (field) all = all.map(e => e.control).filter(e => e);
  all = all.filter(seen);
  if (!all.length) return {Wrong: "nothing seen says " + JSON.stringify(text)};
  const e = all[0];
  e.scrollIntoView({block: "center", behavior: "instant"});
  const r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2;
  const top = document.elementFromPoint(x, y);
  if (!top || !(e === top || e.contains(top) || top.contains(e) && getComputedStyle(e).display.startsWith("inline")))
    return {Wrong: JSON.stringify(text) + " is covered or off the screen"};
  if (e.disabled) return {Wrong: JSON.stringify(text) + " is disabled"};
  window.found = e;
  return {X: x, Y: y, Wrong: ""};
})`

type spot struct {
	X, Y  float64
	Wrong string
}

func (b *tab) find(selector, text string, field bool) spot {
	b.t.Helper()
	s := eval[spot](b, "find "+text, fmt.Sprintf("%s(%s, %s, %v)", find, quote(selector), quote(text), field))
	if s.Wrong != "" {
		b.t.Fatalf("%s: %s; the page says:\n%s", b.path(), s.Wrong, b.text())
	}
	return s
}

// text is what the page says.
func (b *tab) text() string {
	return eval[string](b, "text", "document.querySelector('main').innerText")
}

// press presses a button of the page, which must bring a page.
func (b *tab) press(text string) {
	b.t.Helper()
	b.click("main button", text)
}

// follow follows a link.
func (b *tab) follow(text string) {
	b.t.Helper()
	b.click("a[href]", text)
}

func (b *tab) click(selector, text string) {
	b.t.Helper()
	s := b.find(selector, text, false)
	if status := b.leave("press "+text, chromedp.MouseClickXY(s.X, s.Y)); status != 200 {
		b.t.Fatalf("%s on %s: status %d, want 200; the page says:\n%s", text, b.path(), status, b.text())
	}
}

// write writes into the field with a label, in place of what is there.
func (b *tab) write(label, text string) {
	b.t.Helper()
	s := b.find("main label", label, true)
	if eval[string](b, "type of "+label, "window.found.type") == "date" { // picked, not typed
		eval[string](b, "date", "window.found.value = "+quote(text))
		return
	}
	b.do("write "+label, chromedp.MouseClickXY(s.X, s.Y))
	eval[bool](b, "select all", "(window.found.select(), document.activeElement === window.found)")
	b.do("type "+label, call(input.InsertText, input.InsertTextParams{Text: text}))
	if got := eval[string](b, "value of "+label, "window.found.value"); got != text {
		b.t.Fatalf("%s: holds %q, want %q", label, got, text)
	}
}

// choose chooses the option that says a text, or begins with it.
func (b *tab) choose(label, option string) {
	b.t.Helper()
	b.find("main label", label, true)
	ok := eval[bool](b, "choose "+option, fmt.Sprintf(`(() => {
		const o = [...window.found.options].find(o => o.text.trim().startsWith(%s));
		if (!o) return false;
		window.found.value = o.value;
		return true })()`, quote(option)))
	if !ok {
		b.t.Fatalf("%s: nothing to choose says %q", label, option)
	}
}

// signIn signs someone in at the sign-in page, in the screen's language.
func (b *tab) signIn(role workshop.Role) {
	b.t.Helper()
	l := login(b.t, role)
	b.visit("/signin")
	b.write(b.T("login"), l.Login)
	b.write(b.T("passphrase"), l.Passphrase)
	b.press(b.T("sign-in"))
	b.speak()
}

// speak has the pages in the screen's language, by their own button.
func (b *tab) speak() {
	b.t.Helper()
	if eval[string](b, "language", "document.documentElement.lang") != b.words.Base {
		b.click("header button", map[string]string{"es": "Español", "en": "English"}[b.words.Base])
	}
	if got := eval[string](b, "language", "document.documentElement.lang"); got != b.words.Base {
		b.t.Fatalf("the page is in %q, want %q", got, b.words.Base)
	}
}

func to(path, base string) chromedp.Action[chromedp.Void] {
	if !strings.HasPrefix(path, "http") {
		path = base + path
	}
	return chromedp.Navigate(path)
}
