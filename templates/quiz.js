/**
 * Part "quiz" of a published course: the questions of a bank, one at a time, with fresh numbers. Practice gives
 * feedback at once; a check that counts gives it at the end. What was done is kept in the browser, so that a page that
 * is reloaded goes on where it was.
 */
"use strict";
/* global PARTS, LEARN, find, start, numbersInAddress, putInAddress, word, make, makeAround, makeButton, makeLink, freshDraw, readyQuestion, posedQuestion, scoreOf, elementOf, taughtIn, startRound, startPaper, markPaper, sumPoints, showMarked, allPoints, needOf, standings, showTroubles, needCalculators, oneAtATime, leftOf, takeUp, endChanged */

/**
 * Part "quiz".
 * @param {HTMLElement} $section
 */
function startQuiz($section) {
  /** @param {string} role */
  const role = (role) => find("quiz", $section, `[data-role="${role}"]`);
  const $stage = role("stage");
  const counts = $section.dataset.counts === "yes";
  const name = $section.dataset.bank || "";
  const pass = Number($section.dataset.pass);
  const $lesson = document.querySelector("h1");
  const inLesson = document.body.querySelector("article") !== null && $lesson !== null;
  /** @type {{banks: {id: string, ask: number, taught?: number[], questions: any[]}[], lessons?: [string, string, number][]}} */
  const { banks, lessons = [] } = JSON.parse(role("bank").textContent || "");
  const here = inLesson && $lesson ? { href: "#main", title: $lesson.textContent || "" } : null;
  /** @type {Map<string, AskedQuestion>} */
  const known = new Map();
  for (const bank of banks) for (const [index, one] of bank.questions.entries()) known.set(one.id, readyQuestion(one, bank.id, bank.taught ? taughtIn(lessons[bank.taught[index]]) : here));
  // Only what is answered without help and marked at the end counts as a check.
  const kind = counts ? "check" : "practice";

  /** The questions for a seed, or fresh ones: as many from each bank as are set. @param {number|null} seed @returns {Slot[]} */
  function dealt(seed) {
    return banks.flatMap((bank) => {
      const all = bank.questions.map((one) => /** @type {AskedQuestion} */ (known.get(one.id)));
      const first = seed === null ? Math.floor(Math.random() * all.length) : seed % all.length;
      const turned = bank.ask < all.length ? [...all.slice(first), ...all.slice(0, first)] : all;
      return turned.slice(0, bank.ask).map((question) => ({ question, draw: seed === null ? freshDraw(question) : wasm_bindgen.draw_at(question.json, seed) }));
    });
  }

  /** @param {Slot[]} slots */
  const written = (slots) => slots.map(({ question, draw }) => [question.id, question.digest, draw]);

  /** Goes on with a sitting. @param {any} held @param {Slot[]} slots @param {boolean} focus */
  function go(held, slots, focus) {
    role("start").hidden = true;
    $stage.hidden = false;
    needParts(["learning"]).catch(() => {});
    if (counts) goPaper(held, slots, focus); else goRound(held, slots, focus);
  }

  /** @param {any} held @param {Slot[]} slots @param {boolean} focus */
  function goRound(held, slots, focus) {
    const plan = held.sitting.plan;
    const done = held.sitting.answers.reduce((/** @type {Map<string, any>} */ all, /** @type {any} */ one) => all.set(`${one.digest} ${one.draw}`, one), new Map());
    const tries = slots.slice(0, plan.at).flatMap((slot) => {
      const one = done.get(`${slot.question.digest} ${slot.draw}`);
      return one ? [{ slot, right: Boolean(one.right), tries: one.try }] : [];
    });
    const round = startRound($stage, {
      held, slots, at: Math.min(plan.at, slots.length - 1), tries,
      keep(at) { plan.at = at; held.save(); },
      done(tries) { held.end(); standings(); sum(slots, tries); },
    });
    if (focus) round.focus();
  }

  /** @param {any} held @param {Slot[]} slots @param {boolean} focus */
  function goPaper(held, slots, focus) {
    const state = held.sitting.plan;
    const items = slots.map((slot) => ({ ...slot, seed: 0, typed: true }));
    const paper = startPaper($stage, {
      items, state,
      keep: () => held.save(), meet: () => held.meet(),
      elsewhere() { offer(); role("trouble").append(make("p", "", word("handed-elsewhere"))); role("trouble").hidden = false; },
      done(late) {
        const marked = markPaper(items, state.answers, held);
        const all = allPoints(items.map((item) => item.question));
        const need = needOf(all, pass);
        held.sitting.result = { right: sumPoints(marked)[0], all, need };
        held.end();
        standings();
        showMarked($stage, marked, { need, late, ending: [makeButton("again", word("again"))] });
      },
    });
    if (focus) paper.focus();
  }

  /** The outcome of a round: what has been learned, and what to read again. @param {Slot[]} slots @param {{slot: Slot, right: boolean, tries: number}[]} tries */
  function sum(slots, tries) {
    const first = tries.filter((one) => one.right && one.tries === 1).length;
    const $total = make("div", "tk-total");
    $total.tabIndex = -1;
    $total.dataset.role = "total";
    const $line = makeAround("tk-score", word("first-try-of", { all: tries.length }), "right", make("strong", "tk-score__right", String(first)));
    $total.append($line, make("p", "tk-total__words", word(first === slots.length ? "perfect" : first >= needOf(slots.length, pass) ? "practice-good" : "practice-again", { need: needOf(slots.length, pass) })));
    const $list = make("ul", "tk-missed");
    for (const one of tries.filter((one) => !(one.right && one.tries === 1))) {
      const $row = make("li", "", word(one.right ? "second-try-row" : "missed-row", { at: slots.indexOf(one.slot) + 1, question: asked(one.slot) }));
      const $steps = make("details", "tk-fold");
      $steps.append(make("summary", "tk-fold__line", word(one.slot.question.kind === "number" ? "working" : "answers-why")), elementOf(scoreOf(one.slot.question, one.slot.draw, null).html));
      $row.append($steps);
      $list.append($row);
    }
    const $tools = make("div", "tk-quiz__tools");
    // Nobody who had everything right needs the lesson again.
    const $on = first === slots.length && document.querySelector('.tk-turn__link[rel="next"]');
    const $title = $on && $on.querySelector(".tk-turn__title");
    $tools.append(makeButton("again", word("again"), !$on));
    if ($on && $title) $tools.prepend(makeLink($on.getAttribute("href") || "", word("home-go-on", { lesson: $title.textContent || "" }), "tk-button tk-button--main"));
    else if (here) $tools.append(makeLink(here.href, word("read-lesson", { lesson: here.title }), "tk-button"));
    $stage.replaceChildren($total, ...($list.childElementCount ? [$list] : []), $tools);
    $stage.scrollIntoView({ block: "start" });
    $total.focus({ preventScroll: true });
  }

  /** The question as it was asked, with its numbers. @param {Slot} slot */
  const asked = (slot) => find("quiz", posedQuestion(slot.question, slot.draw), ".tk-question__text").textContent || "";

  const alone = oneAtATime();

  /** Does something with questions once the parts that work them are there. @param {AskedQuestion[]} questions @param {() => void} act */
  function whenLoaded(questions, act) {
    alone(async () => {
      try { await needCalculators(questions); } catch (cause) { console.info(cause); unloaded(); return; }
      showTroubles(role("trouble"));
      act();
    });
  }

  /** @param {number|null} seed */
  const begin = (seed) => whenLoaded([...known.values()], () => beginNow(seed));

  /** Says that the questions cannot be loaded, and leaves a button to try again with. */
  function unloaded() {
    if ($stage.hidden) offer();
    role("trouble").replaceChildren(make("p", "", word("not-loaded")));
    role("trouble").hidden = false;
  }

  /** @param {number|null} seed */
  function beginNow(seed) {
    const slots = dealt(seed);
    const plan = counts ? { slots: written(slots), answers: slots.map(() => ""), flags: slots.map(() => false), at: 0, until: "" } : { slots: written(slots), at: 0 };
    go(LEARN.begin(kind, name, "", plan), slots, true);
  }

  function unfinished() {
    const held = LEARN.unfinished(kind, name);
    if (!held) return null;
    const left = leftOf(held.sitting.plan, known, counts);
    // A round whose last question was answered has nothing left.
    const done = !counts && held.sitting.plan.at >= (held.sitting.plan.slots || []).length;
    role("changed").hidden = done || (left !== null && !left.changed);
    if (left) return { held, ...left };
    endChanged(held, known);
    return null;
  }

  function offer() {
    const left = unfinished();
    const $start = role("start");
    const $button = find("quiz", $start, "button");
    $button.textContent = left && (left.held.sitting.answers.length || left.held.sitting.plan.at) ? word("go-on", { at: left.at + 1, all: left.all }) : word(counts ? "begin-check" : "begin-practice");
    $start.hidden = false;
    $stage.hidden = true;
    showTroubles(role("trouble"));
    $button.onclick = () => {
      if (left) whenLoaded(left.rows.flatMap((one) => one.question || []), () => go(left.held, takeUp(left.held, left.rows, counts), true)); else begin(null);
    };
  }

  function seedFromAddress() {
    const params = numbersInAddress($section.id);
    const text = params ? params.get("seed") || "" : "";
    return /^\d{1,10}$/.test(text) ? Number(text) >>> 0 : null;
  }

  $section.addEventListener("click", (event) => {
    const $button = event.target instanceof Element && event.target.closest('button[data-do="again"]');
    if ($button) begin(null);
  });
  // The printed version is not the one worked on screen: it is kept outside the page, so that no id appears twice.
  const $printed = role("printed");
  const $sheet = [...$printed.childNodes];
  $printed.replaceChildren();
  const paper = matchMedia("print");
  paper.addEventListener("change", () => { $printed.replaceChildren(...(paper.matches ? $sheet : [])); });
  addEventListener("beforeprint", () => { $printed.replaceChildren(...$sheet); });
  addEventListener("afterprint", () => { $printed.replaceChildren(); });
  // The address may change once more until the questions have loaded.
  addEventListener("hashchange", () => { if (seedFromAddress() !== null) whenLoaded([...known.values()], () => beginNow(seedFromAddress())); });
  const wanted = seedFromAddress();
  if (wanted !== null) begin(wanted); else offer();
}

PARTS.quiz = startQuiz;
start();
