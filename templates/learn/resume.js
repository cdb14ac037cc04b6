/**
 * A sitting that was left, in a course that may have changed since: answers to questions that are still the same stay,
 * a question that has changed is asked again with new numbers, one that is gone is left out. What was answered to
 * either goes into the record. Shared by the quiz of a lesson and by the mock exam.
 */
"use strict";
/* global freshDraw, recordName */

/** @typedef {{question: AskedQuestion|undefined, row: any, at: number, same: boolean}} LeftRow */

/**
 * What is left of a sitting by its plan; null if none of it can be continued.
 * @param {any} plan @param {Map<string, AskedQuestion>} byId @param {boolean} paper whether its answers are handed in together
 * @returns {{rows: LeftRow[], changed: boolean, at: number, all: number}|null}
 */
function leftOf(plan, byId, paper) {
  const rows = Array.isArray(plan.slots) ? plan.slots : [];
  if (!Number.isInteger(plan.at) || plan.at < 0) return null;
  if (paper && !(Array.isArray(plan.answers) && Array.isArray(plan.flags) && plan.answers.length === rows.length)) return null;
  const left = rows.map((/** @type {any} */ row, /** @type {number} */ at) => {
    const question = Array.isArray(row) ? byId.get(row[0]) : undefined;
    return { question, row, at, same: question !== undefined && question.digest === row[1] && Number.isInteger(row[2]) };
  });
  const there = inOrder(left, plan.at, paper);
  const at = placeOf(there, plan.at, paper);
  if (!left.some((/** @type {LeftRow} */ one) => one.same) || at >= there.length) return null;
  return { rows: left, changed: left.some((/** @type {LeftRow} */ one) => !one.same), at, all: there.length };
}

/** The rows that are asked: on paper as they were; in a round what was decided and still is comes first. @param {LeftRow[]} rows @param {number} at @param {boolean} paper */
function inOrder(rows, at, paper) {
  const there = rows.filter((one) => one.question);
  const decided = (/** @type {LeftRow} */ one) => one.same && one.at < at;
  return paper ? there : [...there.filter(decided), ...there.filter((one) => !decided(one))];
}

/** The place to go on from. @param {LeftRow[]} there @param {number} at @param {boolean} paper */
function placeOf(there, at, paper) {
  return paper ? Math.max(0, there.findIndex((one) => one.at >= at)) : there.filter((one) => one.same && one.at < at).length;
}

/** Answers on paper to questions that are no longer the same go into the record. @param {any} held @param {LeftRow[]} rows */
function keepOldAnswers(held, rows) {
  const { answers } = held.sitting.plan;
  if (!Array.isArray(answers)) return;
  for (const { question, row, at, same } of rows) {
    const text = answers[at];
    if (same || typeof text !== "string" || !text || !Array.isArray(row)) continue;
    held.answer({ question: question ? recordName(question) : String(row[0]).slice(0, 200), digest: String(row[1]).slice(0, 64), draw: row[2] >>> 0, answer: text, try: 1 });
  }
}

/** Ends a sitting that cannot be continued; what was answered stays in the record. @param {any} held @param {Map<string, AskedQuestion>} byId */
function endChanged(held, byId) {
  const rows = Array.isArray(held.sitting.plan.slots) ? held.sitting.plan.slots : [];
  keepOldAnswers(held, rows.map((/** @type {any} */ row, /** @type {number} */ at) => ({ question: Array.isArray(row) ? byId.get(row[0]) : undefined, row, at, same: false })));
  held.end();
}

/** Takes a sitting up again: the questions to ask, and its plan as it is from now on. @param {any} held @param {LeftRow[]} rows @param {boolean} paper @returns {PaperItem[]} */
function takeUp(held, rows, paper) {
  const plan = held.sitting.plan;
  const there = inOrder(rows, plan.at, paper);
  const items = there.map(({ question, row, same }) => ({ question: /** @type {AskedQuestion} */ (question), draw: same ? row[2] >>> 0 : freshDraw(/** @type {AskedQuestion} */ (question)), seed: row[3] >>> 0, typed: row.length < 5 || Boolean(row[4]) }));
  if (rows.every((one) => one.same)) return items;
  if (paper) keepOldAnswers(held, rows);
  const at = placeOf(there, plan.at, paper);
  plan.slots = items.map((item, place) => [item.question.id, item.question.digest, item.draw, ...there[place].row.slice(3)]);
  if (paper) {
    plan.answers = there.map((one) => (one.same ? plan.answers[one.at] : ""));
    plan.flags = there.map((one) => one.same && Boolean(plan.flags[one.at]));
  }
  plan.at = at;
  held.save();
  return items;
}
