// The page of the cloth designer. Everything that is reckoned or drawn comes
// from the Go program in screen.wasm; this file asks it, shows what it answers,
// and keeps what was done safe: in the browser at once, in the workshop as soon
// as it can be reached.
"use strict";
(() => {
  const root = document.getElementById("designer");
  if (!root || !window.WebAssembly) return;
  const words = JSON.parse(root.dataset.words);
  const lots = root.dataset.lots;
  const $ = (id) => document.getElementById(id);
  const canvas = $("designer-cloth");
  const view = { zoom: 0, panel: 0, end: 0, from: 0, back: false };
  let state = null, chosen = null, drawing = false;

  // --- asking the program ---

  const ask = (request) => {
    show(JSON.parse(urdir.ask(JSON.stringify(request))));
    root.dispatchEvent(new Event("asked"));
  };
  const same = (a, b) => a && b && a.in === b.in && a.key === b.key && a.path.join() === b.path.join();
  const rows = () => [...state.warps, ...state.panels].flatMap((l) => l.rows);
  const row = () => rows().find((r) => same(r.at, chosen)) || null;

  // --- showing the answer ---

  const el = (tag, attributes, ...children) => {
    const e = document.createElement(tag);
    for (const [k, v] of Object.entries(attributes || {})) {
      if (v === false || v == null) continue;
      if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
      else e.setAttribute(k, v === true ? "" : v);
    }
    e.append(...children.filter((c) => c != null));
    return e;
  };
  const svg = (tag, attributes) => {
    const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    return e;
  };
  const chip = (c) => {
    const s = svg("svg", { viewBox: "0 0 28 28", "aria-hidden": "true" });
    s.append(svg("rect", { width: 28, height: 28, fill: c.colour }));
    return el("span", { class: "chip" }, s, el("b", {}, c.letter));
  };

  const show = (s) => {
    state = s;
    if (chosen && !row()) chosen = null;
    if (!chosen && rows().length) chosen = rows().find((r) => r.kind === "stripe")?.at || rows()[0].at;
    $("designer-facts").replaceChildren(...s.facts.map((f) => el("div", {}, el("dt", {}, f.word), el("dd", {}, f.value))));
    list($("designer-stripes"), s.warps);
    list($("designer-bands"), s.panels);
    yarns(s.yarns);
    said($("designer-problems"), s.refused.length ? s.refused : s.problems || []);
    tools();
    const undo = $("designer-undo"), redo = $("designer-redo");
    undo.disabled = !s.undo; redo.disabled = !s.redo;
    undo.title = s.undo; redo.title = s.redo;
    paint();
    root.dispatchEvent(new Event("shown"));
  };

  const list = (box, lists) => {
    const focused = document.activeElement?.dataset?.row;
    box.replaceChildren(...lists.flatMap((l) => [
      el("h3", {}, l.title),
      el("ul", { class: "list" }, ...l.rows.map((r) => el("li", {}, el("button", {
        type: "button", class: "line quiet", "data-row": JSON.stringify(r.at),
        "aria-pressed": same(r.at, chosen) ? "true" : "false", onclick: () => { chosen = r.at; show(state); },
      }, el("span", { class: "hidden-word" }, r.name), el("span", { class: "main", "aria-hidden": "true" }, "\u00a0\u00a0".repeat(r.depth), ...(r.yarns || []).map(chip), " " + r.word),
      el("span", { class: "side", "aria-hidden": "true" }, r.size ? r.size + " " + words["unit-" + r.unit] : words["unit-" + r.unit] || ""))))),
    ]));
    if (focused) [...box.querySelectorAll("[data-row]")].find((b) => b.dataset.row === focused)?.focus();
  };

  const yarns = (all) => $("designer-yarns").replaceChildren(...all.map((y) => el("li", {},
    el("span", { class: "line" }, el("span", { class: "main" }, chip(y), " " + y.label),
      el("span", { class: "side" }, y.need, y.shelf ? " / " + y.shelf : "", y.enough ? el("span", { class: "tag " + (y.short ? "blocked" : "done") }, y.enough) : null)))));

  const said = (box, all) => box.replaceChildren(...all.map((p) => el("li", { class: p.caution ? "caution" : "error" }, p.text)));

  const button = (word, request, more) => el("button", { type: "button", class: "quiet", onclick: () => ask(request), ...more }, words[word]);

  // tools are what can be done with the row that is chosen.
  const tools = () => {
    const r = row(), box = $("designer-tools");
    if (!r) return box.replaceChildren();
    const at = r.at, last = at.path[at.path.length - 1];
    const beside = (n) => ({ ...at, path: [...at.path.slice(0, -1), last + n] });
    const parts = [el("p", { class: "hint" }, r.name)];
    if (r.kind === "stripe") {
      const size = el("input", { id: "tool-size", inputmode: "decimal", value: r.size, size: 5, onchange: () => ask({ do: "size", at, text: size.value, unit: unit.value }) });
      const unit = el("select", { id: "tool-unit", "aria-label": words.unit, onchange: () => ask({ do: "size", at, text: size.value, unit: unit.value }) },
        ...["ends", "cm", "parts"].map((u) => el("option", { value: u, selected: u === r.unit }, words["unit-" + u])));
      parts.push(el("div", { class: "field" }, el("label", { for: "tool-size" }, words.width), el("span", { class: "tool-pair" },
        el("button", { type: "button", class: "quiet", onclick: () => step(r, -1) }, words.narrower), size,
        el("button", { type: "button", class: "quiet", onclick: () => step(r, 1) }, words.wider), unit)));
      r.yarns.forEach((c, which) => {
        const pick = el("select", { id: "tool-yarn-" + which, onchange: () => ask({ do: "recolour", at, which, yarn: pick.value }) },
          ...state.yarns.map((y) => el("option", { value: y.yarn, selected: y.yarn === c.yarn }, y.letter + " " + y.label)));
        parts.push(el("div", { class: "field" }, el("label", { for: "tool-yarn-" + which }, words.yarn), pick));
      });
      const other = state.yarns.find((y) => !r.yarns.some((c) => c.yarn === y.yarn));
      const ends = r.unit === "ends" ? Number(r.size) : 0;
      parts.push(el("div", { class: "actions" },
        ends > 1 ? button("split", { do: "split", at, count: Math.max(1, Math.round(ends / 2)) }) : null,
        button("join", { do: "join", at }),
        r.yarns.length > 1 ? button("plain", { do: "plain", at, which: 0 }) : other ? button("alternate", { do: "alternate", at, yarn: other.yarn, own: 1, other: 1 }) : null,
        button("add", { do: "stripe", at: beside(1), yarn: (other || r.yarns[0]).yarn, count: 8 })));
    }
    parts.push(el("div", { class: "actions" },
      button("duplicate", { do: "duplicate", at }),
      r.kind === "repeat" || r.kind === "mirror" ? button("ungroup", { do: "ungroup", at }) : null,
      r.kind === "repeat" ? button("more", { do: "times", at, count: r.times + 1 }) : null,
      r.kind === "repeat" && r.times > 1 ? button("fewer", { do: "times", at, count: r.times - 1 }) : null,
      button("repeat", { do: "repeat", at, count: 1, own: 2 }),
      button("repeat-two", { do: "repeat", at, count: 2, own: 2 }),
      button("mirror-two", { do: "mirror", at, count: 2 }),
      last > 0 ? button("before", { do: "move", at, to: beside(-1) }) : null,
      button("after", { do: "move", at, to: beside(2) }),
      button("remove", { do: "remove", at }, { class: "danger" })));
    box.replaceChildren(...parts);
  };

  const step = (r, by) => {
    const n = Number(String(r.size).replace(",", "."));
    const least = r.unit === "ends" ? 1 : 0.5;
    ask({ do: "size", at: r.at, text: String(Math.max(least, n + by * (r.unit === "ends" ? 2 : 0.5))), unit: r.unit });
  };

  // --- the picture ---

  const paint = () => {
    if (drawing) return;
    drawing = true;
    requestAnimationFrame(() => {
      drawing = false;
      const ratio = Math.min(2, window.devicePixelRatio || 1);
      const w = Math.max(1, Math.round(canvas.clientWidth * ratio)), h = Math.max(1, Math.round(canvas.clientHeight * ratio));
      if (canvas.width !== w || canvas.height !== h) { canvas.width = w; canvas.height = h; }
      const pixels = new Uint8ClampedArray(w * h * 4);
      if (urdir.picture(w, h, JSON.stringify(view), pixels)) canvas.getContext("2d").putImageData(new ImageData(pixels, w, h), 0, 0);
    });
  };
  const spot = (event) => {
    const box = canvas.getBoundingClientRect(), ratio = canvas.width / box.width;
    const text = urdir.spot(Math.round((event.clientX - box.left) * ratio), Math.round((event.clientY - box.top) * ratio), canvas.width, canvas.height, JSON.stringify(view));
    return text ? JSON.parse(text) : null;
  };
  const zoom = (to) => {
    view.zoom = to;
    if (!to) { view.end = 0; view.from = 0; }
    $("designer-zoom").value = to ? Math.round(Math.log2(to) * 4) : 0;
    paint();
  };

  // Dragging sideways moves the edge of a stripe; in the close view, dragging
  // with nothing near moves the cloth.
  let drag = null;
  canvas.addEventListener("pointerdown", (e) => {
    const at = spot(e);
    if (!at) return;
    canvas.setPointerCapture(e.pointerId);
    drag = { warp: at.warp, end: at.end, done: 0 };
  });
  canvas.addEventListener("pointermove", (e) => {
    if (!drag) return;
    const at = spot(e);
    if (!at || at.warp !== drag.warp) return;
    const by = at.end - drag.end - drag.done;
    if (Math.abs(by) < 2) return;
    ask({ do: "widen", at: { in: "stripes", key: drag.warp, path: [] }, which: drag.end + drag.done + 1, count: by });
    drag.done += by;
  });
  for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, () => { drag = null; });
  canvas.addEventListener("keydown", (e) => {
    const far = Math.max(1, Math.round(400 / (view.zoom || 1)));
    const moves = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, 2], ArrowDown: [0, -2] };
    if (moves[e.key] && view.zoom) {
      view.end = Math.max(0, view.end + moves[e.key][0]); view.from = Math.max(0, view.from + moves[e.key][1]);
      paint(); e.preventDefault();
    }
    if (e.key === "+") zoom(Math.min(800, (view.zoom || 16) * 1.4));
    if (e.key === "-") zoom(view.zoom < 24 ? 0 : view.zoom / 1.4);
  });

  // --- keys ---

  root.addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z") { ask({ do: e.shiftKey ? "redo" : "undo" }); e.preventDefault(); return; }
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "y") { ask({ do: "redo" }); e.preventDefault(); return; }
    const line = e.target.closest?.("[data-row]");
    if (!line || e.ctrlKey || e.metaKey || e.altKey) return;
    const at = JSON.parse(line.dataset.row), r = rows().find((x) => same(x.at, at));
    const all = [...root.querySelectorAll("[data-row]")], i = all.indexOf(line);
    const acts = {
      ArrowDown: () => all[i + 1]?.focus(), ArrowUp: () => all[i - 1]?.focus(),
      "+": () => r.kind === "stripe" && step(r, 1), "-": () => r.kind === "stripe" && step(r, -1),
      Delete: () => ask({ do: "remove", at }), d: () => ask({ do: "duplicate", at }), j: () => ask({ do: "join", at }),
    };
    if (acts[e.key]) { acts[e.key](); e.preventDefault(); }
  });

  // --- beginning ---

  // open puts a cloth file on the table; it says whether it could be read.
  const open = (text) => {
    const answer = urdir.open(text, document.documentElement.lang, lots);
    if (!answer) return false;
    root.hidden = false;
    show(JSON.parse(answer));
    return true;
  };
  // What the other scripts of this page use. "asked" tells them that something
  // was asked, "shown" that an answer was shown.
  window.designer = { root, words, el, chip, ask, open, show, row, rows, state: () => state, view, paint };
  $("designer-undo").addEventListener("click", () => ask({ do: "undo" }));
  $("designer-redo").addEventListener("click", () => ask({ do: "redo" }));
  $("designer-back").addEventListener("click", (e) => { view.back = !view.back; e.currentTarget.setAttribute("aria-pressed", String(view.back)); paint(); });
  $("designer-zoom").addEventListener("input", (e) => { const n = Number(e.target.value); zoom(n ? 2 ** (n / 4) : 0); });
  window.addEventListener("resize", paint);
  const go = new Go();
  WebAssembly.instantiateStreaming(fetch(root.dataset.program), go.importObject).then((r) => go.run(r.instance)).catch(() => { document.getElementById("designer-status").textContent = words.away; });
})();
