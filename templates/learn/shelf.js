/**
 * The browser's storage, which may be full or refused. Joined before store.js.
 */
"use strict";

/** The browser's storage under one name prefix, with memory on top for what it refuses. @param {string} start */
function learnShelf(start) {
  /** @type {Map<string, string|null>} */
  const memory = new Map();
  let state = "lasting";
  /** @param {() => any} act @param {any} otherwise */
  function attempt(act, otherwise) {
    try { return act(); } catch (cause) {
      state = cause instanceof DOMException && cause.name === "QuotaExceededError" ? "full" : state === "full" ? "full" : "refused";
      return otherwise;
    }
  }
  // Find out whether storage is refused before anything is lost in it.
  attempt(() => { localStorage.setItem(`${start}try`, ""); localStorage.removeItem(`${start}try`); }, null);
  return {
    /** "lasting", "full" or "refused". */
    state: () => state,
    /** @param {string} name @returns {string|null} */
    read(name) {
      if (memory.has(name)) return memory.get(name) ?? null;
      return attempt(() => localStorage.getItem(start + name), null);
    },
    /** @param {string} name @param {string} text @returns {boolean} whether it will be there after the page is closed */
    write(name, text) {
      const kept = attempt(() => { localStorage.setItem(start + name, text); return true; }, false);
      if (kept) { memory.delete(name); if (state === "full" && !memory.size) state = "lasting"; } else memory.set(name, text);
      return kept;
    },
    /** @param {string} name */
    drop(name) {
      memory.delete(name);
      attempt(() => localStorage.removeItem(start + name), null);
    },
    /** @param {string} begin @returns {string[]} */
    names(begin) {
      const kept = attempt(() => Object.keys(localStorage), []).filter((/** @type {string} */ name) => name.startsWith(start + begin)).map((/** @type {string} */ name) => name.slice(start.length));
      return [...new Set([...kept, ...[...memory.keys()].filter((name) => name.startsWith(begin))])].sort();
    },
  };
}
