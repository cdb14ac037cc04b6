/**
 * What every page has: the button that opens search, and the loading of what keeps the
 * course for use without a signal. It waits for nothing and delays nothing; search itself is loaded when it is
 * requested.
 */
"use strict";
/* global TANKSIDE_AROUND, openSearch */

/** A line under the band, said aloud; replaced by the next of its kind. @param {string} kind @param {string} text */
function aroundLine(kind, text) {
  let $line = document.querySelector(`[data-line="${kind}"]`);
  if (!$line) {
    $line = document.createElement("div");
    $line.className = "tk-line";
    $line.setAttribute("role", "status");
    if ($line instanceof HTMLElement) $line.dataset.line = kind;
    const $main = document.querySelector("main");
    if ($main) $main.before($line);
  }
  const $text = document.createElement("p");
  $text.textContent = text;
  $line.replaceChildren($text);
  return $line;
}

(() => {
  const $root = document.documentElement;
  const root = $root.dataset.root || "";

  /** Files being loaded, so that none is requested twice. @type {Map<string, Promise<void>>} */
  const loading = new Map();

  /** @param {string} name of a script or a stylesheet in assets/ */
  function load(name) {
    const known = loading.get(name);
    if (known) return known;
    const soon = new Promise((/** @type {(value?: undefined) => void} */ done, failed) => {
      const isStyle = name.endsWith(".css");
      const $file = document.createElement(isStyle ? "link" : "script");
      $file.addEventListener("load", () => done());
      $file.addEventListener("error", () => { loading.delete(name); $file.remove(); failed(new Error(name)); });
      if ($file instanceof HTMLLinkElement) { $file.rel = "stylesheet"; $file.href = `${root}assets/${name}`; } else Object.assign($file, { async: false, src: `${root}assets/${name}` });
      document.head.append($file);
    });
    loading.set(name, soon);
    return soon;
  }

  for (const $button of document.querySelectorAll('[data-do="search"]')) {
    if (!($button instanceof HTMLElement)) continue;
    $button.hidden = false;
    $button.addEventListener("click", () => {
      Promise.all(["search.css", "search-index.js", "search.js"].map(load)).then(() => openSearch(), () => aroundLine("search", TANKSIDE_AROUND["search-failed"]));
    });
  }
  // Nothing is kept on the device for a page opened from a disk, or when the trainer has turned that off.
  const keep = () => { load("keep.js").catch(() => {}); };
  if ($root.dataset.keep === "yes" && /^https?:$/.test(location.protocol)) {
    if (document.readyState === "complete") keep(); else addEventListener("load", keep);
  }
})();
