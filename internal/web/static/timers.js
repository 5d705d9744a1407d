// Times to be kept at a bath. What runs is written in the browser with the hour
// it began, so that it goes on while the screen sleeps, the page is loaded again
// or another is open: what is left is always reckoned from the clock. Without
// this script the times stand in the page as words.
"use strict";
(() => {
  const KEPT = "urdir-timers", PAST = 24 * 3600; // seconds after which what is over is forgotten
  const board = document.getElementById("timers");
  if (!board) return;
  const words = board.dataset;

  // ---- what is kept: {key: {begin, seconds, label, page, told}}, begin in ms of the device's clock

  const read = () => {
    try { return JSON.parse(localStorage.getItem(KEPT)) || {}; } catch { return {}; }
  };
  let memory = null; // where the browser keeps nothing
  const kept = () => memory || read();
  const keep = (all) => {
    try { localStorage.setItem(KEPT, JSON.stringify(all)); memory = null; } catch { memory = all; }
  };
  const left = (t) => Math.ceil((t.begin + t.seconds * 1000 - Date.now()) / 1000);
  const clock = (s) => {
    const two = (n) => String(n).padStart(2, "0"), h = Math.floor(s / 3600);
    return (h ? h + ":" + two(Math.floor(s / 60) % 60) : String(Math.floor(s / 60))) + ":" + two(s % 60);
  };

  // ---- telling: sound, shaking, the page's title, and a notice if she asked for it

  let sound = null;
  const openSound = () => { // only a touch may open it
    try { sound = sound || new AudioContext(); sound.resume(); } catch { sound = null; }
  };
  const ring = () => {
    if (!sound) return;
    for (let i = 0; i < 3; i++) {
      const tone = sound.createOscillator(), loud = sound.createGain(), at = sound.currentTime + i * 0.7;
      tone.frequency.value = 880;
      loud.gain.setValueAtTime(0.3, at);
      loud.gain.exponentialRampToValueAtTime(0.001, at + 0.5);
      tone.connect(loud).connect(sound.destination);
      tone.start(at);
      tone.stop(at + 0.5);
    }
  };
  const tell = (t) => {
    ring();
    if (navigator.vibrate) navigator.vibrate([400, 200, 400, 200, 800]);
    try {
      if ("Notification" in window && Notification.permission === "granted") new Notification(words.done, { body: t.label, tag: t.label });
    } catch { /* telephones show notices from workers only */ }
  };

  // ---- the screen stays on while something runs and the page is seen

  let awake = null, asked = false; // asked once each time the page comes into sight
  const stayAwake = async (running) => {
    if (!("wakeLock" in navigator)) return;
    if (!running && awake) { awake.release(); awake = null; asked = false; }
    if (!running || asked || document.visibilityState !== "visible") return;
    asked = true;
    try { awake = await navigator.wakeLock.request("screen"); } catch { awake = null; } // a weak battery may refuse it
  };

  // ---- a clock that is changed: the server's says by how much

  const OFF = 60_000; // a line may be as slow as that
  const hour = async () => {
    try {
      const before = Date.now(), got = await fetch("/healthz", { method: "HEAD", cache: "no-store" }), after = Date.now();
      const there = Date.parse(got.headers.get("Date"));
      return got.ok && there && after - before < OFF / 2 ? there - (before + after) / 2 : null;
    } catch { return null; }
  };
  let ahead = null; // of this device's clock, how far the server's is
  const compare = async () => {
    const now = await hour();
    if (now === null) return;
    ahead = now;
    const all = kept();
    let moved = false;
    for (const t of Object.values(all)) {
      if (t.ahead === null || t.ahead === undefined) { t.ahead = now; continue; }
      if (Math.abs(t.ahead - now) < OFF) continue;
      t.begin += t.ahead - now; // the same moment by the changed clock
      t.ahead = now;
      moved = true;
    }
    keep(all);
    if (moved) note.hidden = false;
    show();
  };

  // ---- the page

  const list = board.querySelector("ul");
  const make = (tag, text, name) => {
    const e = document.createElement(tag);
    if (text) e.textContent = text;
    if (name) e.className = name;
    return e;
  };
  const note = make("p", words.moved, "hint");
  note.hidden = true;
  note.setAttribute("role", "status");
  const asks = make("button", words.tell, "quiet");
  asks.type = "button";
  asks.addEventListener("click", async () => { await Notification.requestPermission(); show(); });
  board.append(note, asks);
  const over = make("p", "", "hidden-word");
  over.setAttribute("role", "alert");
  board.append(over);

  const forget = (all, key) => { // with how often it was begun
    delete all[key];
    try { localStorage.removeItem(KEPT + "." + key); } catch { /* nothing was kept */ }
  };
  const stop = (key) => {
    const all = kept();
    delete all[key];
    keep(all);
    show();
  };
  const rows = new Map(); // of the board, so that a button is not made anew under a finger
  const row = (key, t) => {
    if (rows.has(key)) return rows.get(key);
    const li = make("li"), line = make("span", "", "line"), main = make("a", t.label, "main"), side = make("b", "", "side timer-left"), button = make("button", "", "quiet");
    main.href = t.page;
    button.type = "button";
    button.addEventListener("click", () => stop(key));
    line.append(main, side, button);
    li.append(line);
    list.append(li);
    rows.set(key, { li, side, button });
    return rows.get(key);
  };
  const places = [...document.querySelectorAll("[data-timer]")].map((place) => {
    const button = make("button", words.start, "quiet timer-go"), time = place.querySelector(".timer-left"), times = place.querySelector(".timer-times");
    button.type = "button";
    place.append(button);
    const p = { key: place.dataset.timer, place, button, time, times, words: time.textContent, often: +place.dataset.times };
    button.addEventListener("click", () => go(p));
    return p;
  });
  const counted = (p) => { // how often one that comes again was begun
    try { return +localStorage.getItem(KEPT + "." + p.key) || 0; } catch { return 0; }
  };
  const go = (p) => {
    openSound();
    const all = kept(), t = all[p.key];
    if (t && left(t) > 0) { stop(p.key); return; }
    all[p.key] = { begin: Date.now(), seconds: +p.place.dataset.seconds, label: p.place.dataset.label, page: location.pathname, told: false, ahead };
    keep(all);
    if (p.often > 1) {
      try { localStorage.setItem(KEPT + "." + p.key, counted(p) % p.often + 1); } catch { /* the times are not counted then */ }
    }
    show();
  };

  const title = document.title;
  const show = () => {
    const all = kept();
    let running = 0, done = 0, changed = false;
    for (const [key, t] of Object.entries(all)) {
      const s = left(t);
      if (s < -PAST) { forget(all, key); changed = true; continue; }
      const r = row(key, t);
      r.side.textContent = s > 0 ? clock(s) : words.done;
      r.button.textContent = s > 0 ? words.stop : words.away;
      r.li.classList.toggle("over", s <= 0);
      if (s > 0) { running++; continue; }
      done++;
      if (!t.told) {
        t.told = changed = true;
        over.textContent = words.done + ": " + t.label;
        tell(t);
      }
    }
    for (const [key, r] of rows) if (!all[key]) { r.li.remove(); rows.delete(key); }
    if (changed) keep(all);
    for (const p of places) {
      const t = all[p.key], s = t ? left(t) : 0;
      p.time.textContent = t && s > 0 ? clock(s) : t ? words.done : p.words;
      p.button.textContent = t && s > 0 ? words.stop : words.start;
      p.place.classList.toggle("runs", !!t && s > 0);
      p.place.classList.toggle("over", !!t && s <= 0);
      if (p.times && counted(p)) p.times.textContent = `${counted(p)} ${words.of} ${p.often}`;
    }
    board.hidden = !running && !done;
    asks.hidden = !running || !("Notification" in window) || Notification.permission !== "default";
    document.title = done ? "● " + words.done + " · " + title : title;
    stayAwake(running > 0);
  };

  addEventListener("storage", (e) => { if (e.key === KEPT) show(); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") { asked = false; show(); compare(); } });
  setInterval(show, 500);
  show();
  compare();
})();
