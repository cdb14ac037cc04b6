/**
 * Questions as on paper: answered in any order, changed and flagged until they are handed in. Shared by a check that counts and by the mock exam.
 */
"use strict";
/* global LEARN, wasm_bindgen, word, make, makeButton, elementOf, posedQuestion, answerOf, answerText, answerFrom, putAnswer, scoreOf, moveLine, showTroubles */

/** @typedef {{question: AskedQuestion, draw: number, seed: number, typed: boolean}} PaperItem */
/** @typedef {{answers: string[], flags: boolean[], at: number, until: string, left?: number}} PaperState `left` is the least time that was left, in milliseconds */

/** A question as it is on the paper: a number question with choices where it is not typed. @param {PaperItem} item */
function paperQuestion(item) {
  if (item.question.kind !== "number" || item.typed) return posedQuestion(item.question, item.draw);
  const { html } = JSON.parse(wasm_bindgen.choices(item.question.json, item.draw, item.seed));
  return html ? elementOf(html) : posedQuestion(item.question, item.draw);
}

/**
 * @param {HTMLElement} $place
 * @param {{
 *   items: PaperItem[],
 *   state: PaperState,
 *   keep: () => void,
 *   meet: () => boolean,
 *   done: (late: boolean) => void,
 *   elsewhere: () => void,
 * }} paper `meet` takes over what another tab wrote, and is false when the paper was handed in there: then it is `elsewhere`
 */
function startPaper($place, paper) {
  const { items, state } = paper;
  const $clock = make("p", "tk-paper__clock");
  const $trouble = make("div", "tk-practice");
  const $places = make("ol", "tk-paper__places");
  const $count = make("p", "tk-round__count");
  $count.tabIndex = -1;
  const $question = make("div", "tk-round__question");
  const $tools = make("div", "tk-quiz__tools");
  const $back = makeButton("back", word("previous-question"));
  const $flag = makeButton("flag", word("flag"));
  const $next = makeButton("next", word("next-question"), true);
  const $hand = makeButton("hand-in", word("hand-in"));
  const $sure = make("div", "tk-quiz__sure");
  const $spoken = make("p", "tk-spoken");
  $spoken.setAttribute("aria-live", "polite");
  $sure.hidden = true;
  $sure.setAttribute("role", "group");
  $places.setAttribute("aria-label", word("all-questions"));
  $tools.append($back, $next, $flag, $hand);
  $place.replaceChildren($trouble, $clock, $count, $question, $tools, $sure, $places, $spoken);
  let timer = 0;
  let said = Infinity;
  let over = false;
  /** The answer as it is on the page, and as the paper held it when it was put there or taken. */
  let [onPage, onPaper] = ["", ""];

  /** Makes a change to the paper as it is now, which another tab may have written on. @param {() => void} change */
  function write(change) {
    if (over) return;
    if (!paper.meet()) { leave(); return; }
    change();
    markPlaces();
    paper.keep();
  }

  /** Copies what is on the page into the paper. */
  function take() {
    const text = answerText(answerOf($question));
    if (!$question.childElementCount || text === onPage) return;
    onPage = onPaper = text;
    write(() => { state.answers[state.at] = text; });
  }

  /** The paper was handed in in another tab. */
  function leave() {
    close();
    paper.elsewhere();
  }

  /** Another tab wrote. */
  function met() {
    if (over) return;
    if (!paper.meet()) { leave(); return; }
    if ((state.answers[state.at] || "") !== onPaper) putQuestion();
    markPlaces();
  }

  /** What has to be asked about an answer, and about which part; never whether it is right. @param {number} at @returns {{ask: string|null, part?: number}} */
  function asked(at) {
    const { question, draw } = items[at];
    const answer = answerFrom(question, state.answers[at]);
    return answer === null ? { ask: null } : scoreOf(question, draw, answer);
  }

  const $all = items.map((_, index) => {
    const $button = makeButton("go", String(index + 1));
    $button.className = "tk-paper__go";
    $button.dataset.to = String(index);
    const $row = make("li", "tk-paper__place");
    $row.append($button);
    $places.append($row);
    return $button;
  });

  /** What is answered, flagged and open, in the row of places. */
  function markPlaces() {
    for (const [index, $button] of $all.entries()) {
      const [answered, flagged] = [Boolean(state.answers[index]), Boolean(state.flags[index])];
      $button.setAttribute("aria-label", word(`question-${answered ? "answered" : "open"}${flagged ? "-flagged" : ""}`, { at: index + 1 }));
      $button.dataset.answered = answered ? "yes" : "no";
      $button.dataset.flagged = flagged ? "yes" : "no";
      if (index === state.at) $button.setAttribute("aria-current", "step"); else $button.removeAttribute("aria-current");
    }
    $flag.setAttribute("aria-pressed", String(Boolean(state.flags[state.at])));
  }

  function putQuestion() {
    $question.replaceChildren(paperQuestion(items[state.at]));
    onPaper = state.answers[state.at] || "";
    putAnswer($question, answerFrom(items[state.at].question, onPaper));
    onPage = answerText(answerOf($question));
  }

  /** @param {number} at @param {boolean} focus */
  function show(at, focus) {
    write(() => { state.at = Math.max(0, Math.min(items.length - 1, at)); });
    if (over) return;
    $sure.hidden = true;
    $count.textContent = word("question-of", { at: state.at + 1, all: items.length });
    putQuestion();
    // What was said of the question before is not read again with this one.
    $spoken.textContent = "";
    $back.disabled = state.at === 0;
    $next.disabled = state.at === items.length - 1;
    showTroubles($trouble);
    if (focus) { $place.scrollIntoView({ block: "start" }); $count.focus({ preventScroll: true }); }
  }

  /** Moves on; an answer without its unit is asked about first, once. @param {number} to */
  function go(to) {
    take();
    if (over) return;
    const { ask, part } = asked(state.at);
    const $ask = $question.querySelector('[data-role="ask"]');
    if (ask && $ask && $ask.textContent !== ask) {
      $ask.textContent = ask;
      $spoken.textContent = ask;
      const $field = $question.querySelector(`[data-piece="${part}"]`);
      if ($field instanceof HTMLElement) $field.focus();
      return;
    }
    show(to, true);
  }

  /** Questions to go back to. @param {string} text @param {number[]} which */
  function wayBack(text, which) {
    const $row = make("p", "tk-paper__back", `${text} `);
    $row.append(...which.map((index) => {
      const $button = makeButton("go", String(index + 1));
      $button.setAttribute("aria-label", word("question-number", { at: index + 1 }));
      $button.dataset.to = String(index);
      return $button;
    }));
    return $row;
  }

  function askIfSure() {
    take();
    if (over) return;
    const those = (/** @type {(index: number) => any} */ such) => items.map((_, index) => index).filter(such);
    const open = those((index) => !state.answers[index]);
    const flagged = those((index) => state.flags[index]);
    const unclear = those((index) => state.answers[index] && asked(index).ask);
    const $unclear = unclear.map((index) => {
      const $row = make("p", "");
      const $button = makeButton("go", word("question-number", { at: index + 1 }));
      $button.dataset.to = String(index);
      $row.append($button, ` ${asked(index).ask}`);
      return $row;
    });
    const $lines = [
      ...(open.length ? [wayBack(word("open-left", { open: open.length }), open)] : []),
      ...(unclear.length ? [make("p", "", word(unclear.length === 1 ? "one-unclear" : "some-unclear", { count: unclear.length })), ...$unclear] : []),
      ...(flagged.length ? [wayBack(word("flagged-left", { flagged: flagged.length }), flagged)] : []),
      ...(open.length || unclear.length ? [] : [make("p", "", word("all-answered"))]),
    ];
    const $answers = make("div", "tk-quiz__answers");
    $answers.append(makeButton("stay", word("keep-working"), true), makeButton("surely", word("hand-in-now")));
    $sure.replaceChildren(...$lines, $answers);
    $sure.setAttribute("aria-label", word("hand-in"));
    $sure.hidden = false;
    const $stay = $sure.querySelector('[data-do="stay"]');
    if ($stay instanceof HTMLElement) $stay.focus();
  }

  function close() {
    over = true;
    clearInterval(timer);
    removeEventListener("pagehide", take);
  }

  /** @param {boolean} late */
  function end(late) {
    take();
    if (over) return;
    if (!paper.meet()) { leave(); return; }
    close();
    paper.done(late);
  }

  /** Time left in milliseconds: never more than it was, should the clock be set back. */
  function timeLeft() {
    const [now, least] = [Date.now(), state.left ?? Infinity];
    const left = Date.parse(state.until) - now;
    if (left > least + 1_000) state.until = new Date(now + least).toISOString();
    return Math.min(left, least);
  }

  function tick() {
    const left = timeLeft();
    if (left <= 0) { end(true); return; }
    const minutes = Math.ceil(left / 60_000);
    // Kept every minute: a clock may be set back while the page is closed.
    const kept = minutes === Math.ceil((state.left ?? Infinity) / 60_000);
    state.left = left;
    if (!kept) write(() => { state.left = left; });
    $clock.textContent = word(minutes === 1 ? "minute-left" : "minutes-left", { minutes });
    for (const mark of [10, 5, 1]) if (minutes <= mark && said > mark) { said = mark; $spoken.textContent = $clock.textContent; }
  }

  $place.oninput = take;
  $place.onchange = take;
  $place.onclick = (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    if (!($button instanceof HTMLElement) || !$place.contains($button)) return;
    const chore = $button.dataset.do;
    if (chore === "up" || chore === "down") { moveLine($button, $spoken); take(); }
    if (chore === "back") { take(); show(state.at - 1, true); }
    if (chore === "next") go(state.at + 1);
    if (chore === "go") { take(); show(Number($button.dataset.to), true); }
    if (chore === "flag") {
      const flagged = !state.flags[state.at];
      write(() => { state.flags[state.at] = flagged; });
    }
    if (chore === "hand-in") askIfSure();
    if (chore === "stay") { $sure.hidden = true; $hand.focus(); }
    if (chore === "surely") end(false);
  };
  $place.onkeydown = (event) => {
    if (event.key === "Enter" && event.target instanceof HTMLInputElement && $question.contains(event.target)) { event.preventDefault(); go(state.at + 1); }
    if (event.key === "Escape" && !$sure.hidden) { $sure.hidden = true; $hand.focus(); }
  };
  addEventListener("pagehide", take);
  $clock.hidden = !state.until;
  // Time may have run out while the page was closed: what was answered is marked as it is kept.
  if (state.until && timeLeft() <= 0) { end(true); return { focus() {} }; }
  LEARN.onChange(met);
  show(state.at, false);
  if (state.until && !over) {
    timer = setInterval(tick, 5_000);
    tick();
  }
  return { focus: () => { if (!over) { $place.scrollIntoView({ block: "start" }); $count.focus({ preventScroll: true }); } } };
}
