// A new version of the course is published while somebody is in the middle of something: what was answered to questions
// that are the same stays, a changed one is asked again, the page says so, and nothing leaves the record.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { PHONE, open } from "./browser.mjs";
import { smallCourse } from "./small_course.mjs";

const visit = (url, look) => open(url, look, { viewport: PHONE, reducedMotion: "reduce" });
const sitting = async (page) => JSON.parse(Object.entries(await kept(page)).find(([name]) => name.startsWith("sitting."))[1]);

/** Another range of numbers for one question, and one question less. */
function newVersion(course, less = false) {
  const bank = course.files["questions/last-lawn.yaml"].replace("90 to 200 by 2 fl oz", "100 to 220 by 4 fl oz");
  course.again({ "questions/last-lawn.yaml": less ? bank.slice(0, bank.indexOf("  - id: water")) : bank });
}

test("a check that counts goes on with what is the same, asks a changed question again, and says so", async () => {
  const course = smallCourse();
  await visit(course.url("lessons/the-check.html"), async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.locator('[data-role="start"] button').click();
    const before = [];
    for (let turn = 0; turn < 3; turn += 1) {
      const question = await asked(part);
      await answer(part, question, true);
      before.push(question);
      if (turn < 2) await part.locator('[data-do="next"]').click();
    }
    await part.locator('[data-do="flag"]').click();
    const old = (await sitting(page)).plan;
    newVersion(course);
    await page.reload();
    await part.waitFor();
    assert.match(await part.locator('[data-role="changed"]').innerText(), /has changed since you started it\. Your answers to questions that are the same are still here/);
    assert.equal(await part.locator('[data-role="start"] button').innerText(), "Continue with question 3 of 3");
    await part.locator('[data-role="start"] button').click();
    await part.locator('[data-role="stage"] [data-part="question"]').waitFor();
    assert.equal(await part.locator('.tk-paper__go[data-answered="yes"]').count(), 2);
    assert.equal(await part.locator('.tk-paper__go[data-flagged="yes"]').count(), 1, "a flag stays");
    for (const [place, { id, draw }] of before.entries()) {
      await part.locator(`[data-to="${place}"]`).click();
      const now = await asked(part);
      assert.equal(now.id, id);
      if (id !== "last-lawn-gun") assert.equal(now.draw, draw, "with the same numbers");
    }
    const now = await sitting(page);
    const gun = before.findIndex(({ id }) => id === "last-lawn-gun");
    assert.deepEqual(now.answers.map((one) => [one.question, one.digest, one.answer]), [["last-lawn/gun", old.slots[gun][1], old.answers[gun]]], "the old answer is in the record");
    assert.notEqual(now.plan.slots[gun][1], old.slots[gun][1]);
    await part.locator(`[data-to="${gun}"]`).click();
    await answer(part, await asked(part), true);
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    assert.match(await part.locator('[data-role="total"]').innerText(), /^5\s+of 5 points/);
  });
});

test("a question that is gone is left out, and a check of which nothing is left starts again with the record kept", async () => {
  const course = smallCourse();
  await visit(course.url("lessons/the-check.html"), async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.locator('[data-role="start"] button').click();
    await answer(part, await asked(part), true);
    await part.locator('[data-do="next"]').click();
    newVersion(course, true);
    await page.reload();
    await part.waitFor();
    assert.match(await part.locator('[data-role="start"] button').innerText(), /of 2$/);
    course.again({ "questions/last-lawn.yaml": course.files["questions/last-lawn.yaml"].replaceAll("1.6, 1.8", "1.5, 1.7").replace("90 to 200", "92 to 200").replace("- id: water", "- id: clean") });
    await page.reload();
    await part.waitFor();
    assert.ok(await part.locator('[data-role="changed"]').isVisible());
    assert.equal(await part.locator('[data-role="start"] button').innerText(), "Start the check");
    const { answers, ended } = await sitting(page);
    assert.ok(answers.length === 1 && ended, "what was answered is in the record");
  });
});

test("a mock exam goes on with what is the same, and so does its clock", async () => {
  const course = smallCourse();
  await visit(course.url("exam.html"), async (page) => {
    const part = page.locator('[data-part="exam"][data-started]');
    await part.waitFor();
    await page.evaluate(async () => {
      await loadQuestions();
      const all = everyQuestion().filter((question) => question.bank === "last-lawn");
      const slots = all.map((question) => [question.id, question.digest, wasm_bindgen.draw_at(question.json, 5), 5, true]);
      const until = new Date(Date.now() + 9.5 * 60_000).toISOString();
      LEARN.begin("exam", "exam", "OAK-1", { slots, answers: slots.map(() => ""), flags: slots.map(() => false), at: 0, until }).save();
    });
    await page.reload();
    for (let turn = 0; turn < 3; turn += 1) {
      await part.locator(`[data-to="${turn}"]`).click();
      await answer(part, await asked(part), true);
    }
    newVersion(course);
    await page.reload();
    await part.locator('[data-role="stage"] [data-part="question"]').waitFor();
    assert.ok(await part.locator('[data-role="changed"]').isVisible());
    assert.match(await part.locator(".tk-paper__clock").innerText(), /^10 minutes left/);
    assert.equal(await part.locator('.tk-paper__go[data-answered="yes"]').count(), 2);
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    assert.match(await part.locator('[data-role="total"]').innerText(), /^4\s+of 5 points/);
  });
});

test("practice goes on after what was answered, and a changed question comes with new numbers", async () => {
  const bank = { "lessons/the-check.md": "---\ntitle: Practice\nsummary: Three questions.\nminutes: 5\n---\n\n```questions last-lawn\n```\n" };
  const course = smallCourse(bank);
  await visit(course.url("lessons/the-check.html"), async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.locator('[data-role="start"] button').click();
    for (let turn = 0; turn < 2; turn += 1) {
      await answer(part, await asked(part), true);
      await part.locator('[data-do="check"]').click();
      await part.locator('[data-do="next"]').click();
    }
    const decided = (await sitting(page)).answers.map((one) => one.question);
    newVersion(course);
    await page.reload();
    await part.waitFor();
    assert.ok(await part.locator('[data-role="changed"]').isVisible());
    const left = decided.includes("last-lawn/gun") ? 2 : 3;
    assert.equal(await part.locator('[data-role="start"] button').innerText(), `Continue with question ${left} of 3`);
    await part.locator('[data-role="start"] button').click();
    for (let turn = left; turn <= 3; turn += 1) {
      await answer(part, await asked(part), true);
      await part.locator('[data-do="check"]').click();
      await part.locator('[data-do="next"]').click();
    }
    assert.match(await part.locator('[data-role="total"]').innerText(), /^3\s+of 3 right on the first try/);
  });
});
