/**
 * The learner's own slips that put down too much, in worked examples before a drill: the right working first, then the
 * same kind of problem with that slip in one line, to be found and mended.
 */
"use strict";
/* global LEARN, wasm_bindgen, word, make, makeButton, elementOf, find, freshDraw, closeQuestion, recordName */

/** The slip of a kind that was found least often since it was made, and the numbers it was made with. @param {string} digest @returns {{mistake: string, draw: number}|null} */
function ownSlip(digest) {
  /** @type {Map<string, {mistake: string, draw: number, found: number}>} */
  const made = new Map();
  for (const one of LEARN.sittings().flatMap((sitting) => sitting.answers).filter((one) => one.digest === digest)) {
    const [, mistake = ""] = /^slip-\d+-(.+)$/.exec(one.part || "") || [];
    const known = made.get(mistake);
    if (known && one.right) known.found += 1;
    if (one.over === "shown" && one.try === 1 && one.mistake) made.set(one.mistake, { mistake: one.mistake, draw: one.draw, found: 0 });
  }
  return [...made.values()].sort((one, other) => one.found - other.found)[0] || null;
}

/** @param {HTMLElement} $stage @param {AskedQuestion[]} questions one for each slip to find @param {any} held @param {() => void} then */
function startFinds($stage, questions, held, then) {
  const left = questions.slice();
  const about = find("finds", document, '[data-role="own-slip"]').textContent || "";
  /** @param {object} request */
  const ask = (request) => JSON.parse(wasm_bindgen.practice(JSON.stringify(request)));
  const forward = () => makeButton("forward", word("go-further"), true);

  /** @param {Element[]} $body @param {string} head @param {HTMLElement} $button */
  function put($body, head, $button) {
    const $head = make("p", "tk-round__count", head);
    $head.tabIndex = -1;
    const $said = make("div", "tk-round__said");
    $said.setAttribute("role", "status");
    const $tools = make("div", "tk-quiz__tools");
    $tools.append($button);
    $stage.replaceChildren($head, ...$body, $said, $tools);
    $stage.scrollIntoView({ block: "start" });
    $head.focus({ preventScroll: true });
    return $said;
  }

  function next() {
    const question = left.shift();
    const own = question && ownSlip(question.digest);
    if (!question) { then(); return; }
    if (!own) { next(); return; }
    const $right = elementOf(ask({ do: "faded", question: question.json, draw: own.draw, blanks: 0, seed: 0 }).html);
    for (const $why of $right.querySelectorAll(".tk-why")) $why.remove();
    const $on = forward();
    put([$right], about, $on);
    $on.onclick = () => slip(question, own);
  }

  /** @param {AskedQuestion} question @param {{mistake: string, draw: number}} own */
  function slip(question, own) {
    const seed = crypto.getRandomValues(new Uint32Array(1))[0];
    const same = { question: question.json, seed, mistake: own.mistake };
    let { draw } = own;
    // With other numbers, if the slip shows in them.
    for (let turn = 0; turn < 6 && draw === own.draw; turn += 1) {
      const other = freshDraw(question, [own.draw]);
      if (ask({ do: "slip", draw: other, ...same }).html) draw = other;
    }
    const $body = elementOf(ask({ do: "slip", draw, ...same }).html);
    const $check = makeButton("checked", word("check"), true);
    const $said = put([$body], word("stage-slip"), $check);
    let turn = 1;
    const check = () => {
      const $marked = $body.querySelector('input[name="slip"]:checked');
      const answer = /** @type {HTMLInputElement} */ (find("finds", $body, "#slip-figure")).value;
      const step = $marked instanceof HTMLInputElement ? Number($marked.value) : null;
      const $ask = find("finds", $body, '[data-role="ask"]');
      const reply = ask({ do: "slip-answer", draw, step, answer, ...same });
      $ask.textContent = step === null ? word("slip-mark") : reply.right === null && reply.marked ? reply.ask : "";
      if ($ask.textContent) return;
      const right = reply.marked && reply.right === true;
      held.answer({ question: recordName(question), digest: question.digest, draw, answer: `${step}; ${answer}`, try: turn, right, part: `slip-${seed}-${own.mistake}` });
      if (!right && turn === 1) { turn = 2; $said.textContent = word(reply.marked ? "slip-figure-again" : "slip-again"); return; }
      closeQuestion($body);
      $said.replaceChildren(make("p", "tk-again__word", word(right ? "slip-found" : "slip-was")), elementOf(reply.html));
      const $on = forward();
      $on.onclick = next;
      $check.replaceWith($on);
      $on.focus({ preventScroll: true });
    };
    $check.onclick = check;
    $body.addEventListener("keydown", (event) => {
      if (!(event instanceof KeyboardEvent) || event.key !== "Enter" || !$check.isConnected || !(event.target instanceof HTMLInputElement) || event.target.type !== "text") return;
      event.preventDefault();
      check();
    });
  }

  next();
}
