/**
 * Search in the page: a dialog over it, with a field and links. Nothing typed ever becomes markup: words are compared
 * with the words of the index (find.js), and only the index's own text is shown.
 */
"use strict";
/* global TANKSIDE_INDEX, TANKSIDE_SEARCH, SEARCH, wordsOf, LONGEST_QUERY */

/** Links shown first, of whatever group. */
const BEST = 3;
/** Links shown in total, and per group. */
const MOST_SHOWN = 30;
const MOST_OF_A_GROUP = 8;
/** Letters shown around the first word that was found. */
const AROUND = 130;

/** @typedef {import("./find.js").Hit} Hit */

/** @param {string} key @param {Object<string, string|number>} [places] */
function searchWord(key, places = {}) {
  return TANKSIDE_SEARCH[key].replace(/\{(\w+)\}/g, (/** @type {string} */ all, /** @type {string} */ name) => (name in places ? String(places[name]) : all));
}

/** @param {string} name @param {string} [kind] @param {string} [text] */
function searchElement(name, kind = "", text = "") {
  const $element = document.createElement(name);
  if (kind) $element.className = kind;
  if (text) $element.textContent = text;
  return $element;
}

/** A text into an element, the words that were found marked. @param {HTMLElement} $into @param {string} text @param {Set<string>} marked */
function markInto($into, text, marked) {
  let at = 0;
  for (const match of text.matchAll(/[\p{L}\p{N}\p{M}]+/gu)) {
    if (!wordsOf(match[0]).some((word) => marked.has(word))) continue;
    $into.append(text.slice(at, match.index), searchElement("mark", "", match[0]));
    at = match.index + match[0].length;
  }
  $into.append(text.slice(at));
}

/** The piece of a text around the first word that was found. @param {string} text @param {Set<string>} marked */
function piece(text, marked) {
  if (text.length <= AROUND * 1.4) return text;
  let first = 0;
  for (const match of text.matchAll(/[\p{L}\p{N}\p{M}]+/gu)) if (wordsOf(match[0]).some((word) => marked.has(word))) { first = match.index; break; }
  const from = first < AROUND / 2 ? 0 : text.indexOf(" ", first - AROUND / 2) + 1;
  const end = from + AROUND >= text.length ? text.length : text.lastIndexOf(" ", from + AROUND);
  return `${from > 0 ? "… " : ""}${text.slice(from, end > from ? end : from + AROUND)}${end < text.length ? " …" : ""}`;
}

/** @type {HTMLDialogElement|null} */
let $search = null;

/** The dialog, made when it is first opened. */
function makeSearch() {
  const root = document.documentElement.dataset.root || "";
  const $dialog = document.createElement("dialog");
  $dialog.className = "tk-find";
  $dialog.setAttribute("aria-labelledby", "tk-find-title");
  const $head = searchElement("div", "tk-find__head");
  const $title = searchElement("h2", "tk-find__title", searchWord("title"));
  $title.id = "tk-find-title";
  const $close = searchElement("button", "tk-button tk-find__close", searchWord("close"));
  $close.setAttribute("type", "button");
  $head.append($title, $close);
  const $ask = searchElement("div", "tk-find__ask");
  $ask.setAttribute("role", "search");
  const $label = searchElement("label", "tk-find__label", searchWord("label"));
  $label.setAttribute("for", "tk-find-words");
  const $field = document.createElement("input");
  Object.assign($field, { id: "tk-find-words", className: "tk-find__field", type: "text", autocomplete: "off", spellcheck: false, enterKeyHint: "search", maxLength: LONGEST_QUERY });
  $field.setAttribute("autocapitalize", "off");
  $field.setAttribute("aria-describedby", "tk-find-about");
  const $about = searchElement("p", "tk-find__about", searchWord("about"));
  $about.id = "tk-find-about";
  const $count = searchElement("p", "tk-find__count");
  $count.setAttribute("role", "status");
  const $found = searchElement("div", "tk-find__found");
  $ask.append($label, $field, $about);
  $dialog.append($head, $ask, $count, $found);

  /** @param {string} name @param {HTMLElement[]} rows */
  function section(name, rows) {
    const $group = searchElement("section", "tk-find__group");
    const $list = searchElement("ol", "tk-find__list");
    $list.append(...rows);
    $group.append(searchElement("h3", "tk-find__name", name), $list);
    return $group;
  }

  /** @param {Hit} hit @param {string} [kind] What it is, where its place does not say so. */
  function row({ entry, marked }, kind = "") {
    const $row = searchElement("li", "tk-find__row");
    const $link = document.createElement("a");
    $link.className = "tk-find__link";
    $link.href = root + entry.href;
    markInto($link, entry.title, marked);
    $row.append($link);
    if (entry.place || kind) $row.append(searchElement("p", "tk-find__place", entry.place || kind));
    if (entry.text) {
      const $piece = searchElement("p", "tk-find__piece");
      markInto($piece, piece(entry.text, marked), marked);
      $row.append($piece);
    }
    return $row;
  }

  function show() {
    const query = $field.value.slice(0, LONGEST_QUERY);
    const empty = !wordsOf(query).length;
    const { hits, whole } = empty ? { hits: [], whole: true } : SEARCH.find(query);
    /** @type {Map<number, Hit[]>} */
    const groups = new Map();
    /** @type {Map<string, Hit>} */
    const best = new Map();
    // Where the best are of several kinds, they are shown first, whatever their kind; of the same place one is enough.
    for (const hit of hits) if (best.size < BEST && !best.has(hit.entry.href)) best.set(hit.entry.href, hit);
    const first = new Set(best.values());
    if (new Set([...first].map((hit) => hit.entry.group)).size < 2) first.clear();
    let shown = first.size;
    for (const hit of hits) {
      if (shown >= MOST_SHOWN) break;
      if (first.has(hit)) continue;
      const list = groups.get(hit.entry.group) || [];
      groups.set(hit.entry.group, list);
      if (list.length < MOST_OF_A_GROUP) { list.push(hit); shown += 1; }
    }
    $about.hidden = !empty;
    const key = !hits.length ? "none" : !whole ? "fewer" : shown < hits.length ? "found-shown" : "found";
    $count.textContent = empty ? "" : searchWord(key, { count: hits.length, shown });
    const sections = [...groups].map(([group, list]) => section(TANKSIDE_INDEX.groups[group], list.map((hit) => row(hit))));
    if (first.size) sections.unshift(section(searchWord("best"), [...first].map((hit) => row(hit, TANKSIDE_INDEX.groups[hit.entry.group]))));
    $found.replaceChildren(...sections);
    $dialog.scrollTop = 0;
  }

  const links = () => [...$found.querySelectorAll("a")];
  /** Moves to another link by the arrow keys; above the first is the field. @param {number} by */
  function step(by) {
    const all = links();
    const at = all.findIndex(($link) => $link === document.activeElement) + by;
    const $next = at < 0 ? $field : all[Math.min(at, all.length - 1)];
    if ($next) $next.focus();
  }

  let soon = 0;
  /** Shows what was typed, if that is still to come: rows that came later would take the focus away. */
  function showNow() {
    if (!soon) return;
    clearTimeout(soon);
    soon = 0;
    show();
  }
  $field.addEventListener("input", () => {
    clearTimeout(soon);
    soon = setTimeout(showNow, 60);
  });
  $dialog.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      showNow();
      step(event.key === "ArrowDown" ? 1 : -1);
    } else if (event.key === "Enter" && event.target === $field) {
      showNow();
      const $first = links()[0];
      if ($first) $first.click();
    }
  });
  $found.addEventListener("click", (event) => {
    const $link = event.target instanceof Element && event.target.closest("a");
    // The place may be on this very page.
    if ($link && !event.ctrlKey && !event.metaKey && !event.shiftKey) $dialog.close();
  });
  $close.addEventListener("click", () => $dialog.close());
  document.body.append($dialog);
  return $dialog;
}

/** Opens search; what was typed last is still there, selected. */
function openSearch() {
  $search = $search || makeSearch();
  if (!$search.open) $search.showModal();
  const $field = $search.querySelector("input");
  if ($field) { $field.focus(); $field.select(); }
}
