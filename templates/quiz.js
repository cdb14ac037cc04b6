/**
 * Part "quiz" of a published course: questions with fresh numbers, scored by the core.
 * Loaded after site.js, whose pieces it uses. An unfinished quiz is kept in the browser, so that a page that is loaded
 * anew asks the same and holds what was answered; a browser that keeps nothing costs only that.
 */
"use strict";
/* global wasm_bindgen, PARTS, elementOf, find, numbersInAddress, putInAddress, start */

/** @typedef {{right: (boolean|null), ask: (string|null), html: string}} Score */
/** @typedef {string|number|number[]|null} Answer as the core takes it: text, the number of an option, or several numbers */
/** @typedef {{question: string, draw: number, $item: Element, right: (boolean|null), key: string}} OpenQuestion */
/** @typedef {{seed: number, draws: number[], asked: string, answers: Answer[], closed: boolean[]}} Unfinished `asked` is the wording: a course that has changed asks otherwise */

/**
 * An unfinished quiz under one name in the browser's storage.
 * @param {string} key
 */
function keptQuiz(key) {
  return {
    /** @returns {Unfinished|null} */
    read() {
      try {
        const kept = JSON.parse(localStorage.getItem(key) || "null");
        const whole = kept && Number.isInteger(kept.seed) && ["draws", "answers", "closed"].every((key) => Array.isArray(kept[key]));
        return whole ? kept : null;
      } catch { return null; }
    },
    /** @param {Unfinished} unfinished */
    write(unfinished) {
      // Storage is refused in some private windows, and can be full.
      try { localStorage.setItem(key, JSON.stringify(unfinished)); } catch { /* the quiz goes on without */ }
    },
    drop() {
      try { localStorage.removeItem(key); } catch { /* nothing was kept */ }
    },
  };
}

/** What was answered. @param {Element} $item @returns {Answer} */
function answerOf($item) {
  const $entry = $item.querySelector(".tk-question__entry");
  if ($entry instanceof HTMLInputElement) return $entry.value.trim() || null;
  const $order = [...$item.querySelectorAll(".tk-order__item")];
  // The order as it was dealt is nobody's answer, and never the right one.
  if ($order.length && !$item.querySelector("[data-moved]")) return null;
  if ($order.length) return $order.map(($one) => Number($one.getAttribute("data-value")));
  const $chosen = [...$item.querySelectorAll("input:checked")].map(($one) => Number($one.getAttribute("value")));
  if (!$chosen.length) return null;
  return $item.querySelector('input[type="radio"]') ? $chosen[0] : $chosen;
}

/** Puts an answer back where it was given. @param {Element} $item @param {Answer} answer */
function putAnswer($item, answer) {
  const $entry = $item.querySelector(".tk-question__entry");
  if ($entry instanceof HTMLInputElement) { $entry.value = String(answer); return; }
  const values = Array.isArray(answer) ? answer : [answer];
  const $list = $item.querySelector(".tk-order");
  if ($list) {
    const $placed = values.map((value) => $list.querySelector(`[data-value="${Number(value)}"]`));
    $list.append(...$placed.filter(($one) => $one !== null));
    $list.setAttribute("data-moved", "");
  }
  for (const $mark of $item.querySelectorAll(".tk-choice__mark")) {
    if ($mark instanceof HTMLInputElement) $mark.checked = values.includes(Number($mark.value));
  }
}

/** A scored question is closed, so that its working cannot be copied into its answer. @param {Element} $item */
function closeQuestion($item) {
  for (const $control of $item.querySelectorAll("input, button")) $control.setAttribute("disabled", "");
}

/**
 * Part "quiz".
 * @param {HTMLElement} $section
 */
function startQuiz($section) {
  /** @param {string} role */
  const role = (role) => find("quiz", $section, `[data-role="${role}"]`);
  /** @param {string} chore */
  const button = (chore) => find("quiz", $section, `[data-do="${chore}"]`);
  const $list = role("questions");
  const $spoken = role("spoken");
  /** @type {string[]} */
  const bank = JSON.parse(role("bank").textContent || "").questions.map(JSON.stringify);
  const asked = Math.min(Number($section.dataset.ask), bank.length);
  const kept = keptQuiz(`tankside.${document.documentElement.dataset.course}.quiz.${$section.dataset.bank}.${asked}`);
  let seed = 0;
  let wording = "";
  let finished = false;
  /** @type {OpenQuestion[]} */
  let open = [];

  /**
   * Asks the questions of a seed; with the draws of a quiz that goes on, whatever is offered by now.
   * @param {number} newSeed
   * @param {number[]} [draws]
   */
  function pose(newSeed, draws = []) {
    seed = newSeed;
    finished = false;
    $list.textContent = "";
    open = [];
    for (let turn = 0; turn < asked; turn += 1) {
      const question = bank[(seed + turn) % bank.length];
      const draw = draws[turn] ?? wasm_bindgen.draw_at(question, seed);
      const $item = document.createElement("li");
      $item.className = "tk-quiz__item";
      $item.append(elementOf(JSON.parse(wasm_bindgen.pose(question, draw)).html));
      $list.append($item);
      open.push({ question, draw, $item, right: null, key: "" });
    }
    wording = $list.textContent || "";
    for (const one of ["open", "figures", "passed", "failed", "link-note", "kept", "sure"]) role(one).hidden = true;
    button("check").hidden = false;
    button("finish").hidden = true;
  }

  const answered = () => open.some((one) => one.right !== null || answerOf(one.$item) !== null);

  function keep() {
    if (finished) return;
    const answers = open.map((one) => answerOf(one.$item));
    kept.write({ seed, draws: open.map((one) => one.draw), asked: wording, answers, closed: open.map((one) => one.right !== null) });
  }

  /** Goes on with an unfinished quiz. @param {Unfinished} unfinished */
  function goOn(unfinished) {
    pose(unfinished.seed >>> 0, unfinished.draws.map((draw) => draw >>> 0));
    if (wording !== unfinished.asked) { kept.drop(); return; }
    open.forEach((one, index) => {
      const answer = unfinished.answers[index];
      if (answer === null || answer === undefined) return;
      putAnswer(one.$item, answer);
      if (unfinished.closed[index]) score(one);
    });
    const some = open.some((one) => one.right !== null);
    button("finish").hidden = !some;
    role("kept").hidden = !answered();
  }

  /** @param {OpenQuestion} one */
  function score(one) {
    /** @type {Score} */
    const score = JSON.parse(wasm_bindgen.score(one.question, one.draw, JSON.stringify(answerOf(one.$item))));
    one.right = score.right;
    find("quiz", one.$item, '[data-role="ask"]').textContent = score.ask || "";
    one.key = score.html;
    if (score.right === null) return;
    find("quiz", one.$item, '[data-role="feedback"]').innerHTML = score.html;
    closeQuestion(one.$item);
  }

  function check() {
    for (const one of open) if (one.right === null) score(one);
    const waiting = open.some((one) => one.right === null);
    role("open").hidden = !waiting;
    button("finish").hidden = !waiting;
    if (waiting) keep(); else total();
  }

  function total() {
    finished = true;
    kept.drop();
    for (const one of open) {
      closeQuestion(one.$item);
      if (one.right !== null) continue;
      find("quiz", one.$item, '[data-role="ask"]').textContent = "";
      find("quiz", one.$item, '[data-role="feedback"]').innerHTML = one.key;
    }
    const right = open.filter((one) => one.right).length;
    const verdict = right >= Number($section.dataset.need) ? "passed" : "failed";
    role("right").textContent = String(right);
    for (const one of ["open", "kept", "sure"]) role(one).hidden = true;
    for (const one of ["figures", verdict]) role(one).hidden = false;
    button("check").hidden = true;
    button("finish").hidden = true;
    // The button that was pressed is gone. The score takes the focus, and with it is read out: once, as its name.
    const $total = role("total");
    $total.setAttribute("aria-labelledby", `${role("figures").id} ${role(verdict).id}`);
    $total.focus();
  }

  function beginAnew() {
    if (numbersInAddress($section.id)) history.replaceState(null, "", `#${$section.id}`);
    kept.drop();
    pose(freshSeed());
    $section.scrollIntoView();
    role("rule").focus({ preventScroll: true });
  }

  /** Begins anew at once, or asks first where answers would be lost. */
  function unlessAnswered() {
    if (finished || !answered()) { beginAnew(); return; }
    role("sure").hidden = false;
    button("stay").focus();
  }

  function stay() {
    role("sure").hidden = true;
    button("again").focus();
  }

  /** @param {HTMLElement} $button */
  function move($button) {
    const $one = $button.closest(".tk-order__item");
    if (!$one || !$one.parentElement) return;
    const $other = $button.dataset.do === "up" ? $one.previousElementSibling : $one.nextElementSibling;
    if (!$other) return;
    if ($button.dataset.do === "up") $other.before($one); else $other.after($one);
    $one.parentElement.setAttribute("data-moved", "");
    // Moving an element drops the focus that was inside it.
    $button.focus();
    const place = [...$one.parentElement.children].indexOf($one) + 1;
    $spoken.textContent = `${place}: ${find("quiz", $one, ".tk-order__text").textContent}`;
    keep();
  }

  function freshSeed() {
    return crypto.getRandomValues(new Uint32Array(1))[0];
  }

  function seedFromAddress() {
    const params = numbersInAddress($section.id);
    const text = params ? params.get("seed") || "" : "";
    return /^\d{1,10}$/.test(text) ? Number(text) >>> 0 : null;
  }

  $section.addEventListener("keydown", (event) => {
    // Enter ends one answer, not the whole quiz: the others may not be looked at yet.
    const inField = event.target instanceof HTMLInputElement && event.target.type === "text";
    if (event.key === "Enter" && inField) event.preventDefault();
    if (event.key === "Escape" && !role("sure").hidden) stay();
  });
  $section.addEventListener("input", keep);
  find("quiz", $section, "form").addEventListener("submit", (event) => { event.preventDefault(); check(); });
  $section.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement)) return;
    const chore = $button.dataset.do;
    if (chore === "up" || chore === "down") move($button);
    if (chore === "finish") total();
    if (chore === "link") putInAddress($section, new URLSearchParams({ seed: String(seed) }));
    if (chore === "again") unlessAnswered();
    if (chore === "begin") { begin(true); role("rule").focus({ preventScroll: true }); }
    if (chore === "stay") stay();
    if (chore === "leave") beginAnew();
  });
  addEventListener("hashchange", () => {
    const wanted = seedFromAddress();
    if (wanted !== null && wanted !== seed) pose(wanted);
    if (wanted !== null) begin(true);
  });
  /** In a lesson the questions wait until they are asked for. @param {boolean} shown */
  function begin(shown) {
    const $begin = $section.querySelector('[data-role="begin"]');
    if (!($begin instanceof HTMLElement)) return;
    $begin.hidden = shown;
    role("form").hidden = !shown;
  }

  const wanted = seedFromAddress();
  const unfinished = kept.read();
  if (unfinished && (wanted === null || wanted === unfinished.seed)) goOn(unfinished);
  else pose(wanted === null ? freshSeed() : wanted);
  role("tools").hidden = false;
  begin(wanted !== null || (unfinished !== null && answered()));
}

PARTS.quiz = startQuiz;
start();
