/** The short form of a result at the foot of the screen. Joined after page.js. */
"use strict";
/* global piecesOf, change, find */

/** How many main results the bar at the foot of the screen has room for. */
const IN_THE_BAR = 2;

/**
 * The bar at the foot of the screen: a short form of the result while somebody types and the result itself is out of
 * sight. Seen only: the spoken result is read out already.
 */
const bar = (() => {
  const $bar = document.createElement("div");
  $bar.className = "tk-bar";
  $bar.hidden = true;
  $bar.setAttribute("aria-hidden", "true");
  /** @type {HTMLElement|null} the section that is being typed in */
  let $section = null;
  const result = () => $section && $section.querySelector(".tk-stop, .tk-result--large, .tk-compare, .tk-answer__sentence");

  /** The bar for each section's answer, as its last key made it. @type {WeakMap<Element, {html: string, danger: boolean}>} */
  const made = new WeakMap();

  /** Pieces within some others whose tag reads so. @param {Piece[]} pieces @param {RegExp} tag @returns {Piece[]} */
  const among = (pieces, tag) => pieces.flatMap((piece) => (tag.test(piece.open) ? [piece] : among(piece.parts, tag)));

  /** @param {string} name @param {Piece[]} from what it holds, side by side */
  const piece = (name, ...from) => from.map(({ parts }) => `<span class="tk-bar__${name}">${parts.map(({ html }) => html).join("")}</span>`).join("");

  /** @param {Piece} answer */
  function make(answer) {
    // What is drawn, worked and folded has nothing for the bar, and is most of it.
    const parts = answer.parts.filter(({ open }) => /^<(div|dl|p|ul)/.test(open) && !open.includes("tk-folds"));
    const [$stop] = among(parts, /"tk-stop"/);
    if ($stop) return { danger: true, html: piece("word", ...among($stop.parts, /"tk-stop__word"/)) + piece("text", ...among($stop.parts, /"tk-stop__text"/).slice(0, 1)) };
    /** @param {Piece[]} names @param {Piece[]} values */
    const one = (names, values) => `<span class="tk-bar__one">${piece("name", ...names.slice(0, 1))}${piece("value", ...values)}</span>`;
    let html = among(parts, /tk-result--main/).slice(0, IN_THE_BAR).map(({ parts }) => one(among(parts, /^<dt/), among(parts, /^<dd/).slice(0, 1))).join("");
    html += piece("text", ...among(parts, /"tk-answer__sentence"/));
    const row = among(among(among(parts, /tk-compare/), /^<tbody/), /^<tr/)[0];
    if (row && !html) html = one(among(row.parts, /^<th/), among(row.parts, /^<td/));
    const word = among(among(among(parts, /"tk-cautions"/), /tk-caution--warning/), /tk-caution__word/);
    if (html) html += piece("word", ...word.slice(0, 1));
    return { danger: false, html };
  }

  /** What the bar holds on the page. */
  let written = piecesOf("<div></div>");

  /** Rewrites what differs in the bar while it is shown. */
  function write() {
    if ($bar.hidden || !$section) return;
    let now = made.get($section);
    if (!now) made.set($section, now = make(piecesOf(find("bar", $section, '[data-part="answer"]').outerHTML)));
    const fresh = piecesOf(`<div>${now.html}</div>`);
    $bar.classList.toggle("tk-bar--danger", now.danger);
    change($bar, written, fresh);
    written = fresh;
  }

  /** @param {boolean} shown */
  function show(shown) {
    $bar.hidden = !shown;
    document.documentElement.classList.toggle("tk-barred", shown);
    write();
  }

  /** A section's answer has changed. @param {Element} $of @param {Piece} answer @param {boolean} [away] whether none of it is in sight */
  function follow($of, answer, away) {
    const now = make(answer);
    made.set($of, now);
    if ($of !== $section) return;
    if (away || !now.html) show(now.html !== ""); else write();
  }

  /** Nothing that is being typed may be behind the bar (WCAG 2.2, 2.4.11). */
  function clear() {
    const $focus = document.activeElement;
    if (!$focus || !$section || !$section.contains($focus)) return;
    const over = $focus.getBoundingClientRect().bottom + 8 - $bar.getBoundingClientRect().top;
    if (over > 0) scrollBy(0, over);
  }

  function update() {
    // What stands in it is written before anything is measured, so that the page is laid out once.
    write();
    const $result = result();
    const box = $result && $result.getBoundingClientRect();
    const view = window.visualViewport;
    const foot = view ? view.offsetTop + view.height : innerHeight;
    const seen = !box || (box.top < foot - 24 && box.bottom > 24);
    const shown = Boolean($section && !seen);
    if ($bar.hidden === shown) show(shown);
    if (!shown) return;
    // A phone's keyboard covers the foot of the page.
    const end = `${Math.max(0, innerHeight - foot)}px`;
    if ($bar.style.insetBlockEnd !== end) $bar.style.insetBlockEnd = end;
    clear();
  }

  let waits = false;
  /** Once a frame is enough. */
  function soon() {
    if (waits) return;
    waits = true;
    requestAnimationFrame(() => { waits = false; update(); });
  }

  // A slow press must not take the focus from the field first: the bar would be gone before the click.
  $bar.addEventListener("mousedown", (event) => event.preventDefault());
  $bar.addEventListener("click", () => {
    const $result = result();
    if (!($result instanceof HTMLElement)) return;
    $result.tabIndex = -1;
    $result.focus({ preventScroll: true });
    $result.scrollIntoView({ block: "center" });
  });
  document.addEventListener("focusin", (event) => {
    const $form = event.target instanceof Element && event.target.closest('[data-part="form"]');
    $section = $form ? $form.closest("section") : null;
    soon();
  });
  document.addEventListener("focusout", () => setTimeout(() => {
    if (document.activeElement === document.body && $section) { $section = null; soon(); }
  }));
  addEventListener("scroll", () => { if ($section) soon(); }, { passive: true });
  if (window.visualViewport) window.visualViewport.addEventListener("resize", () => { if ($section) soon(); });
  document.body.append($bar);
  return { soon, follow };
})();
