// Drawing a figure, in any element of a page that has the program of
// screen.wasm (object urdir): window.drawing.mount. What a stroke makes of the
// figure, and every word, the program says; the board is in drawing-board.js,
// the forms beside it in drawing-forms.js.
"use strict";
(() => {
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
  const svg = (tag, attributes, ...children) => {
    const e = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    e.append(...children);
    return e;
  };
  const chip = (c) => el("span", { class: "chip" }, svg("svg", { viewBox: "0 0 28 28", "aria-hidden": "true" }, svg("rect", { width: 28, height: 28, fill: c.colour || drawingBoard.ground })), el("b", {}, c.sign), " " + c.label);
  const tools = [["pen", "P"], ["line", "L"], ["fill", "F"], ["erase", "E"], ["select", "S"], ["move-view", "V"]];
  const quick = 15000; // cells; in larger figures a stroke is only sketched until the hand lets go
  let mounts = 0;

  // mount puts a figure's text on a board in an element. It gives what can be
  // done with it from outside, or null when the text cannot be read; then the
  // element says why.
  const mount = (box, { text, language = document.documentElement.lang, sett = 0, picks = 0, yarns = [], changed = () => {} }) => {
    const words = JSON.parse(urdir.drawing.words(language));
    const id = urdir.drawing.open(text, language, JSON.stringify({ sett, picks, yarns }));
    if (typeof id !== "number") {
      const why = id ? JSON.parse(id).problems : [];
      box.replaceChildren(el("ul", { class: "problem-list", role: "alert" }, el("li", { class: "error" }, words.unread), ...why.map((p) => el("li", { class: p.caution ? "caution" : "error" }, p.text))));
      return null;
    }
    const d = { id, words, yarns, el, chip, key: "drawing-" + ++mounts, state: null, chosen: 1, tool: "pen" };
    let last = text, path = [], anchor = null, job = 0, tried = 0;

    // --- asking ---

    const ask = (request) => {
      const before = d.state;
      show(JSON.parse(urdir.drawing.ask(id, JSON.stringify(request))));
      if (request.trial) return;
      const now = urdir.drawing.text(id);
      if (now !== last) { last = now; changed(now); }
      if (d.state.refused.length) tell(d.state.refused.map((p) => p.text).join(" "));
      else if (request.do === "undo") tell(words.undo + ": " + before.undo);
      else if (request.do === "redo") tell(words.redo + ": " + before.redo);
      bar();
    };
    const show = (s) => {
      if (d.state && (d.state.rows !== s.rows || d.state.columns !== s.columns)) board.barred = new Set();
      d.state = s;
      if (d.chosen >= s.colours.length) d.chosen = s.colours.length - 1;
      undo.disabled = !s.undo; redo.disabled = !s.redo;
      undo.title = s.undo; redo.title = s.redo;
      colours();
      problems.replaceChildren(...[...s.refused, ...s.problems].map((p) => el("li", { class: p.caution ? "caution" : "error" }, p.text)));
      board.show(s);
      forms.show(s);
    };
    const tell = (what) => { where.textContent = what; };
    const tellCell = () => tell(board.region && d.tool === "select"
      ? words.part + ": " + board.region.columns + " × " + board.region.rows + ". " + cellWords() : cellWords());
    const cellWords = () => urdir.drawing.tell(id, board.cursor[0], board.cursor[1], d.chosen);

    // bar asks, a line at a time so that hands never wait, which cells cannot
    // take the chosen colour; of a large figure only what is seen.
    const bar = () => {
      const mine = ++job, s = d.state, upright = s.kind === "pick-up", found = new Set();
      if (!s.limit || d.tool === "move-view") { board.barred = new Set(); board.paint(); return; }
      const part = s.rows * s.columns <= 6400 ? { from: [0, 0], to: [s.rows, s.columns] } : board.seen();
      let at = part.from[upright ? 1 : 0];
      const next = () => {
        if (mine !== job) return;
        const end = performance.now() + 8;
        while (at < part.to[upright ? 1 : 0] && performance.now() < end) {
          const line = upright ? { row: part.from[0], rows: part.to[0] - part.from[0], column: at, columns: 1 } : { row: at, rows: 1, column: part.from[1], columns: part.to[1] - part.from[1] };
          for (const i of JSON.parse(urdir.drawing.barred(id, JSON.stringify(line), d.tool === "erase" ? 0 : d.chosen))) found.add(i);
          at++;
        }
        if (at < part.to[upright ? 1 : 0]) return setTimeout(next);
        board.barred = found;
        board.paint();
      };
      setTimeout(next, 30);
    };

    // --- tools ---

    const value = () => d.tool === "erase" ? 0 : d.chosen;
    const between = (a, b) => ({ row: Math.min(a[0], b[0]), column: Math.min(a[1], b[1]), rows: Math.abs(a[0] - b[0]) + 1, columns: Math.abs(a[1] - b[1]) + 1 });
    const hand = {
      moves: () => d.tool === "move-view",
      start: (at) => {
        canvas.focus({ preventScroll: true });
        path = [at];
        if (d.tool === "select") { anchor = at; board.region = null; board.paint(); }
        else if (d.tool !== "fill") hand.move(at);
      },
      move: (at) => {
        if (d.tool === "select") { board.region = between(anchor, at); board.paint(); return; }
        if (d.tool === "fill") return;
        if (at !== path[0]) path.push(at);
        const cells = d.tool === "line" ? [path[0], at] : path;
        if (d.state.rows * d.state.columns > quick) { board.ghost = { cells, colour: d.state.colours[value()].colour || drawingBoard.ground }; board.paint(); return; }
        tried ||= requestAnimationFrame(() => { tried = 0; if (path.length) ask({ do: d.tool, cells: d.tool === "line" ? [path[0], path[path.length - 1]] : path, value: value(), trial: true }); });
      },
      end: (at) => {
        if (d.tool === "select") { board.region = between(anchor, at); board.paint(); forms.part(); }
        else if (d.tool === "line") ask({ do: "line", cells: [path[0], at], value: value() });
        else if (d.tool === "fill") ask({ do: "fill", cells: [at], value: value() });
        else ask({ do: d.tool, cells: path, value: value() });
        path = []; board.ghost = null;
        tellCell();
      },
      cancel: () => { path = []; board.ghost = null; show(JSON.parse(urdir.drawing.ask(id, "{}"))); },
    };
    const choose = (tool) => {
      d.tool = tool;
      board.start = null;
      for (const b of toolbar.querySelectorAll("[data-tool]")) b.setAttribute("aria-pressed", String(b.dataset.tool === tool));
      canvas.classList.toggle("moves", tool === "move-view");
      board.paint(); bar();
    };
    const dye = (n) => {
      if (n >= d.state.colours.length) return;
      d.chosen = n;
      if (d.tool === "erase" && n) choose("pen");
      colours(); bar();
      tell(words.chosen + ": " + d.state.colours[n].label);
    };
    // act does with the part that is chosen, or with the whole.
    const act = (what, more) => {
      if (what === "paste") ask({ do: "paste", cells: [board.region ? [board.region.row, board.region.column] : board.cursor] });
      else ask({ do: what, region: board.region, value: d.chosen, ...more });
      if (what === "copy") tell(words.copy);
    };
    const only = (region) => { board.region = region; board.paint(); forms.part(); };
    Object.assign(d, { ask, act, only, tellCell });

    // --- what is there ---

    const key = (k) => el("kbd", { "aria-hidden": "true" }, k);
    const button = (word, k, act, more) => el("button", { type: "button", class: "quiet", "aria-keyshortcuts": k, onclick: act, ...more }, words[word], k ? key(k.replace("Control", "Ctrl")) : null);
    const undo = button("undo", "Control+Z", () => ask({ do: "undo" })), redo = button("redo", "Control+Y", () => ask({ do: "redo" }));
    const toolbar = el("div", { class: "drawing-tools", role: "group", "aria-label": words.tools },
      ...tools.map(([t, k]) => button(t, k, () => choose(t), { "data-tool": t, "aria-pressed": "false" })), undo, redo);
    const palette = el("div", { class: "drawing-tools", role: "group", "aria-label": words.colours });
    const canvas = el("canvas", { class: "drawing-board", tabindex: "0", role: "application", "aria-label": words.board, "aria-describedby": d.key + "-where" });
    const views = el("div", { class: "drawing-tools", role: "group", "aria-label": words["move-view"] },
      button("closer", "+", () => board.zoom(1.4)), button("away", "-", () => board.zoom(1 / 1.4)), button("whole", "W", () => board.fit()));
    const where = el("p", { class: "drawing-where", id: d.key + "-where", role: "status" });
    const problems = el("ul", { class: "problem-list" });
    const board = drawingBoard.make(canvas, hand);
    d.board = board;
    const forms = window.drawingForms(d);
    const colours = () => palette.replaceChildren(...d.state.colours.map((c, n) => el("button", { type: "button", class: "quiet", "aria-pressed": String(n === d.chosen), "aria-keyshortcuts": n < 10 ? n : null, onclick: () => { dye(n); palette.children[n].focus(); } }, chip(c), n < 10 ? key(n) : null)));
    box.classList.add("drawing");
    box.replaceChildren(el("div", { class: "drawing-main" }, toolbar, palette, canvas, where, views, problems), el("div", { class: "drawing-side" }, ...forms.parts));

    // --- keys ---

    const set = () => {
      const at = board.cursor;
      if (d.tool === "select") {
        if (!anchor || board.region) { anchor = at; only(null); board.start = at; } else { board.start = null; only(between(anchor, at)); anchor = null; }
        board.paint();
      } else if (d.tool === "line") {
        if (!board.start) { board.start = at; board.paint(); return tell(words["line-start"]); }
        ask({ do: "line", cells: [board.start, at], value: value() });
        board.start = null;
        board.paint();
      } else if (d.tool !== "move-view") ask({ do: d.tool, cells: [at], value: value() });
      tellCell();
    };
    const step = (dr, dc, e) => {
      const from = board.cursor, s = d.state;
      if (d.tool === "move-view") return board.pan(-dc * 40, -dr * 40);
      board.cursor = [Math.max(0, Math.min(s.rows - 1, from[0] + dr)), Math.max(0, Math.min(s.columns - 1, from[1] + dc))];
      if (e.shiftKey) { anchor = board.region && anchor ? anchor : from; only(between(anchor, board.cursor)); }
      board.follow();
      tell(e.shiftKey ? words.part + ": " + board.region.columns + " × " + board.region.rows + ". " + cellWords() : cellWords());
    };
    const plain = {
      ArrowUp: (e) => step(-1, 0, e), ArrowDown: (e) => step(1, 0, e), ArrowLeft: (e) => step(0, -1, e), ArrowRight: (e) => step(0, 1, e),
      Home: (e) => step(0, -1e4, e), End: (e) => step(0, 1e4, e), PageUp: (e) => step(-10, 0, e), PageDown: (e) => step(10, 0, e),
      " ": set, Enter: set, Escape: () => { anchor = board.start = null; only(null); tellCell(); },
      Delete: () => { if (board.region) act("block", { value: 0 }); else ask({ do: "erase", cells: [board.cursor] }); tellCell(); },
      "+": () => board.zoom(1.4), "-": () => board.zoom(1 / 1.4), w: () => board.fit(),
      m: () => act("mirror"), u: () => act("invert"), t: () => act("turn"), b: () => { act("block"); tellCell(); },
    };
    plain.Backspace = plain.Delete; plain["="] = plain["+"];
    for (const [t, k] of tools) plain[k.toLowerCase()] = () => { choose(t); tell(words[t]); };
    canvas.addEventListener("keydown", (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const does = plain[e.key] || plain[e.key.toLowerCase()] || (/^[0-9]$/.test(e.key) && (() => dye(Number(e.key))));
      if (!does) return;
      e.preventDefault();
      does(e);
    });
    const together = { z: (e) => ask({ do: e.shiftKey ? "redo" : "undo" }), y: () => ask({ do: "redo" }), c: () => act("copy"), x: () => act("cut"), v: () => act("paste"),
      a: () => only({ row: 0, column: 0, rows: d.state.rows, columns: d.state.columns }) };
    box.addEventListener("keydown", (e) => {
      const does = (e.ctrlKey || e.metaKey) && !e.altKey && together[e.key.toLowerCase()];
      if (!does || e.target.closest("input, select, textarea")) return;
      e.preventDefault();
      does(e);
    });
    canvas.addEventListener("focus", tellCell);

    show(JSON.parse(urdir.drawing.state(id)));
    choose("pen");
    last = urdir.drawing.text(id);
    return {
      text: () => last, state: () => d.state, board, ask,
      load: (other) => { ask({ do: "text", text: other }); board.fit(); return !d.state.refused.length; },
      close: () => { job++; urdir.drawing.close(id); box.replaceChildren(); box.classList.remove("drawing"); },
    };
  };
  window.drawing = { mount };
})();
