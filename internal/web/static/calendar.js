// Moving a step by hand: it is laid on another day, in other hands or, on the
// strand of a day, at another hour, with the pointer or with the keyboard. Nothing
// is moved here: laying it down opens the page that shows what would follow.
// Without this script a step's own page has a form for the same.
"use strict";
(() => {
  const how = document.getElementById("how-to-move");
  const says = document.getElementById("moving");
  const cells = [...document.querySelectorAll("[data-member][data-day]")];
  if (!how || cells.length === 0) return;
  how.hidden = false;
  const seen = () => cells.filter((c) => c.offsetParent !== null);
  const open = (cell) => !("closed" in cell.dataset);
  const may = (turn, cell) => open(cell) && (turn.dataset.may || "").split(" ").includes(cell.dataset.member);

  // hourAt is the quarter of an hour under a point of a strand.
  const hourAt = (cell, x) => {
    if (!cell.dataset.from) return "";
    const box = cell.getBoundingClientRect(), from = Number(cell.dataset.from), to = Number(cell.dataset.to);
    const m = Math.round((from + (to - from) * Math.min(1, Math.max(0, (x - box.left) / box.width))) / 15) * 15;
    return String(Math.floor(m / 60)).padStart(2, "0") + ":" + String(m % 60).padStart(2, "0");
  };
  const lay = (turn, cell, hour) => {
    const q = new URLSearchParams({ task: turn.dataset.task, member: cell.dataset.member, day: cell.dataset.day, hour });
    location.assign("/calendar/move?" + q);
  };
  const mark = (turn) => {
    for (const c of cells) {
      c.classList.toggle("may", turn !== null && may(turn, c));
      c.classList.remove("over");
    }
  };

  // ---- with the pointer

  let held = null;
  for (const turn of document.querySelectorAll("a.turn[data-may]")) {
    turn.draggable = true;
    turn.addEventListener("dragstart", (e) => {
      held = turn;
      e.dataTransfer.effectAllowed = "move";
      e.dataTransfer.setData("text/plain", turn.dataset.task);
      mark(turn);
    });
    turn.addEventListener("dragend", () => { held = null; mark(null); });
    turn.addEventListener("keydown", (e) => { if (e.key === " " && !picked) { e.preventDefault(); pick(turn); } });
  }
  for (const c of cells) {
    c.addEventListener("dragover", (e) => {
      if (!held || !may(held, c)) return;
      e.preventDefault();
      c.classList.add("over");
    });
    c.addEventListener("dragleave", () => c.classList.remove("over"));
    c.addEventListener("drop", (e) => {
      if (!held || !may(held, c)) return;
      e.preventDefault();
      lay(held, c, hourAt(c, e.clientX));
    });
  }

  // ---- with the keyboard: space takes up, arrows choose, enter lays down

  let picked = null, at = null;
  const pick = (turn) => {
    picked = turn;
    at = turn.closest("[data-member][data-day]") || turn.closest("li")?.querySelector("[data-member]") || seen()[0];
    turn.classList.add("held");
    mark(turn);
    at.classList.add("over");
    says.textContent = how.dataset.picked;
  };
  const putBack = () => {
    picked.classList.remove("held");
    picked = at = null;
    mark(null);
  };
  const whyNot = () => open(at) ? how.dataset.cannot : how.dataset.closed;
  const go = (key) => {
    const all = seen(), here = all.indexOf(at);
    const days = [...new Set(all.map((c) => c.dataset.day))].length;
    const next = { ArrowLeft: here - 1, ArrowRight: here + 1, ArrowUp: here - days, ArrowDown: here + days }[key];
    if (!all[next]) return;
    at.classList.remove("over");
    at = all[next];
    at.classList.add("over");
    at.scrollIntoView({ block: "nearest", inline: "nearest" });
    says.textContent = how.dataset.over + " " + at.dataset.name + (at.dataset.says ? ", " + at.dataset.says : "") +
      (may(picked, at) ? "" : ", " + whyNot());
  };
  document.addEventListener("keydown", (e) => {
    if (!picked) return;
    if (e.key.startsWith("Arrow")) { e.preventDefault(); go(e.key); }
    if (e.key === "Escape") { putBack(); says.textContent = how.dataset.left; }
    if (e.key === "Enter" && at) {
      e.preventDefault();
      if (may(picked, at)) lay(picked, at, "");
      else says.textContent = whyNot();
    }
  });
  document.addEventListener("focusout", (e) => { if (picked && e.target === picked) putBack(); });
})();
