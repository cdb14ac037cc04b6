/**
 * Questions as on paper: answered in any order, changed and flagged until they are handed in, and looked at together
 * afterward, item by item. Shared by a check that counts and by the mock exam.
 */
"use strict";
/* global wasm_bindgen, word, make, makeAround, makeButton, elementOf, posedQuestion, answerOf, answerText, answerFrom, putAnswer, scoreOf, pointsOf, moveLine, lessonLink, recordName, showTroubles */

/** @typedef {{question: AskedQuestion, draw: number, seed: number, typed: boolean}} PaperItem */
/** @typedef {{answers: string[], flags: boolean[], at: number, until: string}} PaperState */

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
 *   done: (late: boolean) => void,
 * }} paper
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

  /** Copies what is on the page into the paper. */
  function take() {
    const text = answerText(answerOf($question));
    if (state.answers[state.at] === text) return;
    state.answers[state.at] = text;
    paper.keep();
  }

  /** What has to be asked about an answer, and about which part; never whether it is right. @param {number} at @returns {{ask: string|null, part?: number}} */
  function asked(at) {
    const { question, draw } = items[at];
    const answer = answerFrom(question, state.answers[at]);
    return answer === null ? { ask: null } : scoreOf(question, draw, answer);
  }

  function showPlaces() {
    $places.replaceChildren(...items.map((_, index) => {
      const $row = make("li", "tk-paper__place");
      const $button = makeButton("go", String(index + 1));
      const how = `${state.answers[index] ? "answered" : "open"}${state.flags[index] ? "-flagged" : ""}`;
      $button.setAttribute("aria-label", word(`question-${how}`, { at: index + 1 }));
      $button.className = "tk-paper__go";
      $button.dataset.to = String(index);
      if (state.answers[index]) $button.dataset.answered = "yes";
      if (state.flags[index]) $button.dataset.flagged = "yes";
      if (index === state.at) $button.setAttribute("aria-current", "step");
      $row.append($button);
      return $row;
    }));
  }

  /** @param {number} at @param {boolean} focus */
  function show(at, focus) {
    state.at = Math.max(0, Math.min(items.length - 1, at));
    $sure.hidden = true;
    $count.textContent = word("question-of", { at: state.at + 1, all: items.length });
    const { question } = items[state.at];
    $question.replaceChildren(paperQuestion(items[state.at]));
    putAnswer($question, answerFrom(question, state.answers[state.at] || ""));
    $back.disabled = state.at === 0;
    $next.disabled = state.at === items.length - 1;
    $flag.setAttribute("aria-pressed", String(Boolean(state.flags[state.at])));
    showPlaces();
    showTroubles($trouble);
    paper.keep();
    if (focus) { $place.scrollIntoView({ block: "start" }); $count.focus({ preventScroll: true }); }
  }

  /** Moves on; an answer without its unit is asked about first, once. @param {number} to */
  function go(to) {
    take();
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

  function askIfSure() {
    take();
    showPlaces();
    const open = state.answers.filter((text) => !text).length;
    const unclear = items.map((_, index) => index).filter((index) => state.answers[index] && asked(index).ask);
    const lines = [
      ...(open ? [word("open-left", { open })] : []),
      ...(unclear.length ? [word(unclear.length === 1 ? "one-unclear" : "some-unclear", { count: unclear.length })] : []),
      ...(open || unclear.length ? [] : [word("all-answered")]),
    ];
    const $unclear = unclear.map((index) => {
      const $row = make("p", "");
      const $button = makeButton("go", word("question-number", { at: index + 1 }));
      $button.dataset.to = String(index);
      $row.append($button, ` ${asked(index).ask}`);
      return $row;
    });
    const $answers = make("div", "tk-quiz__answers");
    $answers.append(makeButton("stay", word("keep-working"), true), makeButton("surely", word("hand-in-now")));
    $sure.replaceChildren(...lines.map((line) => make("p", "", line)), ...$unclear, $answers);
    $sure.setAttribute("aria-label", word("hand-in"));
    $sure.hidden = false;
    const $stay = $sure.querySelector('[data-do="stay"]');
    if ($stay instanceof HTMLElement) $stay.focus();
  }

  /** @param {boolean} late */
  function end(late) {
    clearInterval(timer);
    if (!late) take();
    removeEventListener("pagehide", take);
    paper.done(late);
  }

  function tick() {
    const left = Date.parse(state.until) - Date.now();
    if (left <= 0) { take(); end(true); return; }
    const minutes = Math.ceil(left / 60_000);
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
      state.flags[state.at] = !state.flags[state.at];
      $flag.setAttribute("aria-pressed", String(state.flags[state.at]));
      showPlaces();
      paper.keep();
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
  if (state.until) {
    tick();
    timer = setInterval(tick, 5_000);
  }
  if (!state.until || Date.parse(state.until) > Date.now()) show(state.at, false);
}

/**
 * Marks a paper: the verdict on every item, noted in the sitting.
 * @param {PaperItem[]} items @param {string[]} answers @param {any} held
 */
function markPaper(items, answers, held) {
  return items.map((item, index) => {
    const text = answers[index] || "";
    const score = scoreOf(item.question, item.draw, answerFrom(item.question, text));
    held.answer({ question: recordName(item.question), digest: item.question.digest, draw: item.draw, answer: text, try: 1, right: Boolean(score.right), mistake: score.mistake || undefined, over: score.over || undefined, points: score.points });
    return { item, text, right: Boolean(score.right), points: pointsOf(score), score };
  });
}

/**
 * The marked paper: the score at the top, what was missed with its lesson, then every item.
 * @param {HTMLElement} $place @param {ReturnType<typeof markPaper>} marked
 * @param {{need: number, late: boolean, topics?: Object<string, string>, ending?: Element[]}} how
 */
function showMarked($place, marked, how) {
  const [right, all] = sumPoints(marked);
  const passed = right >= how.need;
  const $total = make("div", "tk-total");
  $total.tabIndex = -1;
  $total.setAttribute("role", "group");
  $total.dataset.role = "total";
  const $figures = makeAround("tk-score", word(all > marked.length ? "of-points" : "of-right", { all, need: how.need }), "right", make("strong", "tk-score__right", String(right)));
  // Several checks may be on one page.
  const own = $place.closest("section[id]")?.id || "exam";
  $figures.id = `${own}-figures`;
  const $verdict = make("p", "tk-total__words", word(right === all ? "perfect" : passed ? "passed" : "not-passed"));
  $verdict.id = `${own}-verdict`;
  $verdict.dataset.role = passed ? "passed" : "failed";
  $total.append($figures, $verdict, ...(how.late ? [make("p", "", word("time-was-up"))] : []));
  $total.setAttribute("aria-labelledby", `${$figures.id} ${$verdict.id}`);
  const $topics = how.topics ? topicTable(marked, how.topics) : null;
  const missed = marked.map((one, index) => ({ one, index })).filter(({ one }) => !one.right);
  const $missed = make("ul", "tk-missed");
  $missed.append(...missed.map(({ one, index }) => {
    const $row = make("li", "");
    const $link = makeLink(`#${own}-item-${index + 1}`, word("question-number", { at: index + 1 }));
    const $lesson = lessonLink(one.item.question);
    $row.append($link, ...($lesson ? [" ", ...$lesson.childNodes] : []));
    return $row;
  }));
  // In a lesson the quiz has a heading above it; on its own page it does not.
  const heading = document.querySelector("main > article") ? "h3" : "h2";
  const $list = make("ol", "tk-reviewed");
  $list.append(...marked.map((one, index) => reviewed(one, index, own)));
  $place.onclick = (event) => {
    const $link = event.target instanceof Element && event.target.closest('a[href*="-item-"]');
    const $item = $link && document.getElementById(($link.getAttribute("href") || "").slice(1));
    if ($item instanceof HTMLDetailsElement) $item.open = true;
  };
  $place.onkeydown = $place.oninput = $place.onchange = null;
  $place.replaceChildren($total, ...($topics ? [$topics] : []), ...(missed.length ? [make(heading, "tk-head3", word("missed-head")), $missed] : []), make(heading, "tk-head3", word("every-question")), $list, ...(how.ending || []));
  $place.scrollIntoView({ block: "start" });
  $total.focus({ preventScroll: true });
  return { right, passed };
}

/** Points earned and all. @param {ReturnType<typeof markPaper>} marked @returns {[number, number]} */
function sumPoints(marked) {
  return [0, 1].map((which) => marked.reduce((sum, one) => sum + one.points[which], 0));
}

/** @param {ReturnType<typeof markPaper>[0]} one @param {number} index @param {string} own what begins the ids of its list */
function reviewed(one, index, own) {
  const $row = make("li", "tk-reviewed__row");
  const $fold = document.createElement("details");
  $fold.id = `${own}-item-${index + 1}`;
  $fold.dataset.right = String(one.right);
  const $posed = posedQuestion(one.item.question, one.item.draw);
  const text = ($posed.querySelector(".tk-question__text") || $posed).textContent || "";
  const $line = make("summary", "tk-reviewed__line");
  const [earned, worth] = one.points;
  const how = one.right ? "right" : !one.text ? "left-open" : worth > 1 ? "points" : "not-right";
  $line.append(make("strong", "tk-reviewed__verdict", word(`item-${how}`, { at: index + 1, earned, all: worth })), ` ${text}`);
  const options = one.item.question.options || [];
  const named = one.item.question.kind === "number" ? one.text : one.text.split(",").filter(Boolean).map((number) => (options[Number(number)] || { text: number }).text).join(" · ");
  const $feedback = make("div", "tk-question__feedback");
  $feedback.innerHTML = one.score.html;
  const $lesson = one.right ? null : lessonLink(one.item.question);
  $fold.append($line, make("p", "tk-reviewed__given", one.text ? word("you-answered", { answer: named }) : word("no-answer")), $feedback, ...($lesson ? [$lesson] : []));
  $row.append($fold);
  return $row;
}

/** Right answers by topic. @param {ReturnType<typeof markPaper>} marked @param {Object<string, string>} names */
function topicTable(marked, names) {
  const $table = make("table", "tk-topics");
  $table.append(make("caption", "", word("by-topic")));
  const $body = document.createElement("tbody");
  for (const [topic, name] of Object.entries(names)) {
    const of = marked.filter((one) => one.item.question.topic === topic);
    if (!of.length) continue;
    const $row = document.createElement("tr");
    const $name = make("th", "", name);
    $name.setAttribute("scope", "row");
    const [right, all] = sumPoints(of);
    $row.append($name, make("td", "", word(all > of.length ? "points-of" : "right-of", { right, all })));
    $body.append($row);
  }
  $table.append($body);
  return $table;
}
