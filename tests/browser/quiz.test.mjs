// Questions one at a time in a real browser: feedback at once in practice, at the end in a check that counts.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { held, open } from "./browser.mjs";
import { COUNTING, PRACTICE, begin, count, press, take } from "./quizzes.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";

test("the demo course has practice, and a check that counts with at least ten questions", () => {
  assert.ok(PRACTICE.length >= 5);
  assert.ok(COUNTING.some((quiz) => quiz.ask >= 10));
});

describe("practice: each question is answered at once, and the round ends in what sits", () => {
  for (const quiz of PRACTICE) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        for (let turn = 1; turn <= quiz.ask; turn += 1) {
          assert.equal(await count(part), `Question ${turn} of ${quiz.ask}`);
          const question = await asked(part);
          const parts = 1 + (question.authored.parts ?? []).length;
          await answer(part, question, true);
          await press(part, "check");
          const said = await part.locator(".tk-round__said").innerText();
          if (parts === 1) assert.match(said, /^Right/);
          else assert.ok(said.startsWith(`${parts} of ${parts} points`) && said.match(/^Right/gm).length === parts, said);
          await press(part, "next");
        }
        assert.match(await part.locator('[data-role="total"]').innerText(), new RegExp(`^${quiz.ask}\\s`));
        assert.equal(await page.evaluate(() => document.activeElement.dataset.role), "total", "the result has the focus");
        // The lesson around it is tested elsewhere.
        assert.deepEqual((await violations(page)).filter((one) => /tk-(quiz|round|total|score|missed|question|practice)/.test(one)), []);
      });
    });
  }
});

describe("practice: a first miss can be tried again, a second shows the answer and the lesson", () => {
  for (const quiz of PRACTICE) {
    test(`${quiz.page} ${quiz.bank}`, async () => {
      await take(quiz, async (part, page) => {
        await begin(part);
        const question = await asked(part);
        await answer(part, question, false);
        await press(part, "check");
        const first = await part.locator(".tk-round__said").innerText();
        assert.match(first, /^Not yet\./);
        assert.match(first, /Try once more/);
        assert.equal(await part.locator(".tk-feedback__accepted, .tk-step").count(), 0, "the answer is not given away");
        await answer(part, question, false);
        await press(part, "check");
        assert.equal(await part.locator(".tk-feedback--wrong").count(), 1);
        assert.ok((await part.locator(".tk-feedback .tk-step, .tk-feedback__options li").count()) > 0, "with its working or its reasons");
        assert.match(await part.locator(".tk-read-on a").innerText(), /Read “.+” again/);
        assert.equal(await page.evaluate(() => document.activeElement.dataset.do), "next");
        const sitting = JSON.parse(Object.entries(await kept(page)).find(([name]) => name.startsWith("sitting."))[1]);
        assert.deepEqual(sitting.answers.map((one) => one.try), [1, 2]);
        assert.match(sitting.answers[0].question, new RegExp(`^${quiz.bank}/`));
        assert.equal(sitting.answers[0].digest, question.authored.digest);
        // At the end what was missed is there as it was asked, with its steps or reasons.
        const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
        for (let turn = 1; turn < quiz.ask; turn += 1) {
          await press(part, "next");
          await answer(part, await asked(part), true);
          await press(part, "check");
        }
        await press(part, "next");
        const row = part.locator(".tk-missed li").first();
        const clean = (words) => words.replace(/\s+/g, " ").trim();
        assert.ok(clean(await row.innerText()).includes(clean(text)), `${clean(text)} in ${clean(await row.innerText())}`);
        await row.locator("summary").first().click();
        assert.ok((await row.locator(".tk-step, .tk-feedback__options li, .tk-feedback__accepted").count()) > 0);
      });
    });
  }
});

test("the usual mistake is named after a first miss, with what it does on the lawn and without the answer", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  await take(quiz, async (part) => {
    await begin(part);
    const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
    const [, ounces] = text.match(/catch\s(\d+)\sfl/);
    // The catch taken as if it had lasted a minute.
    await part.locator('[data-role="stage"] .tk-question__entry').fill(`${(Number(ounces) / 128).toFixed(3)} gal/min`);
    await press(part, "check");
    assert.match(await part.locator(".tk-again").innerText(), /minute/);
    assert.match(await part.locator(".tk-again").innerText(), /lawn/);
  });
});

test("on a phone a unit can be picked beside the answer, and none is chosen beforehand; with a mouse there is no such list", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  for (const hasTouch of [true, false]) {
    await open(
      diskUrl(quiz.page),
      async (page) => {
        const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
        await begin(part);
        const unit = part.locator('[data-role="stage"] .tk-question__unit');
        await unit.waitFor({ state: "attached" });
        assert.equal(await unit.isVisible(), hasTouch);
        assert.equal(await unit.inputValue(), "");
        if (!hasTouch) return;
        const text = await part.locator('[data-role="stage"] .tk-question__text').innerText();
        const [, ounces, seconds] = text.match(/catch\s(\d+)\sfl\soz\sin\s(\d+)\ss/);
        await part.locator('[data-role="stage"] .tk-question__entry').fill((Number(ounces) / 128 / (Number(seconds) / 60)).toFixed(3));
        await unit.selectOption("gal/min");
        // A number in words takes the unit that was picked; a unit that was typed wins over it.
        const entered = () => part.locator('[data-role="stage"] .tk-question__entry').evaluate(($entry) => window.entered($entry));
        const figures = await part.locator('[data-role="stage"] .tk-question__entry').inputValue();
        for (const [typed, taken] of [["two", "two gal/min"], ["two and a half, or so", "two and a half, or so gal/min"], ["2 gallons a minute", "2 gallons a minute"], ["two quarts", "two quarts"], ["no idea", "no idea"]]) {
          await part.locator('[data-role="stage"] .tk-question__entry').fill(typed);
          assert.equal(await entered(), taken);
        }
        await part.locator('[data-role="stage"] .tk-question__entry').fill(figures);
        const box = await unit.boundingBox();
        assert.ok(box.height >= 44 && box.x + box.width <= 360, `${JSON.stringify(box)} can be hit, and is in the page`);
        await press(part, "check");
        await part.locator(".tk-round__said").filter({ hasText: /\S/ }).waitFor();
        assert.match(await part.locator(".tk-round__said").innerText(), /Right/);
      },
      { viewport: { width: 360, height: 640 }, hasTouch, isMobile: hasTouch, reducedMotion: "reduce" },
    );
  }
});

test("an answer without its unit is asked about, and is no miss", async () => {
  await take(PRACTICE[0].bank === "check-catch" ? PRACTICE[0] : PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    await part.locator('[data-role="stage"] .tk-question__entry').fill("12");
    await page.keyboard.press("Enter");
    await part.locator('[data-role="ask"]').filter({ hasText: /\S/ }).waitFor();
    assert.equal(await part.locator(".tk-round__said").innerText(), "");
    assert.ok(!Object.keys(await kept(page)).some((name) => name.startsWith("sitting.")), "nothing is kept of it");
    const spoken = part.locator('[data-role="stage"] .tk-spoken[aria-live="polite"]').last();
    assert.match(await spoken.textContent(), /unit/);
    await answer(part, await asked(part), true);
    await page.keyboard.press("Enter");
    await part.locator('[data-do="next"]').waitFor();
    assert.equal(await spoken.textContent(), "", "what was asked is not said again once it is answered");
  });
});

test("the keyboard alone takes a whole round", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await part.locator('[data-role="start"] button').focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.activeElement.className === "tk-round__count");
    await page.keyboard.press("Tab");
    await page.keyboard.type("97.3 gal/min");
    await page.keyboard.press("Enter");
    assert.equal(await page.evaluate(() => document.activeElement.className), "tk-question__entry", "back in the field for the second try");
    await page.keyboard.type("98.9 gal/min");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Enter");
    assert.match(await count(part), /^Question 2 of/);
  });
});

test("a round that was left goes on where it was, with the same numbers", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    await answer(part, await asked(part), true);
    await press(part, "check");
    await press(part, "next");
    const second = await asked(part);
    await page.reload();
    await part.waitFor();
    assert.match(await part.locator('[data-role="start"] button').innerText(), /Continue with question 2/);
    await begin(part);
    assert.deepEqual(await asked(part), second);
  });
});

test("markup typed as an answer never runs", async () => {
  await take(PRACTICE.find((one) => one.bank === "check-catch"), async (part, page) => {
    await begin(part);
    for (let turn = 0; turn < 2; turn += 1) {
      await part.locator('[data-role="stage"] .tk-question__entry').fill('<img src=x onerror="window.ran=1"> 5 gal/min');
      await press(part, "check");
    }
    await page.waitForTimeout(100);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
});

test("a link with a seed brings the same questions to another browser", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  const seen = [];
  for (let turn = 0; turn < 2; turn += 1) {
    await take(quiz, async (part, page) => {
      await page.goto("about:blank");
      await page.goto(`${diskUrl(quiz.page)}#quiz-${quiz.bank}?seed=77`);
      await part.waitFor();
      seen.push(await asked(part));
    });
  }
  assert.deepEqual(seen[0], seen[1]);
});

test("where the seed in the address changes while the questions load, the last one counts", async () => {
  const quiz = PRACTICE.find((one) => one.bank === "check-catch");
  const server = await serve(SITE);
  await open(server.url(quiz.page), async (page) => {
    const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await part.waitFor();
    const release = await held(page, "core.js");
    for (const seed of [77, 78]) {
      await page.evaluate((hash) => new Promise((done) => { addEventListener("hashchange", () => setTimeout(done), { once: true }); location.hash = hash; }), `quiz-${quiz.bank}?seed=${seed}`);
    }
    release();
    const { authored, draw } = await asked(part);
    const drawn = (seed) => page.evaluate(([question, seed]) => wasm_bindgen.draw_at(JSON.stringify(question), seed), [authored, seed]);
    assert.notEqual(await drawn(77), await drawn(78));
    assert.equal(draw, await drawn(78));
  });
  await server.close();
});

test("where the browser keeps nothing the quiz works all the same, and says so", async () => {
  await take(
    PRACTICE.find((one) => one.bank === "check-catch"),
    async (part) => {
      assert.match(await part.locator('[data-role="trouble"]').innerText(), /does not store anything/);
      await begin(part);
      await answer(part, await asked(part), true);
      await press(part, "check");
      assert.match(await part.locator(".tk-round__said").innerText(), /^Right/);
    },
    () => { Object.defineProperty(globalThis, "localStorage", { get() { throw new DOMException("refused", "SecurityError"); } }); },
  );
});
