package browser_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"urdir/clothfile"
	"urdir/plan"
	"urdir/warp/tie"
)

// under is what lies under a point of the page, a share of the picture's width
// from its middle and of its height from its top.
type under struct {
	X, Y, CM float64
	End      int
}

func (b *tab) under(across, down float64) under {
	b.t.Helper()
	return eval[under](b, "what lies there", fmt.Sprintf(`(() => { const c = document.getElementById("designer-cloth"), r = c.getBoundingClientRect();
		const clientX = Math.round(r.left + r.width * (0.5 + %g)), clientY = Math.round(r.top + r.height * %g);
		const s = designer.spot({clientX, clientY}); return {X: clientX, Y: clientY, CM: s.cm, End: s.end}; })()`, across, down))
}

func (b *tab) tieBox(from, to under) {
	b.t.Helper()
	mouse := func(kind input.DispatchMouseEventType, x, y float64, buttons int64) {
		b.do("mouse", call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: buttons, ClickCount: 1}))
	}
	mouse(input.DispatchMouseEventTypeMousePressed, from.X, from.Y, 1)
	for i := range 4 {
		share := float64(i+1) / 4
		mouse(input.DispatchMouseEventTypeMouseMoved, from.X+(to.X-from.X)*share, from.Y+(to.Y-from.Y)*share, 1)
	}
	mouse(input.DispatchMouseEventTypeMouseReleased, to.X, to.Y, 0)
}

// tiedOf is what is tied of a file's first panel.
func tiedOf(t *testing.T, text string) *plan.Tied {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		t.Fatalf("%v\n%s", ps, text)
	}
	return c.Panels[0].Tied
}

const ties = `[...document.querySelectorAll("#designer-ties .main")].map(e => e.textContent)`

func (b *tab) openTies() {
	b.t.Helper()
	eval[bool](b, "open", `(document.getElementById("designer-tied").open = true, document.getElementById("designer-tie-draw").scrollIntoView(), true)`)
	b.do("draw", chromedp.Click("#designer-tie-draw"))
	eval[bool](b, "the cloth in view", `(document.getElementById("designer-cloth").scrollIntoView({block: "center"}), true)`)
}

// A box drawn on the cloth is tied, changed by typing, and kept in the cloth
// file; the stripes stay as they were.
func TestDesigner_ties(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	stripes := eval[[]string](b, "rows", rowNames)
	b.openTies()
	from, to := b.under(-0.02, 0.6), b.under(0.02, 0.4)
	b.tieBox(from, to)
	got := eval[[]string](b, "ties", ties)
	text := eval[string](b, "file", `urdir.file()`)
	made := tiedOf(t, text)
	if len(got) != 1 || made == nil || len(made.Marks) != 1 {
		t.Fatalf("ties %q, %+v", got, made)
	}
	// The scarf's cloth begins after a fringe of 10 cm.
	m := made.Marks[0]
	if m.First != from.End+1 || m.Last != to.End+1 || math.Abs(float64(m.From)-from.CM+10) > 0.15 || math.Abs(float64(m.To)-to.CM+10) > 0.15 {
		t.Errorf("drawn from %+v to %+v, tied %+v", from, to, m)
	}
	if !strings.Contains(got[0], strconv.Itoa(m.First)) || !strings.Contains(got[0], strconv.Itoa(m.Last)) {
		t.Errorf("the list says %q of %+v", got[0], m)
	}
	if now := eval[[]string](b, "rows", rowNames); strings.Join(now, "\n") != strings.Join(stripes, "\n") {
		t.Errorf("drawing a tie changed the stripes:\n%q\nto\n%q", stripes, now)
	}
	if *shots != "" {
		b.shoot("tied-1280")
	}
	b.do("change", chromedp.Click("#designer-tie-edit-0"))
	b.do("type", chromedp.SetValue("#designer-tie-ends", "11-30"), chromedp.SetValue("#designer-tie-from", "20"), chromedp.SetValue("#designer-tie-to", "35"), chromedp.SetValue("#designer-tie-every", "40 cm"),
		chromedp.Click("#designer-tie-mirror"), chromedp.Click("#designer-tie-form [data-change]"))
	want := tie.Mark{First: 11, Last: 30, From: 20, To: 35, Every: 40, Mirror: true}
	if made = tiedOf(t, eval[string](b, "file", `urdir.file()`)); made == nil || len(made.Marks) != 1 || made.Marks[0] != want {
		t.Fatalf("tied %+v, want %+v", made, want)
	}
	eval[bool](b, "save", `(document.getElementById("designer-save").requestSubmit(), true)`)
	for end := time.Now().Add(patience); ; time.Sleep(100 * time.Millisecond) {
		now, _, err := w.house.Cloth(t.Context(), w.head, cloth.ID, 0)
		if err != nil {
			t.Fatal(err)
		}
		if kept := tiedOf(t, now.Value.Text); kept != nil && kept.Marks[0] == want {
			break
		}
		if time.Now().After(end) {
			t.Fatalf("not kept:\n%s", now.Value.Text)
		}
	}
}

// On a telephone, and with the keyboard: typed, refused, taken away.
func TestDesigner_tiesTyped(t *testing.T) {
	w := newWorld(t)
	b, _ := onTable(t, w, telephone)
	eval[bool](b, "open", `(document.getElementById("designer-tied").open = true)`)
	b.do("type", chromedp.SendKeys("#designer-tie-ends", "10-4000"), chromedp.SendKeys("#designer-tie-from", "20"), chromedp.SendKeys("#designer-tie-to", "35\r"))
	b.until("refused", `designer.state().refused.length === 1 && document.getElementById("designer-tie-ends").value === "10-4000"`)
	b.do("mend", chromedp.SetValue("#designer-tie-ends", "10-40"), chromedp.SendKeys("#designer-tie-ends", "\r"))
	b.until("tied", `designer.state().tied[0].rows.length === 1 && document.activeElement.id === "designer-tie-ends"`)
	if hidden := eval[bool](b, "what lies over the field", `(() => { const e = document.activeElement, r = e.getBoundingClientRect(); return document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2) !== e; })()`); hidden {
		t.Error("the field that has the focus is out of sight")
	}
	if wide := eval[int](b, "width", `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
		t.Errorf("the page is %d px wider than a telephone", wide)
	}
	if small := eval[[]string](b, "small buttons", `[...document.querySelectorAll("#designer-tied button, #designer-tied input:not([type=checkbox]), #designer-tied select, #designer-tied a")].filter(e => e.offsetParent && e.offsetHeight < 44).map(e => e.id || e.textContent)`); len(small) > 0 {
		t.Errorf("too small to touch: %q", small)
	}
	if *shots != "" {
		eval[bool](b, "all", `(document.querySelector("#designer-tied details").open = true)`)
		b.shoot("tied-390")
	}
	eval[bool](b, "the button in view", `(document.getElementById("designer-tie-remove-0").scrollIntoView({block: "end"}), true)`)
	b.do("take away", chromedp.Click("#designer-tie-remove-0"))
	if made := tiedOf(t, eval[string](b, "file", `urdir.file()`)); made != nil {
		t.Errorf("still tied: %+v", made)
	}
}
