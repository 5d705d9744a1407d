// The page on which a figure of the library is drawn: the board, its form, a
// picture to begin from, and what is not kept yet.
"use strict";
(() => {
  const root = document.getElementById("drawing");
  const form = document.getElementById("drawing-form"), photo = document.getElementById("drawing-photo");
  if (!root || !window.WebAssembly) return;
  const say = JSON.parse(root.dataset.words), text = form.elements.text;
  const status = document.getElementById("drawing-status");
  const draftKey = "urdir-figure-" + (root.dataset.figure || "new");
  const refused = root.dataset.refused === "true", first = refused ? "" : text.value; // what is kept
  let on = null;

  // --- what is not kept yet ---

  const remember = () => {
    if (text.value === first) { forget(); status.textContent = ""; return; }
    store(false);
    status.textContent = say.unsaved;
  };
  // sent says that the workshop was asked to keep it.
  const store = (sent) => {
    try { localStorage.setItem(draftKey, JSON.stringify({ text: text.value, sent, revision: form.elements.revision.value })); } catch { /* a full store */ }
  };
  const forget = () => { try { localStorage.removeItem(draftKey); } catch { /* no store */ } };
  const offer = () => {
    let draft = null;
    try { draft = JSON.parse(localStorage.getItem(draftKey)); } catch { /* none that can be read */ }
    if (refused) { remember(); return; }
    if (!draft) return;
    // What was sent is kept, unless she came back from a page that did not come.
    const [way] = performance.getEntriesByType("navigation");
    if (draft.text === first || draft.sent && way?.type === "navigate") { forget(); return; }
    const note = document.getElementById("drawing-draft");
    note.hidden = false;
    if (draft.revision !== form.elements.revision.value) note.querySelector("p").append(" " + say.older);
    const [take, leave] = note.querySelectorAll("button");
    const done = () => { note.hidden = true; };
    take.addEventListener("click", () => { done(); if (on) on.load(draft.text); });
    leave.addEventListener("click", () => { done(); forget(); });
  };
  form.addEventListener("submit", () => { if (on) text.value = on.text(); if (text.value !== first) store(true); });

  // --- the board ---

  const begin = () => {
    const d = root.dataset;
    on = drawing.mount(root, { text: text.value, yarns: JSON.parse(d.yarns), sett: Number(d.sett), picks: Number(d.picks), changed: (t) => { text.value = t; remember(); } });
    root.hidden = false;
    root.drawing = on; // for other scripts of the page
    status.textContent = "";
    document.getElementById("drawing-text").open = !on;
    if (on) photo.elements.like.value = on.text();
  };
  // The text is another way to the same figure.
  text.addEventListener("change", () => { if (on) { on.load(text.value); } else begin(); remember(); });

  // --- a picture made a chart ---

  // smaller spares a slow line: a chart needs far fewer points than a
  // telephone takes.
  const smaller = async (file) => {
    if (file.size < 500_000) return file;
    try {
      const image = await createImageBitmap(file), most = 1600, by = Math.min(1, most / Math.max(image.width, image.height));
      const c = document.createElement("canvas");
      c.width = Math.max(1, image.width * by); c.height = Math.max(1, image.height * by);
      c.getContext("2d").drawImage(image, 0, 0, c.width, c.height);
      return await new Promise((done) => c.toBlob((b) => done(b || file), "image/png"));
    } catch { return file; } // the workshop says what is wrong with it
  };
  photo.addEventListener("submit", async (e) => {
    if (!on) return; // then the workshop answers with a form
    e.preventDefault();
    const box = document.getElementById("drawing-photo-said");
    const tell = (all) => box.replaceChildren(...all.map((p) => { const li = document.createElement("li"); li.className = p.caution ? "caution" : "error"; li.textContent = p.text; return li; }));
    tell([]);
    status.textContent = say.reading;
    photo.elements.like.value = on.text();
    photo.elements.sett.value = on.state().sett; photo.elements.picks.value = on.state().picks;
    const sent = new FormData(photo), file = photo.elements.picture.files[0];
    const less = file && await smaller(file);
    if (less && less.size > Number(photo.dataset.most)) { status.textContent = ""; return tell([{ text: say["too-big"] }]); }
    if (less) sent.set("picture", less, file.name);
    try {
      const answer = await fetch(photo.action, { method: "POST", body: sent, headers: { Accept: "application/json" } });
      const is = await answer.json();
      status.textContent = "";
      tell(is.problems);
      if (is.text && on.load(is.text)) { on.board.fit(); root.scrollIntoView({ block: "start" }); }
    } catch { status.textContent = say.away; }
  });

  const start = () => { begin(); offer(); };
  if (window.urdir) start(); else window.addEventListener("urdir", start, { once: true }); // a program from the cache may be there first
  const go = new Go();
  WebAssembly.instantiateStreaming(fetch(root.dataset.program), go.importObject).then((r) => go.run(r.instance)).catch(() => { status.textContent = say.away; });
})();
