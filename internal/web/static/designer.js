// The page of the cloth designer. Everything that is reckoned or drawn comes
// from the Go program in screen.wasm; these scripts ask it and show what it
// answers. This one shows the lists; designer-tools.js what can be done with a
// row, designer-cloth.js the picture, designer-shelf.js yarn and proposals,
// designer-figures.js figures, and designer-keep.js keeps it all safe.
"use strict";
(() => {
  const root = document.getElementById("designer");
  if (!root || !window.WebAssembly) return;
  const words = JSON.parse(root.dataset.words);
  const $ = (id) => document.getElementById(id);
  let state = null, chosen = null, settling = null;

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
  // chip is a yarn's colour with its hatch, drawn by the program once, and its letter.
  const side = 36, chips = new Map();
  const chip = (c) => {
    const key = c.colour + c.hatch;
    if (!chips.has(key)) {
      const pixels = new Uint8ClampedArray(side * side * 4);
      urdir.chip(c.colour, c.hatch, side, pixels);
      chips.set(key, new ImageData(pixels, side, side));
    }
    const picture = el("canvas", { width: side, height: side, "aria-hidden": "true" });
    picture.getContext("2d").putImageData(chips.get(key), 0, 0);
    return el("span", { class: "chip" }, picture, el("b", {}, c.letter));
  };

  // keepFocus does something that makes parts of the page anew, and puts the
  // focus back to where it was.
  const keepFocus = (make) => {
    const at = document.activeElement, id = at && at.id, on = at && at.dataset && at.dataset.row;
    make();
    if (!root.contains(at) || !at.isConnected) {
      const again = (id && $(id)) || (on && [...root.querySelectorAll("[data-row]")].find((b) => b.dataset.row === on));
      if (again) again.focus({ preventScroll: true });
    }
  };

  const show = (s) => {
    state = s;
    if (!row()) chosen = rows().find((r) => r.kind === "stripe")?.at || rows()[0]?.at || null;
    keepFocus(() => {
      list($("designer-stripes"), s.warps);
      list($("designer-bands"), s.panels);
      root.dispatchEvent(new Event("shown"));
    });
    said($("designer-problems"), [...s.refused, ...s.problems]);
    const undo = $("designer-undo"), redo = $("designer-redo");
    undo.disabled = !s.undo; redo.disabled = !s.redo;
    undo.title = s.undo; redo.title = s.redo;
    $("designer-facts").setAttribute("aria-busy", "true");
    clearTimeout(settling);
    settling = setTimeout(settle, 60);
  };

  // settle shows the numbers, when the hand rests.
  const settle = () => {
    const n = JSON.parse(urdir.settle()), facts = $("designer-facts");
    facts.replaceChildren(...n.facts.map((f) => el("div", {}, el("dt", {}, f.word), el("dd", {}, f.value))));
    facts.removeAttribute("aria-busy");
    said($("designer-problems"), [...state.refused, ...n.problems]);
    root.dispatchEvent(new CustomEvent("settled", { detail: n }));
  };

  // list shows lists of rows. A row that is shown as before stays as it is: while
  // an edge is dragged two of a hundred change.
  const list = (box, lists) => {
    while (box.children.length > 2 * lists.length) box.lastElementChild.remove();
    lists.forEach((l, i) => {
      if (box.children.length === 2 * i) box.append(el("h2", {}), el("ul", { class: "list" }));
      const title = box.children[2 * i], ul = box.children[2 * i + 1];
      if (title.textContent !== l.title) title.textContent = l.title;
      while (ul.children.length > l.rows.length) ul.lastElementChild.remove();
      l.rows.forEach((r, k) => {
        const shown = JSON.stringify([r, same(r.at, chosen)]), old = ul.children[k];
        if (old && old.shown === shown) return;
        const li = line(r);
        li.shown = shown;
        if (old) old.replaceWith(li); else ul.append(li);
      });
    });
  };
  // anew is something to do again only when what it shows has changed.
  const anew = (what, make) => {
    let shown = null;
    return () => {
      const now = JSON.stringify(what());
      if (now === shown) return;
      shown = now;
      make();
    };
  };

  // line is a row; the chosen one has its tools below it.
  const line = (r) => {
    const on = same(r.at, chosen);
    return el("li", {}, el("button", {
      type: "button", class: "line quiet", "data-row": JSON.stringify(r.at), "aria-pressed": String(on), onclick: () => choose(r.at),
    }, el("span", { class: "hidden-word" }, r.name), el("span", { class: "main deep-" + Math.min(r.depth, 6), "aria-hidden": "true" }, ...r.yarns.map(chip), " " + r.word),
    el("span", { class: "side", "aria-hidden": "true" }, r.size ? r.size + " " + words["unit-" + r.unit] : words["unit-" + r.unit] || "")),
    on ? el("div", { id: "designer-tools", class: "tools" }) : null);
  };

  const choose = (at) => {
    chosen = at;
    show(state);
    [...root.querySelectorAll("[data-row]")].find((b) => same(JSON.parse(b.dataset.row), at))?.focus({ preventScroll: true });
  };

  let before = "";
  const said = (box, all) => {
    const text = JSON.stringify(all);
    if (text === before) return; // not said twice by a screen reader
    before = text;
    box.replaceChildren(...all.map((p) => el("li", { class: p.caution ? "caution" : "error" }, p.text)));
  };

  // --- keys ---

  root.addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z") { ask({ do: e.shiftKey ? "redo" : "undo" }); e.preventDefault(); return; }
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "y") { ask({ do: "redo" }); e.preventDefault(); return; }
    const on = e.target.closest?.("[data-row]");
    if (!on || e.ctrlKey || e.metaKey || e.altKey) return;
    const at = JSON.parse(on.dataset.row), r = rows().find((x) => same(x.at, at));
    const all = [...root.querySelectorAll("[data-row]")], i = all.indexOf(on);
    const acts = {
      ArrowDown: () => all[i + 1]?.focus(), ArrowUp: () => all[i - 1]?.focus(),
      "+": () => designer.step(r, 1), "-": () => designer.step(r, -1),
      Delete: () => ask({ do: "remove", at }), d: () => ask({ do: "duplicate", at }), j: () => ask({ do: "join", at }),
    };
    if (acts[e.key]) { acts[e.key](); e.preventDefault(); }
  });

  // --- beginning ---

  // open puts a cloth file on the table; it says whether it could be read.
  const open = (text) => {
    const answer = urdir.open(text, document.documentElement.lang, root.dataset.bench);
    if (!answer) return false;
    root.hidden = false;
    show(JSON.parse(answer));
    return true;
  };
  $("designer-undo").addEventListener("click", () => ask({ do: "undo" }));
  $("designer-redo").addEventListener("click", () => ask({ do: "redo" }));

  // What the other scripts of this page use. "asked" tells them that something
  // was asked, "shown" that an answer is being shown, "settled" (with the
  // numbers) that the hand rests.
  const designer = window.designer = { root, words, el, chip, ask, open, choose, row, rows, same, anew, keepFocus, said, state: () => state };

  const go = new Go();
  WebAssembly.instantiateStreaming(fetch(root.dataset.program), go.importObject).then((r) => go.run(r.instance))
    .catch(() => { $("designer-status").textContent = words.away; });
})();
