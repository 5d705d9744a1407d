// Keeps two rooms at hand where there is no line: the designer, with the last seen
// page of each cloth that was designed, and a member's own page with the pictures of
// her cloths. The files they are made of are the same for everyone. Nothing else is kept. The pages go when anyone signs in or out, so
// that the next person at a shared telephone finds none.
"use strict";

const files = "urdir-files", pages = "urdir-pages", hand = "urdir-hand"; // what is told waits elsewhere, and is not forgotten
const most = 20; // pages of the designer kept
const soon = 2500; // milliseconds a member waits for her page before she gets the one seen last

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));

const isDesigner = (path) => /^\/cloths\/[^/]+\/design$/.test(path);
const changesHands = (path) => /^\/(signin|signout|card\/.*|start\/.*)$/.test(path);

const isPicture = (url) => /^\/work\/[^/]+\/small\.jpg$/.test(url.pathname);
const isHand = (url) => url.pathname === "/hand" && !url.search;

const forget = () => Promise.all([caches.delete(pages), caches.delete(hand)]);

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (url.origin !== location.origin) return;
  if (e.request.method === "POST" && changesHands(url.pathname)) {
    e.waitUntil(forget());
  } else if (e.request.method === "GET" && url.pathname.startsWith("/static/") && url.searchParams.has("v")) {
    e.respondWith(tagged(files, e.request, url));
  } else if (e.request.method === "GET" && isPicture(url)) {
    e.respondWith(tagged(hand, e.request, url));
  } else if (e.request.method === "GET" && e.request.mode === "navigate" && isDesigner(url.pathname)) {
    e.respondWith(page(e.request, url));
  } else if (e.request.method === "GET" && isHand(url)) {
    const asked = ownPage();
    e.waitUntil(asked.catch(() => { /* no line */ }));
    e.respondWith(e.request.mode === "navigate" ? soonest(asked) : asked);
  } else if (e.request.method === "GET" && e.request.mode === "navigate" && url.pathname === "/") {
    e.respondWith(fetch(e.request).catch(async (away) => (await seen()) || Promise.reject(away)));
  }
});

// ownPage is a member's page as the workshop has it; what is the same as what was
// seen last is not sent again.
const ownPage = async () => {
  const had = await seen(), tag = had && had.headers.get("ETag");
  const answer = await fetch("/hand", { redirect: "manual", headers: tag ? { Accept: "text/html", "If-None-Match": tag } : { Accept: "text/html" } });
  if (answer.status === 304) return had;
  if (answer.type === "opaqueredirect") await forget(); // signed out meanwhile
  else if (answer.ok) await (await caches.open(hand)).put("/hand", answer.clone());
  return answer;
};

const seen = async () => (await caches.open(hand)).match("/hand");

// soonest gives the page that was seen last if the line is too slow.
const soonest = async (asked) => {
  const had = await seen();
  if (!had) return asked;
  return Promise.race([asked.catch(() => had), new Promise((give) => setTimeout(() => give(had), soon))]);
};

// tagged is a file whose name changes with its content: the first copy is good
// for ever, and copies of other tags are of no use any more.
const tagged = async (room, request, url) => {
  const cache = await caches.open(room);
  const had = await cache.match(request);
  if (had) return had;
  let answer;
  try { answer = await fetch(request); } catch (away) { // a page seen last may name a former one
    const former = await cache.match(request, { ignoreSearch: true });
    if (former) return former;
    throw away;
  }
  if (answer.ok && !answer.redirected) {
    await drop(cache, (u) => u.pathname === url.pathname && u.search !== url.search);
    await cache.put(request, answer.clone());
  }
  return answer;
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
  for (const name of keep) {
    const url = new URL(name, location);
    if (url.origin !== location.origin) continue;
    if (isPicture(url)) await tagged(hand, new Request(url), url);
    else if (url.pathname.startsWith("/static/")) await tagged(files, new Request(url), url);
  }
  if (path === "/hand" && !(await seen())) await ownPage();
  if (isDesigner(path) && !(await (await caches.open(pages)).match(path))) {
    const answer = await fetch(path, { headers: { Accept: "text/html" } });
    await lay(path, answer);
  }
  if (e.source) e.source.postMessage({ kept: path });
})().catch(() => { /* no line: what is at hand is enough */ })));
