// The member's page: what is told on it is laid down in the browser first
// (hand-queue.js), shown at once, and sent when there is a line.
"use strict";
(() => {
  const queue = window.handQueue, words = JSON.parse(document.getElementById("hand").dataset.words);
  const account = document.getElementById("hand").dataset.account;
  const $ = (id) => document.getElementById(id);
  const again = 15000; // milliseconds until it is tried again
  let why = "", timer = null;

  // --- reading aloud, where the telephone has a voice of the language ---
  const lang = document.documentElement.lang;
  const voice = () => window.speechSynthesis?.getVoices().find((v) => v.lang.toLowerCase().startsWith(lang));
  let read = null; // the part that was read last
  const aloud = (part) => {
    const going = speechSynthesis.speaking && read === part;
    speechSynthesis.cancel();
    read = part;
    if (going) return; // a second touch stops it
    for (const text of part.innerText.replaceAll("▶", "").split("\n").filter((t) => /[\p{L}\p{N}]/u.test(t))) {
      const u = new SpeechSynthesisUtterance(text);
      u.lang = voice().lang.replace("_", "-");
      speechSynthesis.speak(u);
    }
  };
  const voices = () => {
    if (!voice()) return;
    for (const part of document.querySelectorAll("#hand section, #hand .empty")) {
      if (part.querySelector(".hand-say")) continue;
      const b = document.createElement("button"), title = part.querySelector("h2");
      b.type = "button";
      b.className = "quiet hand-say";
      b.textContent = "▶";
      b.setAttribute("aria-label", words["hand-read-of"].replace("{name}", (title || part).textContent.trim()));
      b.onclick = () => aloud(part);
      if (title) title.after(b);
      else part.append(b);
    }
  };
  window.speechSynthesis?.addEventListener?.("voiceschanged", voices);
  voices();
  if (!queue) return; // the forms work without

  // --- what waits ---
  const line = (t) => {
    const li = document.createElement("li"), span = document.createElement("span"), main = document.createElement("span");
    span.className = "line";
    main.className = "main";
    main.textContent = t.words + (t.said ? ": " + t.said : "");
    span.append(main);
    if (t.said) {
      const b = document.createElement("button");
      b.type = "button";
      b.className = "quiet";
      b.textContent = words["hand-drop"];
      b.onclick = () => queue.drop(t.n);
      span.append(b);
    }
    li.append(span);
    return li;
  };

  // over shows on the page what was told and is not sent yet.
  const over = (t) => {
    const box = t.fields.job && document.querySelector(`[data-job="${CSS.escape(t.fields.job)}"]`);
    if (!box || t.said) return;
    const tick = (name, upTo) => box.querySelectorAll(`button[name="${name}"]`).forEach((b) => b.setAttribute("aria-pressed", Number(b.value) <= upTo));
    if (t.fields.stripes !== undefined) tick("stripes", Number(t.fields.stripes));
    if (t.fields.bands) tick("bands", Number(t.fields.bands));
    if (t.fields.cm) {
      const cm = Number(t.fields.cm.replace(",", "."));
      box.querySelector("progress").value = Math.min(100, 100 * cm / Number(box.dataset.length));
      box.querySelector("[data-cm]").textContent = t.fields.cm + " cm";
    }
  };

  const show = async () => {
    const mine = await queue.all(account), waits = mine.filter((t) => !t.said);
    mine.forEach(over);
    $("hand-queue").hidden = !mine.length;
    $("hand-waiting").replaceChildren(...mine.map(line));
    $("hand-send").hidden = !waits.length;
    const say = waits.length ? words["hand-waits"].replace("{n}", waits.length) + (why ? " " + words["hand-" + why] : "") : "";
    if ($("hand-status").textContent !== say) $("hand-status").textContent = say;
  };

  // fresh lays the page as the workshop has it over this one.
  const fresh = async () => {
    try {
      const answer = await fetch("/hand", { headers: { Accept: "text/html" } });
      if (!answer.ok || answer.redirected) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html"), now = page.getElementById("hand");
      if (!now || now.dataset.account !== account) return;
      const opened = [...document.querySelectorAll("#hand details")].map((d) => d.open), parts = now.querySelectorAll("details");
      if (parts.length === opened.length) parts.forEach((d, i) => { d.open = opened[i]; });
      $("hand").replaceWith(now);
      bind();
      voices();
      await show();
    } catch { /* no line: the page stays as it is */ }
  };

  const send = async () => {
    clearTimeout(timer);
    const before = (await queue.all(account)).filter((t) => !t.said).length;
    why = await queue.send(account);
    await show();
    if (why === "away") timer = setTimeout(send, again);
    if (before && !why) await fresh();
  };

  const tell = async (form, button) => {
    const fields = {};
    for (const [k, v] of new FormData(form, button)) if (k !== "account" && k !== "key") fields[k] = v;
    if (form.dataset.tell === "tick" && fields.stripes && button.getAttribute("aria-pressed") === "true") fields.stripes = String(fields.stripes - 1);
    const of = form.closest("[data-job]")?.querySelector("h2")?.textContent || "";
    const what = [words["hand-kind-" + fields.kind], of, fields.cm && fields.cm + " cm", fields.bands || fields.stripes, fields.grams && fields.grams + " g", fields.until];
    await queue.put(account, fields, what.filter(Boolean).join(" · "));
    await show();
    send();
  };

  const bind = () => {
    for (const form of document.querySelectorAll("form[data-tell]")) {
      form.addEventListener("submit", (e) => {
        e.preventDefault();
        tell(form, e.submitter).catch(() => { form.removeAttribute("data-tell"); HTMLFormElement.prototype.submit.call(form); });
      });
    }
    $("hand-send").onclick = send;
  };
  bind();
  queue.onchange = show;
  window.addEventListener("online", send);
  show().then(send).catch(() => { /* a browser that keeps nothing: forms do */ });

  navigator.serviceWorker?.register("/worker.js").then(() => navigator.serviceWorker.ready).then((r) => {
    const files = performance.getEntriesByType("resource").map((e) => e.name).filter((u) => /^\/(static|work)\//.test(new URL(u).pathname));
    r.active.postMessage({ keep: files, page: "/hand" });
  }).catch(() => { /* a browser that has none: all else works */ });
})();
