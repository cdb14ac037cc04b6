// One score everywhere: records made in a browser, over hundreds of seeds and every kind of question, come out of
// `tankside mark`'s own functions with the same scores, the same mistakes and the same texts, to the last character.
// Most of it drives the functions of a page that asks; what a learner clicks is held beside it.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { answer, asked } from "./asking.mjs";
import { open } from "./browser.mjs";
import { diskUrl, runExample } from "./site.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
/** Draws of each question; each has a seed of its own. */
const DRAWS = 3;

/** Runs with a folder that is removed at the end. */
async function inFolder(look) {
  const folder = mkdtempSync(join(tmpdir(), "tankside-score-"));
  try { return await look(folder); } finally { rmSync(folder, { recursive: true, force: true }); }
}

/** What the native core says to every answer of a record, in their order. */
function marked(file) {
  const told = runExample("marked_records", [file], { encoding: "utf8", maxBuffer: 512 * 1024 * 1024 });
  return told.trimEnd().split("\n").map((line) => JSON.parse(line));
}

/** `mark` itself, on one file: how it ended and what it said. */
function mark(folder, file) {
  const program = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");
  try {
    return { code: 0, said: execFileSync(program, ["mark", file, "--to", join(folder, "roster")], { cwd: tmpdir(), encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] }) };
  } catch (fault) { return { code: fault.status, said: `${fault.stdout}${fault.stderr}` }; }
}

/** Saves the training record as a learner does. */
async function savedRecord(page, folder, name) {
  await page.goto(diskUrl("progress.html"));
  await page.locator('[data-part="progress"][data-started]').waitFor();
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-do="record"]').click()]);
  const file = join(folder, name);
  await download.saveAs(file);
  return file;
}

/** Every verdict that a browser gave beside the native one of the same answer. */
function compare(told, native) {
  const count = { right: 0, mistakes: 0, over: 0, asked: 0, parts: 0, carried: 0 };
  assert.equal(native.length, told.length);
  for (const [index, one] of told.entries()) {
    const other = native[index];
    const about = JSON.stringify({ one: { ...one, text: undefined }, other: { ...other, text: undefined } });
    assert.equal(other.unknown, undefined, about);
    assert.equal(other.right, one.right, about);
    if (other.text !== one.text) assert.fail(`${about}\n${firstDifference(other.text, one.text)}`);
    if (one.points) {
      assert.deepEqual(other.points, one.points, about);
      count.carried += Number(one.text.includes("tk-feedback__carried"));
    }
    count.right += Number(one.right);
    if (one.part) { count.parts += 1; continue; }
    assert.equal(other.mistake, one.mistake, about);
    assert.equal(other.over, one.over, about);
    count.mistakes += Number(Boolean(one.mistake));
    count.over += Number(Boolean(one.over));
    count.asked += Number(one.asked);
  }
  return count;
}

/** Where two texts first differ, with a little around it. */
function firstDifference(one, other) {
  const [a, b] = [String(one), String(other)];
  let at = 0;
  while (at < a.length && a[at] === b[at]) at += 1;
  return `native …${a.slice(Math.max(0, at - 60), at + 120)}\npage   …${b.slice(Math.max(0, at - 60), at + 120)}`;
}

test("a record of every question, over hundreds of seeds, is marked as the page marked it", async () => {
  await inFolder(async (folder) => {
    await open(diskUrl("exam.html"), async (page) => {
      await page.locator('[data-part="exam"][data-started]').waitFor();
      const told = await page.evaluate(answerEverything, DRAWS);
      const file = await savedRecord(page, folder, "record.json");
      const count = compare(told, marked(file));
      assert.ok(told.length > 2_500, `${told.length} answers`);
      assert.ok(count.right > 800 && count.mistakes > 600 && count.over > 60 && count.asked > 200 && count.carried >= 8, JSON.stringify(count));
      const { code, said } = mark(folder, file);
      assert.equal(code, 0, said);
      assert.match(said, new RegExp(`Marked ${told.length} answers from 1 file`));
    });
  });
});

/** In the page: every question at some draws, answered right, by a mistake, without a unit and at random, by its own functions. */
async function answerEverything(draws) {
  /* global LEARN, needScript, needParts, everyQuestion, needCalculators, markPaper, recordName, scoreOf, answerText, wasm_bindgen */
  await needScript("questions");
  await needParts(["practice", "learning"]);
  const all = everyQuestion();
  await needCalculators(all);
  LEARN.currentId();
  let state = 1;
  const random = (below) => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return state % below; };
  const told = [];
  const kinds = ["check", "exam", "drill", "practice"];
  let items = [];
  const texts = [];

  const times = (text, factor) => text.replace(/[\d.,]+/, (number) => String(Number(number.replaceAll(",", "")) * factor));
  /** The right answers as the key has them. */
  const keyOf = (question, draw) => {
    const $key = new DOMParser().parseFromString(scoreOf(question, draw, null).html, "text/html");
    return [...$key.querySelectorAll(".tk-feedback__accepted")].map(($one) => $one.textContent.replace(/\s+/g, " ").trim());
  };
  const answersOf = (question, draw, seed) => {
    if (question.parts?.length) {
      // Right; a slip in the first part that the others are worked on from, where they go in proportion; parts left blank.
      const right = keyOf(question, draw);
      const all = (factor) => right.map((text) => times(text, factor));
      return [right, all(1.25), all(0.4), [times(right[0], 3), ...right.slice(1)], ["", ...right.slice(1)], [right[0]], right.map((text) => text.match(/[\d.,]+/)[0])].map((texts) => texts.join("; ")).concat("");
    }
    if (question.kind === "number") {
      const { html } = JSON.parse(wasm_bindgen.choices(question.json, draw, seed));
      const $choices = new DOMParser().parseFromString(html, "text/html");
      const offered = [...$choices.querySelectorAll("[data-answer]")].map(($one) => $one.getAttribute("data-answer"));
      // Too few mistakes for choices: the right answer, and what was doubled, halved or read in tens.
      if (!offered.length) for (const right of keyOf(question, draw)) offered.push(right, ...[2, 0.5, 10].map((factor) => times(right, factor)));
      const unit = (offered[0] || "1 gal").replace(/^[−\d.,\s]+/, "");
      const bare = (offered[random(offered.length || 1)] || "12").match(/[\d.,]+/)[0];
      return [...offered, bare, `${random(90) + 1}${random(10) ? "" : "."} ${unit}`, ["about four", "3 oz", "1 banana", ""][random(4)]];
    }
    const count = question.options.length;
    const every = [...Array(count).keys()];
    const right = question.kind === "order" ? every : every.filter((index) => question.options[index].right);
    return [answerText(question.kind === "one" ? right[0] : right), String(random(count)), every.reverse().join(","), ""];
  };

  // A record holds sittings in the order in which they were begun, to the millisecond; two of one have none.
  const begin = (...sitting) => {
    for (const now = Date.now(); Date.now() === now;);
    return LEARN.begin(...sitting);
  };
  // Papers of forty answers: marked by the function that marks checks and exams.
  const handIn = () => {
    if (!items.length) return;
    const held = begin(kinds[told.length % kinds.length], "exam");
    for (const { text, score } of markPaper(items, texts, held)) {
      told.push({ right: Boolean(score.right), mistake: score.mistake, over: score.over, asked: score.right === null, points: score.points, text: JSON.stringify(score) });
      if (text.length > 400) throw new Error("an answer is cut");
    }
    held.end();
    items = [];
    texts.length = 0;
  };
  for (const question of all) {
    for (let turn = 0; turn < draws; turn += 1) {
      const seed = random(4_000_000_000);
      const draw = wasm_bindgen.draw_at(question.json, seed);
      for (const text of answersOf(question, draw, seed)) {
        items.push({ question, draw, seed, typed: true });
        texts.push(text);
        if (items.length === 40) handIn();
      }
    }
  }
  handIn();

  // Faded steps and slips to find, as the page of practice notes them.
  const ask = (request) => JSON.parse(wasm_bindgen.practice(JSON.stringify(request)));
  const held = begin("practice", "steps");
  for (const question of all.filter((one) => one.kind === "number")) {
    const seed = random(4_000_000_000);
    const draw = wasm_bindgen.draw_at(question.json, seed);
    const { html, steps } = ask({ do: "faded", question: question.json, draw, blanks: 0, seed: 1 });
    const blanks = 1 + random(2);
    if (steps < blanks || held.sitting.answers.length > 1_900) continue;
    const $shown = new DOMParser().parseFromString(html, "text/html");
    const values = [...$shown.querySelectorAll(".tk-faded__value")].map(($one) => $one.textContent.trim());
    const answers = Array.from({ length: blanks }, (_, index) => (random(3) ? values[steps - blanks + index] : "") || `${random(50) + 1} gal`);
    const verdicts = answers.map((answer, index) => ask({ do: "step", question: question.json, draw, step: steps - blanks + index, answer }));
    const note = (part, answer, right, text) => {
      held.answer({ question: recordName(question), digest: question.digest, draw, answer, try: 1, right, part });
      told.push({ part: true, right, text });
    };
    note(`steps-${blanks}`, answers.join("; "), verdicts.every((one) => one.right === true), null);
    const step = random(steps);
    const answer = values[step] || "3 gal";
    const reply = ask({ do: "slip-answer", question: question.json, draw, seed, step, answer });
    const right = Boolean(reply.marked) && reply.right === true;
    // The learner's own slip, as the drill asks for it.
    const mistake = ["rate-upside-down", "thousands-forgotten", "tank-times-rate", "seconds-taken-as-minutes"][random(4)];
    const own = wasm_bindgen.practice(JSON.stringify({ do: "slip-answer", question: question.json, draw, seed, step, answer, mistake }));
    const { marked, right: mended } = JSON.parse(own);
    note(`slip-${seed}-${mistake}`, `${step}; ${answer}`, Boolean(marked) && mended === true, own);
    note(`slip-${seed}`, `${step}; ${answer}`, right, wasm_bindgen.practice(JSON.stringify({ do: "slip-answer", question: question.json, draw, seed, step, answer })));
  }
  held.end();
  return told;
}

/** Draws of each instrument in each unit system. */
const READINGS = 40;

test("readings of every instrument, in both unit systems, are marked and explained as the page did, and the roster counts the same", async () => {
  await inFolder(async (folder) => {
    await open(diskUrl("reading.html"), async (page) => {
      await page.locator('[data-part="reading"][data-started]').waitFor();
      const told = await page.evaluate(readEverything, READINGS);
      const file = await savedRecord(page, folder, "readings.json");
      const count = compare(told, marked(file));
      for (const units of ["us", "metric"]) for (const thing of ["jug", "gauge", "watch", "tape", "pressure", "label"]) {
        const these = told.filter((one) => one.name === `${thing} ${units}`);
        const right = these.filter((one) => one.right).length;
        assert.ok(right >= READINGS && these.length - right >= READINGS, `${thing} in ${units}: ${right} of ${these.length} right`);
      }
      assert.equal(count.parts, told.length);
      const { code, said } = mark(folder, file);
      assert.equal(code, 0, said);
      const [head, row] = readFileSync(join(folder, "roster", "roster.csv"), "utf8").split(/\r?\n/).map((line) => line.split(","));
      const first = told.filter((one) => one.try === 1);
      const cells = ["Readings right", "Readings"].map((name) => Number(row[head.indexOf(name)]));
      assert.deepEqual(cells, [first.filter((one) => one.right).length, first.length]);
    });
  });
});

/** In the page: every instrument at some seeds, read right, a mark beside, at another number, in another unit and at random, noted as the page notes it. */
async function readEverything(draws) {
  await needParts(["practice", "reading"]);
  LEARN.rename(LEARN.currentId(), "Ada Fern");
  let state = 7;
  const random = (below) => { state = (Math.imul(state, 1664525) + 1013904223) >>> 0; return (state >>> 8) % below; };
  const told = [];
  for (const units of ["us", "metric"]) for (const thing of ["jug", "gauge", "watch", "tape", "pressure", "label"]) {
    const held = LEARN.begin("practice", "reading");
    for (let turn = 0; turn < draws; turn += 1) {
      const seed = random(0xff_ffff) * 256 + random(256);
      const read = (answer) => wasm_bindgen.reading(JSON.stringify({ units, do: "read", thing, seed, answer }));
      const words = new DOMParser().parseFromString(JSON.parse(read("x")).told, "text/html").body.textContent.replace(/\s+/g, " ");
      const [, figure, unit] = words.match(/(?:shows|says) ([\d.,]+) ([^:.]+)/);
      const value = Number(figure.replaceAll(",", ""));
      const answers = [`${value} ${unit}`, `${value * 1.02} ${unit}`, `${value + [1, 2, 5, 0.2][random(4)]} ${unit}`, `${value * 10} ${unit}`, `${random(100)} ${unit}`, String(value), `${value} oz`, "half full"];
      let tries = 1;
      for (const answer of answers.sort(() => random(3) - 1)) {
        const text = read(answer);
        const { right } = JSON.parse(text);
        // What is asked back is no answer, and is noted nowhere.
        if (right === null) continue;
        held.answer({ question: `reading/${thing}`, digest: `reading-${units}`, draw: seed, answer, try: tries, right, part: "reading" });
        told.push({ part: true, right, text, try: tries, name: `${thing} ${units}` });
        tries = tries === 1 ? 2 : 1;
      }
    }
    held.end();
  }
  return told;
}

test("what is clicked in a lesson, a check, the drill and the exam is scored by mark as the page scored it", async () => {
  await inFolder(async (folder) => {
    await open(diskUrl("drill.html"), async (page) => {
      const stage = '[data-role="stage"]';
      const part = page.locator("[data-part][data-started]").first();
      await part.waitFor();
      await page.locator("#drill-length").selectOption("6");
      await page.locator('[data-do="begin"]').click();
      for (let turn = 0; turn < 4; turn += 1) {
        await page.locator(`${stage} [data-part="question"]`).waitFor();
        const question = await asked(part);
        await answer(part, question, turn % 2 === 0);
        await page.locator('[data-do="check"]').click();
        if (turn % 2) { await answer(part, question, true); await page.locator('[data-do="check"]').click(); }
        await page.locator('[data-do="next"]').click();
      }
      await page.locator('[data-do="stop"]').click();
      await page.goto(diskUrl("exam.html"));
      await page.locator('[data-part="exam"][data-started]').waitFor();
      await page.locator("#exam-code").fill("OAK-17");
      await page.locator("#exam-who").fill("Ines");
      await page.locator('[data-do="begin-exam"]').click();
      for (let turn = 0; turn < 6; turn += 1) {
        await page.locator(`[data-to="${turn}"]`).click();
        const place = page.locator(`${stage} [data-part="question"]`);
        if (await place.locator(".tk-choice__mark").count()) await place.locator(".tk-choice__mark").first().check();
        // A question in parts has a field for each.
        else for (const entry of await place.locator(".tk-question__entry").all()) await entry.fill("12 gal");
      }
      await page.locator('[data-do="hand-in"]').click();
      await page.locator('[data-do="surely"]').click();
      await page.locator('[data-role="total"]').waitFor();
      const kept = await page.evaluate(() => LEARN.sittings().flatMap((sitting) => sitting.answers.map((one) => ({ right: one.right, mistake: one.mistake ?? null, over: Boolean(one.over) }))));
      const file = await savedRecord(page, folder, "clicked.json");
      const native = marked(file);
      assert.equal(native.length, kept.length);
      for (const [index, one] of kept.entries()) {
        assert.deepEqual({ right: native[index].right, mistake: native[index].mistake, over: native[index].over }, one);
      }
      assert.ok(kept.length >= 30 && kept.some((one) => one.right) && kept.some((one) => !one.right));
    });
  });
});

test("a record that was changed after it was saved is detected; one that was copied and broken into other lines is accepted", async () => {
  await inFolder(async (folder) => {
    await open(diskUrl("progress.html"), async (page) => {
      await page.evaluate(() => {
        LEARN.rename(LEARN.currentId(), "Ada Fern");
        const held = LEARN.begin("practice", "catch-test");
        held.answer({ question: "catch-test/x", digest: "0", draw: 1, answer: "2 gal", try: 1, right: true });
        held.end();
      });
      const file = await savedRecord(page, folder, "ada.json");
      const text = readFileSync(file, "utf8");
      assert.match(text, /,"seal":"[0-9a-f]{16}"\n}\n$/);
      const other = (name, words) => { const place = join(folder, name); writeFileSync(place, words); return mark(folder, place); };
      assert.equal(mark(folder, file).code, 0);
      assert.equal(other("copied.json", text.replaceAll("\n", "\r\n")).code, 0);
      const changed = other("changed.json", text.replace("2 gal", "3 gal"));
      assert.notEqual(changed.code, 0);
      assert.match(changed.said, /changed after it was made/);
      // What is copied as text is what is saved as a file.
      await page.locator('[data-do="copy"]').click();
      await page.locator("#record-text").waitFor();
      assert.equal(other("pasted.json", await page.locator("#record-text").inputValue()).code, 0);
    }, { permissions: [] });
  });
});
