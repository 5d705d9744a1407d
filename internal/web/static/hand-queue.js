// What a member tells waits here, in this browser, until the workshop has it. Each
// telling gets a key of its own and the next number of this device in the
// transaction that lays it down, so it is sent in order, and may be sent as often
// as it takes: the workshop takes it once (workshop.TellHand). Everyone sees and
// sends only her own.
"use strict";
(() => {
  const patience = 20000; // milliseconds until no answer is taken for no line
  const room = "urdir-hand";
  const random = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
  const done = (request) => new Promise((yes, no) => { request.onsuccess = () => yes(request.result); request.onerror = () => no(request.error); });
  const ended = (tx) => new Promise((yes, no) => { tx.oncomplete = yes; tx.onabort = tx.onerror = () => no(tx.error); });
  let opened = null;
  const open = () => (opened = opened || (() => {
    const r = indexedDB.open(room, 1);
    r.onupgradeneeded = () => { r.result.createObjectStore("tellings", { keyPath: "n" }); r.result.createObjectStore("device"); };
    return done(r);
  })());
  const write = async (f) => {
    const tx = (await open()).transaction(["tellings", "device"], "readwrite", { durability: "strict" });
    const safe = ended(tx);
    const out = await f(tx.objectStore("tellings"), tx.objectStore("device"));
    await safe;
    return out;
  };
  const channel = typeof BroadcastChannel === "function" ? new BroadcastChannel(room) : null;
  const changed = (what) => { channel?.postMessage(what); queue.onchange?.(what); };

  const all = async (account) => {
    const every = await done((await open()).transaction("tellings").objectStore("tellings").getAll());
    return every.filter((t) => t.account === account).sort((a, b) => a.n - b.n);
  };

  // put lays a telling down. A place that was never sent gives way to a newer one
  // of the same warp.
  const put = async (account, fields, words) => {
    const shown = new Date().toLocaleString("sv-SE").slice(0, 16); // for people only: the clock may be wrong
    await write(async (tellings, device) => {
      const me = (await done(device.get("me"))) || { name: random(), n: 0 };
      me.n++;
      device.put(me, "me");
      if (fields.kind === "place") {
        for (const t of await done(tellings.getAll())) {
          if (t.account === account && !t.tried && t.fields.kind === "place" && t.fields.job === fields.job) tellings.delete(t.n);
        }
      }
      tellings.put({ n: me.n, device: me.name, key: random(), account, shown, fields, words, tried: false, said: "" });
    });
    changed("laid");
  };

  const drop = async (n) => { await write((tellings) => { tellings.delete(n); }); changed("dropped"); };

  const ask = async (t) => {
    try {
      const answer = await fetch("/hand", { method: "POST", headers: { Accept: "application/json" }, signal: AbortSignal.timeout(patience),
        body: new URLSearchParams({ ...t.fields, account: t.account, key: t.key, device: t.device, n: t.n, shown: t.shown }) });
      if (answer.redirected) return { status: 401 };
      return { status: answer.status, body: answer.status === 200 ? await answer.json() : null };
    } catch { return { status: 0 }; }
  };

  // send sends what waits, the oldest first, each after the one before was
  // answered. It gives why it stopped: empty when nothing waits any more.
  const sendAll = async (account) => {
    for (;;) {
      const next = (await all(account)).find((t) => !t.said);
      if (!next) return "";
      await write((tellings) => { tellings.put({ ...next, tried: true }); });
      const { status, body } = await ask(next);
      if (status === 401) return "signed-out";
      if (status === 409) return "other";
      if (status !== 200 || !body) return "away";
      await write(async (tellings) => {
        if (body.taken) tellings.delete(next.n);
        else if (await done(tellings.get(next.n))) tellings.put({ ...next, tried: true, said: body.said || "?" });
      });
      changed(body.taken ? "taken" : "refused");
    }
  };
  // One page at a time sends; where there are no locks, two may, and nothing is
  // taken twice.
  const send = (account) => (navigator.locks ? navigator.locks.request(room, () => sendAll(account)) : sendAll(account));

  const queue = { put, all, drop, send, onchange: null };
  if (channel) channel.onmessage = (e) => queue.onchange?.(e.data);
  window.handQueue = "indexedDB" in window ? queue : null;

  // Whoever signs out while something waits is asked first.
  const out = document.getElementById("sign-out"), box = document.getElementById("hand-leave");
  if (!out || !box || !window.handQueue) return;
  let sure = false;
  out.addEventListener("submit", (e) => {
    if (sure) return;
    e.preventDefault();
    const go = () => { sure = true; out.requestSubmit(); };
    all(out.dataset.account).then((mine) => {
      const n = mine.filter((t) => !t.said).length;
      if (!n) return go();
      document.getElementById("hand-leave-n").textContent = n;
      document.getElementById("hand-leave-go").onclick = go;
      document.getElementById("hand-leave-stay").onclick = () => box.close();
      box.showModal();
    }).catch(go);
  });
})();
