// What can be done with the stripe, band or group that is chosen, and the sizes
// of the cloth.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, words, el, ask } = designer;
  let throws = 0; // of the dice, for shuffling

  const button = (word, request, more) => el("button", { type: "button", class: "quiet", id: "tool-" + word, onclick: () => ask(request), ...more }, words[word]);

  // field is one that the program describes: a text, a tick or a choice.
  const field = (f, at, id) => {
    const set = (text) => ask({ do: "set-" + f.key, at: at || undefined, kind: f.in, text });
    if (f.kind === "yes") {
      return el("label", { class: "tick" }, el("input", { type: "checkbox", id, checked: f.value === "yes", onchange: (e) => set(e.target.checked ? "yes" : "") }), " " + f.word);
    }
    const input = f.kind === "choice"
      ? el("select", { id, onchange: (e) => set(e.target.value) }, ...f.of.map((o) => el("option", { value: o.key, selected: o.key === f.value }, o.word)))
      : el("input", { id, value: f.value, onchange: (e) => set(e.target.value) });
    return el("div", { class: "field" }, el("label", { for: id }, f.word), input);
  };
  const fields = (at) => JSON.parse(urdir.fields(at ? JSON.stringify(at) : "")).map((f) => field(f, at, "set-" + f.key + (f.in ? "-" + f.in : "")));

  // yarns are those of the cloth, and then the lots of the shelf.
  const yarns = (chosen) => {
    const s = designer.state();
    return [...s.yarns, ...s.offer].map((y) => el("option", { value: y.yarn, selected: y.yarn === chosen }, (y.letter ? y.letter + " " : "") + y.label + (y.yarn.startsWith("lot:") ? " · " + words["on-shelf"] : "")));
  };
  const another = (r) => {
    const s = designer.state(), all = [...s.yarns, ...s.offer];
    return (all.find((y) => !r.yarns.some((c) => c.yarn === y.yarn)) || all[0]).yarn;
  };

  const size = (r) => {
    const at = r.at, set = () => ask({ do: "size", at, text: input.value, unit: unit.value });
    const input = el("input", { id: "tool-size", inputmode: "decimal", value: r.size, size: 5, onchange: set });
    const unit = el("select", { id: "tool-unit", "aria-label": words.unit, onchange: set },
      ...["ends", "cm", "parts"].map((u) => el("option", { value: u, selected: u === r.unit }, words["unit-" + u])));
    return el("div", { class: "field" }, el("label", { for: "tool-size" }, words.width), el("span", { class: "tool-pair" },
      el("button", { type: "button", class: "quiet", id: "tool-narrower", onclick: () => step(r, -1) }, words.narrower), input,
      el("button", { type: "button", class: "quiet", id: "tool-wider", onclick: () => step(r, 1) }, words.wider), unit));
  };

  const step = (r, by) => {
    if (r.kind !== "stripe") return;
    const n = Number(String(r.size).replace(",", ".")), ends = r.unit === "ends";
    const step = ends && n > 2 ? 2 : ends ? 1 : 0.5; // an even stripe stays even
    ask({ do: "size", at: r.at, text: String(Math.max(ends ? 1 : 0.5, n + by * step)), unit: r.unit });
  };
  designer.step = step;

  const stripe = (r) => {
    const at = r.at, parts = [size(r)];
    r.yarns.forEach((c, which) => {
      const id = "tool-yarn-" + which;
      parts.push(el("div", { class: "field" }, el("label", { for: id }, words.yarn),
        el("select", { id, onchange: (e) => ask({ do: "recolour", at, which, yarn: e.target.value }) }, ...yarns(c.yarn))));
    });
    parts.push(...fields(at));
    const ends = r.unit === "ends" ? Number(r.size) : 0;
    parts.push(el("div", { class: "actions" },
      ends > 1 ? button("split", { do: "split", at, count: Math.max(1, Math.round(ends / 4) * 2) }) : null,
      button("join", { do: "join", at }),
      r.yarns.length > 1 ? button("plain", { do: "plain", at, which: 0 }) : button("alternate", { do: "alternate", at, yarn: another(r), own: 1, other: 1 }),
      r.unit === "parts" ? null : button("fill", { do: "fill", at })));
    return parts;
  };

  // group is for a row and those after it.
  const group = (r, last) => {
    const count = el("input", { id: "tool-count", type: "number", min: 1, max: 99, value: 1, inputmode: "numeric", size: 3 });
    const with_ = (make) => () => ask(make(Math.max(1, Number(count.value) || 1)));
    const press = (word, make) => el("button", { type: "button", class: "quiet", id: "tool-" + word, onclick: with_(make) }, words[word]);
    const at = r.at;
    return [
      r.kind === "repeat" ? el("div", { class: "actions" }, button("more", { do: "times", at, count: r.times + 1 }),
        r.times > 1 ? button("fewer", { do: "times", at, count: r.times - 1 }) : null) : null,
      el("div", { class: "field" }, el("label", { for: "tool-count" }, words["from-here"]), el("span", { class: "tool-pair" }, count,
        press("repeat", (n) => ({ do: "repeat", at, count: n, own: 2 })),
        press("mirror", (n) => ({ do: "mirror", at, count: n })),
        at.in === "bands" ? null : press("shuffle", (n) => ({ do: "shuffle", at, count: n, seed: ++throws })))),
      el("div", { class: "actions" },
        r.kind === "repeat" || r.kind === "mirror" ? button("ungroup", { do: "ungroup", at }) : null,
        button("duplicate", { do: "duplicate", at }),
        last > 0 ? button("before", { do: "move", at, to: beside(at, -1) }) : null,
        button("after", { do: "move", at, to: beside(at, 2) }),
        button("remove", { do: "remove", at }, { class: "danger" })),
    ];
  };
  const beside = (at, n) => ({ ...at, path: [...at.path.slice(0, -1), at.path[at.path.length - 1] + n] });

  const tools = () => {
    const r = designer.row(), box = document.getElementById("designer-tools");
    if (!r || !box) return;
    const last = r.at.path[r.at.path.length - 1], band = r.at.in === "bands";
    const s = designer.state(), shown = JSON.stringify([r, s.yarns, s.offer, urdir.fields(JSON.stringify(r.at))]);
    if (box.shown === shown) return; // as it is
    box.shown = shown;
    box.replaceChildren(...[
      ...(r.kind === "stripe" ? stripe(r) : band && r.kind !== "repeat" && r.kind !== "mirror" ? [el("div", { class: "fields" }, ...fields(r.at))] : []),
      el("div", { class: "actions" }, band ? button("add-band", { do: "band", at: beside(r.at, 1) })
        : button("add", { do: "stripe", at: beside(r.at, 1), yarn: r.yarns.length ? another(r) : designer.state().yarns[0].yarn, count: 8 })),
      ...group(r, last)].filter((c) => c));
  };

  const sizes = designer.anew(() => urdir.fields(""), () => document.getElementById("designer-sizes").replaceChildren(...fields(null)));
  root.addEventListener("shown", () => { tools(); sizes(); });
})();
