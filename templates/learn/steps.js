/**
 * Part "steps": from a full worked example to working without help, four stages for each kind of calculation: every
 * step shown, the last left blank, the last two, none. After a right example there may be a slip to find.
 */
"use strict";
/* global PARTS, LEARN, wasm_bindgen, needScript, everyQuestion, find, start, word, make, makeButton, freshDraw, elementOf, needCalculators, posedQuestion, answerOf, answerText, scoreOf, closeQuestion, hintAfter, lessonLink, recordName, standings, showTroubles */

/** The most steps in an example to practice: longer ones are for reading. */
const MOST_STEPS = 7;

/** @param {HTMLElement} $part */
function startSteps($part) {
  /** @param {string} role */
  const role = (role) => find("steps", $part, `[data-role="${role}"]`);
  /** @type {AskedQuestion[]} */
  let all = [];
  const $stage = role("stage");
  const $spoken = role("spoken");
  let calculator = "";
  /** @type {any} */
  let held = null;
  /** @type {{stage: number, right: number, tested: boolean}} */
  let state = { stage: 0, right: 0, tested: false };

  const key = () => `steps.${calculator}`;
  const keep = () => LEARN.setNote(key(), state);

  /** @param {object} request */
  const ask = (request) => JSON.parse(wasm_bindgen.practice(JSON.stringify(request)));

  const chance = () => crypto.getRandomValues(new Uint32Array(1))[0];

  /** Fresh problems with few enough steps, one of each question, in an order of their own each time. */
  function* problems() {
    for (const [, question] of all.map((one) => /** @type {[number, AskedQuestion]} */ ([chance(), one])).sort(([one], [other]) => one - other)) {
      const draw = freshDraw(question);
      const { steps } = ask({ do: "faded", question: question.json, draw, blanks: 0, seed: 1 });
      if (steps >= 1 && steps <= MOST_STEPS) yield { question, draw, steps };
    }
  }

  /** One of them with at least so many steps, or else with the most there are. @param {number} [least] */
  function problem(least = 1) {
    let most = null;
    for (const one of problems()) {
      if (one.steps >= least) return one;
      if (!most || one.steps > most.steps) most = one;
    }
    return most;
  }

  /** One of them with a slip that shows in a step: where there is one, among other steps. */
  function slipped() {
    let alone = null;
    const seed = chance();
    for (const one of problems()) {
      const { html } = ask({ do: "slip", question: one.question.json, draw: one.draw, seed });
      if (html && one.steps > 1) return { ...one, seed, html };
      if (html && !alone) alone = { ...one, seed, html };
    }
    return alone;
  }

  /** @param {Element[]} $body @param {Element[]} $tools */
  function put($body, $tools) {
    const $head = make("p", "tk-round__count", word(`stage-${state.tested ? state.stage : "test"}`));
    $head.tabIndex = -1;
    const $row = make("div", "tk-quiz__tools");
    $row.append(...$tools, makeButton("leave", word("other-kind")));
    const $said = make("div", "tk-round__said");
    $said.setAttribute("role", "status");
    $stage.replaceChildren($head, ...$body, $said, $row);
    $stage.scrollIntoView({ block: "start" });
    $head.focus({ preventScroll: true });
    return $said;
  }

  /** @param {AskedQuestion} question @param {number} draw @param {string} answer @param {number} turn @param {boolean} right @param {string} [mistake] @param {string} [part] */
  function record(question, draw, answer, turn, right, mistake, part) {
    held ||= LEARN.begin("practice", calculator);
    held.answer({ question: recordName(question), digest: question.digest, draw, answer, try: turn, right, mistake, part });
  }

  function next() {
    if (!state.tested || state.stage >= 3) whole(); else if (state.stage === 0) example(); else faded(state.stage);
  }

  /** The choice of what a step is for. @param {Element} $body @param {Element} $said @returns {boolean} whether it is made, and right */
  function whyRight($body, $said) {
    const $why = $body.querySelector(".tk-why");
    if (!$why) return true;
    const $chosen = $why.querySelector("input:checked");
    const right = $chosen instanceof HTMLInputElement && $chosen.value === $why.getAttribute("data-right");
    $said.textContent = word(right ? "why-right" : $chosen ? "why-again" : "choose-one");
    if (right) closeQuestion($why);
    return right;
  }

  /** @param {() => void} then what comes after the example */
  function example(then = () => { state.stage = 1; keep(); next(); }) {
    const one = problem();
    if (!one) { none(); return; }
    const $body = elementOf(ask({ do: "faded", question: one.question.json, draw: one.draw, blanks: 0, seed: chance() }).html);
    const $said = put([$body], [makeButton("checked", word("check"), true)]);
    action("checked", () => {
      if (!whyRight($body, $said)) return;
      closeQuestion($body);
      forward(then);
    });
  }

  /** @param {number} blanks */
  function faded(blanks) {
    // Something is shown, and the rest is left to the learner.
    const one = problem(blanks + 1);
    if (!one) { none(); return; }
    const { question, draw, steps } = one;
    // There is nothing between one step left blank and no help.
    if (steps < blanks) { state.stage = 3; keep(); slip(); return; }
    const $body = elementOf(ask({ do: "faded", question: question.json, draw, blanks, seed: chance() }).html);
    const $said = put([$body], [makeButton("checked", word("check"), true)]);
    if (steps === blanks) find("steps", $stage, ".tk-round__count").textContent = word(steps === 1 ? "stage-only" : "stage-both");
    let turn = 1;
    action("checked", () => {
      let wrong = false;
      const $entries = /** @type {HTMLInputElement[]} */ ([...$body.querySelectorAll("input[data-step]")]).filter(($one) => !$one.disabled);
      const replies = $entries.map(($one) => ask({ do: "step", question: question.json, draw, step: Number($one.dataset.step), answer: $one.value }));
      const open = replies.some((reply) => reply.right === null);
      // Nothing is marked before everything has an answer, the reason for a step too.
      if (!open && !whyRight($body, $said)) return;
      for (const [place, reply] of replies.entries()) {
        const $entry = $entries[place];
        const $ask = $body.querySelector(`#step-${$entry.dataset.step}-ask`);
        if ($ask) $ask.textContent = reply.ask || (open ? "" : word(reply.right ? "right" : turn === 1 ? "step-again" : "step-was"));
        if (open) continue;
        if (reply.right) { $entry.disabled = true; $entry.removeAttribute("aria-invalid"); }
        else { wrong = true; $entry.setAttribute("aria-invalid", "true"); }
      }
      $spoken.textContent = open ? word("step-open") : "";
      if (open) return;
      const answers = [...$body.querySelectorAll("input[data-step]")].map(($one) => /** @type {HTMLInputElement} */ ($one).value).join("; ");
      record(question, draw, answers, turn, !wrong, undefined, `steps-${blanks}`);
      if (wrong && turn === 1) { turn = 2; hint($said, one, $entries[$entries.length - 1]); return; }
      closeQuestion($body);
      $said.replaceChildren();
      if (wrong) {
        const $whole = elementOf(ask({ do: "faded", question: question.json, draw, blanks: 0, seed: 0 }).html);
        for (const $more of $whole.querySelectorAll(".tk-why, .tk-question__text")) $more.remove();
        $said.append($whole, ...[lessonLink(question)].filter(($one) => $one !== null));
      } else state.stage = blanks + 1;
      keep();
      forward(() => { if (!wrong && blanks === 2) slip(); else next(); });
    });
  }

  /** Names the slip in the last step, whose figure is the answer. @param {Element} $said @param {{question: AskedQuestion, draw: number}} one @param {HTMLInputElement} $entry */
  function hint($said, { question, draw }, $entry) {
    const score = $entry.disabled ? null : scoreOf(question, draw, $entry.value);
    $said.replaceChildren(...(score && score.mistake ? [hintAfter(question, $entry.value, score)] : []));
  }

  /** A slip to find, where this kind has one that shows. */
  function slip() {
    const one = slipped();
    if (!one) { next(); return; }
    const { question, draw, seed, html } = one;
    const $body = elementOf(html);
    const $said = put([$body], [makeButton("checked", word("check"), true)]);
    find("steps", $stage, ".tk-round__count").textContent = word("stage-slip");
    let turn = 1;
    action("checked", () => {
      const $marked = $body.querySelector('input[name="slip"]:checked');
      const $figure = find("steps", $body, "#slip-figure");
      const answer = $figure instanceof HTMLInputElement ? $figure.value : "";
      const step = $marked instanceof HTMLInputElement ? Number($marked.value) : null;
      const $ask = find("steps", $body, '[data-role="ask"]');
      const reply = ask({ do: "slip-answer", question: question.json, draw, seed, step, answer });
      if (step === null) { $ask.textContent = word("slip-mark"); return; }
      if (reply.right === null && reply.marked) { $ask.textContent = reply.ask; return; }
      $ask.textContent = "";
      const right = reply.marked && reply.right === true;
      record(question, draw, `${step}; ${answer}`, turn, right, undefined, `slip-${seed}`);
      if (!right && turn === 1) { turn = 2; $said.textContent = word(reply.marked ? "slip-figure-again" : "slip-again"); return; }
      closeQuestion($body);
      $said.replaceChildren(make("p", "tk-again__word", word(right ? "slip-found" : "slip-was")), make("p", "", word("slip-told")), elementOf(reply.html));
      forward(next);
    });
  }

  /** A whole problem without help. */
  function whole() {
    const one = problem();
    if (!one) { none(); return; }
    const { question, draw } = one;
    const $body = posedQuestion(question, draw);
    const $said = put([$body], [makeButton("checked", word("check"), true), ...(state.tested ? [] : [makeButton("examples", word("show-examples"))])]);
    action("examples", () => { state = { stage: 0, right: 0, tested: true }; keep(); next(); });
    action("checked", () => {
      const answer = answerOf($body);
      const score = scoreOf(question, draw, answer);
      find("steps", $body, '[data-role="ask"]').textContent = score.ask || "";
      if (score.right === null) return;
      record(question, draw, answerText(answer), 1, score.right, score.mistake || undefined);
      closeQuestion($body);
      // The example comes next anyway.
      if (!score.right) $stage.querySelector('[data-do="examples"]')?.remove();
      const $feedback = make("div", "tk-question__feedback");
      $feedback.innerHTML = score.html;
      $said.replaceChildren($feedback, ...[score.right ? null : lessonLink(question)].filter(($one) => $one !== null));
      state.right = score.right ? state.right + 1 : 0;
      if (!state.tested && !score.right) state = { stage: 0, right: 0, tested: true };
      else if (state.tested && !score.right) state = { stage: 2, right: 0, tested: true };
      const through = state.right >= 2;
      if (through) state = { stage: 3, right: state.right, tested: true };
      keep();
      forward(() => { if (through) ended(); else next(); });
    });
  }

  function none() { put([make("p", "", word("no-problem"))], []); }

  function ended() {
    if (held) { held.end(); held = null; standings(); }
    put([make("p", "tk-total__words", word("steps-ended"))], [makeButton("more", word("again"), true), ...(slipped() ? [makeButton("slips", word("more-slips"))] : [])]);
    action("more", () => whole());
    // A slip is looked for only after a right example.
    action("slips", () => example(() => slip()));
  }

  /** @type {Map<string, () => void>} */
  const actions = new Map();
  /** @param {string} chore @param {() => void} act */
  function action(chore, act) { actions.set(chore, act); }

  /** The check is over: the one thing left is to go on. @param {() => void} act */
  function forward(act) {
    const $check = $stage.querySelector('[data-do="checked"]');
    const $next = makeButton("forward", word("go-further"), true);
    if ($check) $check.replaceWith($next);
    action("forward", act);
    $next.focus({ preventScroll: true });
  }

  /** How often a kind was chosen: while one loads, another may be. */
  let choices = 0;

  /** @param {string} wanted */
  function choose(wanted) {
    const choice = choices += 1;
    calculator = wanted;
    const kept = (LEARN.note(key()) || {}).note;
    state = kept && Number.isInteger(kept.stage) && kept.stage >= 0 && kept.stage <= 3 && Number.isInteger(kept.right) ? { stage: kept.stage, right: kept.stage >= 3 ? kept.right : 0, tested: Boolean(kept.tested) } : { stage: 0, right: 0, tested: false };
    needScript("questions").then(() => {
      all = everyQuestion().filter((question) => question.kind === "number" && question.asks.startsWith(`${calculator}/`));
      return needCalculators(all);
    }).then(() => {
      // What was chosen first may come last, and would take the place of a problem that is being worked.
      if (choice !== choices) return;
      role("list").hidden = true;
      $stage.hidden = false;
      next();
    }, () => { if (choice === choices) role("said").textContent = word("not-loaded"); });
  }

  function offer() {
    role("list").hidden = false;
    $stage.hidden = true;
    showTroubles(role("trouble"));
    for (const $button of $part.querySelectorAll("button[data-calculator]")) {
      if (!($button instanceof HTMLElement)) continue;
      const kept = (LEARN.note(`steps.${$button.dataset.calculator}`) || {}).note;
      const $how = $button.querySelector(".tk-kinds__how");
      if ($how) $how.textContent = kept ? word(kept.stage >= 3 && kept.right >= 2 ? "kind-unaided" : "kind-begun") : "";
    }
  }

  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button");
    if (!($button instanceof HTMLElement)) return;
    if ($button.dataset.calculator) { choose($button.dataset.calculator); return; }
    const chore = $button.dataset.do || "";
    if (chore === "leave") {
      if (held) { held.end(); held = null; standings(); }
      offer();
      find("steps", $part, `[data-calculator="${calculator}"]`).focus();
      return;
    }
    const act = actions.get(chore);
    if (act) act();
  });
  $part.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement) || event.target.type !== "text") return;
    event.preventDefault();
    const act = $stage.querySelector('[data-do="checked"]') && actions.get("checked");
    if (act) act();
  });
  offer();
}

PARTS.steps = startSteps;
start();
