/**
 * Part "drill": problems of mixed topics, what was missed and what is due first, and a plan of days.
 */
"use strict";
/* global PARTS, LEARN, TANKSIDE_QUESTIONS, wasm_bindgen, needScript, needParts, haveParts, withParts, learnDay, daysOff, isOff, find, start, word, make, makeAround, makeButton, makeLink, freshDraw, metDraws, readyQuestion, taughtIn, needCalculators, startRound, startFinds, standings, answerRows, examDay, showTroubles, oneAtATime */

/** Every question of the course, with the lesson that teaches it. @returns {AskedQuestion[]} */
function everyQuestion() {
  const { banks, lessons, questions } = TANKSIDE_QUESTIONS;
  return questions.map((/** @type {[number, number, any, number]} */ [bank, lesson, one, chosen]) => ({ ...readyQuestion(one, banks[bank], taughtIn(lessons[lesson])), chosen: chosen === 1 }));
}

/** Loads the questions, and what chooses and asks them. @returns {Promise<AskedQuestion[]>} */
async function loadQuestions() {
  await Promise.all([needScript("questions"), needParts(["practice", "learning"])]);
  return everyQuestion();
}

/** What decides a question's formula: no two choice questions share one. @param {AskedQuestion} question */
const formulaOf = (question) => question.asks || question.id;

/** A day as people say it, with its year where it is far off. @param {number} day */
function dayName(day) {
  const year = day - learnDay() > 300 ? "numeric" : undefined;
  return new Date(day * 86_400_000).toLocaleDateString(document.documentElement.lang, { weekday: "short", day: "numeric", month: "short", year, timeZone: "UTC" });
}

/** The days of the week in the order of the page's language. @returns {[number, string][]} */
function weekDays() {
  const { lang } = document.documentElement;
  let first = 1;
  try {
    /** @type {any} */
    const locale = new Intl.Locale(lang);
    first = (locale.getWeekInfo ? locale.getWeekInfo() : locale.weekInfo).firstDay;
  } catch { /* A browser that does not know begins on Monday. */ }
  // The fourth day of 1970 was a Sunday.
  return [0, 1, 2, 3, 4, 5, 6].map((place) => (first + place) % 7).map((day) => [day, new Date((day + 3) * 86_400_000).toLocaleDateString(lang, { weekday: "short", timeZone: "UTC" })]);
}

/** @param {HTMLElement} $part */
function startDrill($part) {
  /** @param {string} role */
  const role = (role) => find("drill", $part, `[data-role="${role}"]`);
  /** What can be asked, before the questions themselves are loaded: topic, whether a lesson teaches it, digest, formula. @type {[string, number, string, number|null][]} */
  const pool = JSON.parse(role("pool").textContent || "[]");
  /** @type {AskedQuestion[]} */
  let all = [];
  const $length = /** @type {HTMLSelectElement} */ (role("length"));
  const $exam = /** @type {HTMLInputElement} */ (role("exam"));
  const $plan = /** @type {HTMLDetailsElement} */ (find("drill", $part, ".tk-drill__plan"));
  const $beyond = /** @type {HTMLInputElement} */ (role("beyond"));
  const $topics = () => [...$part.querySelectorAll('input[name="topic"]')].map(($one) => /** @type {HTMLInputElement} */ ($one));
  const $days = () => [...$part.querySelectorAll('input[name="off"]')].map(($one) => /** @type {HTMLInputElement} */ ($one));
  const settings = () => (LEARN.note("settings") || {}).note || {};

  const beyond = () => learnBeyond(settings(), pool.some(([, taught]) => taught));

  /** Whether a question is among those that are chosen. @returns {(topic: string, taught: boolean) => boolean} */
  function chosen() {
    const wanted = new Set($topics().filter(($one) => $one.checked).map(($one) => $one.value));
    return (topic, taught) => wanted.has(topic) && ($beyond.checked || taught);
  }

  const alone = oneAtATime();

  /** Begins a drill or goes on with one, when the questions are there. @param {() => void|Promise<void>} act */
  function withQuestions(act) {
    alone(async () => {
      try { if (!all.length) all = await loadQuestions(); } catch { role("said").textContent = word("not-loaded"); return; }
      await act();
    });
  }

  /** @param {boolean} [byHand] whether the learner has just decided about what no lesson teaches */
  function keepSettings(byHand = false) {
    const topics = $topics().filter(($one) => !$one.checked).map(($one) => $one.value);
    const own = byHand ? { beyond: $beyond.checked, chosen: true } : {};
    const off = $days().filter(($one) => $one.checked).map(($one) => Number($one.value));
    LEARN.setNote("settings", { ...settings(), without: topics, length: $length.value, exam: $exam.value, off, ...own });
    $beyond.checked = beyond();
    showPlan();
    // What is due depends on the day of the exam.
    if (answerRows().length) withParts(["learning"], () => { standings(); showPlan(); });
  }

  function showSettings() {
    const set = settings();
    for (const $one of $topics()) {
      $one.checked = !(Array.isArray(set.without) && set.without.includes($one.value));
      // A topic without a question cannot be drilled.
      const there = pool.some(([topic]) => topic === $one.value);
      const $label = $one.closest("label");
      if ($label instanceof HTMLElement) $label.hidden = !there;
    }
    $beyond.checked = beyond();
    if ([...$length.options].some(($one) => $one.value === set.length)) $length.value = set.length;
    if (/^\d{4}-\d\d-\d\d$/.test(set.exam || "")) $exam.value = set.exam;
    const off = daysOff(set);
    for (const $one of $days()) $one.checked = off.includes(Number($one.value));
  }

  function showPlan() {
    const { items = {} } = (LEARN.note("standing") || {}).note || {};
    const choose = chosen();
    const digests = [...new Set(pool.filter(([topic, taught]) => choose(topic, taught > 0)).map(([,, digest]) => digest))];
    const today = learnDay();
    const of = learnCount(digests, items, settings());
    role("standing").textContent = [word("drill-standing", of), of.right > of.learned ? word("drill-begun", { begun: of.right - of.learned }) : "", of.due ? word("drill-due", of) : "", of.missed ? word("drill-missed", of) : ""].filter(Boolean).join(" ");
    const untaught = new Set(pool.filter(([topic, taught]) => !taught && choose(topic, true)).map(([,, digest]) => digest)).size;
    const said = untaught ? word($beyond.checked ? "drill-in" : "drill-out", { count: untaught, all: digests.length }) : "";
    // The same words again are not read aloud again.
    if (role("out").textContent !== said) role("out").textContent = said;
    role("past").textContent = learnExam(settings()) && examDay() === null ? word("exam-past") : "";
    const exam = examDay();
    role("plan-about").textContent = exam === null ? word("plan-usual") : exam === today ? word("exam-today") : word("plan-exam", { day: dayName(exam) });
    find("drill", $plan, "table").hidden = exam === today;
    showByHand();
    if ($plan.open) withParts(["learning"], () => showDays(digests, today), () => { role("said").textContent = word("not-loaded"); });
  }

  /** The plan, day by day. @param {string[]} digests @param {number} today */
  function showDays(digests, today) {
    const formulas = new Map(pool.map(([,, digest, formula]) => [digest, formula === null ? "" : String(formula)]));
    const rows = digests.map((digest) => [digest, formulas.get(digest) || ""]);
    // Nobody does more than two drills in a day.
    const { days, fits, formulas: [met, of] } = JSON.parse(wasm_bindgen.learning(JSON.stringify({ do: "plan", today, exam: examDay(), answers: answerRows(), kinds: rows, most: 4, questions: 2 * Number($length.value), off: daysOff(settings()) })));
    role("plan-fits").textContent = fits < digests.length && examDay() !== today ? word("plan-fits", { fits, all: digests.length, met, of }) : "";
    // Most have missed nothing yet: then there is no column for it.
    const missed = days.some((/** @type {number[]} */ [, count]) => count > 0);
    role("plan-missed").hidden = !missed;
    const $rows = days.slice(0, 60).map((/** @type {number[]} */ [day, again, fresh, back, questions]) => {
      const $row = document.createElement("tr");
      const $day = make("th", "", dayName(day));
      $day.setAttribute("scope", "row");
      $row.append($day, ...(missed ? [make("td", "", String(again))] : []), make("td", "", String(fresh)), make("td", "", String(back)), make("td", "", String(questions)), make("td", "tk-plan__done", ""));
      return $row;
    });
    role("plan").replaceChildren(...$rows);
  }

  /** @param {any} held @param {Slot[]} slots */
  async function go(held, slots) {
    try { await needCalculators(slots.map((slot) => slot.question)); } catch { role("said").textContent = word("not-loaded"); return; }
    role("setup").hidden = true;
    const $stage = role("stage");
    $stage.hidden = false;
    const plan = held.sitting.plan;
    const save = () => { plan.slots = slots.map(({ question, draw }) => [question.id, question.digest, draw]); held.save(); };
    const round = startRound($stage, {
      held, slots, at: Math.min(plan.at, slots.length - 1),
      keep(at) { plan.at = at; save(); },
      missed(at) {
        const formulas = slots.map((slot) => formulaOf(slot.question));
        const reply = JSON.parse(wasm_bindgen.learning(JSON.stringify({ do: "again", slots: slots.map((_, index) => index), at, formulas })));
        const place = reply.slots.findIndex((/** @type {number} */ slot, /** @type {number} */ index) => index > at && slot === at);
        if (place > at) slots.splice(place, 0, { question: slots[at].question, draw: freshDraw(slots[at].question, [slots[at].draw]) });
        save();
      },
      done(tries) { held.end(); ended(tries); },
    });
    round.focus();
  }

  /** @param {{slot: Slot, right: boolean, tries: number}[]} tries */
  function ended(tries) {
    const items = standings();
    const first = tries.filter((one) => one.right && one.tries === 1).length;
    const $total = make("div", "tk-total");
    $total.tabIndex = -1;
    $total.dataset.role = "total";
    const $line = makeAround("tk-score", word("first-try-of", { all: tries.length }), "right", make("strong", "tk-score__right", String(first)));
    $total.append($line);
    const met = [...new Set(tries.map((one) => one.slot.question.digest))].map((digest) => items[digest]).filter(Boolean);
    $total.append(make("p", "tk-total__words", word("drill-ended", { learned: met.filter((one) => one.learned).length, met: met.length })), make("p", "", word("learned-means")));
    let next = Object.values(items).filter((one) => one.learned).map((one) => one.due).sort((one, other) => one - other)[0];
    // What comes back on a day off waits for the next day.
    while (next > learnDay() && isOff(next, settings())) next += 1;
    const exam = examDay();
    if (exam !== null && (exam === learnDay() || next > exam)) $total.append(make("p", "", exam === learnDay() ? word("exam-today") : word("exam-before", { day: dayName(exam) })));
    else if (next !== undefined) $total.append(make("p", "", next <= learnDay() ? word("drill-more") : word("drill-next", { day: dayName(next) })));
    const $tools = make("div", "tk-quiz__tools");
    $tools.append(makeButton("more", word("drill-again"), true), makeLink("index.html", word("back-home"), "tk-button"));
    role("stage").replaceChildren($total, $tools);
    $total.focus({ preventScroll: true });
  }

  async function begin() {
    keepSettings();
    const choose = chosen();
    const asked = all.filter((question) => choose(question.topic || "", Boolean(question.lesson && !question.lesson.beyond)));
    role("said").textContent = asked.length ? "" : word("no-topic");
    if (!asked.length) return;
    const kinds = asked.map((question) => [question.digest, formulaOf(question), question.topic || "", question.kind !== "number"]);
    const request = { do: "session", answers: answerRows(), today: learnDay(), exam: examDay(), kinds, length: Number($length.value), seed: crypto.getRandomValues(new Uint32Array(1))[0] };
    const { slots, finds = [] } = JSON.parse(wasm_bindgen.learning(JSON.stringify(request)));
    try { await needCalculators([...slots, ...finds].map((/** @type {number} */ slot) => asked[slot])); } catch { role("said").textContent = word("not-loaded"); return; }
    const used = new Map();
    const sat = LEARN.sittings();
    const dealt = slots.map((/** @type {number} */ slot) => {
      const question = asked[slot];
      const before = used.get(question.digest) || metDraws(question, sat);
      const draw = freshDraw(question, before);
      used.set(question.digest, [...before, draw]);
      return { question, draw };
    });
    const plan = { slots: dealt.map((/** @type {Slot} */ { question, draw }) => [question.id, question.digest, draw]), at: 0, day: learnDay() };
    const held = LEARN.begin("drill", "drill", "", plan);
    if (!finds.length) { await go(held, dealt); return; }
    role("setup").hidden = true;
    role("stage").hidden = false;
    startFinds(role("stage"), finds.map((/** @type {number} */ place) => asked[place]), held, () => { go(held, dealt); });
  }

  function offer() {
    showSettings();
    showPlan();
    showTroubles(role("trouble"));
    role("go-on").hidden = true;
    const held = LEARN.unfinished("drill", "drill");
    if (held) offerToGoOn(held);
    // What is due today was worked out on another day.
    const kept = (LEARN.note("standing") || {}).note || {};
    if (kept.day !== learnDay() && answerRows().length) withParts(["learning"], () => { standings(); showPlan(); });
  }

  /** Offers to go on with a drill of today whose questions are all still there; they are loaded when it is taken up. @param {any} held */
  function offerToGoOn(held) {
    const plan = held.sitting.plan;
    const rows = Array.isArray(plan.slots) ? plan.slots : [];
    const there = new Set(pool.map(([,, digest]) => digest));
    const goes = rows.length > plan.at && rows.every((/** @type {any} */ row) => Array.isArray(row) && there.has(row[1])) && plan.day === learnDay();
    const $on = role("go-on");
    $on.hidden = !goes;
    if (!goes) { held.end(); return; }
    $on.textContent = word("go-on", { at: plan.at + 1, all: rows.length });
    $on.onclick = () => withQuestions(async () => {
      const byId = new Map(all.map((question) => [question.id, question]));
      const slots = rows.flatMap((/** @type {any} */ row) => {
        const question = byId.get(row[0]);
        return question && question.digest === row[1] ? [{ question, draw: row[2] >>> 0 }] : [];
      });
      if (slots.length === rows.length) await go(held, slots);
      else { held.end(); offer(); }
    });
  }

  $part.addEventListener("change", (event) => {
    const $one = event.target;
    if (!($one instanceof Node) || !role("setup").contains($one)) return;
    const none = $days().every(($day) => $day.checked);
    if (none && $one instanceof HTMLInputElement) $one.checked = false;
    role("off-all").textContent = none ? word("drill-off-all") : "";
    keepSettings($one === $beyond);
  });
  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    const chore = $button instanceof HTMLElement ? $button.dataset.do : "";
    if (chore === "begin") {
      // Nothing has to be loaded to see that there is nothing to ask.
      const choose = chosen();
      const some = pool.some(([topic, taught]) => choose(topic, taught > 0));
      role("said").textContent = some ? "" : word($topics().some(($one) => $one.checked) ? "not-taught" : "no-topic");
      if (some) withQuestions(begin);
    }
    if (chore === "more") { role("stage").hidden = true; role("setup").hidden = false; offer(); find("drill", $part, '[data-do="begin"]').focus(); }
    if (chore === "print-plan") printPlan();
    if (chore === "all-topics" || chore === "no-topic") { for (const $one of $topics()) $one.checked = chore === "all-topics"; keepSettings(); }
  });
  $plan.addEventListener("toggle", showPlan);

  function printPlan() {
    withParts(["learning"], () => { unfold(); print(); }, () => { role("said").textContent = word("not-loaded"); });
  }

  /** Days to write on, for somebody who prints the page before anything that works out a plan is loaded: two weeks, or up to the exam. */
  function showByHand() {
    const [today, exam] = [learnDay(), examDay()];
    const days = Array.from({ length: 21 }, (_, ahead) => today + ahead).filter((day) => !isOff(day, settings()) && (exam === null || day < exam)).slice(0, 14);
    role("by-hand").replaceChildren(...days.map((day) => {
      const [$row, $day] = [document.createElement("tr"), make("th", "", dayName(day))];
      $day.setAttribute("scope", "row");
      $row.append($day, make("td"), make("td"), make("td", "tk-plan__done"));
      return $row;
    }));
  }

  // The plan is printed whole, folded or not: what works it out is loaded once somebody does something here.
  let folded = false;
  function unfold() {
    folded ||= !$plan.open;
    $plan.open = true;
    showPlan();
  }
  addEventListener("beforeprint", () => { if (!role("setup").hidden && haveParts(["learning"])) unfold(); });
  addEventListener("afterprint", () => { if (folded) $plan.open = folded = false; });
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => { needParts(["learning"]).catch(() => {}); }, { once: true });
  addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key !== "p" || role("setup").hidden || haveParts(["learning"])) return;
    event.preventDefault();
    printPlan();
  });
  role("off").append(...weekDays().map(([day, name]) => {
    const $label = make("label", "tk-choice");
    const $mark = document.createElement("input");
    [$mark.type, $mark.name, $mark.value, $mark.className] = ["checkbox", "off", String(day), "tk-choice__mark"];
    $label.append($mark, " ", make("span", "tk-choice__text", name));
    return $label;
  }));
  offer();
  role("setup").hidden = false;
}

PARTS.drill = startDrill;
start();
