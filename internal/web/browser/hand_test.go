package browser_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"urdir/clothfile"
	"urdir/design"
	desktop "urdir/internal/screen"
	"urdir/internal/workshop"
	"urdir/plan"
)

// onTableText is the cloth as it lies on the designer's table, read again.
func (b *tab) onTableText() plan.Cloth {
	b.t.Helper()
	text := eval[string](b, "the file", `urdir.file()`)
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		b.t.Fatalf("what lies on the table cannot be read: %v\n%s", ps, text)
	}
	return c
}

func read(t *testing.T, text string) plan.Cloth {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		t.Fatal(ps)
	}
	return c
}

// sameCloth compares two cloths as files.
func sameCloth(t *testing.T, what string, got, want plan.Cloth) {
	t.Helper()
	if g, w := string(clothfile.Write(got)), string(clothfile.Write(want)); g != w {
		t.Errorf("%s:\n%s\nwant\n%s", what, g, w)
	}
}

// edgePoint is where, in the page, an end of the first panel begins.
func (b *tab) edgePoint(end int) (x, y float64) {
	b.t.Helper()
	at := eval[[2]float64](b, "edge", fmt.Sprintf(`(() => {
		const c = document.getElementById("designer-cloth"), box = c.getBoundingClientRect();
		c.scrollIntoView({ block: "nearest" });
		for (let x = 0; x < box.width; x += 0.25) {
			const at = window.designer.spot({ clientX: box.left + x, clientY: box.top + box.height / 2 });
			if (at && at.end >= %d) return [box.left + x, box.top + box.height / 2];
		}
		return [-1, -1];
	})()`, end))
	if at[0] < 0 {
		b.t.Fatalf("end %d is not in the picture", end)
	}
	return at[0], at[1]
}

// dragEdge is an edge between two stripes of the demo's scarf, and how far it is
// dragged, in ends.
func dragEdge(c plan.Cloth) (key string, edge int) {
	key = c.Warps[0].Key
	fit, _, _ := design.Fit(c, key)
	s := fit.Stripes[2]
	return key, s.First - 1 + s.Ends
}

// drag is what the page should have made of a drag: the cloth after every step
// that the hand took. The steps are read from the page, so that the test does
// not depend on where a pixel falls; how far they go in all is checked.
func (b *tab) dragsEdge(c plan.Cloth, move func(x, y float64)) (want plan.Cloth) {
	b.t.Helper()
	key, edge := dragEdge(c)
	eval[bool](b, "listen", `(() => { window.steps = []; const ask = urdir.ask; urdir.ask = (q) => { window.steps.push(JSON.parse(q)); return ask(q); }; return true; })()`)
	x, y := b.edgePoint(edge)
	move(x, y)
	steps := eval[[]desktop.Request](b, "steps", `window.steps`)
	far := 0
	for _, q := range steps {
		if q.Do != "widen" || q.At.Key != key {
			b.t.Fatalf("the page asked for %+v", q)
		}
		c, _, _ = design.WidenAt(c, key, q.Which, q.Count)
		far += q.Count
	}
	if far < 4 || math.Abs(float64(steps[0].Which-edge)) > 3 {
		b.t.Errorf("dragged %d ends from %d, want several from %d", far, steps[0].Which, edge)
	}
	return c
}

// The mouse drags an edge between two stripes; one undo takes it all back.
func TestDesigner_mouse(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	before := read(t, cloth.Value.Text)
	eval[bool](b, "closer", `(() => { const z = document.getElementById("designer-zoom"); z.value = 1; z.dispatchEvent(new Event("input")); return true; })()`)
	want := b.dragsEdge(before, func(x, y float64) {
		mouse := func(kind input.DispatchMouseEventType, x float64, buttons int64) {
			b.do("mouse", call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: buttons, ClickCount: 1}))
		}
		mouse(input.DispatchMouseEventTypeMousePressed, x, 1)
		for i := range 6 {
			mouse(input.DispatchMouseEventTypeMouseMoved, x+float64(i+1)*8, 1)
		}
		mouse(input.DispatchMouseEventTypeMouseReleased, x+48, 0)
	})
	sameCloth(t, "after the drag", b.onTableText(), want)
	if *shots != "" {
		b.shoot("designer-near-1280")
	}
	b.do("undo", chromedp.Click("#designer-undo"))
	sameCloth(t, "after undoing", b.onTableText(), before)
}

// A finger does the same on a telephone, and the page does not scroll under it.
func TestDesigner_touch(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, telephone)
	eval[bool](b, "closer", `(() => { const z = document.getElementById("designer-zoom"); z.value = 1; z.dispatchEvent(new Event("input")); return true; })()`)
	want := b.dragsEdge(read(t, cloth.Value.Text), func(x, y float64) {
		touch := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
			b.do("touch", call(input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}))
		}
		touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
		for i := range 6 {
			touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + float64(i+1)*6, Y: y})
		}
		touch(input.DispatchTouchEventTypeTouchEnd)
	})
	sameCloth(t, "after the finger", b.onTableText(), want)
}

// A touch on the cloth chooses the stripe that lies there.
func TestDesigner_choosesOnTheCloth(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	c := read(t, cloth.Value.Text)
	fit, _, _ := design.Fit(c, c.Warps[0].Key)
	places := design.Written(c, design.Stripes, c.Warps[0].Key)
	widest := 0
	for i, s := range fit.Stripes {
		if s.Ends > fit.Stripes[widest].Ends {
			widest = i
		}
	}
	x, y := b.edgePoint(fit.Stripes[widest].First - 1 + fit.Stripes[widest].Ends/2)
	b.do("click", chromedp.MouseClickXY(x, y))
	var got design.At
	if err := json.Unmarshal([]byte(eval[string](b, "chosen", `JSON.stringify(window.designer.row().at)`)), &got); err != nil {
		t.Fatal(err)
	}
	if design.PathOf(c, got) != design.PathOf(c, places[widest]) {
		t.Errorf("chose %v, want %v", got, places[widest])
	}
}

// With the keyboard alone: a band becomes an open band, gets a length, another is
// added and takes up the rest.
func TestDesigner_bands(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	want := read(t, cloth.Value.Text)
	var at design.At
	for _, r := range design.Outline(want, design.Bands, want.Panels[0].Key) {
		if r.Band != nil && r.Band.Kind == plan.Woven && !r.Band.Rest {
			at = r.At
			break
		}
	}
	chosen, err := json.Marshal(at)
	if err != nil {
		t.Fatal(err)
	}
	eval[bool](b, "open the bands", `(() => { document.getElementById("designer-bands").closest("details").open = true; return true; })()`)
	row := fmt.Sprintf(`[...document.querySelectorAll("#designer-bands [data-row]")].find(b => b.dataset.row === JSON.stringify(%s))`, chosen)
	eval[bool](b, "focus", `(`+row+`.focus(), true)`)
	b.do("choose", chromedp.KeyEvent("\r"))
	eval[bool](b, "select", `(() => { const i = document.getElementById("set-length"); i.focus(); i.select(); return true; })()`)
	b.do("type", chromedp.KeyEvent("7,5\r"))
	want, ps := design.SetLength(want, at, 7.5)
	eval[bool](b, "kind", `(() => { const k = document.getElementById("set-kind"); k.value = "open"; k.dispatchEvent(new Event("change")); return true; })()`)
	want, more := design.SetKind(want, at, plan.Open)
	if ps = append(ps, more...); ps.Failed() {
		t.Fatal(ps)
	}
	sameCloth(t, "an open band", b.onTableText(), want)
	b.do("add", chromedp.Click("#tool-add-band"))
	if n, was := len(design.Written(b.onTableText(), design.Bands, want.Panels[0].Key)), len(design.Written(want, design.Bands, want.Panels[0].Key)); n <= was {
		t.Errorf("%d bands after adding one to %d", n, was)
	}
	if *shots != "" {
		b.shoot("designer-bands-1280")
	}
}

// Yarn that is ticked is proposed in stripes; a touch lays them.
func TestDesigner_proposals(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, telephone)
	eval[bool](b, "tick", `(() => { const d = document.getElementById("designer-ideas").closest("details"); d.open = true;
		[...document.querySelectorAll("#designer-ideas-lots input")].slice(0, 3).forEach(i => i.click()); document.getElementById("designer-propose").click(); return true; })()`)
	b.until("proposals", `document.querySelectorAll("#designer-ideas button").length > 2`)
	if *shots != "" {
		b.shoot("designer-ideas-390")
	}
	b.do("lay it", chromedp.Click("#designer-ideas li:first-child button"))
	got, before := b.onTableText(), read(t, cloth.Value.Text)
	if p, ps := plan.Make(got); ps.Failed() || len(p.Warps[0].Stripes) == 0 {
		t.Errorf("the proposal cannot be planned: %v", ps)
	}
	if fmt.Sprint(got.Warps[0].Order) == fmt.Sprint(before.Warps[0].Order) {
		t.Error("the stripes are as before")
	}
}

// The picture is the one the program draws anywhere else, pixel by pixel, on both
// sides, near and hung; and the numbers are the same.
func TestDesigner_samePictureAndNumbers(t *testing.T) {
	w := newWorld(t)
	b, cloth := onTable(t, w, desk)
	d, err := desktop.Open(cloth.Value.Text, "en", desktop.Bench{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []desktop.View{{}, {Back: true}, {Zoom: 60, End: 40, From: 12}, {Hung: true}} {
		view, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		got := eval[string](b, "sum of pixels", fmt.Sprintf(`(() => { const p = new Uint8ClampedArray(300 * 200 * 4); urdir.picture(300, 200, %q, p);
			let h = 2166136261; for (const x of p) h = Math.imul(h ^ x, 16777619) >>> 0; return String(h); })()`, view))
		want := uint32(2166136261)
		for _, x := range d.Picture(300, 200, v) {
			want = (want ^ uint32(x)) * 16777619
		}
		if got != fmt.Sprint(want) {
			t.Errorf("%s: another picture than the program's", view)
		}
	}
	var here, there desktop.Numbers
	settled := eval[string](b, "numbers", fmt.Sprintf(`(urdir.open(%q, "en", '{}'), urdir.settle())`, cloth.Value.Text))
	if json.Unmarshal([]byte(settled), &here) != nil || json.Unmarshal([]byte(d.Settle()), &there) != nil {
		t.Fatal(settled)
	}
	if len(here.Facts) < 5 || fmt.Sprint(here) != fmt.Sprint(there) {
		t.Errorf("in the browser\n%v\nelsewhere\n%v", here, there)
	}
	if *shots != "" {
		eval[bool](b, "hang it", `(document.getElementById("designer-hung").click(), true)`)
		eval[bool](b, "paint", `new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))`)
		b.shoot("designer-hung-1280")
	}
}

// A figure of the cloth is drawn where it is, and the cloth changes with it.
func TestDesigner_drawsAFigure(t *testing.T) {
	w := newWorld(t)
	all, err := w.house.Cloths(t.Context(), w.head, workshop.Page{State: "runner", Limit: 1})
	if err != nil || len(all.Items) == 0 {
		t.Fatalf("no runner in the demo: %v", err)
	}
	b := w.open(t, desk)
	b.signIn(workshop.Head)
	b.visit("/cloths/" + all.Items[0].ID + "/design")
	b.until("the designer is there", `!document.getElementById("designer").hidden`)
	before := b.onTableText()
	key := before.Figures[0].Key
	eval[bool](b, "open", fmt.Sprintf(`(document.getElementById("designer-figures").closest("details").open = true, document.getElementById("figure-draw-%s").click(), true)`, key))
	b.until("the board", `!!document.getElementById("designer-grid").drawing`)
	eval[bool](b, "in view", `(document.querySelector("#designer-grid .drawing-board").scrollIntoView({ block: "center" }), true)`)
	eval[bool](b, "two frames", `new Promise(r => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))`)
	if *shots != "" {
		b.shoot("designer-figure-1280")
	}
	was := before.Figures[0].Chart
	at := eval[[]float64](b, "a cell", `document.getElementById("designer-grid").drawing.board.place([0, 0])`)
	b.do("draw", chromedp.MouseClickXY(at[0], at[1]))
	now := b.onTableText().Figures[0].Chart
	if was.At(0, 0) != 0 || now.At(0, 0) == 0 || now.Rows() != was.Rows() || now.Columns() != was.Columns() {
		t.Errorf("cell %d before, %d after the touch\n%s", was.At(0, 0), now.At(0, 0), now)
	}
	b.do("undo", chromedp.Click("#designer-undo"))
	sameCloth(t, "after undoing", b.onTableText(), before)
}
