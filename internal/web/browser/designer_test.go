package browser_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"urdir/clothfile"
	"urdir/internal/workshop"
)

// onTable opens the designer with the demo's first scarf and waits for it.
func onTable(t *testing.T, w world, s screen) (*tab, workshop.Kept[workshop.Cloth]) {
	t.Helper()
	all, err := w.house.Cloths(t.Context(), w.head, workshop.Page{State: "scarf", Limit: 1})
	if err != nil || len(all.Items) == 0 {
		t.Fatalf("no scarf in the demo: %v", err)
	}
	b := w.open(t, s)
	b.signIn(workshop.Head)
	b.visit("/cloths/" + all.Items[0].ID + "/design")
	b.until("the designer is there", `!document.getElementById("designer").hidden`)
	return b, all.Items[0]
}

// until waits for something to be so.
func (b *tab) until(what, js string) {
	b.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if eval[bool](b, what, js) {
			return
		}
	}
	b.t.Fatalf("%s: not so after %s", what, patience)
}

const rowNames = `[...document.querySelectorAll("#designer-stripes [data-row]")].map(b => b.querySelector(".hidden-word").textContent)`

// With the keyboard alone a stripe is widened and taken back; it is kept in the
// workshop, and reads there as it was left.
func TestDesigner_keyboard(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	before := eval[[]string](b, "rows", rowNames)
	if len(before) < 5 {
		t.Fatalf("rows: %q", before)
	}
	first := `document.querySelector('#designer-stripes [data-row*=\'"path":[0,1]\']')`
	eval[bool](b, "focus", `(`+first+`.focus(), true)`)
	b.do("widen", chromedp.KeyEvent("+"))
	after := eval[[]string](b, "rows", rowNames)
	if strings.Join(after, "\n") == strings.Join(before, "\n") {
		t.Error("+ changed nothing")
	}
	b.save()
	b.saying("keep-saved")
	now, _, err := w.house.Cloth(t.Context(), w.head, cloth.ID, 0)
	if err != nil {
		t.Fatal(err)
	}
	want, _, ps := clothfile.Read([]byte(cloth.Value.Text))
	if ps.Failed() {
		t.Fatal(ps)
	}
	got, _, ps := clothfile.Read([]byte(now.Value.Text))
	if ps.Failed() {
		t.Fatalf("what the designer kept cannot be read: %v\n%s", ps, now.Value.Text)
	}
	if now.Value.Version != cloth.Value.Version+1 || string(clothfile.Write(got)) == string(clothfile.Write(want)) {
		t.Errorf("version %d, want %d with a wider stripe", now.Value.Version, cloth.Value.Version+1)
	}
	b.do("undo", chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	if again := eval[[]string](b, "rows", rowNames); strings.Join(again, "\n") != strings.Join(before, "\n") {
		t.Errorf("after undoing:\n%q\nwant\n%q", again, before)
	}
	b.do("down", chromedp.KeyEvent(kb.ArrowDown))
	if *shots != "" {
		b.shoot("designer-1280")
	}
}

// The designer's picture is not empty, and fits a telephone.
func TestDesigner_telephone(t *testing.T) {
	w := newWorld(t)
	b, _ := onTable(t, w, telephone)
	colours := eval[int](b, "colours", `(() => { const c = document.getElementById("designer-cloth");
		const p = c.getContext("2d").getImageData(0, 0, c.width, c.height).data; const s = new Set();
		for (let i = 0; i < p.length; i += 16) s.add(p[i] << 16 | p[i + 1] << 8 | p[i + 2]); return s.size; })()`)
	if colours < 5 {
		t.Errorf("%d colours in the picture of a striped scarf", colours)
	}
	if wide := eval[int](b, "width", `document.documentElement.scrollWidth - innerWidth`); wide > 0 {
		t.Errorf("the page is %d px wider than a telephone", wide)
	}
	if *shots != "" {
		b.shoot("designer-390")
	}
}

func (b *tab) shoot(name string) {
	b.t.Helper()
	if err := os.MkdirAll(*shots, 0o755); err != nil {
		b.t.Fatal(err)
	}
	height := eval[int64](b, "height", "document.documentElement.scrollHeight")
	wide := eval[int64](b, "width", "innerWidth")
	r, err := chromedp.Call(b.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{CaptureBeyondViewport: new(true),
		Clip: &page.Viewport{Width: float64(wide), Height: float64(min(height, 8000)), Scale: 1}})
	b.must("picture of "+name, err)
	b.must("write", os.WriteFile(filepath.Join(*shots, name+".png"), r.Data, 0o600))
}
