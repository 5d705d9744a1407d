// Keeping a cloth safe while it is designed: in the browser at once, in the
// workshop as soon as it can be reached.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, words } = designer;
  const form = document.getElementById("designer-save");
  const field = (name) => form.elements[name];
  const draftKey = "urdir-draft-" + (root.dataset.cloth || "new");
  let saved = "", saving = null;

  const status = (word) => { document.getElementById("designer-status").textContent = words[word]; };
  const keep = () => {
    const text = urdir.file();
    field("text").value = text;
    if (text === saved) return;
    try { localStorage.setItem(draftKey, JSON.stringify({ text, revision: field("revision").value })); } catch { /* a full store: the workshop's copy is what counts */ }
    status("unsaved");
    clearTimeout(saving);
    saving = setTimeout(send, 1500);
  };
  const send = async () => {
    const text = field("text").value;
    if (text === saved || !root.dataset.cloth) return;
    status("saving");
    try {
      const answer = await fetch(form.action, { method: "POST", body: new URLSearchParams(new FormData(form)), headers: { Accept: "application/json" } });
      if (answer.status === 409) return status("changed");
      if (!answer.ok) return status("refused");
      const kept = await answer.json();
      field("revision").value = kept.revision;
      saved = text;
      localStorage.removeItem(draftKey);
      status(field("text").value === saved ? "saved" : "unsaved");
    } catch { status("away"); saving = setTimeout(send, 5000); }
  };
  window.addEventListener("online", send);

  const begin = () => {
    let text = field("text").value, draft = null;
    try { draft = JSON.parse(localStorage.getItem(draftKey)); } catch { /* none that can be read */ }
    if (draft && draft.revision === field("revision").value) text = draft.text;
    if (!designer.open(text)) return;
    saved = field("text").value;
    document.getElementById("designer-text").open = false;
    if (draft) keep(); else { saved = urdir.file(); field("text").value = saved; status("saved"); }
  };
  root.addEventListener("asked", keep);
  window.addEventListener("urdir", begin, { once: true });
})();
