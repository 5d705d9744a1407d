// Yarn beside the cloth: how much is needed, how far the shelf reaches, new
// colours; and stripe orders proposed from chosen lots or from a picture.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, words, el, chip, ask } = designer;
  const $ = (id) => document.getElementById(id);

  root.addEventListener("settled", (e) => $("designer-yarns").replaceChildren(...e.detail.yarns.map((y) => el("li", {},
    el("span", { class: "line" }, el("span", { class: "main" }, chip(y), " " + y.label),
      el("span", { class: "side" }, y.need, y.shelf ? " / " + y.shelf : "", y.enough ? el("span", { class: "tag " + (y.short ? "blocked" : "done") }, y.enough) : null))))));

  // --- a colour still to be dyed ---

  // A recipe brings its colour with it; without one any colour can be chosen.
  const byRecipe = () => { const r = recipes.find((x) => x.key === $("designer-recipe").value); $("designer-colour").disabled = !!r; if (r) $("designer-colour").value = r.colour; };
  const recipes = JSON.parse(root.dataset.bench).recipes || [];
  $("designer-recipe").append(el("option", { value: "" }, words["no-recipe"]), ...recipes.map((r) => el("option", { value: r.key }, r.name)));
  $("designer-recipe").addEventListener("change", byRecipe);
  $("designer-colour-add").addEventListener("click", () => {
    ask({ do: "colour", yarn: $("designer-colour-like").value, text: $("designer-colour-name").value, kind: $("designer-colour").value, dye: $("designer-recipe").value });
    if (!designer.state().refused.length) $("designer-colour-name").value = "";
  });

  // --- proposals ---

  // keep remembers what was ticked or chosen while the lists are made anew.
  const options = (select, all) => {
    const before = select.value;
    select.replaceChildren(...all.map((o) => el("option", { value: o.key }, o.word)));
    if (all.some((o) => o.key === before)) select.value = before;
  };
  const ticked = new Set();
  let throws = 0, picture = null;
  root.addEventListener("shown", designer.anew(() => { const s = designer.state(); return [s.yarns, s.offer, s.warps.map((w) => w.title)]; }, () => {
    const s = designer.state();
    options($("designer-colour-like"), s.yarns.map((y) => ({ key: y.yarn, word: y.label })));
    const warps = s.warps.filter((w, i) => s.warps.findIndex((x) => x.key === w.key) === i);
    options($("designer-ideas-warp"), warps.map((w) => ({ key: w.key, word: w.title })));
    $("designer-ideas-warp").closest(".field").hidden = warps.length < 2;
    $("designer-ideas-lots").replaceChildren(...[...s.yarns, ...s.offer].map((y) => el("label", { class: "tick" },
      el("input", { type: "checkbox", checked: ticked.has(y.label), onchange: (e) => { if (e.target.checked) ticked.add(y.label); else ticked.delete(y.label); } }), chip(y), " " + y.label)));
  }));

  const propose = () => {
    const s = designer.state();
    const lots = [...s.yarns, ...s.offer].filter((y) => ticked.has(y.label)).map((y) => y.yarn);
    const wish = { warp: $("designer-ideas-warp").value, lots, series: $("designer-ideas-series").value, mirrored: $("designer-ideas-mirrored").checked, throw: throws++ };
    const answer = JSON.parse(urdir.propose(JSON.stringify(picture ? { ...wish, ...picture } : wish)));
    designer.said($("designer-ideas-said"), answer.refused);
    $("designer-ideas").replaceChildren(...answer.ideas.map((idea, which) => el("li", {}, el("button", { type: "button", class: "quiet idea", onclick: () => ask({ do: "use", which }) },
      strip(idea.stripes), el("span", {}, idea.word), el("small", {}, words["left-over"] + " " + idea.left)))));
  };
  // strip is a stripe order as a picture: each stripe as wide as its ends.
  const strip = (stripes) => {
    const all = stripes.reduce((n, s) => n + s.ends, 0);
    const e = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    e.setAttribute("viewBox", `0 0 ${all} 1`);
    e.setAttribute("preserveAspectRatio", "none");
    e.setAttribute("aria-hidden", "true");
    let x = 0;
    for (const s of stripes) {
      const r = document.createElementNS("http://www.w3.org/2000/svg", "rect");
      for (const [k, v] of Object.entries({ x, y: 0, width: s.ends, height: 1, fill: s.colour })) r.setAttribute(k, v);
      e.append(r);
      x += s.ends;
    }
    return e;
  };
  $("designer-propose").addEventListener("click", () => { picture = null; $("designer-ideas-photo").value = ""; propose(); });

  // A picture is made small in the browser; its main colours are found by the
  // program, and the lots nearest to them are taken.
  $("designer-ideas-photo").addEventListener("change", async (e) => {
    const file = e.target.files[0];
    if (!file) return;
    try {
      const most = 128, image = await createImageBitmap(file, { resizeWidth: most, resizeQuality: "medium" });
      const h = Math.max(1, Math.min(4 * most, image.height)), c = el("canvas", { width: image.width, height: h });
      const on = c.getContext("2d");
      on.drawImage(image, 0, 0);
      picture = JSON.parse(urdir.colours(on.getImageData(0, 0, c.width, h).data, c.width));
      propose();
    } catch {
      picture = null;
      designer.said($("designer-ideas-said"), [{ caution: false, text: words["photo-bad"] }]);
    }
  });
})();
