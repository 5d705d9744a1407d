// The forms beside a figure being drawn: how it looks repeated, what can be done
// with a part, size, colours, how it is woven.
"use strict";
(() => {
  window.drawingForms = (d) => {
    const { el, words } = d;
    const field = (word, input, hint) => {
      input.id = d.key + "-" + word;
      if (hint) input.setAttribute("aria-describedby", input.id + "-hint");
      return el("div", { class: "field" }, el("label", { for: input.id }, words[word]), input, hint ? el("span", { class: "hint", id: input.id + "-hint" }, words[hint]) : null);
    };
    const number = (more) => el("input", { inputmode: "numeric", size: 5, ...more });
    const whole = (input) => /^\s*\d{1,6}\s*$/.test(input.value) ? Number(input.value) : -1;
    const pick = (options, onchange) => { const s = el("select", {}, ...options.map((o) => el("option", { value: o }, words[o === "across" ? "across-way" : o]))); s.addEventListener("change", () => onchange(s.value)); return s; };
    const button = (word, act, key) => el("button", { type: "button", class: "quiet", onclick: act, "aria-keyshortcuts": key }, words[word], key ? el("kbd", { "aria-hidden": "true" }, key.replace("Control", "Ctrl")) : null);
    const fold = (word, ...inside) => el("details", {}, el("summary", {}, words[word]), ...inside);
    const doing = (...buttons) => el("div", { class: "drawing-tools" }, ...buttons);

    // --- three side by side ---

    const preview = el("canvas", { class: "drawing-repeat", role: "img", "aria-label": words["repeated-alt"] });
    const every = el("input", { type: "checkbox", onchange: () => repeat() });
    const size = el("figcaption", {});
    const between = el("input", { inputmode: "numeric", size: 3, value: 1, onchange: () => repeat() });
    const repeat = () => {
      const s = d.state, ratio = Math.min(2, window.devicePixelRatio || 1), g = preview.getContext("2d");
      const wide = preview.clientWidth * ratio, gap = Math.max(0, Math.min(whole(between), 2 * s.columns));
      if (!wide) return;
      const w = Math.min(wide / (3 * s.columns + 4 * gap), 8 * ratio), h = w / s.wide, scale = Math.min(1, 260 * ratio / (h * (s.rows + 2 * gap)));
      preview.width = wide; preview.height = Math.max(1, h * scale * (s.rows + 2 * gap));
      g.fillStyle = drawingBoard.ground; g.fillRect(0, 0, preview.width, preview.height);
      s.open.forEach((n, r) => { if (n) { g.fillStyle = s.colours[n].colour; g.fillRect(0, (gap + r) * h * scale, wide, h * scale + 0.4); } }); // the bars of pick-up go on
      const left = (wide - w * scale * (3 * s.columns + 2 * gap)) / 2;
      for (let i = 0; i < 3; i++) drawingBoard.paintCells(g, s, left + i * (s.columns + gap) * w * scale, gap * h * scale, w * scale, h * scale, { mirrored: every.checked && i === 1 });
    };
    new ResizeObserver(() => d.state && repeat()).observe(preview);

    // --- a part, or the whole ---

    const chosen = el("p", { class: "hint" });
    const act = (what) => () => { d.act(what); d.tellCell(); };
    const none = button("part-none", () => d.only(null), "Esc");
    const crop = button("crop", act("crop"));
    const paste = button("paste", act("paste"), "Control+V");
    const part = () => {
      const r = d.board.region;
      chosen.textContent = r ? words.part + ": " + r.columns + " × " + r.rows : words.all;
      none.disabled = crop.disabled = !r;
    };

    // --- repeat, size ---

    const across = number({ value: 2 }), up = number({ value: 1 }), rows = number(), columns = number();
    const more = doing(button("repeat-do", () => d.ask({ do: "repeat", across: whole(across), up: whole(up) })));
    const resize = doing(button("resize-do", () => d.ask({ do: "resize", rows: whole(rows), columns: whole(columns) })));

    // --- colours ---

    const names = el("datalist", { id: d.key + "-yarns" }, ...d.yarns.map((y) => el("option", { value: y.yarn }, y.label)));
    const dyes = el("ul", { class: "drawing-dyes" });
    let shown = "";
    const colours = (s) => {
      const now = JSON.stringify(s.colours.map((c) => [c.sign, c.yarn, c.colour]));
      if (now === shown) return;
      shown = now;
      dyes.replaceChildren(...s.colours.slice(1).map((c, i) => {
        const n = i + 1, set = () => d.ask({ do: "colour-set", value: n, sign: sign.value.trim(), yarn: yarn.value.trim() });
        const sign = el("input", { value: c.sign, maxlength: 2, size: 2, "aria-label": words.sign + " " + n, onchange: set });
        const yarn = el("input", { value: c.yarn, list: d.key + "-yarns", size: 12, "aria-label": words.yarn + " " + n, onchange: set });
        return el("li", {}, d.chip({ ...c, sign: "", label: "" }), sign, yarn, el("button", { type: "button", class: "danger", "aria-label": words["colour-remove"] + ": " + c.label, onclick: () => { d.ask({ do: "colour-remove", value: n }); add.focus(); } }, words["colour-remove"]));
      }));
    };
    const add = button("colour-add", () => {
      const taken = d.state.colours.map((c) => c.yarn), free = d.yarns.map((y) => y.yarn).find((y) => !taken.includes(y));
      let name = free, n = taken.length;
      while (!name || taken.includes(name)) name = "figure-" + n++;
      d.ask({ do: "colour-add", yarn: name });
    });

    // --- how it is woven ---

    const kind = pick(["brocade", "pick-up"], (v) => d.ask({ do: "kind", kind: v })), way = pick(["each", "across"], (v) => d.ask({ do: "way", way: v }));
    const cell = () => d.ask({ do: "cell", ends: whole(ends), picked: whole(picked) });
    const ends = number({ onchange: cell }), picked = number({ onchange: cell });
    const limit = el("input", { inputmode: "decimal", size: 6, onchange: () => d.ask({ do: "limit", text: limit.value.trim().replace(/\s*mm$/, "") }) });
    const density = () => d.ask({ do: "density", sett: sett.value.trim(), picks: picks.value.trim() });
    const sett = el("input", { inputmode: "decimal", size: 5, onchange: density }), picks = el("input", { inputmode: "decimal", size: 5, onchange: density });
    const brocade = el("div", {}, field("way", way), el("div", { class: "pair" }, field("cell-ends", ends), field("cell-picks", picked)));
    const fill = (input, v) => { if (document.activeElement !== input || input.tagName === "SELECT") input.value = v; };

    const sign = (cls, word) => el("li", {}, el("span", { class: "drawing-sign " + cls, "aria-hidden": "true" }), words[word]);
    return {
      part,
      parts: [
        el("figure", { class: "cloth" }, preview, size, el("label", { class: "tick" }, every, words["every-other"]), el("label", { class: "tick" }, between, words.between)),
        el("ul", { class: "drawing-legend", "aria-label": words.legend }, sign("float", "legend-float"), sign("back", "legend-back"), sign("barred", "legend-barred"), el("li", {}, words["legend-row"])),
        el("details", { open: true }, el("summary", {}, words.part), chosen,
          doing(button("mirror", act("mirror"), "M"), button("invert", act("invert"), "U"), button("turn", act("turn"), "T"), button("block", act("block"), "B"),
            button("copy", act("copy"), "Control+C"), button("cut", act("cut"), "Control+X"), paste, crop, none)),
        fold("repeat", el("div", { class: "pair" }, field("across", across), field("up", up)), more),
        fold("resize", el("div", { class: "pair" }, field("columns", columns), field("rows", rows)), resize),
        fold("colours", dyes, names, doing(add)),
        fold("weave", field("kind", kind), brocade, field("limit", limit, "limit-hint"),
          el("div", { class: "pair" }, field("sett", sett), field("picks", picks)), el("p", { class: "hint" }, words["density-hint"])),
        fold("keys", el("p", {}, words["keys-text"])),
      ],
      show: (s) => {
        size.textContent = s.size;
        paste.disabled = !s.clip;
        brocade.hidden = s.kind !== "brocade";
        for (const [input, v] of [[rows, s.rows], [columns, s.columns], [kind, s.kind], [way, s.way], [ends, s.ends], [picked, s.picked], [limit, s.limit], [sett, s.sett], [picks, s.picks]]) fill(input, v);
        colours(s); part(); repeat();
      },
    };
  };
})();
