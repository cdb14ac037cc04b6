/**
 * Part "exam": a mock exam by the course's blueprint. The answers and the end time are kept, so that a page that
 * is closed and opened again carries on, and so does the clock.
 */
"use strict";
/* global PARTS, LEARN, wasm_bindgen, loadQuestions, oneAtATime, find, start, word, make, makeButton, makeLink, needCalculators, startPaper, markPaper, sumPoints, showMarked, allPoints, needOf, standings, showTroubles, startCalculator, leftOf, takeUp, endChanged */

/** @typedef {{items: number, pass: number, minutes: number, typed: number, weights: [string, number][], names: Object<string, string>}} ExamSettings */

/** @param {HTMLElement} $part */
function startExam($part) {
  /** @param {string} role */
  const role = (role) => find("exam", $part, `[data-role="${role}"]`);
  /** @type {ExamSettings} */
  const set = JSON.parse(role("settings").textContent || "{}");
  /** @type {AskedQuestion[]} */
  let all = [];
  /** @type {Map<string, AskedQuestion>} */
  let byId = new Map();
  const $code = /** @type {HTMLInputElement} */ (role("code"));
  const $who = /** @type {HTMLInputElement} */ (role("who"));
  const $calculator = $part.querySelector('[data-part="pocket"]');
  if ($calculator instanceof HTMLElement) startCalculator($calculator);

  const alone = oneAtATime();

  /** Begins an exam, goes on with one or shows the last, when the questions are there. @param {() => void|Promise<void>} act */
  function withQuestions(act) {
    alone(async () => {
      try { if (!all.length) all = await loadQuestions(); } catch { role("said").textContent = word("not-loaded"); return; }
      byId = new Map(all.map((question) => [question.id, question]));
      await act();
    });
  }

  /** The exam for a code, the name of who sits it and the number that this device made for them, or a random one. @param {string} code */
  function composed(code) {
    const places = new Map(set.weights.map(([topic], place) => [topic, place]));
    const pool = all.map((question) => [places.get(question.topic || "") ?? null, question.asks || question.id, question.kind === "number", !question.chosen]);
    const seed = crypto.getRandomValues(new Uint32Array(1))[0];
    const { asked } = JSON.parse(wasm_bindgen.learning(JSON.stringify({ do: "exam", pool, weights: set.weights.map(([, weight]) => weight), items: set.items, typed: set.typed, code: code && `${code} ${LEARN.current().name} ${LEARN.currentId()}`, seed })));
    return asked.map((/** @type {[number, number, boolean]} */ [item, seed, typed]) => ({ question: all[item], seed, typed, draw: wasm_bindgen.draw_at(all[item].json, seed) }));
  }

  /** @param {any} held @param {PaperItem[]} items @param {boolean} [begun] just now, by the learner */
  async function go(held, items, begun = false) {
    try { await needCalculators(items.map((item) => item.question)); } catch { role("said").textContent = word("not-loaded"); return; }
    const plan = held.sitting.plan;
    role("setup").hidden = true;
    role("stage").hidden = false;
    role("aids").hidden = false;
    $part.dataset.sitting = "yes";
    const paper = startPaper(role("stage"), {
      items, state: plan, keep: () => held.save(), meet: () => held.meet(),
      done: (late) => done(held, items, late),
      // At once: while this one is still being taken up, nothing else would begin.
      elsewhere() { closeAids(); lookAgain(word("handed-elsewhere")); },
    });
    if (begun) paper.focus();
  }

  /** @param {any} held @param {PaperItem[]} items @param {boolean} late */
  function done(held, items, late) {
    const { slots, answers } = held.sitting.plan;
    const marked = markPaper(items, answers, held);
    const all = allPoints(items.map((item) => item.question));
    const need = needOf(all, set.pass);
    LEARN.setNote("exam", { slots, answers, late });
    held.sitting.result = { right: sumPoints(marked)[0], all, need };
    held.end();
    standings();
    drillBeyond(marked);
    closeAids();
    show(marked, need, late);
  }

  function closeAids() {
    role("aids").hidden = true;
    delete $part.dataset.sitting;
  }

  /** What was missed and no lesson teaches can be drilled too, unless the learner has decided that. @param {ReturnType<typeof markPaper>} marked */
  function drillBeyond(marked) {
    const settings = (LEARN.note("settings") || {}).note || {};
    if (!settings.chosen && marked.some((one) => !one.right && one.item.question.lesson?.beyond)) LEARN.setNote("settings", { ...settings, beyond: true });
  }

  /** @param {ReturnType<typeof markPaper>} marked @param {number} need @param {boolean} late @param {string} [note] */
  function show(marked, need, late, note) {
    const $tools = make("div", "tk-quiz__tools");
    $tools.append(makeButton("again", word("exam-again"), true), makeLink("drill.html", word("exam-to-drill"), "tk-button"), makeLink("progress.html", word("exam-to-record"), "tk-button"));
    showMarked(role("stage"), marked, { need, late, note, topics: set.names, ending: [$tools] });
  }

  async function begin() {
    const code = $code.value.trim().slice(0, 40);
    const other = LEARN.current().name ? undefined : LEARN.namesake($who.value);
    if (other) { role("said").replaceChildren(word("name-taken", { name: other.name }), " ", word("exam-name-taken", { name: other.name }), " ", makeLink("progress.html#who", word("progress"))); $who.focus(); return; }
    if (!LEARN.current().name && $who.value.trim()) LEARN.rename(LEARN.currentId(), $who.value);
    if (code && !LEARN.current().name) { role("said").textContent = word("exam-who-needed"); $who.focus(); return; }
    const items = composed(code);
    role("said").textContent = items.length ? "" : word("no-topic");
    if (!items.length) return;
    // The clock starts when everything is there.
    try { await needCalculators(items.map((/** @type {PaperItem} */ item) => item.question)); } catch { role("said").textContent = word("not-loaded"); return; }
    const until = set.minutes ? new Date(Date.now() + set.minutes * 60_000).toISOString() : "";
    const plan = {
      slots: items.map((/** @type {PaperItem} */ { question, draw, seed, typed }) => [question.id, question.digest, draw, seed, typed]),
      answers: items.map(() => ""), flags: items.map(() => false), at: 0, until,
    };
    const held = LEARN.begin("exam", "exam", code, plan);
    held.save();
    await go(held, items, true);
  }

  /** The last exam that was handed in, to look at again. */
  const last = () => (LEARN.note("exam") || {}).note;

  function offer() {
    role("setup").hidden = false;
    showTroubles(role("trouble"));
    role("unnamed").hidden = LEARN.current().name !== "";
    const held = LEARN.unfinished("exam", "exam");
    role("last").hidden = Boolean(held) || !last();
    if (held) withQuestions(() => goOn(held));
  }

  /** @param {string} [note] */
  async function lookAgain(note) {
    const kept = last();
    const rows = Array.isArray(kept?.slots) ? kept.slots : [];
    const items = itemsOf(rows);
    if (!items.length || items.length !== rows.length || !Array.isArray(kept.answers)) { role("last").hidden = true; role("said").textContent = word("last-changed"); find("exam", $part, '[data-do="begin-exam"]').focus(); return; }
    try { await needCalculators(items.map((/** @type {PaperItem} */ item) => item.question)); } catch { role("said").textContent = word("not-loaded"); return; }
    role("setup").hidden = true;
    role("stage").hidden = false;
    // It was recorded when it was handed in.
    show(markPaper(items, kept.answers.map(String), { answer() {} }), needOf(allPoints(items.map((item) => item.question)), set.pass), Boolean(kept.late), note);
  }

  /** The questions in the rows that have not changed since. @param {any[]} rows @returns {PaperItem[]} */
  const itemsOf = (rows) => rows.flatMap((/** @type {any} */ row) => {
    const question = Array.isArray(row) ? byId.get(row[0]) : undefined;
    return question && question.digest === row[1] ? [{ question, draw: row[2] >>> 0, seed: row[3] >>> 0, typed: Boolean(row[4]) }] : [];
  });

  /** @param {any} held */
  async function goOn(held) {
    const left = leftOf(held.sitting.plan, byId, true);
    role("changed").hidden = left !== null && !left.changed;
    if (left) { await go(held, takeUp(held, left.rows, true)); return; }
    endChanged(held, byId);
  }

  $part.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest("button[data-do]");
    const chore = $button instanceof HTMLElement ? $button.dataset.do : "";
    // One that could not be resumed yet, for lack of a signal, comes before a new one.
    if (chore === "begin-exam") withQuestions(() => { const held = LEARN.unfinished("exam", "exam"); return held ? goOn(held) : begin(); });
    if (chore === "last") withQuestions(() => lookAgain());
    if (chore === "again") { role("stage").hidden = true; offer(); $code.focus(); }
  });
  $part.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || (event.target !== $code && event.target !== $who)) return;
    event.preventDefault();
    find("exam", $part, '[data-do="begin-exam"]').click();
  });
  offer();
}

PARTS.exam = startExam;
start();
