// The picture of the cloth: closer and away, both sides, hung, and what a finger
// or the mouse does on it. A touch chooses what lies there; an edge between two
// stripes can be dragged; in the close view the rest of the cloth can.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, ask } = designer;
  const $ = (id) => document.getElementById(id);
  const canvas = $("designer-cloth");
  const view = designer.view = { zoom: 0, panel: 0, end: 0, from: 0, back: false, hung: false };
  let drawing = false, pixels = null;

  const paint = () => {
    if (drawing) return;
    drawing = true;
    requestAnimationFrame(() => {
      drawing = false;
      const ratio = Math.min(2, window.devicePixelRatio || 1);
      const w = Math.max(1, Math.round(canvas.clientWidth * ratio)), h = Math.max(1, Math.round(canvas.clientHeight * ratio));
      if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
      if (!pixels || pixels.length !== w * h * 4) pixels = new Uint8ClampedArray(w * h * 4);
      if (urdir.picture(w, h, JSON.stringify(view), pixels)) canvas.getContext("2d").putImageData(new ImageData(pixels, w, h), 0, 0);
    });
  };
  designer.paint = paint;

  // spot is what lies under a point of the page, moved by so many pixels.
  const spot = designer.spot = (event, by = 0) => {
    const box = canvas.getBoundingClientRect(), ratio = canvas.width / box.width;
    const text = urdir.spot(Math.round((event.clientX - box.left + by) * ratio), Math.round((event.clientY - box.top) * ratio), canvas.width, canvas.height, JSON.stringify(view));
    return text ? JSON.parse(text) : null;
  };

  // The slider goes from the whole piece (0) over a panel as wide as the picture
  // (1) to single threads (its end). Zoom is pixels a cm.
  const closest = 800;
  const widest = () => canvas.width / designer.state().wide[view.panel];
  const slider = $("designer-zoom"), notches = Number(slider.max) - 1;
  const zoom = (to) => {
    const least = widest();
    view.zoom = to && Math.min(closest, to < least ? least : to);
    if (!to) { view.end = 0; view.from = 0; }
    slider.value = to ? 1 + Math.round(notches * Math.log(view.zoom / least) / Math.log(closest / least)) : 0;
    canvas.style.touchAction = to ? "none" : "";
    paint();
  };
  const closer = (by) => zoom(!view.zoom ? (by > 1 ? widest() : 0) : view.zoom * by < widest() * 0.99 ? 0 : view.zoom * by);
  const move = (ends, cm) => { view.end = Math.max(0, view.end + ends); view.from = Math.max(0, view.from + cm); paint(); };

  // near says whether an edge between two stripes is under the finger.
  const reach = 9;
  const near = (e) => {
    const a = spot(e, -reach), b = spot(e, reach);
    return a && b && a.warp === b.warp && !designer.same(a.stripe, b.stripe);
  };

  let hand = null;
  canvas.addEventListener("pointerdown", (e) => {
    const at = spot(e);
    if (!at || hand) return;
    canvas.setPointerCapture(e.pointerId);
    hand = { warp: at.warp, end: at.end, done: 0, edge: near(e), x: e.clientX, y: e.clientY, left: view.end, low: view.from, far: false, start: at, first: true };
  });
  canvas.addEventListener("pointermove", (e) => {
    if (!hand) return;
    const dx = e.clientX - hand.x, dy = e.clientY - hand.y;
    if (Math.hypot(dx, dy) > 6) hand.far = true;
    if (!hand.far) return;
    if (hand.edge) return drag(e);
    if (!view.zoom) return;
    const ratio = canvas.width / canvas.clientWidth, turn = view.back ? -1 : 1;
    const perEnd = endWidth(e) || 1;
    view.end = Math.max(0, Math.round(hand.left - dx * ratio / perEnd));
    view.from = Math.max(0, hand.low + dy * ratio / view.zoom);
    paint();
  });
  // endWidth is how many pixels of the picture an end takes, in the close view.
  const endWidth = (e) => {
    const a = spot(e, 0), b = spot(e, 40);
    return a && b && a.end !== b.end ? 40 * (canvas.width / canvas.clientWidth) / Math.abs(b.end - a.end) : view.zoom / 20;
  };
  const drag = (e) => {
    const at = spot(e);
    if (!at || at.warp !== hand.warp) return;
    const by = at.end - hand.end - hand.done;
    if (Math.abs(by) < 2) return;
    ask({ do: "widen", at: { in: "stripes", key: hand.warp, path: [] }, which: hand.end + hand.done + 1, count: by, again: !hand.first });
    hand.first = false;
    hand.done += by;
  };
  canvas.addEventListener("pointerup", () => {
    if (hand && !hand.far) {
      const at = hand.start, bands = $("designer-bands").closest("details");
      designer.choose(bands && bands.open && !$("designer-stripes").closest("details").open ? at.band : at.stripe);
    }
    hand = null;
  });
  canvas.addEventListener("pointercancel", () => { hand = null; });
  canvas.addEventListener("pointerleave", () => { canvas.style.cursor = ""; });
  canvas.addEventListener("pointermove", (e) => { if (!hand && e.pointerType === "mouse") canvas.style.cursor = near(e) ? "col-resize" : view.zoom ? "grab" : ""; });

  canvas.addEventListener("keydown", (e) => {
    const far = Math.max(1, Math.round(400 / (view.zoom || 1)));
    const moves = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, 2], ArrowDown: [0, -2] };
    if (moves[e.key] && view.zoom) { move(...moves[e.key]); e.preventDefault(); }
    if (e.key === "+") closer(1.4);
    if (e.key === "-") closer(1 / 1.4);
  });
  // Rolling goes closer to what is under the mouse.
  canvas.addEventListener("wheel", (e) => {
    if (!e.ctrlKey && !view.zoom) return;
    e.preventDefault();
    closer(e.deltaY < 0 ? 1.2 : 1 / 1.2);
  }, { passive: false });

  const press = (id, key) => $(id).addEventListener("click", (e) => {
    view[key] = !view[key];
    e.currentTarget.setAttribute("aria-pressed", String(view[key]));
    if (key === "hung" && view.hung) zoom(0);
    slider.disabled = view.hung;
    paint();
  });
  press("designer-back", "back");
  press("designer-hung", "hung");
  slider.addEventListener("input", () => { const n = Number(slider.value); zoom(n ? widest() * (closest / widest()) ** ((n - 1) / notches) : 0); });
  window.addEventListener("resize", paint);
  root.addEventListener("shown", paint);
})();
