package browser_test

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/workshop"
)

// madder is the colour of the yarn on the made-up photographs.
var madder = colour.Lab{L: 42, A: 36, B: 24}

// photograph writes a made-up photograph: a grey card of 18 % to the left, yarn
// to the right, in yellowish light that grows by tilt from left to right.
func photograph(t *testing.T, tilt float64) string {
	t.Helper()
	const w, h = 1000, 750
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	yarn := madder.Linear()
	for y := range h {
		for x := range w {
			c := colour.Linear{R: 0.4, G: 0.37, B: 0.33}
			switch {
			case x > 120 && x < 380 && y > 220 && y < 530:
				c = colour.Linear{R: 0.18, G: 0.18, B: 0.18}
			case x > 520 && x < 960 && y > 120 && y < 640:
				c = yarn
			}
			e := 1 + tilt*(float64(x)/w-0.5)
			s := colour.Linear{R: 0.9 * e * c.R, G: 0.8 * e * c.G, B: 0.6 * e * c.B}.SRGB()
			img.SetRGBA(x, y, color.RGBA{s.R, s.G, s.B, 255})
		}
	}
	file := filepath.Join(t.TempDir(), "foto.png")
	f, err := os.Create(file)
	if err == nil {
		err = png.Encode(f, img)
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// lotOf is a lot of the workshop's.
func (w world) lotOf() string {
	l, _, err := w.house.Lots(w.t.Context(), w.head, workshop.Page{Limit: 1})
	if err != nil {
		w.t.Fatal(err)
	}
	return l.Items[0].ID
}

// colourOf is the colour that is kept of a lot, and how it was found.
func (w world) colourOf(lot string) (colour.Lab, string) {
	w.t.Helper()
	l, _, err := w.house.Lot(w.t.Context(), w.head, lot)
	if err != nil || l.Value.Dye.Measured == nil {
		w.t.Fatalf("no colour of the lot: %v", err)
	}
	return *l.Value.Dye.Measured, l.Value.Dye.How
}

// markAt is where a mark lies on the photograph, in pixels of the screen, and what
// its fields hold.
type markAt struct {
	X, Y, W, H               float64
	Left, Top, Width, Height string
	Focused                  bool
}

func (b *tab) mark(name string) markAt {
	b.t.Helper()
	return eval[markAt](b, "mark "+name, fmt.Sprintf(`(() => { const r = document.querySelector('g[data-mark="%[1]s"] rect'), at = r.getBoundingClientRect(), f = (s) => document.getElementById("f-%[1]s-" + s).value;
		return {X: at.x, Y: at.y, W: at.width, H: at.height, Left: f("left"), Top: f("top"), Width: f("width"), Height: f("height"), Focused: document.activeElement === r} })()`, name))
}

func percentOf(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// pull drags from one place of the screen to another: with a finger, or with the
// mouse.
func (b *tab) pull(finger bool, x, y, dx, dy float64) {
	b.t.Helper()
	touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		b.do("finger", call(input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: append([]*input.TouchPoint{}, points...)}))
	}
	mouse := func(kind input.DispatchMouseEventType, x, y float64) {
		b.do("mouse", call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1}))
	}
	if finger {
		touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + dx/2, Y: y + dy/2})
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + dx, Y: y + dy})
		touch(input.DispatchTouchEventTypeTouchEnd)
		return
	}
	mouse(input.DispatchMouseEventTypeMousePressed, x, y)
	mouse(input.DispatchMouseEventTypeMouseMoved, x+dx/2, y+dy/2)
	mouse(input.DispatchMouseEventTypeMouseMoved, x+dx, y+dy)
	mouse(input.DispatchMouseEventTypeMouseReleased, x+dx, y+dy)
}

// lay sends a photograph to the page of a lot's colour.
func (b *tab) lay(lot, file string) {
	b.t.Helper()
	b.visit("/yarn/" + lot + "/colour")
	b.do("choose the photograph", chromedp.SetUploadFiles("#f-picture", []string{file}))
	b.press(b.T("colour-photo-send"))
}

// onto pulls the marks onto card and yarn of the made-up photograph: the middle of
// each, then its lower right corner.
func (b *tab) onto(finger bool) {
	b.t.Helper()
	for name, at := range map[string][4]float64{"card": {0.15, 0.35, 0.2, 0.3}, "yarn": {0.56, 0.2, 0.36, 0.6}} {
		eval[bool](b, "into sight", `(document.querySelector("svg.photo").scrollIntoView({block: "center", behavior: "instant"}), true)`)
		box := eval[markAt](b, "photograph", `(() => { const r = document.querySelector("svg.photo").getBoundingClientRect(); return {X: r.x, Y: r.y, W: r.width, H: r.height} })()`)
		m := b.mark(name)
		b.pull(finger, m.X+m.W/2, m.Y+m.H/2, box.X+at[0]*box.W-m.X, box.Y+at[1]*box.H-m.Y)
		m = b.mark(name)
		b.pull(finger, m.X+m.W, m.Y+m.H, at[2]*box.W-m.W, at[3]*box.H-m.H)
		m = b.mark(name)
		for i, text := range []string{m.Left, m.Top, m.Width, m.Height} {
			if v := percentOf(b.t, text); v < 100*at[i]-1.5 || v > 100*at[i]+1.5 {
				b.t.Errorf("%s: the fields hold %s %s %s %s, want about %v", name, m.Left, m.Top, m.Width, m.Height, at)
				break
			}
		}
	}
}

// With the mouse at a desk and with a finger on a telephone the marks are pulled
// onto card and yarn; what is read is the colour of the yarn, and is kept. In tilted
// light there is a warning. The colour is known by construction.
func TestColour_photo(t *testing.T) {
	w := newWorld(t)
	lot := w.lotOf()
	for _, s := range []screen{desk, telephone} {
		finger := s.wide == telephone.wide
		b := w.open(t, s)
		if finger {
			b.do("fingers", call(emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 1}))
		}
		b.signIn(workshop.Dyer)
		b.lay(lot, photograph(t, 0))
		b.check(t, "colour, photograph")
		b.onto(finger)
		b.press(b.T("marks-read"))
		b.check(t, "colour, read")
		if strings.Contains(b.text(), b.words.T("card-uneven.mend", nil)) {
			t.Errorf("%d px: even light is said to be uneven", s.wide)
		}
		b.press(b.T("colour-keep"))
		if c, how := w.colourOf(lot); how != "photo" || colour.Difference(c, madder) > 0.5 {
			t.Errorf("%d px: kept %v by %q, want %v", s.wide, c, how, madder)
		}
		b.lay(lot, photograph(t, 1))
		b.onto(finger)
		b.press(b.T("marks-read"))
		if !strings.Contains(b.text(), b.words.T("card-uneven.mend", nil)) {
			t.Errorf("%d px: nothing is said of the tilted light:\n%s", s.wide, b.text())
		}
	}
}

// The marks are moved and made larger with the keyboard alone, and without
// scripts typed into the fields.
func TestColour_keys(t *testing.T) {
	w := newWorld(t)
	lot := w.lotOf()
	b := w.open(t, desk)
	b.signIn(workshop.Dyer)
	b.lay(lot, photograph(t, 0))
	for range 60 {
		if b.do("tab", chromedp.KeyEvent(kb.Tab)); b.mark("card").Focused {
			break
		}
	}
	if !b.mark("card").Focused {
		t.Fatal("the keyboard does not come to the mark of the card")
	}
	f := eval[focused](b, "focus", focus)
	if f.Outline == "none" {
		t.Error("the focus on the mark is not seen")
	}
	was := b.mark("card")
	for range 5 {
		b.do("right", chromedp.KeyEvent(kb.ArrowRight))
	}
	b.do("down", chromedp.KeyEvent(kb.ArrowDown))
	b.do("smaller", chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(chromedp.ModifierShift)))
	now := b.mark("card")
	for what, d := range map[string][2]float64{
		"left": {percentOf(t, now.Left) - percentOf(t, was.Left), 5}, "width": {percentOf(t, now.Width) - percentOf(t, was.Width), -1},
		"height": {percentOf(t, now.Height) - percentOf(t, was.Height), 0}} {
		if d[0] < d[1]-0.2 || d[0] > d[1]+0.2 {
			t.Errorf("%s changed by %v %%, want %v", what, d[0], d[1])
		}
	}
	if now.Top == was.Top {
		t.Error("down did not move it")
	}
	for range 200 {
		b.do("left", chromedp.KeyEvent(kb.ArrowLeft))
	}
	if left := b.mark("card").Left; left != "0" {
		t.Errorf("at the edge: %s %%, want 0", left)
	}

	plain := desk
	plain.script = false
	b = w.open(t, plain)
	b.signIn(workshop.Dyer)
	b.lay(lot, photograph(t, 0))
	for field, v := range map[string]string{"card-left": "15", "card-top": "35", "card-width": "20", "card-height": "30", "yarn-left": "56", "yarn-top": "20", "yarn-width": "36", "yarn-height": "60"} {
		eval[bool](b, "type "+field, "(document.getElementById("+quote("f-"+field)+").value = "+quote(v)+", true)")
	}
	b.press(b.T("marks-read"))
	b.press(b.T("colour-keep"))
	if c, how := w.colourOf(lot); how != "photo" || colour.Difference(c, madder) > 0.5 {
		t.Errorf("without scripts: kept %v by %q, want %v", c, how, madder)
	}
}

// A recipe with an error is refused with its line, and what was typed stays; it
// is mended and kept, and shows its temperatures.
func TestRecipe_mended(t *testing.T) {
	w := newWorld(t)
	for _, s := range []screen{desk, telephone} {
		b := w.open(t, s)
		b.signIn(workshop.Dyer)
		b.visit("/recipes")
		b.check(t, "/recipes")
		b.follow(b.T("recipe-new"))
		text := fmt.Sprintf("recipe: 1\nname: Prueba %d\nfibre: cellulose\nliquor: 30 L/kg\nsteps:\n  - kind: dye\n    amounts:\n      - {what: alum, amount: 15 %%, source: our own}\n    heat: [{to: 180 °C, hold: 60 min}]\n", s.wide)
		b.write(b.T("recipe-file"), text)
		sp := b.find("main button", b.T("save"), false)
		if status := b.leave("keep", chromedp.MouseClickXY(sp.X, sp.Y)); status != 422 {
			t.Fatalf("status %d, want it refused", status)
		}
		b.heard.take() // a page that was refused
		if line := b.words.T("line-n", check.Args{"n": 9}); !strings.Contains(b.text(), line) {
			t.Errorf("%d px: %q is not said:\n%s", s.wide, line, b.text())
		}
		b.check(t, "recipe refused")
		if got := eval[string](b, "text", `document.getElementById("f-text").value`); got != text {
			t.Errorf("the text became %q", got)
		}
		b.write(b.T("recipe-file"), strings.Replace(text, "180", "80", 1))
		b.press(b.T("save"))
		if want := fmt.Sprintf("/recipes/prueba-%d", s.wide); b.path() != want {
			t.Errorf("at %s, want %s", b.path(), want)
		}
		b.check(t, "recipe")
		if !eval[bool](b, "curve", `document.querySelector("svg.curve polyline").getBoundingClientRect().width > 100`) {
			t.Error("no temperature curve is seen")
		}
	}
	b := w.open(t, desk)
	b.signIn(workshop.Head)
	for _, path := range []string{"/recipes/madder-cotton/shades", "/recipes/indigo-cotton", "/dye/learned", "/recipes/madder-cotton?mass=0", "/recipes/madder-cotton/shades?over=indigo-cotton"} {
		b.visit(path)
		b.check(t, path)
	}
}
