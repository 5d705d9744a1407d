// Where the designer's work is laid down: this browser, under its person's own
// key, and the workshop.
"use strict";
(() => {
  const designer = window.designer;
  if (!designer) return;
  const { root } = designer;
  const account = document.getElementById("keep").dataset.account, cloth = root.dataset.cloth;

  const patience = 20000; // milliseconds until no answer is taken for no line
  const prefix = "urdir-draft " + account + " " + cloth + " ";
  designer.store = {
    put(entry) { try { localStorage.setItem(prefix + entry.desk, JSON.stringify(entry)); return true; } catch { return false; } },
    all() {
      const out = [];
      try {
        for (let i = 0; i < localStorage.length; i++) {
          const key = localStorage.key(i);
          if (!key.startsWith(prefix)) continue;
          try { out.push(JSON.parse(localStorage.getItem(key))); } catch { /* not one of ours */ }
        }
      } catch { /* a browser that keeps nothing */ }
      return out.sort((a, b) => b.at - a.at);
    },
    drop(of) { try { localStorage.removeItem(prefix + of); } catch { /* nothing was kept */ } },
  };

  // send asks the workshop, with a form if there are fields, and gives its status
  // and JSON; null if it cannot be reached. Whoever is signed out is sent to a page.
  designer.send = async (path, fields) => {
    try {
      const answer = await fetch(path, { method: fields ? "POST" : "GET", body: fields && new URLSearchParams(fields), headers: { Accept: "application/json" }, signal: AbortSignal.timeout(patience) });
      const json = (answer.headers.get("Content-Type") || "").startsWith("application/json");
      return { status: answer.redirected ? 401 : answer.status, body: json ? await answer.json() : null };
    } catch { return null; }
  };

  // The worker keeps this page and its program at hand without a line.
  navigator.serviceWorker?.register("/worker.js").then(() => navigator.serviceWorker.ready).then((r) => {
    const parts = [...document.querySelectorAll("script[src], link[rel=stylesheet], link[rel=icon]")].map((e) => e.src || e.href);
    const loaded = performance.getEntriesByType("resource").map((e) => e.name).filter((u) => u.startsWith(location.origin + "/static/"));
    r.active.postMessage({ keep: [...new Set([...parts, ...loaded, new URL(root.dataset.program, location).href])], page: location.pathname });
  }).catch(() => { /* a browser that has none: all else works */ });
})();
