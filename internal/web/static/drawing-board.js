// The board of a figure being drawn: its grid on a canvas in the true
// proportion of its cells, and the hands on it. What a hand does is told to
// `hand` (drawing.js) in cells; nothing of the figure is decided here.
"use strict";
(() => {
  const margin = 26, least = 3, usual = 64, most = 120; // pixels: for numbers; of a cell's height
  const ground = "#fffdf6", ink = "#2b2420", pale = "#fffdf8";

  // dark says whether pale signs are read better on a colour.
  const dark = (hex) => {
    const [r, g, b] = [1, 3, 5].map((i) => parseInt(hex.slice(i, i + 2), 16));
    return 0.299 * r + 0.587 * g + 0.114 * b < 140;
  };

  // paintCells draws the cells of a state from a corner on; also for previews.
  const paintCells = (g, state, x0, y0, w, h, { from = [0, 0], to = [state.rows, state.columns], mirrored = false, signs = false } = {}) => {
    for (let r = from[0]; r < to[0]; r++) {
      for (let c = from[1]; c < to[1]; c++) {
        const v = parseInt(state.cells[r][mirrored ? state.columns - 1 - c : c], 36);
        const x = x0 + c * w, y = y0 + r * h;
        if (v === 0) {
          const open = state.open.length ? state.open[r] : 0; // the bars of pick-up's ground
          if (open) {
            g.fillStyle = state.colours[open].colour;
            g.globalAlpha = signs ? 0.4 : 1;
            g.fillRect(x, y + (signs ? h * 0.34 : 0), w + 0.4, signs ? h * 0.32 : h + 0.4);
            g.globalAlpha = 1;
          }
          continue;
        }
        const colour = state.colours[v];
        g.fillStyle = colour.colour;
        g.fillRect(x, y, w + 0.4, h + 0.4); // no seams between cells alike
        if (signs && Math.min(w, h) >= 13) {
          g.fillStyle = dark(colour.colour) ? pale : ink;
          g.fillText(colour.sign, x + w / 2, y + h / 2 + 0.5);
        }
      }
    }
  };

  const make = (canvas, hand) => {
    const g = canvas.getContext("2d");
    const board = { cursor: [0, 0], region: null, start: null, ghost: null, barred: new Set() };
    let state = null, h = 0, ox = margin, oy = margin, waiting = false, fitted = true;
    const width = () => h * state.wide;
    const size = () => [canvas.clientWidth, canvas.clientHeight];

    // --- what is seen ---

    const fit = () => {
      const [cw, ch] = size();
      h = Math.max(least, Math.min(usual, (ch - 2 * margin) / state.rows, (cw - 2 * margin) / state.columns / state.wide));
      ox = Math.max(margin, (cw - state.columns * width()) / 2);
      oy = Math.max(margin, (ch - state.rows * h) / 2);
      fitted = true;
      paint();
    };
    // zoom keeps the point at (x, y) where it is.
    const zoom = (by, x, y) => {
      const [cw, ch] = size();
      x = x ?? cw / 2; y = y ?? ch / 2;
      const to = Math.max(least, Math.min(most, h * by));
      ox = x - (x - ox) * to / h; oy = y - (y - oy) * to / h;
      h = to; fitted = false;
      keepNear();
    };
    const pan = (dx, dy) => { ox += dx; oy += dy; fitted = false; keepNear(); };
    // keepNear leaves some of the grid on the board, whatever was done.
    const keepNear = () => {
      const [cw, ch] = size(), w = width() * state.columns, t = h * state.rows;
      ox = Math.min(cw - 2 * margin, Math.max(2 * margin - w, ox));
      oy = Math.min(ch - 2 * margin, Math.max(2 * margin - t, oy));
      paint();
    };
    // follow brings the cursor into view.
    const follow = () => {
      const [cw, ch] = size(), x = ox + board.cursor[1] * width(), y = oy + board.cursor[0] * h;
      if (x < margin) ox += margin - x;
      if (x + width() > cw - margin) ox -= x + width() - cw + margin;
      if (y < margin) oy += margin - y;
      if (y + h > ch - margin) oy -= y + h - ch + margin;
      paint();
    };
    const seen = () => {
      const [cw, ch] = size();
      const first = (o, s) => Math.max(0, Math.floor(-o / s)), last = (o, s, n, all) => Math.min(n, Math.ceil((all - o) / s));
      return { from: [first(oy, h), first(ox, width())], to: [last(oy, h, state.rows, ch), last(ox, width(), state.columns, cw)] };
    };

    const lines = (part) => {
      const w = width(), x0 = ox + part.from[1] * w, x1 = ox + part.to[1] * w, y0 = oy + part.from[0] * h, y1 = oy + part.to[0] * h;
      const stroke = (colour, wide, every) => {
        g.strokeStyle = colour; g.lineWidth = wide; g.beginPath();
        for (let c = part.from[1]; c <= part.to[1]; c++) if (c % every === 0 || c === state.columns) { const x = Math.round(ox + c * w); g.moveTo(x, y0); g.lineTo(x, y1); }
        for (let r = part.from[0]; r <= part.to[0]; r++) if ((state.rows - r) % every === 0 || r === 0) { const y = Math.round(oy + r * h); g.moveTo(x0, y); g.lineTo(x1, y); }
        g.stroke();
      };
      if (Math.min(w, h) > 5) stroke("rgba(43,36,32,.22)", 1, 1);
      stroke("rgba(43,36,32,.6)", 1, 10);
    };
    // Numbers as the weaver counts: columns from the left, rows from below.
    const numbers = (part) => {
      const w = width(), [cw, ch] = size();
      const every = (s) => s * 5 > 30 ? 5 : s * 10 > 30 ? 10 : 50;
      g.fillStyle = ink; g.font = "12px 'Urdir Text', sans-serif";
      g.textAlign = "right";
      for (let r = part.from[0]; r < part.to[0]; r++) { const n = state.rows - r; if (n === 1 || n % every(h) === 0) g.fillText(n, Math.max(20, ox - 5), oy + (r + 0.5) * h); }
      g.textAlign = "center";
      for (let c = part.from[1]; c < part.to[1]; c++) { const n = c + 1; if (n === 1 || n % every(w) === 0) g.fillText(n, ox + (c + 0.5) * w, Math.min(ch - 9, oy + state.rows * h + 12)); }
    };
    const hatch = (part) => {
      const w = width();
      if (Math.min(w, h) < 6) return;
      g.strokeStyle = "rgba(43,36,32,.5)"; g.lineWidth = 1; g.beginPath();
      for (const i of board.barred) {
        const r = Math.floor(i / state.columns), c = i % state.columns;
        if (r < part.from[0] || r >= part.to[0] || c < part.from[1] || c >= part.to[1]) continue;
        const x = ox + c * w, y = oy + r * h;
        g.moveTo(x, y + h / 2); g.lineTo(x + w / 2, y); g.moveTo(x, y + h); g.lineTo(x + w, y); g.moveTo(x + w / 2, y + h); g.lineTo(x + w, y + h / 2);
      }
      g.stroke();
    };
    // A float over the limit is a loose, wavy thread between two bars; on the
    // back it is broken into dots.
    const floats = () => {
      const w = width();
      for (const f of state.long) {
        const along = f.columns > 1 || f.rows === 1, n = along ? f.columns : f.rows;
        const x0 = ox + (f.column + (along ? 0 : 0.5)) * w, y0 = oy + (f.row + (along ? 0.5 : 0)) * h, far = n * (along ? w : h);
        g.beginPath();
        const swing = Math.min(4, (along ? h : w) / 4), at = (t, s) => along ? [x0 + t, y0 + s] : [x0 + s, y0 + t];
        g.moveTo(...at(1, -swing * 1.6)); g.lineTo(...at(1, swing * 1.6)); g.moveTo(...at(far - 1, -swing * 1.6)); g.lineTo(...at(far - 1, swing * 1.6));
        g.moveTo(...at(1, 0));
        for (let t = 1; t <= far - 1; t += 2) g.lineTo(...at(t, f.back ? 0 : swing * Math.sin(t / 3)));
        for (const [colour, wide] of [[pale, 4.5], ["#9c2340", 2]]) {
          g.setLineDash(f.back ? [3, 5] : []);
          g.strokeStyle = colour; g.lineWidth = wide; g.stroke();
        }
        g.setLineDash([]);
      }
    };
    // sketch shows a stroke before the program has drawn it.
    const sketch = ({ cells, colour }) => {
      g.strokeStyle = g.fillStyle = colour; g.lineWidth = Math.min(h, width()); g.lineCap = "square";
      g.beginPath();
      cells.forEach(([r, c], i) => g[i ? "lineTo" : "moveTo"](ox + (c + 0.5) * width(), oy + (r + 0.5) * h));
      g.stroke();
      g.fillRect(ox + cells[0][1] * width(), oy + cells[0][0] * h, width(), h);
    };
    const frame = (row, column, rows, columns, dash) => {
      const w = width(), box = [ox + column * w, oy + row * h, columns * w, rows * h];
      g.setLineDash([]); g.strokeStyle = pale; g.lineWidth = 5; g.strokeRect(...box);
      g.setLineDash(dash); g.strokeStyle = ink; g.lineWidth = 2.5; g.strokeRect(...box);
      g.setLineDash([]);
    };
    const draw = () => {
      waiting = false;
      if (!state || !canvas.clientWidth) return;
      const ratio = Math.min(3, window.devicePixelRatio || 1), [cw, ch] = size();
      const pw = Math.round(cw * ratio), ph = Math.round(ch * ratio);
      if (canvas.width !== pw || canvas.height !== ph) { canvas.width = pw; canvas.height = ph; }
      g.setTransform(ratio, 0, 0, ratio, 0, 0);
      g.fillStyle = getComputedStyle(canvas).backgroundColor; g.fillRect(0, 0, cw, ch);
      const part = seen();
      g.fillStyle = ground; g.fillRect(ox, oy, state.columns * width(), state.rows * h);
      g.textAlign = "center"; g.textBaseline = "middle"; g.font = Math.min(18, h * 0.62, width() * 0.8) + "px 'Urdir Text', sans-serif";
      paintCells(g, state, ox, oy, width(), h, { ...part, signs: true });
      hatch(part); lines(part); numbers(part); floats();
      if (board.ghost) sketch(board.ghost);
      if (board.start) frame(board.start[0], board.start[1], 1, 1, [2, 2]);
      if (board.region) frame(board.region.row, board.region.column, board.region.rows, board.region.columns, [6, 4]);
      frame(board.cursor[0], board.cursor[1], 1, 1, document.activeElement === canvas ? [] : [1, 3]);
    };
    const paint = () => { if (!waiting) { waiting = true; requestAnimationFrame(draw); } };

    // --- hands ---

    const pointers = new Map();
    let busy = false, grip = null;
    const place = (e) => { const b = canvas.getBoundingClientRect(); return [e.clientX - b.left, e.clientY - b.top]; };
    const cellAt = ([x, y]) => {
      const r = Math.floor((y - oy) / h), c = Math.floor((x - ox) / width());
      return r >= 0 && c >= 0 && r < state.rows && c < state.columns ? [r, c] : null;
    };
    const middle = () => {
      const p = [...pointers.values()];
      return p.length < 2 ? { x: p[0][0], y: p[0][1], far: 0 }
        : { x: (p[0][0] + p[1][0]) / 2, y: (p[0][1] + p[1][1]) / 2, far: Math.hypot(p[0][0] - p[1][0], p[0][1] - p[1][1]) };
    };
    canvas.addEventListener("pointerdown", (e) => {
      if (e.button > 1 || !state) return;
      pointers.set(e.pointerId, place(e));
      try { canvas.setPointerCapture(e.pointerId); } catch { /* a pointer that is gone already */ }
      if (pointers.size > 1 || e.button === 1 || hand.moves()) { // two fingers, or the tool for it, move the view
        if (busy) { busy = false; hand.cancel(); }
        grip = middle();
        return;
      }
      const at = cellAt(place(e));
      if (!at) return;
      busy = true; board.cursor = at; hand.start(at);
    });
    canvas.addEventListener("pointermove", (e) => {
      if (!pointers.has(e.pointerId)) return;
      pointers.set(e.pointerId, place(e));
      if (grip) {
        const now = middle();
        if (grip.far && now.far) zoom(now.far / grip.far, now.x, now.y);
        pan(now.x - grip.x, now.y - grip.y);
        grip = now;
        return;
      }
      if (!busy) return;
      const at = cellAt(place(e));
      if (at && (at[0] !== board.cursor[0] || at[1] !== board.cursor[1])) { board.cursor = at; hand.move(at); }
    });
    for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, (e) => {
      pointers.delete(e.pointerId);
      if (grip) { grip = pointers.size ? middle() : null; if (grip) return; }
      if (!busy) return;
      busy = false;
      if (name === "pointerup") hand.end(board.cursor); else hand.cancel();
    });
    canvas.addEventListener("wheel", (e) => { if (e.ctrlKey) { e.preventDefault(); zoom(e.deltaY < 0 ? 1.2 : 1 / 1.2, ...place(e)); } }, { passive: false });
    for (const name of ["focus", "blur"]) canvas.addEventListener(name, paint);
    new ResizeObserver(() => { if (state) { if (fitted) fit(); else paint(); } }).observe(canvas);

    const show = (s) => {
      const other = !state || state.rows !== s.rows || state.columns !== s.columns || state.wide !== s.wide;
      state = s;
      board.cursor = [Math.min(board.cursor[0], s.rows - 1), Math.min(board.cursor[1], s.columns - 1)];
      if (other) { board.region = null; board.start = null; }
      if (other && fitted || !h) fit(); else paint();
    };
    return Object.assign(board, { show, paint, fit, zoom, pan, follow, seen, place: ([r, c]) => { const b = canvas.getBoundingClientRect(); return [b.left + ox + (c + 0.5) * width(), b.top + oy + (r + 0.5) * h]; } });
  };
  window.drawingBoard = { make, paintCells, ground };
})();
