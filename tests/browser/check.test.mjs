// A check that counts, in a real browser: no feedback before it is handed in, answers kept, misses listed with their lessons.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { COUNTING, begin, count, press, take } from "./quizzes.mjs";
import { PAGES, diskUrl } from "./site.mjs";

describe("a check that counts: no feedback before it is handed in, and all of it after", () => {
  for (const quiz of COUNTING) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        for (let turn = 1; turn <= quiz.ask; turn += 1) {
          await answer(part, await asked(part), turn > 2);
          assert.equal(await part.locator(".tk-feedback").count(), 0);
          if (turn < quiz.ask) await press(part, "next");
        }
        // What was answered first can still be changed.
        await part.locator('[data-to="0"]').click();
        await answer(part, await asked(part), true);
        await press(part, "hand-in");
        await press(part, "surely");
        const total = part.locator('[data-role="total"]');
        assert.match(await total.innerText(), new RegExp(`^${quiz.ask - 1}\\s+of ${quiz.ask} right`));
        assert.equal(await page.evaluate(() => document.activeElement.dataset.role), "total");
        assert.equal(await part.locator(".tk-reviewed__row").count(), quiz.ask, "every item can be looked at");
        assert.equal(await part.locator(".tk-missed li").count(), 1);
        await part.locator('.tk-missed a[href$="-item-2"]').click();
        assert.ok(await part.locator('[id$="-item-2"] .tk-feedback').isVisible());
        assert.match(await part.locator('[id$="-item-2"]').innerText(), /You answered/);
        assert.deepEqual(await violations(page), []);
      });
    });
  }
});

test("a check that counts keeps its answers over a reload", async () => {
  const quiz = COUNTING[0];
  await take(quiz, async (part, page) => {
    await begin(part);
    const first = await asked(part);
    await answer(part, first, true);
    await press(part, "next");
    await page.reload();
    await part.waitFor();
    await begin(part);
    await part.locator('[data-to="0"]').click();
    assert.deepEqual(await asked(part), first);
    assert.equal(await part.locator('.tk-paper__go[data-answered="yes"]').count(), 1);
  });
});

test("a lesson's check that is open in two tabs keeps the answers of both, and is handed in once", async () => {
  const quiz = COUNTING.find(({ page, ask }) => page.startsWith("lessons/") && ask >= 4);
  await take(quiz, async (part, page) => {
    await begin(part);
    await part.locator('[data-to="0"]').waitFor();
    const other = await page.context().newPage();
    await other.goto(diskUrl(quiz.page));
    const there = other.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await there.waitFor();
    await begin(there);
    for (const [tab, turn] of [[part, 0], [there, 1], [part, 2], [there, 3]]) {
      await tab.locator(`[data-to="${turn}"]`).click();
      await answer(tab, await asked(tab), true);
    }
    for (const tab of [part, there]) for (const turn of [0, 1, 2, 3]) await tab.locator(`[data-to="${turn}"][data-answered="yes"]`).waitFor();
    await page.reload();
    await part.waitFor();
    await begin(part);
    await part.locator('[data-to="3"][data-answered="yes"]').waitFor();
    assert.equal(await part.locator('[data-answered="yes"]').count(), 4, "and after a reload");
    await press(there, "hand-in");
    await press(there, "surely");
    await there.locator('[data-role="total"]').waitFor();
    assert.match(await there.locator('[data-role="total"]').innerText(), new RegExp(`^4\\s+of ${quiz.ask} right`));
    // The older tab hands in nothing and says why.
    await part.locator('[data-role="trouble"]').filter({ hasText: /in another tab/ }).waitFor();
    assert.equal(await part.locator('[data-do="hand-in"]:visible').count(), 0);
    const sat = Object.entries(await kept(page)).filter(([name]) => name.startsWith("sitting.")).map(([, text]) => JSON.parse(text));
    assert.equal(sat.length, 1);
    assert.equal(sat[0].answers.length, quiz.ask, "each question once");
    await other.close();
  });
});

test("each question of a check on the whole course names the page that teaches it, not the check", async () => {
  for (const quiz of COUNTING.filter(({ page }) => page.startsWith("lessons/"))) {
    await take(quiz, async (part) => {
      await begin(part);
      await press(part, "hand-in");
      await press(part, "surely");
      await part.locator('[data-role="total"]').waitFor();
      const links = await part.locator(".tk-missed li").evaluateAll(($rows) => $rows.map(($row) => $row.querySelectorAll("a")[1].getAttribute("href")));
      assert.equal(links.length, quiz.ask);
      for (const href of links) {
        // A calculator that no lesson is about is taught by its own page.
        assert.match(href, /^\.\.\/(lessons|work)\/.+\.html$/);
        assert.notEqual(href, `../${quiz.page}`);
        assert.ok(PAGES.includes(href.slice(3)), href);
      }
      assert.ok(new Set(links).size > 1);
    });
  }
});

test("a kept check with 150,000 numbers in an answer goes on at once, with all its buttons", async () => {
  const quiz = COUNTING[0];
  await take(quiz, async (part, page) => {
    await begin(part);
    await page.evaluate(() => {
      for (const [name, text] of Object.entries(localStorage)) {
        if (!name.includes(".sitting.")) continue;
        const sitting = JSON.parse(text);
        if (!sitting.plan || !Array.isArray(sitting.plan.answers)) continue;
        sitting.plan.answers = sitting.plan.answers.map((_, index) => (index < 4 ? "0,".repeat(150_000) : ""));
        localStorage.setItem(name, JSON.stringify(sitting));
      }
    });
    // A page that is left saves what is on it; here it has to forget that first.
    await page.evaluate(() => { addEventListener("pagehide", (event) => event.stopImmediatePropagation(), { capture: true }); });
    await page.reload();
    await part.waitFor();
    await part.locator('[data-role="start"] button').click();
    for (let turn = 0; turn < 4; turn += 1) {
      await part.locator('[data-do="next"]').click();
      // An answer without a unit is asked about once.
      if ((await count(part)).includes(`Question ${turn + 1} `)) await part.locator('[data-do="next"]').click();
      assert.match(await count(part), new RegExp(`Question ${turn + 2} `));
    }
    assert.ok(await part.locator('[data-do="hand-in"]').isVisible());
  });
});

test("a perfect score is reported at the top, with nothing listed as missed; one that is not lists each miss with its lesson", async () => {
  const quiz = COUNTING[0];
  for (const missed of [0, 2]) {
    await take(quiz, async (part, page) => {
      await begin(part);
      for (let turn = 1; turn <= quiz.ask; turn += 1) {
        await answer(part, await asked(part), turn > missed);
        if (turn < quiz.ask) await press(part, "next");
      }
      await press(part, "hand-in");
      await press(part, "surely");
      const total = part.locator('[data-role="total"]');
      assert.match(await total.innerText(), new RegExp(`^${quiz.ask - missed}\\s+of ${quiz.ask} right`));
      assert.equal(await part.locator('[data-role="stage"] > :first-child').getAttribute("data-role"), "total", "it is at the top");
      assert.equal(/Every one right/.test(await total.innerText()), missed === 0);
      const rows = part.locator(".tk-missed li");
      assert.equal(await rows.count(), missed);
      for (const row of await rows.all()) {
        const links = await row.locator("a").evaluateAll(($all) => $all.map(($a) => $a.getAttribute("href")));
        assert.match(links[0], /^#quiz-[\w-]+-item-\d+$/);
        assert.ok(links.length === 2 && (links[1].endsWith(".html") || (await page.locator(links[1]).count()) === 1), `${links}`);
      }
      assert.equal(await page.locator(".tk-missed").count(), missed ? 1 : 0);
    });
  }
});
