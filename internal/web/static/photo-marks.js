// Marks on a photograph: the rectangles for grey card and yarn are dragged,
// pulled at their corners, and moved with the keyboard. The fields of the form
// hold them, and without scripts are typed into.
"use strict";
(() => {
  const form = document.getElementById("marks");
  if (!form) return;
  const svg = form.querySelector("svg"), wide = svg.viewBox.baseVal.width, high = svg.viewBox.baseVal.height;
  const least = 24; // pixels of the photograph: less cannot be read
  document.getElementById("marks-drag").hidden = false;

  const within = (v, low, high) => Math.min(Math.max(v, low), Math.max(low, high));

  // mark ties a rectangle to its four fields.
  const mark = (g) => {
    const name = g.dataset.mark, rect = g.querySelector("rect"), label = g.querySelector("text");
    const field = (side) => form.elements[`${name}-${side}`];
    const circle = (kind) => {
      const c = document.createElementNS(svg.namespaceURI, "circle");
      c.setAttribute("class", kind);
      g.append(c);
      return c;
    };
    const corners = [0, 1, 2, 3].map(() => circle("corner")), grips = corners.map(() => circle("grip"));
    const at = {
      x: rect.x.baseVal.value, y: rect.y.baseVal.value, w: rect.width.baseVal.value, h: rect.height.baseVal.value,
    };
    const draw = () => {
      at.w = within(at.w, least, wide); at.h = within(at.h, least, high);
      at.x = within(at.x, 0, wide - at.w); at.y = within(at.y, 0, high - at.h);
      rect.setAttribute("x", at.x); rect.setAttribute("y", at.y);
      rect.setAttribute("width", at.w); rect.setAttribute("height", at.h);
      const pixel = wide / (svg.getBoundingClientRect().width || wide); // of the screen, however small the picture is shown
      label.setAttribute("x", at.x); label.setAttribute("y", at.y); label.setAttribute("font-size", 16 * pixel);
      label.setAttribute("dx", 12 * pixel); label.setAttribute("dy", 22 * pixel);
      const place = (r) => (c, i) => {
        c.setAttribute("cx", at.x + (i % 2) * at.w); c.setAttribute("cy", at.y + (i >> 1) * at.h); c.setAttribute("r", r);
      };
      corners.forEach(place(Math.min(22 * pixel, at.w / 3, at.h / 3))); // 44 px under a finger
      grips.forEach(place(5 * pixel));
    };
    const write = () => {
      const percent = (v, of) => String(Math.round(v / of * 1000) / 10);
      field("left").value = percent(at.x, wide); field("width").value = percent(at.w, wide);
      field("top").value = percent(at.y, high); field("height").value = percent(at.h, high);
    };
    const read = () => {
      const share = (side) => parseFloat(field(side).value.replace(",", ".")) / 100;
      const is = ["left", "top", "width", "height"].map(share);
      if (is.some((v) => !(v >= 0 && v <= 1))) return; // the workshop says what is wrong
      [at.x, at.y, at.w, at.h] = [is[0] * wide, is[1] * high, is[2] * wide, is[3] * high];
      draw();
    };
    for (const side of ["left", "top", "width", "height"]) field(side).addEventListener("change", read);

    // drag follows the pointer from where it went down. corner is -1 for the
    // whole mark.
    const drag = (element, corner) => element.addEventListener("pointerdown", (e) => {
      if (e.button) return;
      e.preventDefault();
      rect.focus({ preventScroll: true });
      element.setPointerCapture(e.pointerId);
      const from = { ...at }, scale = wide / svg.getBoundingClientRect().width, x = e.clientX, y = e.clientY;
      const move = (m) => {
        const dx = (m.clientX - x) * scale, dy = (m.clientY - y) * scale;
        if (corner < 0) {
          at.x = from.x + dx; at.y = from.y + dy;
        } else {
          const right = corner % 2, low = corner >> 1;
          at.w = within(from.w + (right ? dx : -dx), least, right ? wide - from.x : from.x + from.w);
          at.h = within(from.h + (low ? dy : -dy), least, low ? high - from.y : from.y + from.h);
          at.x = right ? from.x : from.x + from.w - at.w; at.y = low ? from.y : from.y + from.h - at.h;
        }
        draw();
        write();
      };
      const end = (u) => { if (u.type === "pointerup") move(u); element.removeEventListener("pointermove", move); element.removeEventListener("pointerup", end); element.removeEventListener("pointercancel", end); };
      element.addEventListener("pointermove", move); element.addEventListener("pointerup", end); element.addEventListener("pointercancel", end);
    });
    // A finger on a mark moves the mark and not the page; browsers do not heed
    // touch-action on what is drawn in a picture.
    for (const e of [rect, ...corners]) e.addEventListener("touchstart", (t) => t.preventDefault(), { passive: false });
    drag(rect, -1);
    corners.forEach(drag);

    rect.setAttribute("tabindex", "0");
    rect.setAttribute("role", "application"); // keys are for the mark
    rect.setAttribute("aria-label", svg.dataset[name]);
    rect.addEventListener("keydown", (e) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (!way || e.ctrlKey || e.altKey || e.metaKey) return;
      e.preventDefault();
      const step = Math.max(1, Math.round(wide / 100));
      if (e.shiftKey) {
        at.w = within(at.w + way[0] * step, least, wide - at.x); at.h = within(at.h + way[1] * step, least, high - at.y);
      } else {
        at.x += way[0] * step; at.y += way[1] * step;
      }
      draw();
      write();
    });
    window.addEventListener("resize", draw);
    draw();
  };
  form.querySelectorAll("g.mark").forEach(mark);
})();
