// Questions of several parts where it counts: in a check and in a mock exam, in the record and its certificate, and as
// `tankside mark` finds them. A part that is worked correctly from an earlier wrong figure earns its point and says so.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { answer, asked } from "./asking.mjs";
import { keepsTheRules } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { smallCourse } from "./small_course.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const PROGRAM = process.env.TANKSIDE_BIN ?? join(ROOT, "target/debug/tankside");
const COURSE = smallCourse();
const CARRIED = /Right from your [\d.]+\sgal; the slip was in part 1/;

const visit = (url, look) => open(url, look, { viewport: PHONE, reducedMotion: "reduce", acceptDownloads: true });

/** The right figures at a draw, worked here from what the question gives: gallons, gallons, fluid ounces. */
function figures(text, needed) {
  const [, area, left, rate, label] = text.replace(/\s+/g, " ").match(/lawn of ([\d,]+) ft² is left, and ([\d.]+) gal.*says ([\d.]+) gal.*label ([\d.]+) fl/);
  const mix = needed ?? (Number(area.replace(",", "")) / 1000) * Number(rate);
  return [mix, mix - Number(left), ((mix - Number(left)) / Number(rate)) * Number(label)];
}

/** Fills the parts: the first a quarter too high, the others worked correctly from that. */
async function carry(part) {
  const place = part.locator('[data-role="stage"] [data-part="question"]');
  const text = await place.locator(".tk-question__text").innerText();
  const slip = figures(text)[0] * 1.25;
  const [mix, make, product] = figures(text, slip).map((figure) => figure.toPrecision(6));
  for (const [index, typed] of [`${mix} gal`, `${make} gal`, `${product} fl oz`].entries()) await place.locator(`[data-piece="${index}"]`).fill(typed);
}

/** No rule broken and nothing too wide, in light and dark, on phone and desk. */
async function looksRight(page) {
  await keepsTheRules(page);
  await page.emulateMedia({ colorScheme: "light" });
  await page.setViewportSize(PHONE);
}

let saved = 0;
async function savedRecord(page) {
  await page.goto(COURSE.url("progress.html"));
  await page.locator('[data-part="progress"][data-started]').waitFor();
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-do="record"]').click()]);
  const file = join(COURSE.folder, `record-${(saved += 1)}.json`);
  await download.saveAs(file);
  return file;
}

/** The head and the only row of the roster of a record. */
function rosterOf(file) {
  execFileSync(PROGRAM, ["mark", file, "--course", COURSE.course, "--to", join(COURSE.folder, "roster")], { cwd: COURSE.folder, stdio: "pipe" });
  const [head, row] = readFileSync(join(COURSE.folder, "roster", "roster.csv"), "utf8").split("\r\n").map((line) => line.split(","));
  return Object.fromEntries(head.map((name, place) => [name, row[place]]));
}

test("in a check that counts, carried parts earn their points, and so in record, certificate and roster", async () => {
  await visit(COURSE.url("lessons/the-check.html"), async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.waitFor();
    await page.evaluate(() => LEARN.rename(LEARN.currentId(), "Ada"));
    await part.locator('[data-role="start"] button').click();
    for (let turn = 0; turn < 3; turn += 1) {
      const question = await asked(part);
      if (question.authored.parts) {
        // A figure without its unit is asked about before the page goes on, and which part it is.
        await carry(part);
        const last = part.locator('[data-piece="2"]');
        const typed = await last.inputValue();
        await last.fill(typed.split(" ")[0]);
        await part.locator('[data-do="next"]').click();
        assert.match(await part.locator('[data-role="ask"]').innerText(), /Part 3.*unit/s);
        assert.equal(await page.evaluate(() => document.activeElement.dataset.piece), "2");
        await last.fill(typed);
        await looksRight(page);
      } else await answer(part, question, true);
      if (turn < 2) await part.locator('[data-do="next"]').click();
    }
    assert.equal(await part.locator(".tk-feedback").count(), 0, "nothing is told before it is handed in");
    await page.reload();
    await part.locator('[data-role="start"] button').click();
    await part.locator('[data-to="0"]').click();
    await part.locator('[data-do="hand-in"]').click();
    assert.match(await part.locator(".tk-quiz__sure").innerText(), /Every question has an answer/);
    await part.locator('[data-do="surely"]').click();
    const total = await part.locator('[data-role="total"]').innerText();
    assert.match(total, /^4\s+of 5 points; 3 needed to pass/);
    assert.match(total, /Passed/);
    const row = part.locator(".tk-reviewed__row").filter({ hasText: "A lawn of" });
    assert.match(await row.innerText(), /2 of 3 points/);
    await row.locator("summary").first().click();
    assert.equal((await row.innerText()).match(new RegExp(CARRIED, "g"))?.length, 2, await row.innerText());
    await looksRight(page);
    const file = await savedRecord(page);
    assert.match(await page.locator('[data-role="rows"]').innerText(), /4 of 5 points/);
    await page.evaluate(() => { window.print = () => {}; });
    await page.locator('[data-do="certificate"]').click();
    await page.emulateMedia({ media: "print" });
    assert.match(await page.locator(".tk-certificate").innerText(), /Ada[^]*“The last lawn”[^]*4 of 5 points \(3 needed\)/);
    await page.emulateMedia({ media: "screen" });
    const roster = rosterOf(file);
    assert.deepEqual([roster.Name, roster.Right, roster.Answers], ["Ada", "4", "5"]);
  });
});

test("in a mock exam carried parts earn their points, by topic and in all", async () => {
  await visit(COURSE.url("exam.html"), async (page) => {
    const part = page.locator('[data-part="exam"][data-started]');
    await part.waitFor();
    // The exam that is kept holds the question of several parts and a choice.
    await page.evaluate(async () => {
      await loadQuestions();
      const all = everyQuestion().filter((question) => ["last-lawn-whole", "last-lawn-water"].includes(question.id));
      const slots = all.map((question) => [question.id, question.digest, wasm_bindgen.draw_at(question.json, 5), 5, true]);
      LEARN.begin("exam", "exam", "OAK-1", { slots, answers: slots.map(() => ""), flags: slots.map(() => false), at: 0, until: "" }).save();
    });
    await page.reload();
    for (const turn of [0, 1]) {
      await part.locator(`[data-to="${turn}"]`).click();
      const question = await asked(part);
      if (question.authored.parts) await carry(part); else await answer(part, question, true);
    }
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    assert.match(await part.locator('[data-role="total"]').innerText(), /^3\s+of 4 points; 3 needed to pass/);
    assert.match(await part.locator(".tk-topics").innerText(), /2 of 3 points/);
    assert.match(await part.locator(".tk-topics").innerText(), /1 of 1 right/);
    await part.locator(".tk-missed a").first().click();
    assert.match(await part.locator(".tk-reviewed").innerText(), CARRIED);
    await looksRight(page);
    const roster = rosterOf(await savedRecord(page));
    assert.deepEqual([roster.Right, roster.Answers], ["3", "4"]);
  });
});

test("on paper a question of several parts has a line for each, and its marks can be read in print", async () => {
  await visit(COURSE.url("lessons/the-check.html"), async (page) => {
    await page.locator('[data-part="quiz"][data-started]').waitFor();
    await page.emulateMedia({ media: "print" });
    const parts = page.locator('[data-role="printed"] .tk-parts').first();
    await parts.waitFor();
    assert.equal(await parts.locator("> li").count(), 3);
    for (const entry of await parts.locator(".tk-question__entry").all()) {
      const box = await entry.boundingBox();
      assert.ok(box.height >= 20 && box.width >= 100, JSON.stringify(box));
    }
  });
});
