/**
 * A paper that was handed in: every item marked and noted, then the score, what was missed and each item to look at again.
 * Shared by a check that counts and by the mock exam.
 */
"use strict";
/* global word, make, makeAround, makeLink, posedQuestion, answerFrom, scoreOf, pointsOf, lessonLink, recordName */

/**
 * Marks a paper: the verdict on every item, noted in the sitting.
 * @param {PaperItem[]} items @param {string[]} answers @param {any} held
 */
function markPaper(items, answers, held) {
  return items.map((item, index) => {
    const text = answers[index] || "";
    const score = scoreOf(item.question, item.draw, answerFrom(item.question, text));
    held.answer({ question: recordName(item.question), digest: item.question.digest, draw: item.draw, answer: text, try: 1, right: Boolean(score.right), mistake: score.mistake || undefined, over: score.over || undefined, points: score.points, choice: item.question.kind !== "number" || undefined });
    return { item, text, right: Boolean(score.right), points: pointsOf(score), score };
  });
}

/**
 * The marked paper: the score at the top, what was missed with its lesson, then every item.
 * @param {HTMLElement} $place @param {ReturnType<typeof markPaper>} marked
 * @param {{need: number, late: boolean, note?: string, topics?: Object<string, string>, ending?: Element[]}} how
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
  const $verdict = make("p", "tk-total__words", word(right === all ? "all-right" : passed ? "passed" : "not-passed"));
  $verdict.id = `${own}-verdict`;
  $verdict.dataset.role = passed ? "passed" : "failed";
  const over = marked.filter((one) => one.score.over).length;
  const $over = over ? [make("p", "tk-total__over", word(over === 1 ? "too-much-one" : "too-much-many", { count: over }))] : [];
  $total.append($figures, $verdict, ...$over, ...(how.late ? [make("p", "", word("time-was-up"))] : []), ...(how.note ? [make("p", "", how.note)] : []));
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

// On paper the working of every question is there to read.
addEventListener("beforeprint", () => {
  for (const $fold of document.querySelectorAll(".tk-reviewed details:not([open])")) { $fold.setAttribute("open", ""); $fold.setAttribute("data-printed", ""); }
});
addEventListener("afterprint", () => {
  for (const $fold of document.querySelectorAll("details[data-printed]")) { $fold.removeAttribute("open"); $fold.removeAttribute("data-printed"); }
});

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
  $fold.append($line, make("p", "tk-reviewed__given", one.text ? word("you-answered", { answer: named }) : word("no-answer")), ...(one.score.over ? [make("p", "tk-total__over", word("too-much"))] : []), $feedback, ...($lesson ? [$lesson] : []));
  $row.append($fold);
  return $row;
}

/** Right answers by topic, the weakest first. @param {ReturnType<typeof markPaper>} marked @param {Object<string, string>} names */
function topicTable(marked, names) {
  const $table = make("table", "tk-topics");
  $table.append(make("caption", "", word("by-topic")));
  const $body = document.createElement("tbody");
  const rows = Object.entries(names).map(([topic, name]) => {
    const of = marked.filter((one) => one.item.question.topic === topic);
    const [right, all] = sumPoints(of);
    return { name, right, all, points: all > of.length };
  }).filter((one) => one.all).sort((one, other) => one.right / one.all - other.right / other.all);
  for (const { name, right, all, points } of rows) {
    const $row = document.createElement("tr");
    const $name = make("th", "", name);
    $name.setAttribute("scope", "row");
    $row.append($name, make("td", "", word(points ? "points-of" : "right-of", { right, all })));
    $body.append($row);
  }
  $table.append($body);
  return $table;
}
