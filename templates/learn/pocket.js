/**
 * A four-function pocket calculator, as exams allow: no memory, no brackets, no formulas. The keyboard works too.
 */
"use strict";
/* global find, word */

/** @param {HTMLElement} $part */
function startCalculator($part) {
  const $shown = find("pocket", $part, '[data-role="shown"]');
  let entry = "0";
  let fresh = true;
  /** @type {number|null} */
  let kept = null;
  let pending = "";
  // The core's phrases write 12345.6 as the language does; the mark before the last figure is the decimal one.
  const mark = word("number").slice(word("number").indexOf("345") + 3, -1);

  /** A number as a pocket calculator shows it: ten figures and no noise. @param {number} number */
  const written = (number) => (Number.isFinite(number) ? String(Number(number.toPrecision(10))) : "");

  function work() {
    const now = Number(entry);
    if (kept === null || !pending) return now;
    return { "+": kept + now, "-": kept - now, "*": kept * now, "/": kept / now }[pending] ?? now;
  }

  /** @param {string} key */
  function press(key) {
    if (/^\d$/.test(key)) { entry = fresh || entry === "0" ? key : entry.length < 12 ? entry + key : entry; fresh = false; }
    if (key === ".") { entry = fresh ? "0." : entry.includes(".") ? entry : `${entry}.`; fresh = false; }
    if (key === "C") { [entry, fresh, kept, pending] = ["0", true, null, ""]; }
    if (key === "back" && !fresh) entry = entry.length > 1 ? entry.slice(0, -1) : "0";
    if ("+-*/=".includes(key)) {
      const result = fresh && key !== "=" && pending ? Number(kept ?? entry) : work();
      entry = written(result);
      kept = key === "=" || !entry ? null : result;
      pending = key === "=" ? "" : key;
      fresh = true;
    }
    $shown.textContent = entry ? entry.replace("-", "−").replace(".", mark) : word("pocket-error");
    if (!entry) entry = "0";
  }

  const $point = $part.querySelector('[data-key="."]');
  if ($point) $point.textContent = mark;
  // Enter means “equals”, as on a pocket calculator, except on a key that was reached with Tab and is to be pressed.
  let typing = false;
  $part.addEventListener("focusin", () => { typing = false; });
  $part.addEventListener("click", (event) => {
    const $key = event.target instanceof Element && event.target.closest("button[data-key]");
    if ($key instanceof HTMLElement) press($key.dataset.key || "");
    if (event.detail > 0) $part.focus({ preventScroll: true });
  });
  $part.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const enter = event.key === "Enter" && (typing || event.target === $part);
    const key = enter ? "=" : event.key === "Backspace" ? "back" : event.key === "," ? "." : event.key === "c" ? "C" : event.key;
    if (/^[\d.+\-*/=C]$|^back$/.test(key)) { press(key); typing = true; event.preventDefault(); }
  });
}
