"use strict";
// Ticks, notes and place are kept on this device, by the pattern's name; where that is not allowed, everything else works all the same.
(function () {
  const said = document.body.dataset;
  const drawer = "booklet · " + said.pattern + " · " + document.documentElement.lang;
  const bar = document.querySelector(".bar");

  function recall() {
    try {
      const kept = JSON.parse(localStorage.getItem(drawer));
      if (kept && Array.isArray(kept.ticks)) {
        return { ticks: new Set(kept.ticks.map(String)), place: kept.place, notes: new Map(Object.entries(kept.notes || {})) };
      }
    } catch (refused) { /* no store, or not ours */ }
    return { ticks: new Set(), place: null, notes: new Map() };
  }

  const state = recall();

  function keep() {
    try {
      localStorage.setItem(drawer, JSON.stringify({
        ticks: Array.from(state.ticks), place: state.place, notes: Object.fromEntries(state.notes)
      }));
    } catch (refused) { /* no store, or a full one */ }
  }

  // ---- ticks: a box is known by its section, its name, and which of that name it is ----
  const boxes = Array.from(document.querySelectorAll("input.tick"));
  const seen = new Map();
  for (const box of boxes) {
    const section = box.closest("section[id], nav[id]");
    const name = (section ? section.id : "") + "/" + box.getAttribute("aria-label");
    const count = (seen.get(name) || 0) + 1;
    seen.set(name, count);
    box.name = name + "/" + count;
    box.autocomplete = "off";
    box.checked = state.ticks.has(box.name);
    box.addEventListener("change", function () {
      if (box.checked) state.ticks.add(box.name); else state.ticks.delete(box.name);
      show(box);
      count_up();
      keep();
    });
    show(box);
  }

  // ---- what a tester writes into the form: known in the same way ----
  for (const field of document.querySelectorAll(".note")) {
    const name = "note/" + field.getAttribute("aria-label");
    const count = (seen.get(name) || 0) + 1;
    seen.set(name, count);
    field.name = name + "/" + count;
    field.autocomplete = "off";
    field.value = String(state.notes.get(field.name) || "");
    field.addEventListener("input", function () {
      if (field.value) state.notes.set(field.name, field.value); else state.notes.delete(field.name);
      keep();
    });
  }

  function show(box) {
    const row = box.closest("tr");
    if (!row) return;
    const all = Array.from(row.querySelectorAll("input.tick"));
    row.classList.toggle("ticked", all.every(function (one) { return one.checked; }));
  }

  function count_up() {
    const done = boxes.filter(function (box) { return box.checked; }).length;
    bar.querySelector(".done").textContent = done ? said.done.replace("{n}", done).replace("{all}", boxes.length) : "";
  }

  count_up();

  if (boxes.length) {
    const again = button("again", said.again);
    again.addEventListener("click", function () {
      if (!window.confirm(said.ask)) return;
      state.ticks.clear();
      for (const box of boxes) { box.checked = false; show(box); }
      count_up();
      keep();
    });
    document.querySelector("main").after(again);
  }

  // ---- place: the section at the top of the screen, and how far into it ----
  const sections = Array.from(document.querySelectorAll("main section[id], main nav[id]"));

  function where() {
    const top = bar.getBoundingClientRect().bottom + 8;
    let found = null;
    for (const section of sections) if (section.getBoundingClientRect().top <= top) found = section;
    return found;
  }

  function note_place() {
    const section = where();
    bar.querySelector(".here").textContent = section ? section.dataset.title || "" : "";
    if (!section) { state.place = null; return; }
    const box = section.getBoundingClientRect();
    state.place = { id: section.id, part: Math.max(0, (bar.getBoundingClientRect().bottom - box.top) / Math.max(1, box.height)) };
  }

  let waiting = 0;
  addEventListener("scroll", function () {
    clearTimeout(waiting);
    waiting = setTimeout(function () { note_place(); keep(); }, 200);
  }, { passive: true });
  addEventListener("pagehide", function () { note_place(); keep(); });

  addEventListener("load", function () {
    const section = state.place && !location.hash && document.getElementById(String(state.place.id));
    if (section) {
      const box = section.getBoundingClientRect();
      const down = scrollY + box.top + Number(state.place.part) * box.height - bar.getBoundingClientRect().height;
      if (isFinite(down)) scrollTo({ top: down, behavior: "instant" });
    }
    note_place();
  });

  // ---- charts: a button below each, and a tap on it, show it large ----
  const view = document.createElement("dialog");
  view.className = "view";
  const sheet = document.createElement("div");
  sheet.className = "sheet";
  sheet.tabIndex = 0;
  const shut = button("shut", said.close);
  shut.addEventListener("click", function () { view.close(); });
  view.append(shut, sheet);
  document.body.append(view);

  for (const picture of document.querySelectorAll(".chart img, .overview img, .placement img, .photo img")) {
    const open = button("enlarge", said.enlarge);
    open.addEventListener("click", function () { enlarge(picture); });
    picture.addEventListener("click", function () { enlarge(picture); });
    picture.after(open);
    open.before(document.createElement("br"));
  }

  function enlarge(picture) {
    const large = picture.cloneNode(false);
    large.style.width = Math.max(2 * innerWidth, picture.naturalWidth) + "px";
    sheet.replaceChildren(large);
    sheet.setAttribute("aria-label", said.enlarge);
    view.showModal();
    // A round chart is begun in its middle; of a wide drawing the middle may be the gap between two parts.
    const wide = picture.naturalWidth > 1.6 * picture.naturalHeight;
    sheet.scrollLeft = wide ? 0 : (sheet.scrollWidth - sheet.clientWidth) / 2;
    sheet.scrollTop = 0;
    shut.focus();
  }

  function button(kind, words) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = kind;
    made.textContent = words;
    return made;
  }
})();
