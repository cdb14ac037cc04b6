/**
 * The script of a published course: one function per part, found by data-part.
 * It reads the page, asks the calculation core, and puts the core's answer back.
 * It must never hold a formula, a sentence or a number format: those are the core's.
 */
"use strict";
/* global withParts, numbersInAddress, typedNumbers, startWorked */

/**
 * Starts a part at the first touch: a page that is only read loads no core. What was done meanwhile is replayed then.
 * @param {HTMLElement} $part
 * @param {string[]} needs parts of the core
 * @param {() => void} begin
 * @param {boolean} now whether something is already waiting for it
 */
function atFirstTouch($part, needs, begin, now) {
  let begun = false;
  const $answer = $part.querySelector('[data-part="answer"]');
  /** @type {Element|null} */
  let $wanted = null;
  const busy = (/** @type {boolean} */ on) => { if ($answer) $answer.toggleAttribute("data-stale", on); };

  function load() {
    if (begun) return;
    withParts(needs, () => {
      if (begun) return;
      begun = true;
      for (const kind of ["pointerdown", "focusin"]) $part.removeEventListener(kind, load);
      $part.removeEventListener("input", typed, true);
      $part.removeEventListener("click", clicked, true);
      busy(false);
      showUnloaded($part, false);
      begin();
      $part.dataset.started = "yes";
      const $focus = document.activeElement;
      if ($focus && $part.contains($focus)) $focus.dispatchEvent(new FocusEvent("focusin", { bubbles: true }));
      if ($wanted instanceof HTMLElement) $wanted.click();
    }, () => {
      // Somebody who only looked at a field need not be told; the next touch tries again.
      if ($wanted || ($answer && $answer.hasAttribute("data-stale"))) showUnloaded($part, true);
      $wanted = null;
    });
  }

  /** Marks that the answer no longer belongs to the numbers. */
  /** @param {Event} [event] none where a browser put the numbers back */
  function typed(event) { if (event) $part.dataset.typed = "yes"; busy(true); load(); }

  /** @param {Event} event */
  function clicked(event) {
    const $button = event.target instanceof Element && event.target.closest("button[data-do], button[data-chore]");
    if (!$button) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    $wanted = $button;
    load();
  }

  for (const kind of ["pointerdown", "focusin"]) $part.addEventListener(kind, load);
  $part.addEventListener("input", typed, true);
  $part.addEventListener("click", clicked, true);
  // A browser may put typed numbers back when a page is returned to.
  addEventListener("pageshow", () => { if (typedAnew($part)) typed(); });
  addEventListener("hashchange", () => { if (numbersInAddress($part.id)) load(); });
  if (now || numbersInAddress($part.id)) load();
}

/** Whether a form holds different numbers than it was published with. @param {HTMLElement} $part */
function typedAnew($part) {
  return [...$part.querySelectorAll('[data-part="form"] :is(input, select)')].some(($one) =>
    $one instanceof HTMLSelectElement ? [...$one.selectedOptions].some(($option) => !$option.defaultSelected) && [...$one.options].some(($option) => $option.defaultSelected)
      : $one instanceof HTMLInputElement && $one.value !== $one.defaultValue);
}

/** Says next to a part that it cannot be loaded, or takes that back. @param {HTMLElement} $part @param {boolean} lost */
function showUnloaded($part, lost) {
  const $said = document.querySelector('[data-role="unloaded"]');
  if (!($said instanceof HTMLElement)) return;
  if (lost) ($part.querySelector('[data-part="answer"]') || $part).before($said);
  $said.hidden = !lost;
}

/** @type {Object<string, function(HTMLElement): void>} further scripts of a page add theirs and start again */
const PARTS = {
  worked: ($section) => {
    const typed = typedNumbers($section).read() !== null;
    // Numbers that are put back come with a form made anew.
    const form = typed || numbersInAddress($section.id) ? ["form"] : [];
    atFirstTouch($section, ["sheet", $section.dataset.calculator || "", ...form], () => { startWorked($section); }, typed);
  },
};
/** Parts that start when they are touched, and report that themselves. */
const LATER = new Set(["worked"]);

/** Starts every part once. If there can be no core, the page stays as it was published, complete. */
function start() {
  if (typeof WebAssembly !== "object") return;
  const $parts = document.querySelectorAll(Object.keys(PARTS).map((part) => `[data-part="${part}"]`).join(", "));
  if (!$parts.length) return;
  document.documentElement.dataset.core = "on";
  for (const $part of $parts) {
    if (!($part instanceof HTMLElement) || $part.dataset.scripted) continue;
    $part.dataset.scripted = "yes";
    const name = $part.dataset.part || "";
    if (!LATER.has(name)) $part.dataset.started = "yes";
    PARTS[name]($part);
  }
}

start();
