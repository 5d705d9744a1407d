// Keeping a cloth safe while it is designed. Every step is laid down in this
// browser at once, under its person's own key, and goes to the workshop as her
// draft as soon as that can be reached (designer-store.js). A version is made only
// when she says so.
//
// A page gives itself a name, its desk, and counts its steps: so the workshop
// knows what comes late or twice, and two pages of one person do not write over
// each other (workshop.SaveDraft).
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root, words, store, send: ask } = designer;
  const $ = (id) => document.getElementById(id);
  const page = $("keep"), form = $("designer-save"), area = form.elements.text;
  const at = "/cloths/" + root.dataset.cloth;
  const desk = [...crypto.getRandomValues(new Uint8Array(12))].map((b) => b.toString(36)).join("");
  let file = page.dataset.file; // of the newest version, as the workshop has it
  const wait = 1500, again = 5000, look = 20000; // milliseconds

  // What this page knows: the version it works on and, if that is the newest, its
  // text as the program writes it; the step it is at, and how far the workshop has it.
  let base = Number(page.dataset.version), newest = Number(page.dataset.newest), baseText = null, text = "";
  let step = 0, sent = 0, read = null, since = null, timer = null, sending = null, open = false, two = false;
  const gone = new Set(); // desks whose work was taken over here

  const say = (key, values = {}) => words[key].replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
  const status = (key, values) => {
    const line = say(key, values), box = $("designer-status");
    if (box.textContent !== line) box.textContent = line; // not said twice by a screen reader
    $("keep-dropping").hidden = text === baseText || !$("keep-behind").hidden;
  };
  const clock = (when) => {
    const d = new Date(when), lang = document.documentElement.lang, time = d.toLocaleTimeString(lang, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    return d.toDateString() === new Date().toDateString() ? time : d.toLocaleDateString(lang, { day: "numeric", month: "long" }) + ", " + time;
  };

  const lay = () => store.put({ desk, step, sent, read, version: base, text, at: Date.now(), since });
  const mark = (e) => (e.sent > 0 ? { desk: e.desk, step: e.sent } : e.read);

  // --- the workshop ---

  // told shows who else works on the cloth, and whether there is a newer version.
  const told = (desks) => {
    const others = $("keep-others");
    others.replaceChildren(...desks.others.map((o) => designer.el("li", {}, designer.el("span", { class: "line" }, designer.el("span", { class: "main" },
      o.active ? say("keep-other-now", { by: o.by, since: clock(o.since) }) : say("keep-other", { by: o.by, since: clock(o.at) }))))));
    others.hidden = !desks.others.length;
    newest = desks.newest.version;
    if (newest <= base) { $("keep-behind").hidden = true; return; }
    const line = say("keep-behind", { by: desks.newest.by, version: newest, at: desks.newest.at });
    if ($("keep-behind-said").textContent !== line) $("keep-behind-said").textContent = line;
    $("keep-compare").href = at + "/compare?a=" + (text === baseText ? base : "draft") + "&b=" + newest;
    for (const id of ["keep-over", "keep-branch", "keep-drop-mine"]) $(id).hidden = text === baseText;
    $("keep-newest").hidden = text !== baseText;
    $("keep-behind").hidden = false;
    $("keep-dropping").hidden = true; // the same stands there
  };

  // noticed is called after every step: to write the cloth down at each would
  // make a dragging hand wait, so it is done when the hand rests, and before
  // anything that needs it.
  let soon = null;
  const noticed = () => { clearTimeout(soon); soon = setTimeout(changed, 100); };
  const flush = () => { if (soon) changed(); };

  const changed = () => {
    clearTimeout(soon);
    soon = null;
    const now = urdir.file();
    area.value = now;
    if (now === text) return;
    text = now;
    step++;
    since = since || Date.now();
    const safe = lay();
    status(safe ? "keep-unsaved" : "keep-full");
    clearTimeout(timer);
    timer = setTimeout(send, wait);
  };

  // send sends the last step, one at a time; what was done meanwhile follows.
  const send = () => (sending = sending || sendNow().finally(() => { sending = null; }));
  const sendNow = async () => {
    clearTimeout(timer);
    while (open && sent < step && !two) {
      const n = step, mine = text;
      // What is as it was is sent as it stands in the workshop, which then knows
      // that there is nothing unsaved.
      const fields = { version: base, text: mine === baseText ? file : mine, desk, step: n };
      if (read) Object.assign(fields, { "read-desk": read.desk, "read-step": read.step });
      const nothing = mine === baseText && newest > base; // and what it was is not the newest any more
      const answer = await ask(at + (nothing ? "/draft/drop" : "/draft"), fields);
      if (!answer || answer.status >= 500) {
        status(store.all().some((e) => e.desk === desk) ? "keep-away" : "keep-away-unsaved");
        timer = setTimeout(send, again);
        return false;
      }
      if (answer.status === 401) return status("keep-signed-out"), false;
      if (answer.status === 409 && answer.body) {
        const theirs = answer.body.mine;
        if (!theirs || gone.has(theirs.desk) || theirs.text === mine) { read = theirs && { desk: theirs.desk, step: theirs.step }; continue; }
        twoDesks(theirs);
        return false;
      }
      if (answer.status !== 200) return status("keep-refused"), false;
      sent = n;
      for (const d of gone) store.drop(d);
      lay();
      if (!nothing) told(answer.body);
      if (sent === step) status(text === baseText ? "keep-same" : "keep-kept", { at: clock(Date.now()), version: base });
    }
    return sent >= step;
  };

  // twoDesks: the same person designs the cloth on another page. Nothing is sent
  // until she has chosen.
  const twoDesks = (theirs) => {
    two = true;
    status("keep-unsaved");
    $("keep-desks").hidden = false;
    $("keep-desks").focus();
    const chosen = () => { two = false; read = { desk: theirs.desk, step: theirs.step }; $("keep-desks").hidden = true; };
    $("keep-this").onclick = () => { chosen(); send(); };
    $("keep-that").onclick = () => { const mine = { text, at: Date.now(), version: base }; chosen(); layOut(theirs); found([mine]); };
  };

  // layOut lays other work on the table, as a step of this page.
  const layOut = (work) => {
    base = work.version;
    form.elements.version.value = base;
    if (!designer.open(work.text)) return;
    changed();
  };

  // found offers other work on this cloth that was found.
  const found = (all) => {
    const box = $("keep-found");
    box.append(...all.map((work) => {
      const line = designer.el("li", {}, designer.el("button", { type: "button", class: "line quiet", onclick: () => {
        const mine = { text, at: Date.now(), version: base };
        line.remove();
        layOut(work);
        found([mine]);
      } }, designer.el("span", { class: "main" }, say("keep-found-at", { at: clock(work.at) })), designer.el("span", { class: "side" }, words["keep-found-open"])));
      return line;
    }));
    box.hidden = !box.children.length;
  };

  // --- a version ---

  // forget drops this browser's copies: the work is a version, a cloth of its own,
  // or thrown away.
  const forget = () => {
    for (const e of store.all()) if (e.desk === desk || gone.has(e.desk)) store.drop(e.desk);
    read = null; since = null; sent = step;
    $("keep-draft").hidden = true;
  };

  const save = async (over) => {
    flush();
    clearTimeout(timer);
    if (sending) await sending; // a step on its way must not come after the version
    if (text === baseText && newest <= base) return status("keep-same", { version: base });
    const n = step, mine = text;
    status("keep-saving");
    const fields = { version: base, text: mine, said: $("f-said").value };
    if (over) fields.over = over;
    const answer = await ask(at + "/design", fields);
    if (!answer) { status("keep-away-save"); timer = setTimeout(send, again); return; }
    if (answer.status === 401) return status("keep-signed-out");
    if (answer.status === 409 && answer.body) {
      await send();
      told(answer.body);
      status("keep-kept", { at: clock(Date.now()) });
      $("keep-behind").focus();
      return;
    }
    if (answer.status !== 200 || !answer.body) { status("keep-refused"); send(); return; }
    base = newest = answer.body.version;
    form.elements.version.value = base;
    baseText = file = mine;
    $("f-said").value = "";
    $("keep-behind").hidden = true;
    if (step === n) { forget(); status("keep-saved", { version: base }); } else { sent = n; lay(); send(); }
  };

  // leave does what leaves this page, once the last step is safe: mine is what it
  // is done with.
  const leave = async (path, fields, thrown) => {
    flush();
    clearTimeout(timer);
    if (sending) await sending;
    const answer = await ask(path, fields);
    if (!answer) return status("keep-away");
    if (answer.status === 401) return status("keep-signed-out");
    if (answer.status !== 200 || !answer.body) return status("keep-refused");
    const was = { text, at: Date.now(), version: base };
    forget();
    if (!thrown || newest > base || !designer.open(file)) { location.href = answer.body.to; return; }
    text = baseText;
    area.value = baseText;
    status("keep-thrown", { version: base });
    found([was]);
  };

  // --- beginning ---

  // begin lays out what was not saved last, wherever it is, else the version.
  const begin = async () => {
    const began = !$("keep-draft").hidden;
    const state = await ask(at + "/draft");
    const there = state && state.status === 200 ? state.body : null;
    const known = Boolean(there), mine = there && there.mine;
    const local = store.all();
    if (mine) read = { desk: mine.desk, step: mine.step };
    const unsent = local.filter((e) => (known ? e.step > e.sent && !(mine && mine.desk === e.desk && mine.step >= e.step) : true));
    for (const e of local) {
      if (!known || unsent.includes(e)) continue;
      store.drop(e.desk); // the workshop has it, or had it
    }
    const works = [...unsent, ...(mine ? [{ ...mine, at: Date.parse(mine.at), since: Date.parse(mine.since) }] : [])].sort((a, b) => b.at - a.at);
    if (!works.length && began && !known) { // the last seen copy of the page holds a draft
      works.push({ text: area.defaultValue, version: base, at: Date.now(), step: 1, sent: 0, read: null });
    }
    const first = works.shift();
    const fine = designer.open(file);
    if (fine) baseText = urdir.file();
    if (!(first ? designer.open(first.text) : fine)) { status("keep-unread"); return; }
    $("designer-text").open = false;
    open = true;
    if (first) {
      take(first, known);
    } else {
      base = Number(page.dataset.newest);
      form.elements.version.value = base;
      area.value = text = baseText;
      $("keep-draft").hidden = true;
      status(known ? "keep-same" : "keep-away", { version: base });
    }
    found(works.filter((w) => w.text !== first.text));
    if (there) told(there);
  };

  // take goes on from work that was found.
  const take = (work, known) => {
    base = work.version;
    form.elements.version.value = base;
    since = work.since || work.at;
    if (work.desk) gone.add(work.desk);
    if (!read && work.sent !== undefined) read = mark(work);
    if (base !== Number(page.dataset.newest)) baseText = null;
    text = urdir.file();
    area.value = text;
    $("keep-draft-said").textContent = say("keep-mine", { since: clock(work.at) });
    $("keep-draft").hidden = false;
    const safe = work.step !== undefined && work.sent === undefined; // it came from the workshop
    if (!safe) step = 1;
    lay();
    if (safe) status("keep-kept", { at: clock(work.at) }); else if (known) send(); else status("keep-away"), timer = setTimeout(send, again);
  };

  root.addEventListener("asked", noticed);
  window.addEventListener("pagehide", flush);
  form.addEventListener("submit", (e) => {
    if (!open) return; // the file as a text, by an ordinary form
    e.preventDefault();
    const by = e.submitter, to = by && by.getAttribute("formaction");
    flush();
    if (to) leave(to, { text }, by.id === "keep-drop-mine");
    else save(by && by.id === "keep-over" ? newest : 0);
  });
  page.addEventListener("submit", (e) => {
    if (!open || !e.target.contains($("keep-drop"))) return;
    e.preventDefault();
    leave(at + "/draft/drop", {}, true);
  });
  $("keep-go-on").hidden = false;
  $("keep-go-on").addEventListener("click", () => { $("keep-draft").hidden = true; });
  $("keep-compare").addEventListener("click", async (e) => {
    flush();
    if (!open || sent === step) return;
    e.preventDefault();
    const to = e.currentTarget.href;
    if (await send()) location.href = to;
  });
  document.addEventListener("keydown", (e) => {
    if (!open || !(e.ctrlKey || e.metaKey) || e.altKey || e.key.toLowerCase() !== "s") return;
    e.preventDefault();
    save(0);
  });
  const visit = async () => {
    if (!open || document.hidden || sending) return;
    const state = await ask(at + "/draft");
    if (state && state.status === 200) told(state.body);
  };
  setInterval(visit, look);
  document.addEventListener("visibilitychange", () => { if (document.hidden) { flush(); send(); } else visit(); });
  window.addEventListener("online", async () => {
    flush();
    if (sent < step) return send();
    await visit();
    if (open) status(text === baseText ? "keep-same" : "keep-kept", { version: base, at: clock(Date.now()) });
  });
  if (window.urdir) begin(); else window.addEventListener("urdir", begin, { once: true }); // a program from the cache may be there first
})();
