// The figures of the cloth: taken from the library, drawn on their grid, taken
// away. The grid is drawing.js.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, words, el, ask } = designer;
  const $ = (id) => document.getElementById(id);
  let grid = null, drawn = null; // the grid that is open, and the key of its figure

  const close = () => {
    if (grid) grid.close();
    grid = drawn = null;
    $("designer-drawing").hidden = true;
  };
  const draw = (key) => {
    close();
    drawn = key;
    $("designer-drawing").hidden = false;
    const name = designer.state().figures.find((f) => f.key === key)?.word || key;
    $("designer-drawing-of").textContent = name;
    grid = window.drawing.mount($("designer-grid"), {
      text: urdir.figure(key), sett: designer.state().sett, picks: designer.state().picks, yarns: designer.state().yarns,
      changed: (text) => ask({ do: "draw-figure", kind: key, text }),
    });
    $("designer-grid").drawing = grid; // for whoever looks at the page from outside
    $("designer-drawing").scrollIntoView({ block: "nearest" });
  };

  root.addEventListener("shown", designer.anew(() => [designer.state().figures, designer.state().library], () => {
    const s = designer.state();
    if (drawn && !s.figures.some((f) => f.key === drawn)) close();
    $("designer-figures").replaceChildren(...s.figures.map((f) => el("li", {}, el("span", { class: "line" }, el("span", { class: "main" }, f.word),
      el("span", { class: "side actions" }, el("button", { type: "button", class: "quiet", id: "figure-draw-" + f.key, onclick: () => draw(f.key) }, words["draw-it"]),
        el("button", { type: "button", class: "quiet danger", id: "figure-remove-" + f.key, onclick: () => ask({ do: "remove-figure", kind: f.key }) }, words.remove))))));
    const library = $("designer-library");
    library.replaceChildren(el("option", { value: "" }, words.choose), ...s.library.map((f) => el("option", { value: f.key }, f.word)));
    library.closest(".field").hidden = !s.library.length;
  }));
  $("designer-library").addEventListener("change", (e) => { if (e.target.value) ask({ do: "known-figure", kind: e.target.value }); });
  $("designer-drawing-done").addEventListener("click", close);
})();
