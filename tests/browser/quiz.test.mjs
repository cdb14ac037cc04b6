// A quiz is taken in the browser, and the core's verdicts add up to a score.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl, pagesWith } from "./site.mjs";

const QUIZZES = pagesWith('data-part="quiz"');

test("the demo course has a quiz", () => assert.notEqual(QUIZZES.length, 0));

describe("a quiz answered rightly is passed", () => {
  for (const name of QUIZZES) {
    test(name, async () => {
      await open(
        diskUrl(name),
        async (page) => {
          await begin(page);
          for (const question of await questions(page)) await answer(page, question, true);
          await page.locator('[data-do="check"]').click();
          const { asked, need } = await rule(page);
          assert.equal(await page.locator(".tk-feedback--right").count(), asked);
          assert.equal(await page.locator('[data-role="total"] [data-role="right"]').innerText(), String(asked));
          assert.ok(await page.locator('[data-role="passed"]').isVisible(), "it says that the quiz is passed");
          assert.ok(0 < need && need <= asked, "a whole number of right answers passes");
          assert.deepEqual(await violations(page), []);
        },
        { viewport: PHONE, reducedMotion: "reduce" },
      );
    });
  }
});

describe("a quiz answered wrongly is not passed, and each answer is explained", () => {
  for (const name of QUIZZES) {
    test(name, async () => {
      await open(
        diskUrl(name),
        async (page) => {
          await begin(page);
          for (const question of await questions(page)) await answer(page, question, false);
          await page.locator('[data-do="check"]').click();
          const { asked } = await rule(page);
          assert.equal(await page.locator(".tk-feedback--wrong").count(), asked);
          for (const text of await page.locator(".tk-feedback--wrong").allInnerTexts()) assert.match(text, /\S/);
          assert.equal(await page.locator('[data-role="total"] [data-role="right"]').innerText(), "0");
          assert.ok(await page.locator('[data-role="failed"]').isVisible(), "it says that the quiz is not passed");
          assert.deepEqual(await violations(page), []);

          const before = await page.locator('[data-role="questions"]').innerText();
          await page.locator('[data-do="again"]').click();
          await page.waitForFunction(
            (text) => document.querySelector('[data-role="questions"]').innerText !== text,
            before,
          );
          assert.equal(await page.locator(".tk-feedback--wrong, .tk-feedback--right").count(), 0, "a fresh start");
        },
        { viewport: PHONE, reducedMotion: "reduce" },
      );
    });
  }
});

test("an answer without its unit is asked about, not marked wrong", async () => {
  await open(diskUrl(QUIZZES[0]), async (page) => {
    await begin(page);
    const entry = page.locator(".tk-question--number .tk-question__entry").first();
    await entry.fill("12");
    await page.locator('[data-do="check"]').click();
    const question = page.locator(".tk-question--number").first();
    await question.locator('[data-role="ask"]').filter({ hasText: /\S/ }).waitFor();
    assert.equal(await question.locator('[data-role="feedback"] .tk-feedback').count(), 0);
    assert.equal(await entry.isEnabled(), true, "it can still be answered");
  });
});

test("markup typed as an answer never runs", async () => {
  await open(diskUrl(QUIZZES[0]), async (page) => {
    await begin(page);
    for (const entry of await page.locator(".tk-question__entry").all()) {
      await entry.fill('<img src=x onerror="window.ran=1"> gal');
    }
    await page.locator('[data-do="check"]').click();
    await page.waitForTimeout(100);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.locator('img[src="x"]').count(), 0);
  });
});

async function begin(page) {
  await page.locator('[data-part="quiz"][data-started]').waitFor();
}

async function rule(page) {
  const quiz = page.locator('[data-part="quiz"]');
  return {
    asked: await page.locator('[data-part="question"]').count(),
    need: Number(await quiz.getAttribute("data-need")),
  };
}

/** The questions on the page with what the authors wrote about each. */
function questions(page) {
  return page.evaluate(() => {
    const bank = JSON.parse(document.querySelector('[data-role="bank"]').textContent);
    return [...document.querySelectorAll('[data-part="question"]')].map(($question) => ({
      id: $question.dataset.question,
      kind: $question.dataset.kind,
      seed: Number($question.dataset.seed),
      authored: bank.questions.find((question) => question.id === $question.dataset.question),
    }));
  });
}

/** Answers one question as a learner would, rightly or wrongly. */
async function answer(page, question, right) {
  const part = page.locator(`[data-part="question"][data-question="${question.id}"]`);
  if (question.kind === "number") {
    const accepted = await acceptedValue(page, question);
    const [number, ...unit] = accepted.split(" ");
    const wrong = `${Number(number.replaceAll(",", "")) * 40 + 7} ${unit.join(" ")}`;
    await part.locator(".tk-question__entry").fill(right ? accepted : wrong);
  } else if (question.kind === "order") {
    await putInOrder(part, question.authored.options.length, right);
  } else {
    const options = question.authored.options.map((option, index) => ({ index, right: option.right === true }));
    const chosen = options.filter((option) => option.right === right).slice(0, question.kind === "one" ? 1 : undefined);
    for (const { index } of chosen) await part.locator(`.tk-choice__mark[value="${index}"]`).check();
  }
}

/** What the core takes for right, asked of the core in the page with an answer that cannot be. */
async function acceptedValue(page, question) {
  return page.evaluate(({ authored, seed }) => {
    // The author may have named the unit; where not, one of these is of the right kind.
    for (const unit of [authored["answer-in"] ?? "gal", "gal", "gal/min", "s", "ft2", "ft2/min", "ft", "gal/1000 ft2", "%", "lb", "min", "L/100 m2"]) {
      const said = JSON.parse(wasm_bindgen.score(JSON.stringify(authored), seed, JSON.stringify(`987654321 ${unit}`)));
      if (said.right !== false) continue;
      const $said = new DOMParser().parseFromString(said.html, "text/html");
      return $said.querySelector(".tk-feedback__accepted").textContent.replace(/\s+/g, " ").trim();
    }
    throw new Error(`no unit is taken as an answer to ${authored.id}`);
  }, question);
}

/** Sorts the options with the buttons beside them; for a wrong order, the right one turned round. */
async function putInOrder(part, count, right) {
  for (let place = 0; place < count; place += 1) {
    const value = String(right ? place : count - 1 - place);
    for (let moves = 0; moves < count; moves += 1) {
      const order = await part.locator(".tk-order__item").evaluateAll(($items) => $items.map(($item) => $item.dataset.value));
      if (order.indexOf(value) <= place) break;
      await part.locator(`.tk-order__item[data-value="${value}"] [data-do="up"]`).click();
    }
  }
}
