/**
 * Search in the page: a dialog over it, with a field and links. Nothing typed ever becomes markup: words are compared
 * with the words of the index, and only the index's own text is shown.
 */
"use strict";
/* global TANKSIDE_INDEX, TANKSIDE_SEARCH */

/** Letters and words of a search that are used; nobody looks for anything longer. */
const LONGEST_QUERY = 120;
const MOST_WORDS = 8;
/** Links shown in total, and per group. */
const MOST_SHOWN = 30;
const MOST_OF_A_GROUP = 8;
/** Letters shown around the first word that was found. */
const AROUND = 130;

/** @typedef {{group: number, href: string, title: string, place: string, text: string}} Entry */
/** @typedef {{entry: Entry, score: number, marked: Set<string>}} Hit */

/** Plain lowercase letters: no accents, and superscript digits as digits. @param {string} text */
const bare = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** @param {string} text @returns {string[]} */
const wordsOf = (text) => bare(text).replace(/(\d),(?=\d{3})/g, "$1").match(/[\p{L}\p{N}]+/gu) || [];

/** A word without its plural ending; close enough in English, Spanish and French. @param {string} word */
function stem(word) {
  if (word.length < 4 || /\d/.test(word)) return word;
  return word.replace(/s$/, "").replace(/e$/, "").replace(/y$/, "i");
}

/** Typing mistakes between two words, up to `most`: a letter wrong, missing or extra, or two swapped. @param {string} one @param {string} other @param {number} most */
function slips(one, other, most) {
  if (Math.abs(one.length - other.length) > most) return most + 1;
  let before = /** @type {number[]} */ ([]);
  let above = Array.from({ length: other.length + 1 }, (_, at) => at);
  for (let i = 1; i <= one.length; i += 1) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= other.length; j += 1) {
      let cost = Math.min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (one[i - 1] === other[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1]) cost = Math.min(cost, before[j - 2] + 1);
      row.push(cost);
      least = Math.min(least, cost);
    }
    if (least > most) return most + 1;
    before = above;
    above = row;
  }
  return above[other.length];
}

/** The index made ready: where each word occurs, and how much it counts there. */
const SEARCH = (() => {
  const [TITLE, ALSO, PLACE, TEXT] = [10, 7, 2, 1];
  /** @type {Entry[]} */
  const entries = [];
  /** @type {Map<string, Map<number, number>>} */
  const words = new Map();
  /** @param {number} at @param {string} text @param {number} worth */
  const put = (at, text, worth) => {
    for (const word of wordsOf(text)) {
      let places = words.get(word);
      if (!places) words.set(word, (places = new Map()));
      places.set(at, Math.max(places.get(at) || 0, worth));
    }
  };
  for (const [group, href, title, place, text, also] of TANKSIDE_INDEX.rows) {
    const at = entries.push({ group, href, title, place, text }) - 1;
    put(at, title, TITLE);
    put(at, also, ALSO);
    put(at, place, PLACE);
    put(at, text, TEXT);
  }
  const all = [...words.keys()];
  /** @type {Map<string, string[]>} */
  const stems = new Map();
  for (const word of all) stems.set(stem(word), [...(stems.get(stem(word)) || []), word]);
  /** @type {string[][][]} */
  const same = TANKSIDE_INDEX.same.map((/** @type {string} */ set) => set.split(",").map(wordsOf));

  /** Words of the index that a typed one may mean, and how likely each is. @param {string} typed @returns {[string, number][]} */
  function meant(typed) {
    /** @type {Map<string, number>} */
    const found = new Map();
    /** @param {string} word @param {number} sure */
    const add = (word, sure) => { if ((found.get(word) || 0) < sure) found.set(word, sure); };
    for (const word of stems.get(stem(typed)) || []) add(word, 0.9);
    if (words.has(typed)) add(typed, 1);
    for (const word of all) if (word.length > typed.length && word.startsWith(typed)) add(word, typed.length > 2 ? 0.6 : 0.35);
    if (found.size || typed.length < 4 || /\d/.test(typed)) return [...found];
    const most = typed.length < 8 ? 1 : typed.length < 11 ? 2 : 3;
    for (const word of all) {
      const wrong = slips(typed, word, most);
      if (wrong <= most) add(word, 0.5 / wrong);
      // A word that is still being typed may already be wrong at its start.
      else if (word.length > typed.length && slips(typed, word.slice(0, typed.length), 1) === 1) add(word, 0.2);
    }
    return [...found];
  }

  /** The words as typed, and with synonyms in their place. @param {string[]} typed @returns {string[][]} */
  function ways(typed) {
    const all = [typed];
    for (const set of same) {
      for (const member of set) {
        const at = typed.findIndex((_, at) => member.length > 0 && member.every((word, next) => stem(typed[at + next] || "") === stem(word)));
        if (at < 0) continue;
        for (const other of set) if (other !== member) all.push([...typed.slice(0, at), ...other, ...typed.slice(at + member.length)]);
        break;
      }
    }
    return all.slice(0, 24);
  }

  /** What finding a word says: little for one that is nearly everywhere, as `is` and `the` are. @param {[string, number][]} candidates */
  function telling(candidates) {
    let places = 1;
    for (const [word, sure] of candidates) places += sure * (words.get(word) || new Map()).size;
    return Math.max(0.1, Math.log(entries.length / places)) ** 2;
  }

  /** @param {string} query @returns {{hits: Hit[], whole: boolean}} */
  function find(query) {
    const typed = wordsOf(query.slice(0, LONGEST_QUERY)).slice(0, MOST_WORDS);
    /** @type {Map<number, {score: number, have: number, marked: Set<string>}>} */
    const best = new Map();
    /** @type {Map<string, [string, number][]>} */
    const known = new Map();
    ways(typed).forEach((way, index) => {
      /** @type {Map<number, {score: number, have: number, marked: Set<string>}>} */
      const here = new Map();
      const told = way.map((word) => {
        let candidates = known.get(word);
        // A variant that nobody typed must match exactly.
        if (!candidates) known.set(word, (candidates = index === 0 ? meant(word) : (stems.get(stem(word)) || []).map((one) => [one, 0.8])));
        return { candidates, tells: telling(candidates) };
      });
      const sum = told.reduce((sum, { tells }) => sum + tells, 0);
      for (const { candidates, tells } of told) {
        /** @type {Map<number, number>} */
        const worth = new Map();
        for (const [one, sure] of candidates) {
          for (const [at, weight] of words.get(one) || []) {
            worth.set(at, Math.max(worth.get(at) || 0, weight * sure));
            const row = here.get(at) || { score: 0, have: 0, marked: new Set() };
            row.marked.add(one);
            here.set(at, row);
          }
        }
        for (const [at, value] of worth) {
          const row = here.get(at);
          if (row) { row.score += (value * tells) / sum; row.have += tells / sum; }
        }
      }
      for (const [at, row] of here) {
        const was = best.get(at);
        if (!was || row.have > was.have + 1e-9 || (row.have > was.have - 1e-9 && row.score > was.score)) best.set(at, row);
      }
    });
    const most = Math.max(0, ...[...best.values()].map((row) => row.have));
    const whole = most > 1 - 1e-9;
    // Whoever asks in a sentence is not held to its small words.
    const kept = [...best].filter(([, row]) => row.have > most * 0.75);
    const hits = kept.map(([at, row]) => ({ entry: entries[at], score: row.score / Math.sqrt(1 + wordsOf(entries[at].title).length / 8), marked: row.marked, at }));
    hits.sort((one, other) => other.score - one.score || one.at - other.at);
    return { hits, whole };
  }
  return { find };
})();

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

  /** @param {Hit} hit */
  function row({ entry, marked }) {
    const $row = searchElement("li", "tk-find__row");
    const $link = document.createElement("a");
    $link.className = "tk-find__link";
    $link.href = root + entry.href;
    markInto($link, entry.title, marked);
    $row.append($link);
    if (entry.place) $row.append(searchElement("p", "tk-find__place", entry.place));
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
    let shown = 0;
    for (const hit of hits) {
      if (shown === MOST_SHOWN) break;
      const list = groups.get(hit.entry.group) || [];
      groups.set(hit.entry.group, list);
      if (list.length < MOST_OF_A_GROUP) { list.push(hit); shown += 1; }
    }
    $about.hidden = !empty;
    const key = !hits.length ? "none" : !whole ? "fewer" : shown < hits.length ? "found-shown" : "found";
    $count.textContent = empty ? "" : searchWord(key, { count: hits.length, shown });
    $found.replaceChildren(...[...groups].map(([group, list]) => {
      const $group = searchElement("section", "tk-find__group");
      const $name = searchElement("h3", "tk-find__name", TANKSIDE_INDEX.groups[group]);
      const $list = searchElement("ol", "tk-find__list");
      $list.append(...list.map(row));
      $group.append($name, $list);
      return $group;
    }));
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
  $field.addEventListener("input", () => {
    clearTimeout(soon);
    soon = setTimeout(show, 60);
  });
  $dialog.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      step(event.key === "ArrowDown" ? 1 : -1);
    } else if (event.key === "Enter" && event.target === $field) {
      clearTimeout(soon);
      show();
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
