package browser_test

import (
	"context"
	"fmt"
	"os"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"urdir/internal/workshop"
)

// redraws makes changes one after the other, as often as asked, and times each:
// the program's answer, what the page does with it, and the picture put on the
// canvas; and last how long it takes to put as many pixels there that are
// nothing but counted. Milliseconds.
const redraws = `(async (changes, times) => {
  const spent = {}, turn = requestAnimationFrame.bind(window);
  const timed = (name, f) => (...args) => { const t = performance.now(); try { return f(...args); } finally { spent[name] = performance.now() - t; } };
  const { ask, picture } = urdir;
  urdir.ask = timed("Ask", ask);
  urdir.picture = timed("Picture", picture);
  window.requestAnimationFrame = (f) => turn(timed("Frame", f));
  const all = [];
  for (let i = 0; i < times + 6; i++) {
    const t = performance.now();
    designer.ask(changes[i %% changes.length]);
    spent.Change = performance.now() - t;
    await new Promise((done) => turn(() => setTimeout(done)));
    if (i >= 6) all.push({ ...spent, Whole: spent.Change + spent.Frame });
    await new Promise((done) => setTimeout(done, 20));
  }
  Object.assign(urdir, { ask, picture });
  window.requestAnimationFrame = turn;
  const canvas = document.getElementById("designer-cloth"), words = new Uint32Array(canvas.width * canvas.height);
  for (let i = 0; i < times; i++) {
    const t = performance.now();
    for (let k = 0; k < words.length; k++) words[k] = 0xff000000 | k * i;
    canvas.getContext("2d").putImageData(new ImageData(new Uint8ClampedArray(words.buffer), canvas.width, canvas.height), 0, 0);
    all[i].Floor = performance.now() - t;
  }
  const of = (name) => { const v = all.map((x) => x[name]).sort((a, b) => a - b); return { Median: v[v.length >> 1], P95: v[Math.ceil(v.length * 0.95) - 1] }; };
  return { Ask: of("Ask"), Change: of("Change"), Picture: of("Picture"), Whole: of("Whole"), Floor: of("Floor") };
})(%s, %d)`

type spread struct{ Median, P95 float64 }

// An edge is dragged to and fro: the warp stays as long as it was.
const dragged = `[{do: "widen", at: {in: "stripes", key: "body", path: []}, which: 322, count: 2}, {do: "widen", at: {in: "stripes", key: "body", path: []}, which: 324, count: -2}]`

// A band goes and comes again: every end changes its length, and the way round
// the frame is found anew.
const shortened = `[{do: "remove", at: {in: "bands", key: "runner", path: [0, 3]}}, {do: "undo"}]`

// largeCloth keeps a cloth of 900 ends in a workshop, and gives its page.
func largeCloth(b *testing.B) (w world, page string) {
	b.Helper()
	text, err := os.ReadFile("../../screen/testdata/large.yaml")
	if err != nil {
		b.Fatal(err)
	}
	w = newWorld(b)
	cloth, err := w.house.SaveCloth(b.Context(), w.head, workshop.Kept[workshop.Cloth]{Value: workshop.Cloth{Name: "Manta de medir", Text: string(text)}})
	if err != nil {
		b.Fatal(err)
	}
	return w, "/cloths/" + cloth.ID + "/design"
}

// The 900-end cloth after a change, on a desk's and a telephone's canvas, with
// the processor as it is and slowed down to a quarter.
func BenchmarkRedraw(b *testing.B) {
	w, page := largeCloth(b)
	for _, on := range []struct {
		name       string
		wide, high int64
		ratio      float64
		canvas     string // its size, where the page would give it another
	}{
		{"desk", 1440, 1000, 1, "800px 600px"},
		{"telephone", 390, 844, 2, ""},
	} {
		t := w.open(b, desk)
		t.do("screen", call(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: on.wide, Height: on.high, DeviceScaleFactor: on.ratio}))
		t.signIn(workshop.Head)
		t.visit(page)
		t.until("the designer is there", `!document.getElementById("designer").hidden`)
		size := eval[string](t, "size", fmt.Sprintf(`((size) => { const c = document.getElementById("designer-cloth");
			if (size) [c.style.width, c.style.height] = size.split(" ");
			return c.clientWidth + " x " + c.clientHeight })(%s)`, quote(on.canvas)))
		b.Logf("%s: a canvas of %s, ratio %v", on.name, size, on.ratio)
		for _, slow := range []float64{1, 4} {
			t.do("slow down", call(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: slow}))
			for _, change := range []struct{ name, list string }{{"edge", dragged}, {"length", shortened}} {
				b.Run(fmt.Sprintf("%s/slowed %v/%s", on.name, slow, change.name), func(b *testing.B) { t.redraws(b, change.list) })
			}
		}
		t.do("as it was", call(emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1}))
	}
}

// redraws reports how long redrawing takes after the changes of a list.
func (b *tab) redraws(bench *testing.B, changes string) {
	for bench.Loop() { // once takes seconds
		ctx, cancel := context.WithTimeout(b.ctx, 4*patience)
		defer cancel()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[struct{ Ask, Change, Picture, Whole, Floor spread }](fmt.Sprintf(redraws, changes, 60), chromedp.EvalAwaitPromise))
		b.must("redraw", err)
		for name, s := range map[string]spread{"ask": got.Ask, "change": got.Change, "picture": got.Picture, "whole": got.Whole, "floor": got.Floor} {
			bench.ReportMetric(s.Median, name+"-ms")
			bench.ReportMetric(s.P95, name+"-p95-ms")
		}
	}
	bench.ReportMetric(0, "ns/op")
}

// starts fetches the designer's program (kept by the browser since the page
// came), compiles it and runs it until it can be asked.
const starts = `(async () => {
  const t = performance.now(), go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(fetch(designer.root.dataset.program), go.importObject);
  const compiled = performance.now();
  go.run(instance);
  return { Compiled: compiled - t, Running: performance.now() - compiled };
})()`

// The designer's program from the browser's store to its first answer.
func BenchmarkStart(b *testing.B) {
	w, page := largeCloth(b)
	t := w.open(b, desk)
	t.signIn(workshop.Head)
	t.visit(page)
	t.until("the designer is there", `!document.getElementById("designer").hidden`)
	var compiled, running float64
	for b.Loop() {
		got := eval[struct{ Compiled, Running float64 }](t, "start", starts)
		compiled, running = compiled+got.Compiled, running+got.Running
	}
	b.ReportMetric(compiled/float64(b.N), "compile-ms")
	b.ReportMetric(running/float64(b.N), "run-ms")
}
