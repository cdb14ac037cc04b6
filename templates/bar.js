/** The short form of a result at the foot of the screen. Joined after page.js. */
"use strict";

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

  /** @param {string} name @param {Element|null} $from */
  function piece(name, $from) {
    const $piece = document.createElement("span");
    $piece.className = `tk-bar__${name}`;
    if ($from) $piece.append(...$from.cloneNode(true).childNodes);
    return $piece;
  }

  /** @param {Element} $name @param {Element[]} $values */
  function one($name, $values) {
    const $one = piece("one", null);
    $one.append(piece("name", $name), ...$values.map(($value) => piece("value", $value)));
    return $one;
  }

  function pieces() {
    if (!$section) return [];
    const $stop = $section.querySelector(".tk-stop");
    if ($stop) return [piece("word", $stop.querySelector(".tk-stop__word")), piece("text", $stop.querySelector(".tk-stop__text"))];
    const $row = $section.querySelector(".tk-compare tbody tr");
    const $shown = [...$section.querySelectorAll(".tk-result--main")].slice(0, IN_THE_BAR).map(($result) =>
      one(/** @type {Element} */ ($result.querySelector("dt")), [...$result.querySelectorAll("dd:first-of-type")]));
    const $sentence = $section.querySelector(".tk-answer__sentence");
    if ($sentence) $shown.push(piece("text", $sentence));
    if ($row && !$shown.length) $shown.push(one(/** @type {Element} */ ($row.querySelector("th")), [...$row.querySelectorAll("td")]));
    const $word = $section.querySelector(".tk-answer > .tk-cautions .tk-caution--warning .tk-caution__word");
    if ($word && $shown.length) $shown.push(piece("word", $word));
    return $shown;
  }

  /** Nothing that is being typed may be behind the bar (WCAG 2.2, 2.4.11). */
  function clear() {
    const $focus = document.activeElement;
    if (!$focus || !$section || !$section.contains($focus)) return;
    const over = $focus.getBoundingClientRect().bottom + 8 - $bar.getBoundingClientRect().top;
    if (over > 0) scrollBy(0, over);
  }

  /** Rewrites the bar while it is shown, if what it says has changed. */
  function write() {
    if ($bar.hidden) return;
    const $fresh = document.createElement("div");
    $fresh.append(...pieces());
    $bar.classList.toggle("tk-bar--danger", Boolean($section && $section.querySelector(".tk-stop")));
    if ($bar.innerHTML !== $fresh.innerHTML) $bar.replaceChildren(...$fresh.childNodes);
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
    if ($bar.hidden === shown) {
      $bar.hidden = !shown;
      write();
      document.documentElement.classList.toggle("tk-barred", shown);
    }
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
  return { soon, write };
})();
