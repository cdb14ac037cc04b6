/**
 * One question: put on the page with fresh numbers, its answer read as typed, the core's verdict shown in pieces.
 * Shared by every page that asks. Loaded after site.js and learn-store.js; sentences come from learn-words.js.
 */
"use strict";
/* global wasm_bindgen, TANKSIDE_WORDS, needParts, haveParts, elementOf, find */

/** @typedef {{id: string, digest: string, kind: string, topic: string|null, text: string, asks: string, bank: string, parts?: {text: string}[], options: {text: string, right: boolean, because: string}[], lesson?: {href: string, title: string, beyond?: boolean}|null, json: string, chosen?: boolean}} AskedQuestion `json` is what the core takes; `chosen` whether an exam may ask it as a choice */
/** @typedef {string|number|number[]|null} Answer as the core takes it: text, the number of an option, or several numbers */
/** @typedef {{right: (boolean|null), ask: (string|null), html: string, mistake: (string|null), over?: boolean|string, points?: [number, number], part?: number}} Score `points` of a question of several parts: earned and all; `part` the one that is asked about */

/** A sentence by name, with its places filled. @param {string} key @param {Object<string, string|number>} [places] */
function word(key, places = {}) {
  const text = TANKSIDE_WORDS[key];
  if (text === undefined) throw new Error(`learn: no words for ${key}`);
  return text.replace(/\{([a-z-]+)\}/g, (whole, name) => (name in places ? String(places[name]) : whole));
}

/** An element with a class and a text. @param {string} tag @param {string} name class @param {string} [text] */
function make(tag, name, text = "") {
  const $one = document.createElement(tag);
  if (name) $one.className = name;
  if (text) $one.textContent = text;
  return $one;
}

/**
 * A line in which one place of a sentence is an element: the sentence decides where it goes.
 * @param {string} name class @param {string} text with `{place}` in it @param {string} place @param {Element} $inner
 */
function makeAround(name, text, place, $inner) {
  const [before, after = ""] = text.split(`{${place}}`);
  const $line = make("p", name);
  $line.append(before, $inner, after);
  return $line;
}

/** A button that does one thing. @param {string} chore @param {string} text @param {boolean} [main] */
function makeButton(chore, text, main = false) {
  const $button = /** @type {HTMLButtonElement} */ (make("button", main ? "tk-button tk-button--main" : "tk-button", text));
  $button.type = "button";
  $button.dataset.do = chore;
  return $button;
}

/** A link. @param {string} href @param {string} text @param {string} [name] class */
function makeLink(href, text, name = "") {
  const $link = /** @type {HTMLAnchorElement} */ (make("a", name, text));
  $link.href = href;
  return $link;
}

/** A question of a bank as published, ready to be asked. @param {any} one @param {string} bank @param {any} [lesson] @returns {AskedQuestion} */
function readyQuestion(one, bank, lesson = null) {
  return { ...one, bank, lesson, json: JSON.stringify(one) };
}

/** Where a question is taught: a lesson, or where none teaches it a page that is no lesson. @param {[string, string, number]|undefined} row */
function taughtIn(row) {
  return row ? { href: row[0], title: row[1], beyond: Boolean(row[2]) } : null;
}

/** As a record names it: bank and question. @param {AskedQuestion} question */
function recordName(question) {
  const start = `${question.bank}-`;
  return `${question.bank}/${question.id.startsWith(start) ? question.id.slice(start.length) : question.id}`;
}

/** The parts of the core that questions are posed, worked and marked with. @param {AskedQuestion[]} questions @returns {string[]} */
function partsOf(questions) {
  const calculators = [...new Set(questions.map((question) => (question.asks || "").split("/")[0]).filter(Boolean))];
  return ["practice", ...calculators, ...calculators.map((id) => `mistakes-${id}`)];
}

/** Loads the parts of the core that these questions are worked with. @param {AskedQuestion[]} questions @returns {Promise<void>} */
const needCalculators = (questions) => needParts(partsOf(questions));

/** Does one thing that waits for scripts at a time: a second tap on a slow connection does nothing. */
function oneAtATime() {
  let busy = false;
  return (/** @type {() => Promise<void>} */ work) => {
    if (busy) return;
    busy = true;
    work().finally(() => { busy = false; });
  };
}

/** The draws of a question that the learner has met. @param {AskedQuestion} question @param {{answers: any[]}[]} [sat] @returns {number[]} */
function metDraws(question, sat = LEARN.sittings()) {
  return sat.flatMap((sitting) => sitting.answers.filter((one) => one.digest === question.digest).map((one) => one.draw));
}

/** Numbers that were not asked yet, if there are any. @param {AskedQuestion} question @param {number[]} [met] @returns {number} */
function freshDraw(question, met = metDraws(question)) {
  let draw = 0;
  for (let turn = 0; turn < 12; turn += 1) {
    draw = wasm_bindgen.draw_at(question.json, crypto.getRandomValues(new Uint32Array(1))[0]);
    if (!met.includes(draw)) break;
  }
  return draw;
}

/** The question on the page. @param {AskedQuestion} question @param {number} draw @returns {Element} */
function posedQuestion(question, draw) {
  return elementOf(JSON.parse(wasm_bindgen.pose(question.json, draw)).html);
}

/** What was typed, with the unit that was picked for it; one that was typed wins. @param {HTMLInputElement} $entry */
function entered($entry) {
  const text = $entry.value.trim();
  const $unit = $entry.parentElement && $entry.parentElement.querySelector(".tk-question__unit");
  if (!($unit instanceof HTMLSelectElement) || !text || !$unit.value) return text;
  return JSON.parse(wasm_bindgen.practice(JSON.stringify({ do: "entered", answer: text, unit: $unit.value }))).text || text;
}

/** What was answered. @param {Element} $item @returns {Answer} */
function answerOf($item) {
  const $pieces = /** @type {HTMLInputElement[]} */ ([...$item.querySelectorAll("[data-piece]")]);
  if ($pieces.length) {
    // One text for all parts; what was left blank keeps its place.
    const texts = $pieces.map(($one) => entered($one).replaceAll(";", " ").trim().slice(0, 80));
    return texts.some(Boolean) ? texts.join("; ") : null;
  }
  const $entry = $item.querySelector(".tk-question__entry");
  if ($entry instanceof HTMLInputElement) {
    return entered($entry) || null;
  }
  const $order = [...$item.querySelectorAll(".tk-order__item")];
  // The order as it was dealt is not an answer, and never the right one.
  if ($order.length && !$item.querySelector("[data-moved]")) return null;
  if ($order.length) return $order.map(($one) => Number($one.getAttribute("data-value")));
  const $chosen = [...$item.querySelectorAll("input:checked")];
  if (!$chosen.length) return null;
  const text = $chosen[0].getAttribute("data-answer");
  if (text !== null) return text;
  const numbers = $chosen.map(($one) => Number($one.getAttribute("value")));
  return $item.querySelector('input[type="radio"]') ? numbers[0] : numbers;
}

/** As a record keeps it: text as typed, or the numbers of options. @param {Answer} answer */
function answerText(answer) {
  if (answer === null) return "";
  return Array.isArray(answer) ? answer.join(",") : String(answer);
}

/** What the core takes, from what a record keeps. @param {AskedQuestion} question @param {string} text @returns {Answer} */
function answerFrom(question, text) {
  if (text === "") return null;
  if (question.kind === "number") return text;
  // A store may hold anything; no question has that many options.
  const numbers = text.slice(0, 400).split(",").map(Number);
  return question.kind === "one" ? numbers[0] : numbers;
}

/** Puts an answer back where it was given. @param {Element} $item @param {Answer} answer */
function putAnswer($item, answer) {
  if (answer === null) return;
  const $pieces = /** @type {HTMLInputElement[]} */ ([...$item.querySelectorAll("[data-piece]")]);
  if ($pieces.length) {
    const texts = String(answer).split(";");
    for (const [index, $one] of $pieces.entries()) $one.value = (texts[index] || "").trim();
    return;
  }
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
    if (!($mark instanceof HTMLInputElement)) continue;
    $mark.checked = $mark.dataset.answer !== undefined ? $mark.dataset.answer === answer : values.includes(Number($mark.value));
  }
}

/** The core's verdict. @param {AskedQuestion} question @param {number} draw @param {Answer} answer @returns {Score} */
function scoreOf(question, draw, answer) {
  return JSON.parse(wasm_bindgen.score(question.json, draw, JSON.stringify(answer)));
}

/** Points of an answer, earned and all; a question without parts is worth one. @param {Score} score @returns {[number, number]} */
function pointsOf(score) {
  return score.points || [Number(Boolean(score.right)), 1];
}

/** Points that questions are worth. @param {AskedQuestion[]} questions */
function allPoints(questions) {
  return questions.reduce((sum, question) => sum + 1 + (question.parts || []).length, 0);
}

/** Points needed to pass, of so many; a thousandth of slack, so that 80 % of 10 is 8. @param {number} all @param {number} pass */
function needOf(all, pass) {
  return Math.max(1, Math.ceil(all * pass - 1e-3));
}

/** Goes to the field that has to be looked at: that of the part asked about, or of the first part that is not right. @param {Element} $question @param {Score} score */
function goToField($question, score) {
  const $made = document.createElement("template");
  $made.innerHTML = score.html;
  const wrong = [...$made.content.querySelectorAll(".tk-parts > li")].findIndex(($one) => $one.matches(".tk-parts__part--wrong, .tk-parts__part--blank"));
  const $field = $question.querySelector(`[data-piece="${score.part ?? wrong}"]`) || $question.querySelector("input, button");
  if ($field instanceof HTMLElement) $field.focus();
  if ($field instanceof HTMLInputElement && $field.matches(".tk-question__entry")) $field.select();
}

/** Locks a question that has been decided. @param {Element} $item */
function closeQuestion($item) {
  for (const $control of $item.querySelectorAll("input, button, select")) $control.setAttribute("disabled", "");
}

/** Moves a line of an order one place up or down. @param {HTMLElement} $button @param {Element} $spoken */
function moveLine($button, $spoken) {
  const $one = $button.closest(".tk-order__item");
  if (!$one || !$one.parentElement) return;
  const $other = $button.dataset.do === "up" ? $one.previousElementSibling : $one.nextElementSibling;
  if (!$other) return;
  if ($button.dataset.do === "up") $other.before($one); else $other.after($one);
  $one.parentElement.setAttribute("data-moved", "");
  // Moving an element drops the focus that was inside it.
  $button.focus();
  const place = [...$one.parentElement.children].indexOf($one) + 1;
  $spoken.textContent = word("moved", { place, text: find("question", $one, ".tk-order__text").textContent ?? "" });
}

/** The feedback after a first miss: the mistake by name and what it does, and never the answer. @param {AskedQuestion} question @param {Answer} answer @param {Score} score */
function hintAfter(question, answer, score) {
  const $hint = make("div", "tk-again");
  $hint.append(make("p", "tk-again__word", word("not-yet")));
  const $made = document.createElement("template");
  $made.innerHTML = score.html;
  const $parts = $made.content.querySelector(".tk-parts");
  if ($parts) {
    for (const $one of $parts.querySelectorAll(".tk-parts__expected, .tk-feedback__why, .tk-feedback__note, p.tk-feedback__slip")) $one.remove();
    $hint.append($parts, make("p", "tk-again__try", word("try-again")));
    return $hint;
  }
  const $slip = $made.content.querySelector(".tk-feedback__slip");
  const $pieces = $slip ? [...$slip.querySelectorAll(".tk-feedback__did, .tk-feedback__lawn")] : [];
  if (score.mistake && $pieces.length) $hint.append(...$pieces);
  else if (question.kind === "one") {
    const chosen = question.options[Number(answer)];
    if (chosen && chosen.because) $hint.append(make("p", "", chosen.because));
  } else $hint.append(make("p", "", word(question.kind === "number" ? "no-slip-known" : question.kind === "order" ? "look-again-order" : "look-again-several")));
  $hint.append(make("p", "tk-again__try", word(question.kind === "number" ? "try-again" : "once-more")));
  return $hint;
}

/** The lesson in which a question is taught, as a link, or the page that shows it where no lesson does. @param {AskedQuestion} question */
function lessonLink(question) {
  if (!question.lesson) return null;
  const $line = make("p", "tk-read-on");
  $line.append(makeLink(question.lesson.href, word(question.lesson.beyond ? "read-beyond" : "read-lesson", { lesson: question.lesson.title })));
  return $line;
}

/** Says plainly in a place what the browser cannot keep. @param {HTMLElement} $place */
function showTroubles($place) {
  const said = LEARN.troubles();
  $place.replaceChildren(...said.map((key) => make("p", "", word(key))));
  $place.hidden = !said.length;
}

/**
 * Works out again how far the learner is, and keeps it for pages that only show it.
 * @returns {Object<string, {row: number, learned: boolean, kept: boolean, missed: boolean, right: boolean, due:
 * number}>} by digest
 */
function standings() {
  if (!haveParts(["learning"])) { needParts(["learning"]).then(standings, () => {}); return {}; }
  const request = { do: "standing", today: learnDay(), exam: examDay(), answers: answerRows() };
  const { items } = JSON.parse(wasm_bindgen.learning(JSON.stringify(request)));
  LEARN.setNote("standing", { items, day: learnDay() });
  return items;
}

/** Every answer that can count, as the schedule takes it; of parts, the learner's own slips that were looked for. @returns {[string, number, number, boolean, boolean, boolean|string, boolean, boolean][]} */
function answerRows() {
  return LEARN.sittings().flatMap((sitting) => sitting.answers.filter((one) => typeof one.right === "boolean" && (!one.part || /^slip-\d+-/.test(one.part)))
    .map((one) => /** @type {[string, number, number, boolean, boolean, boolean|string, boolean, boolean]} */ ([one.digest, learnDay(one.at), one.draw, Boolean(one.right), one.try === 1, one.over || false, Boolean(one.choice), Boolean(one.part)])));
}

/** The day of the learner's exam; null if none was set, or if it is past. @returns {number|null} */
function examDay() {
  const set = (LEARN.note("settings") || {}).note || {};
  const day = learnExam(set) ? learnDay(new Date(`${set.exam}T12:00:00`)) : null;
  return day !== null && day >= learnDay() ? day : null;
}
