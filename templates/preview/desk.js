/* The panel on a previewed page: shows a change at once, keeps the place and what was typed, says what is wrong. */
"use strict";

(() => {
  const digest = document.currentScript.dataset.digest;
  const kept = "tankside-preview " + location.pathname;
  let hidden = "";

  /** A name for a field that stays the same when the page is made again. */
  const nameOf = (field, index) => {
    const home = field.closest("[id]");
    return [home ? home.id : "", field.name || field.id, field.type, field.name ? "" : index].join(" ");
  };
  const fields = () => [...document.querySelectorAll("input, select, textarea")];
  const isTick = (field) => field.type === "checkbox" || field.type === "radio";

  const keep = () => {
    const seen = new Map();
    const typed = fields().map((field, index) => {
      const name = nameOf(field, index);
      seen.set(name, (seen.get(name) || 0) + 1);
      return [name + " " + seen.get(name), isTick(field) ? field.checked : field.value];
    });
    const open = [...document.querySelectorAll("details")].map((one) => one.open);
    sessionStorage.setItem(kept, JSON.stringify({ typed, open, x: scrollX, y: scrollY }));
  };

  const restore = () => {
    const text = sessionStorage.getItem(kept);
    if (!text) return;
    sessionStorage.removeItem(kept);
    const { typed, open, x, y } = JSON.parse(text);
    const values = new Map(typed);
    const seen = new Map();
    fields().forEach((field, index) => {
      const name = nameOf(field, index);
      seen.set(name, (seen.get(name) || 0) + 1);
      const value = values.get(name + " " + seen.get(name));
      if (value === undefined || value === (isTick(field) ? field.checked : field.value)) return;
      if (isTick(field)) field.checked = value;
      else field.value = value;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      field.dispatchEvent(new Event("change", { bubbles: true }));
    });
    document.querySelectorAll("details").forEach((one, index) => {
      if (open[index] !== undefined) one.open = open[index];
    });
    scrollTo({ left: x, top: y, behavior: "instant" });
  };

  const $desk = document.createElement("aside");
  $desk.className = "tk-desk";
  $desk.setAttribute("role", "status");
  $desk.setAttribute("aria-label", "Preview");
  $desk.hidden = true;

  const show = (state) => {
    $desk.hidden = state.html === "" || state.html === hidden;
    if ($desk.hidden) return;
    const $head = document.createElement("p");
    $head.className = "tk-desk__head";
    $head.textContent = state.summary + " ";
    const $hide = document.createElement("button");
    $hide.type = "button";
    $hide.textContent = "Hide until something changes";
    $hide.addEventListener("click", () => {
      hidden = state.html;
      $desk.hidden = true;
    });
    $head.append($hide);
    const $all = document.createElement("div");
    // Made by the preview, in which everything from the author is text.
    $all.innerHTML = state.html;
    $desk.replaceChildren($head, $all);
  };

  let looks = 0;
  const look = async () => {
    looks += 1;
    const mine = looks;
    const answer = await fetch("/-/state?page=" + encodeURIComponent(location.pathname));
    if (!answer.ok) return;
    const state = await answer.json();
    // An answer asked for earlier may come later, and says what is no longer so.
    if (mine !== looks) return;
    if (state.digest !== digest) {
      keep();
      location.reload();
      return;
    }
    show(state);
  };

  const start = () => {
    document.body.append($desk);
    restore();
    look();
    const events = new EventSource("/-/events");
    events.addEventListener("change", look);
    // After a pause, such as a laptop asleep, something may have been missed.
    events.addEventListener("open", look);
    addEventListener("pagehide", () => events.close());
  };
  if (document.readyState === "complete") start();
  else addEventListener("load", start);
})();
