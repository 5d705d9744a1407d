// Keeps the designer at hand where there is no line: the files it is made of,
// which are the same for everyone, and the last seen page of each cloth that was
// designed. Nothing else is kept. The pages go when anyone signs in or out, so
// that the next person at a shared telephone finds none.
"use strict";

const files = "urdir-files", pages = "urdir-pages";
const most = 20; // pages kept

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));

const isDesigner = (path) => /^\/cloths\/[^/]+\/design$/.test(path);
const changesHands = (path) => /^\/(signin|signout|card\/.*|start\/.*)$/.test(path);

const forget = () => caches.delete(pages);

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (url.origin !== location.origin) return;
  if (e.request.method === "POST" && changesHands(url.pathname)) {
    e.waitUntil(forget());
  } else if (e.request.method === "GET" && url.pathname.startsWith("/static/")) {
    e.respondWith(url.searchParams.has("v") ? tagged(e.request, url) : untagged(e.request));
  } else if (e.request.method === "GET" && e.request.mode === "navigate" && isDesigner(url.pathname)) {
    e.respondWith(page(e.request, url));
  }
});

// tagged is a file whose name changes with its content: the first copy is good
// for ever, and copies of other tags are of no use any more.
const tagged = async (request, url) => {
  const cache = await caches.open(files);
  const had = await cache.match(request);
  if (had) return had;
  const answer = await fetch(request);
  if (answer.ok) {
    await drop(cache, (u) => u.pathname === url.pathname && u.search !== url.search);
    await cache.put(request, answer.clone());
  }
  return answer;
};

// untagged is a file that the styles name: a font, a knot.
const untagged = async (request) => {
  const cache = await caches.open(files);
  try {
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer.clone());
    return answer;
  } catch (away) {
    const had = await cache.match(request);
    if (had) return had;
    throw away;
  }
};

// page is the designer's page as the workshop gives it, else as it was seen last.
const page = async (request, url) => {
  try {
    const answer = await fetch(request);
    if (answer.type === "opaqueredirect") await forget(); // signed out meanwhile
    else await lay(url.pathname, answer);
    return answer;
  } catch (away) {
    const had = await (await caches.open(pages)).match(url.pathname);
    if (had) return had;
    throw away;
  }
};

const lay = async (path, answer) => {
  const cache = await caches.open(pages);
  if (!answer.ok || answer.redirected) { await cache.delete(path); return; }
  await cache.delete(path); // so that it comes last
  await cache.put(path, answer.clone());
  const all = await cache.keys();
  for (const old of all.slice(0, Math.max(0, all.length - most))) await cache.delete(old);
};

const drop = async (cache, which) => {
  for (const k of await cache.keys()) if (which(new URL(k.url))) await cache.delete(k);
};

// The page that called this worker was loaded before it: it says what it is made
// of.
self.addEventListener("message", (e) => e.waitUntil((async () => {
  const { keep = [], page: path = "" } = e.data || {};
  const cache = await caches.open(files);
  for (const name of keep) {
    const url = new URL(name, location);
    if (url.origin !== location.origin || !url.pathname.startsWith("/static/")) continue;
    const request = new Request(url);
    if (await cache.match(request)) continue;
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer);
  }
  if (isDesigner(path) && !(await (await caches.open(pages)).match(path))) {
    const answer = await fetch(path, { headers: { Accept: "text/html" } });
    await lay(path, answer);
  }
  if (e.source) e.source.postMessage({ kept: path });
})().catch(() => { /* no line: what is at hand is enough */ })));
