package browser_test

import (
	_ "embed"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/google/go-cmp/cmp"

	"urdir/internal/workshop"
)

// axe checks a page against the Web Content Accessibility Guidelines 2.2; see
// testdata/README.md.
//
//go:embed testdata/axe.min.js
var axe string

// contrast is axe's own options for contrast but one: what ::before and ::after
// draw is passed over. Else the selvedge along the page, which no text stands
// on, keeps axe from judging any text at all.
const contrast = `"color-contrast": {options: {ignorePseudo: true, ignoreUnicode: true, ignoreLength: false,
	boldValue: 700, boldTextPt: 14, largeTextPt: 18, contrastRatio: {normal: {expected: 4.5}, large: {expected: 3}},
	pseudoSizeThreshold: 0.25, shadowOutlineEmMax: 0.2, textStrokeEmMin: 0.03}}`

// wcag is the rules of levels A and AA, those of 2.2 on the size of targets
// among them, which axe leaves out unless asked. Given by name instead, only
// those rules are checked.
func (b *tab) wcag(rules ...string) []string {
	b.t.Helper()
	only := `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}, rules: {"target-size": {enabled: true}}`
	if len(rules) > 0 {
		only = fmt.Sprintf(`{type: "rule", values: ["%s"]}`, strings.Join(rules, `", "`))
	}
	if !eval[bool](b, "is axe here", `typeof axe === "object"`) {
		eval[bool](b, "load axe", axe+"\ntrue")
	}
	return eval[[]string](b, "axe", `axe.run(document, {resultTypes: ["violations", "incomplete"], checks: {`+contrast+`}, runOnly: `+only+`}).then(r =>
		r.violations.concat(r.incomplete.filter(v => v.id === "color-contrast")
			.map(v => ({...v, nodes: v.nodes.filter(n => !document.querySelector(n.target[0]).closest(".scroll, svg"))})))
		.flatMap(v => v.nodes.map(n => v.id + ": " + n.target.join(" ") + ": " + n.failureSummary.replace(/\s+/g, " ") + " " + n.html.slice(0, 160))))`)
}

// Faults by the guidelines' success criteria 1.1.1, 1.4.3, 2.5.8 and 4.1.2: an
// image without words, grey on white at 1.6 to 1, two targets of 10 px side by
// side, a button without a name.
func TestAxeFindsFaults(t *testing.T) {
	b := newWorld(t).open(t, desk)
	b.visit("/signin")
	eval[bool](b, "spoil the page", `document.querySelector("main").innerHTML = '<img src="/static/knot.svg"><p>pale words</p><ul><li></li></ul><button id="a"></button><button id="b">b</button>', true`)
	eval[bool](b, "spoil the colours", `(document.querySelector("main p").style.cssText = "color:#ccc;background:#fff",
		document.querySelectorAll("main button").forEach(e => e.style.cssText = "all:unset;display:inline-block;width:10px;height:10px;font-size:8px;color:#000;background:#fff"), true)`)
	found := map[string]bool{}
	for _, v := range b.wcag() {
		id, _, _ := strings.Cut(v, ":")
		found[id] = true
	}
	want := map[string]bool{"image-alt": true, "color-contrast": true, "target-size": true, "button-name": true}
	if !cmp.Equal(want, found) {
		t.Errorf("faults found (-want +got):\n%s", cmp.Diff(want, found))
	}
}

// TestEveryPage opens every kind of page there is for the head, narrow and
// wide, light and dark.
func TestEveryPage(t *testing.T) {
	for _, s := range []screen{telephone, desk} {
		t.Run(fmt.Sprintf("%d px", s.wide), func(t *testing.T) {
			t.Parallel()
			w := newWorld(t) // the head has one language in it
			b := w.open(t, s)
			b.visit("/signin")
			b.check(t, "/signin")
			b.visit("/card/0123456789")
			b.check(t, "/card/0123456789")
			b.signIn(workshop.Head)
			walk := &walk{b: b, from: map[string]string{}, been: map[string]bool{}, kinds: map[string]int{}, titles: map[string]string{}}
			walk.all(t, w.places(), w.states())
		})
	}
}

// walk goes from page to page by links.
type walk struct {
	b      *tab
	next   []string
	from   map[string]string // page -> where a link to it stands
	been   map[string]bool   // pages
	kinds  map[string]int    // pages seen of each kind
	titles map[string]string // kind of page with a title
}

// Pages of a kind that are looked at by following links, and the kinds there
// are at least: the rooms, their forms, and a page of each thing in them.
const (
	perKind = 2
	kinds   = 30
)

// all follows the links from the first page on, then goes to the states of
// things that were not among them. Every place must have a link to it, or a
// form: the search has one, and the builders' page of parts has neither.
func (w *walk) all(t *testing.T, places, states []shot) {
	w.next = []string{"/"}
	for len(w.next) > 0 {
		path := w.next[0]
		w.next = w.next[1:]
		if w.kinds[kindOf(path)] < perKind {
			w.visit(t, path)
		}
	}
	for _, p := range places {
		if p.name != "look" && p.name != "search" && w.kinds[kindOf(p.path)] == 0 {
			t.Errorf("%s: no link leads there", p.path)
		}
	}
	for _, p := range slices.Concat(places, states) {
		if !w.been[p.path] {
			w.visit(t, p.path)
		}
	}
	if len(w.kinds) < kinds {
		t.Errorf("only %d kinds of pages were found, want %d", len(w.kinds), kinds)
	}
}

// visit checks a page and notes its links.
func (w *walk) visit(t *testing.T, path string) {
	t.Helper()
	kind := kindOf(path)
	w.been[path] = true
	w.kinds[kind]++
	if status := w.b.status(path); status != 200 {
		t.Errorf("%s, to which a link on %q leads: status %d, want 200", path, w.from[path], status)
		return
	}
	title := w.b.check(t, path)
	if was, ok := w.titles[title]; !ok {
		w.titles[title] = kind
	} else if was != kind {
		t.Errorf("%s and %s have the same title %q", was, kind, title)
	}
	for _, href := range eval[[]string](w.b, "links", `[...document.querySelectorAll("a[href]")].map(a => a.href)`) {
		u, err := url.Parse(href)
		if err != nil || u.Scheme+"://"+u.Host != w.b.url {
			t.Errorf("%s: link to %s", path, href)
			continue
		}
		p := u.RequestURI()
		if _, known := w.from[p]; !known && !notPage.MatchString(u.Path) {
			w.from[p] = path
			w.next = append(w.next, p)
		}
	}
}

var (
	notPage = regexp.MustCompile(`\.(pdf|png|svg|csv|txt|jsonld|xlsx|zip)$|/file$|/page/[0-9]+$|^/pictures/`)
	name    = regexp.MustCompile(`/[a-z2-7]{12}\b`)
	number  = regexp.MustCompile(`/[0-9]+\b`)
	recipe  = regexp.MustCompile(`^/recipes/[a-z0-9]+-[a-z0-9-]+`) // those that come with the program
)

// kindOf is an address with names, numbers and what is asked of it left out.
func kindOf(path string) string {
	path, _, _ = strings.Cut(path, "?")
	path = recipe.ReplaceAllString(path, "/recipes/{key}")
	return number.ReplaceAllString(name.ReplaceAllString(path, "/{id}"), "/{n}")
}

// measured is what is measured on a page.
type measured struct {
	Lang, Title  string
	Levels       []int // of headings, in order
	Wide, Window float64
	Twice        []string // names of elements that are there twice
}

const measure = `({
  Lang: document.documentElement.lang, Title: document.title,
  Levels: [...document.querySelectorAll("h1,h2,h3,h4,h5,h6")].map(h => +h.tagName[1]),
  Wide: document.documentElement.scrollWidth, Window: innerWidth,
  Twice: [...document.querySelectorAll("[id]")].map(e => e.id).filter((id, i, all) => all.indexOf(id) < i),
})`

// check checks the page the tab is on, and gives its title.
func (b *tab) check(t *testing.T, path string) string {
	t.Helper()
	p := eval[measured](b, "measure", measure)
	if p.Lang != b.words.Base {
		t.Errorf("%s: language %q, want %q", path, p.Lang, b.words.Base)
	}
	if what, ok := strings.CutSuffix(p.Title, " · Urdir"); !ok || strings.TrimSpace(what) == "" {
		t.Errorf("%s: title %q", path, p.Title)
	}
	if p.Wide > p.Window {
		t.Errorf("%s: %v px wide in a window of %v px; widest: %v", path, p.Wide, p.Window, b.widest())
	}
	if len(p.Twice) > 0 {
		t.Errorf("%s: there twice: %v", path, p.Twice)
	}
	if len(p.Levels) == 0 || p.Levels[0] != 1 || slices.Index(p.Levels[1:], 1) >= 0 {
		t.Errorf("%s: headings %v, want one of level 1, first", path, p.Levels)
	}
	for i := 1; i < len(p.Levels); i++ {
		if p.Levels[i] > p.Levels[i-1]+1 {
			t.Errorf("%s: headings %v leave out a level", path, p.Levels)
		}
	}
	for _, v := range b.wcag() {
		t.Errorf("%s: %s", path, v)
	}
	b.shade("dark")
	for _, v := range b.wcag("color-contrast", "link-in-text-block") {
		t.Errorf("%s, dark: %s", path, v)
	}
	b.shade("light")
	return p.Title
}

// widest is what sticks out of the window.
func (b *tab) widest() []string {
	return eval[[]string](b, "widest", `[...document.querySelectorAll("main *")]
		.filter(e => e.getBoundingClientRect().right > innerWidth + 1 && (getComputedStyle(e).position === "absolute" || !e.closest(".scroll"))).slice(0, 4)
		.map(e => e.tagName + "." + e.className + " " + Math.round(e.getBoundingClientRect().right) + " " + e.innerText?.slice(0, 40))`)
}

func (b *tab) shade(s string) {
	b.t.Helper()
	b.do("shade", call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "prefers-color-scheme", Value: s}, {Name: "prefers-reduced-motion", Value: "reduce"}}}))
}

// focused is what has the keyboard's focus.
type focused struct {
	Says, Outline string
	Inside, Seen  bool // in the main part; wholly in the window
}

const focus = `(() => { const e = document.activeElement, s = getComputedStyle(e), r = e.getBoundingClientRect();
  return {Says: (e.innerText || e.name || e.tagName).replace(/\s+/g, " ").trim(), Outline: parseFloat(s.outlineWidth) ? s.outlineStyle : "none",
    Inside: !!e.closest("main"), Seen: r.width > 1 && r.top >= 0 && r.left >= 0 && r.bottom <= innerHeight && r.right <= innerWidth} })()`

// TestKeyboard confirms an order with the keyboard alone.
func TestKeyboard(t *testing.T) {
	w := newWorld(t)
	draft := ""
	for _, s := range w.states() {
		if s.name == "order-cloth-now" {
			draft = s.path
		}
	}
	if draft == "" {
		t.Fatal("the demo has no order to be confirmed")
	}
	for _, s := range []screen{desk, telephone} {
		b := w.open(t, s)
		b.signIn(workshop.Seller)
		b.visit(draft)
		want := b.T("confirm-order")
		tab := func() focused {
			b.do("tab", chromedp.KeyEvent(kb.Tab))
			f := eval[focused](b, "focus", focus)
			if f.Outline == "none" || !f.Seen {
				t.Errorf("%d px: the focus on %q is not seen: outline %s, in the window: %v", s.wide, f.Says, f.Outline, f.Seen)
			}
			return f
		}
		var way []string
		for range 40 {
			f := tab()
			way = append(way, f.Says)
			if f.Says == want && f.Inside {
				break
			}
		}
		if way[len(way)-1] != want {
			t.Fatalf("%d px: the keyboard does not come to %q; it comes to %q", s.wide, want, way)
		}
		if way[0] != b.T("skip") {
			t.Errorf("%d px: first comes %q, want %q", s.wide, way[0], b.T("skip"))
		}
		b.visit(draft)
		tab()
		b.do("skip", chromedp.KeyEvent(kb.Enter))
		if f := tab(); !f.Inside {
			t.Errorf("%d px: after %q comes %q, want something of the page itself", s.wide, b.T("skip"), f.Says)
		}
		if s.wide != telephone.wide {
			continue
		}
		for f := eval[focused](b, "focus", focus); f.Says != want; f = tab() {
		}
		if status := b.leave("confirm", chromedp.KeyEvent(kb.Enter)); status != 200 {
			t.Errorf("confirm: status %d, want 200; the page says:\n%s", status, b.text())
		}
		if !strings.Contains(b.text(), b.T("done-confirmed")) {
			t.Errorf("the page does not say that the order is confirmed:\n%s", b.text())
		}
	}
}
