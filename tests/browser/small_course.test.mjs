// In a course of one lesson every link leads somewhere: what no lesson teaches is not drilled unless it is asked for, and
// what a mock exam asks of it names a page to read.

import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { smallCourse } from "./small_course.mjs";

const COURSE = smallCourse();
const visit = (page, look) => open(COURSE.url(page), look, { viewport: PHONE, reducedMotion: "reduce" });
const there = (from, href) => existsSync(join(COURSE.site, dirname(from), href.split("#")[0]));

test("every question that can be asked names a page that is there, and which of them are lessons", async () => {
  await visit("exam.html", async (page) => {
    await page.locator('[data-part="exam"][data-started]').waitFor();
    const all = await page.evaluate(async () => (await loadQuestions()).map(({ id, asks, lesson }) => ({ id, asks, lesson })));
    assert.ok(all.length > 200);
    for (const { id, asks, lesson } of all) {
      assert.ok(lesson && there("exam.html", lesson.href), `${id}: ${JSON.stringify(lesson)}`);
      assert.equal(lesson.beyond, !lesson.href.startsWith("lessons/"), id);
      if (asks.startsWith("catch-test/")) assert.equal(lesson.href, "lessons/catch-test.html", id);
    }
  });
});

test("the drill keeps to what is taught until somebody asks for more", async () => {
  await visit("drill.html", async (page) => {
    const part = page.locator('[data-part="drill"][data-started]');
    await part.waitFor();
    await part.locator('[data-do="begin"]').click();
    await part.locator('[data-role="stage"] [data-part="question"]').waitFor();
    const asked = await page.evaluate(() => {
      const taught = new Map(everyQuestion().map((question) => [question.id, !question.lesson.beyond]));
      return [...document.querySelectorAll('[data-role="stage"] [data-part="question"]')].map(($one) => taught.get($one.dataset.question));
    });
    assert.deepEqual(asked, [true]);
  });
});

/** Hands in what nobody has answered. */
async function handInBlank(part) {
  for (const chore of ["hand-in", "surely"]) await part.locator(`[data-do="${chore}"]`).click();
  await part.locator('[data-role="total"]').waitFor();
}

test("an exam's missed questions each lead to a page, and the drill then asks them as well", async () => {
  await visit("exam.html", async (page) => {
    const part = page.locator('[data-part="exam"][data-started]');
    await part.waitFor();
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator('[data-role="stage"] [data-part="question"]').waitFor();
    await handInBlank(part);
    const rows = part.locator(".tk-missed li");
    assert.equal(await rows.count(), 8);
    let beyond = 0;
    for (const row of await rows.all()) {
      const href = await row.locator("a").nth(1).getAttribute("href");
      assert.ok(there("exam.html", href), href);
      if (href.startsWith("lessons/")) continue;
      beyond += 1;
      assert.match(await row.innerText(), /Not in a lesson of this course\. See “/);
    }
    assert.ok(beyond > 0);
    await part.locator('a[href="drill.html"]').click();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    assert.ok(await page.locator('[data-role="beyond"]').isChecked());
    assert.match(await page.locator('[data-role="standing"]').innerText(), /Missed last time: 8/);
  });
});

test("a check that counts names the lesson that teaches each question it asks", async () => {
  await visit("lessons/the-check.html", async (page) => {
    const part = page.locator('[data-part="quiz"][data-started]');
    await part.waitFor();
    await part.locator('[data-role="start"] button').click();
    await handInBlank(part);
    const links = await part.locator(".tk-missed li").evaluateAll(($rows) => $rows.map(($row) => $row.querySelectorAll("a")[1].getAttribute("href")));
    assert.deepEqual(links.slice().sort(), ["../glossary.html", "../lessons/catch-test.html", "../work/tank-mix.html"]);
    for (const href of links) assert.ok(there("lessons/the-check.html", href), href);
  });
});

test("reference sheet and pocket calculator are there as the course sets them", async () => {
  for (const [set, sheet, pocket] of [["reference-sheet: true, calculator: false", ["US units", "Metric units"], 0], ["items: 8", [], 1]]) {
    const settings = COURSE.files["course.yaml"].replace(/exam:.*/, `exam: { ${set} }`);
    const course = smallCourse({ "course.yaml": settings });
    await open(course.url("exam.html"), async (page) => {
      await page.locator('[data-part="exam"][data-started]').waitFor();
      assert.ok(await page.locator('[data-role="aids"]').isHidden(), "nothing before it begins");
      await page.locator('[data-do="begin-exam"]').click();
      await page.locator('[data-role="stage"] [data-part="question"]').waitFor();
      assert.deepEqual(await page.locator(".tk-sheet-system").allTextContents(), sheet);
      assert.equal(await page.locator(".tk-sheet-lines").count(), sheet.length ? 3 : 0, "shapes, and each system");
      assert.equal(await page.locator('[data-part="pocket"]').count(), pocket);
      for (const fold of await page.locator(".tk-exam__aids summary").all()) {
        await fold.click();
        assert.ok(await fold.locator("xpath=following-sibling::*").first().isVisible());
      }
    });
  }
});

test("where the course sets no minutes, an exam has no clock and speaks of none", async () => {
  const free = smallCourse({ "course.yaml": COURSE.files["course.yaml"].replace("minutes: 20", "minutes: 0") });
  for (const [course, minutes] of [[COURSE, 20], [free, 0]]) {
    await open(course.url("exam.html"), async (page) => {
      const part = page.locator('[data-part="exam"][data-started]');
      await part.waitFor();
      // Where there is one, page and question name it: the same words would be found.
      const said = /\bclock\b|\bminutes?\b/i;
      assert.equal(said.test(await page.locator("main").innerText()), minutes > 0, `${minutes} minutes, before it begins`);
      if (!minutes) assert.match(await page.locator("main").innerText(), /You can close the page and come back: your answers stay\./);
      await part.locator('[data-do="begin-exam"]').click();
      await part.locator('[data-role="stage"] [data-part="question"]').waitFor();
      assert.equal(await part.locator(".tk-paper__clock").isVisible(), minutes > 0);
      await page.goto(course.url("index.html"));
      assert.match(await page.locator(".tk-here__on").innerText(), minutes ? /^Continue your mock exam: 20 minutes left$/ : /^Continue your mock exam$/);
    }, { viewport: PHONE, reducedMotion: "reduce" });
  }
});
