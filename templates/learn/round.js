/**
 * A round of questions, one at a time, with feedback at once. First miss: the mistake by name and its effect, and
 * another try; second: the worked steps and the lesson. Shared by the quiz of a lesson and by the drill.
 */
"use strict";
/* global word, make, makeButton, posedQuestion, answerOf, answerText, scoreOf, closeQuestion, moveLine, goToField, hintAfter, lessonLink, recordName, showTroubles, needParts, standings */

/** @typedef {{question: AskedQuestion, draw: number}} Slot */
/** @typedef {{sitting: any, save: () => void, answer: (one: any) => void, end: () => void, drop: () => void}} Held */

/** Whether something was answered since it was last worked out what follows from all answers. */
let uncounted = false;

/** Works that out when the page is left in the middle of a round, so that the first page says what was missed. Done at every answer it would hold up a long record. */
function countLeft() {
  if (!uncounted || document.visibilityState !== "hidden") return;
  uncounted = false;
  standings();
}
document.addEventListener("visibilitychange", countLeft);

/**
 * @param {HTMLElement} $place where the round takes place
 * @param {{
 *   held: Held,
 *   slots: Slot[],
 *   at: number,
 *   missed?: (at: number) => void,
 *   keep: (at: number) => void,
 *   done: (tries: {slot: Slot, right: boolean, tries: number}[]) => void,
 *   tries?: {slot: Slot, right: boolean, tries: number}[],
 * }} round `slots` may grow while the round goes on
 */
function startRound($place, round) {
  const { held, slots } = round;
  const tries = round.tries || [];
  let at = round.at;
  let turn = 1;
  let open = true;
  const $count = make("p", "tk-round__count");
  $count.tabIndex = -1;
  const $question = make("div", "tk-round__question");
  const $said = make("div", "tk-round__said");
  const $tools = make("div", "tk-quiz__tools");
  const $check = makeButton("check", word("check"), true);
  const $next = makeButton("next", word("next-question"), true);
  const $stop = makeButton("stop", word("stop-here"));
  const $spoken = make("p", "tk-spoken");
  $spoken.setAttribute("aria-live", "polite");
  const $trouble = make("div", "tk-practice");
  $said.setAttribute("role", "status");
  $tools.append($check, $next, $stop);
  $place.replaceChildren($trouble, $count, $question, $said, $tools, $spoken);

  /** @param {boolean} focus */
  function show(focus) {
    const { question, draw } = slots[at];
    [turn, open] = [1, true];
    $count.textContent = word("question-of", { at: at + 1, all: slots.length });
    $question.replaceChildren(posedQuestion(question, draw));
    $said.replaceChildren();
    // What was said of the question before is not read again with this one.
    $spoken.textContent = "";
    $check.hidden = false;
    $next.hidden = true;
    $next.textContent = word(at + 1 < slots.length ? "next-question" : "see-result");
    showTroubles($trouble);
    if (focus) {
      $place.scrollIntoView({ block: "start" });
      $count.focus({ preventScroll: true });
    }
  }

  function check() {
    if (!open) return;
    const { question, draw } = slots[at];
    const answer = answerOf($question);
    const score = scoreOf(question, draw, answer);
    const $ask = $question.querySelector('[data-role="ask"]');
    if ($ask) $ask.textContent = score.ask || "";
    $said.replaceChildren();
    $spoken.textContent = score.ask || "";
    if (score.right === null) {
      goToField($question, score);
      return;
    }
    held.answer({ question: recordName(question), digest: question.digest, draw, answer: answerText(answer), try: turn, right: score.right, mistake: score.mistake || undefined, over: score.over || undefined, points: score.points, choice: question.kind !== "number" || undefined });
    uncounted = true;
    needParts(["learning"]).catch(() => {});
    showTroubles($trouble);
    if (!score.right && turn === 1) { turn = 2; tryAgain(question, answer, score); return; }
    settle(question, score);
  }

  /** @param {AskedQuestion} question @param {Answer} answer @param {Score} score */
  function tryAgain(question, answer, score) {
    $said.append(hintAfter(question, answer, score));
    if ($question.querySelector(".tk-question__entry")) goToField($question, score);
    if (round.missed) round.missed(at);
    $count.textContent = word("question-of", { at: at + 1, all: slots.length });
    round.keep(at);
  }

  /** @param {AskedQuestion} question @param {Score} score */
  function settle(question, score) {
    open = false;
    closeQuestion($question);
    const $feedback = make("div", "tk-question__feedback");
    $feedback.innerHTML = score.html;
    // A right answer needs its working only if somebody wants to see it.
    if (score.right) foldSteps($feedback);
    const $lesson = score.right ? null : lessonLink(question);
    $said.append($feedback, ...($lesson ? [$lesson] : []));
    tries.push({ slot: slots[at], right: Boolean(score.right), tries: turn });
    $check.hidden = true;
    $next.hidden = false;
    $next.focus({ preventScroll: true });
    round.keep(at + 1);
  }

  function end() {
    uncounted = false;
    round.done(tries);
  }

  function forward() {
    at += 1;
    if (at < slots.length) show(true); else end();
  }

  $place.onclick = (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement) || !$place.contains($button)) return;
    const chore = $button.dataset.do;
    if (chore === "up" || chore === "down") moveLine($button, $spoken);
    if (chore === "check") check();
    if (chore === "next") forward();
    if (chore === "stop") end();
  };
  $place.onkeydown = (event) => {
    const typing = event.target instanceof HTMLInputElement && $question.contains(event.target);
    if (event.key === "Enter" && typing && open) { event.preventDefault(); check(); }
  };
  show(false);
  return { focus: () => { $place.scrollIntoView({ block: "start" }); $count.focus({ preventScroll: true }); } };
}

/** Folds the working under one line. @param {HTMLElement} $feedback */
function foldSteps($feedback) {
  const $steps = $feedback.querySelector(".tk-steps, .tk-feedback__options");
  if (!$steps) return;
  const $fold = document.createElement("details");
  $fold.className = "tk-fold";
  const $line = make("summary", "tk-fold__line", word($steps.matches(".tk-steps") ? "working" : "answers-why"));
  $steps.replaceWith($fold);
  $fold.append($line, $steps);
}
