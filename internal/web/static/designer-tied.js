// What is tied before dyeing: a list of marks, fields to type them, and a mode in
// which they are drawn on the cloth as boxes.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, ask } = designer;
  const $ = (id) => document.getElementById(id);
  const canvas = $("designer-cloth"), form = $("designer-tie-form"), pick = $("designer-tie-panel"), line = $("designer-tie-line");
  const typed = { ends: $("designer-tie-ends"), from: $("designer-tie-from"), to: $("designer-tie-to"), every: $("designer-tie-every"), mirror: $("designer-tie-mirror") };
  const set = { undyed: $("designer-tie-undyed"), bundle: $("designer-tie-bundle"), shift: $("designer-tie-shift"), before: $("designer-tie-before"), begins: $("designer-tie-begins") };
  let changing = -1, on = false, box = null;

  const tied = () => designer.state().tied;
  const panel = () => tied().find((p) => p.key === pick.value) || tied()[0];
  const at = (key) => ({ in: "bands", key, path: [] });
  const refused = () => designer.state().refused.some((p) => !p.caution);

  // --- the list and its fields ---

  const edit = (which) => {
    changing = which;
    const row = panel().rows[which];
    for (const key of ["ends", "from", "to", "every"]) typed[key].value = row ? row[key] : "";
    typed.mirror.checked = Boolean(row && row.mirror);
    form.querySelector("[data-add]").hidden = Boolean(row);
    for (const b of form.querySelectorAll("[data-change]")) b.hidden = !row;
    if (row) typed.ends.focus();
  };

  root.addEventListener("shown", () => {
    const all = tied(), chosen = pick.value;
    pick.replaceChildren(...all.map((p) => new Option(p.title, p.key, false, p.key === chosen)));
    pick.closest(".field").hidden = all.length < 2;
    const p = panel();
    $("designer-ties").replaceChildren(...p.rows.map((r, i) => {
      const item = line.content.cloneNode(true).firstElementChild;
      item.querySelector(".main").textContent = r.name;
      for (const b of item.querySelectorAll("button")) {
        b.id = "designer-tie-" + b.dataset.act + "-" + i;
        b.setAttribute("aria-label", b.textContent + ": " + r.name);
        b.addEventListener("click", () => { if (b.dataset.act === "edit") return edit(i); edit(-1); ask({ do: "untie", at: at(p.key), which: i }); });
      }
      return item;
    }));
    $("designer-tie-count").textContent = p.count;
    for (const key of Object.keys(set)) if (document.activeElement !== set[key]) set[key].value = p[key];
    for (const e of root.querySelectorAll("[data-tied]")) e.hidden = !p.rows.length;
    if (changing >= p.rows.length) edit(-1);
  });

  form.addEventListener("submit", (e) => {
    e.preventDefault();
    const tie = { ends: typed.ends.value, from: typed.from.value, to: typed.to.value, every: typed.every.value, mirror: typed.mirror.checked };
    ask(changing < 0 ? { do: "tie", at: at(panel().key), tie } : { do: "tie-change", at: at(panel().key), which: changing, tie });
    if (!refused()) { edit(-1); typed.ends.focus(); }
  });
  form.addEventListener("reset", (e) => { e.preventDefault(); edit(-1); });
  pick.addEventListener("change", () => { edit(-1); root.dispatchEvent(new Event("shown")); });
  for (const field of Object.values(set)) {
    field.addEventListener("change", () => ask({ do: "tie-setup", at: at(panel().key), tie: Object.fromEntries(Object.entries(set).map(([k, f]) => [k, f.value])) }));
  }
  $("designer-tie-clear").addEventListener("click", () => { edit(-1); ask({ do: "untie-all", at: at(panel().key) }); });

  // --- drawing a mark on the cloth ---

  const mode = (to) => {
    on = to;
    $("designer-tie-draw").setAttribute("aria-pressed", String(on));
    canvas.classList.toggle("tying", on);
    drop();
  };
  const drop = () => { if (box) box.frame.remove(); box = null; };
  $("designer-tie-draw").addEventListener("click", () => { mode(!on); if (on) canvas.scrollIntoView({ block: "nearest" }); });
  root.addEventListener("keydown", (e) => { if (e.key === "Escape" && on) { mode(false); $("designer-tie-draw").focus(); } });

  const take = (name, act) => canvas.addEventListener(name, (e) => {
    if (!on) return;
    e.stopImmediatePropagation();
    act(e);
  }, true);
  take("pointerdown", (e) => {
    const spot = designer.spot(e);
    if (!spot || box) return;
    canvas.setPointerCapture(e.pointerId);
    const frame = document.createElement("div");
    frame.className = "tie-box";
    document.body.append(frame);
    box = { frame, x: e.clientX, y: e.clientY, from: spot, to: spot };
  });
  take("pointermove", (e) => {
    if (!box) return;
    const spot = designer.spot(e);
    if (spot && spot.panel === box.from.panel) box.to = spot;
    Object.assign(box.frame.style, {
      left: Math.min(box.x, e.clientX) + "px", top: Math.min(box.y, e.clientY) + "px",
      width: Math.abs(e.clientX - box.x) + "px", height: Math.abs(e.clientY - box.y) + "px",
    });
  });
  take("pointerup", () => {
    if (!box) return;
    const { from, to } = box;
    drop();
    const key = from.panel, [first, last] = [from.end, to.end].sort((a, b) => a - b), [low, high] = [from.cm, to.cm].sort((a, b) => a - b);
    if (high - low < 0.2) return; // a touch is no mark
    pick.value = key;
    edit(-1);
    ask({ do: "tie", at: at(key), tie: { ends: first + 1 + "-" + (last + 1), from: low.toFixed(1), to: high.toFixed(1), drawn: true } });
  });
  take("pointercancel", drop);
})();
