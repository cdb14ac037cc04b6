// The demo course in the language that shouts: what the scripts say to answers, in quizzes, the drill, the mock exam, step
// by step and at the reading bench.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { QUIZZES, STAGE, click, paper, round, used } from "./language_said.mjs";

describe("questions", () => {
  for (const { name, bank, ask, counts } of QUIZZES) {
    test(`${name} ${bank}`, async () => {
      await used(name, "quiz", async (page, _, look) => {
        const part = page.locator(`[data-part="quiz"][data-bank="${bank}"][data-started]`);
        await part.locator('[data-role="start"] button').first().click();
        if (counts) return paper(page, part, look, ask);
        await round(part, look, ask);
        await part.locator('[data-role="total"]').waitFor();
        await look("the end");
      });
    });
  }
});

test("the drill, from its settings to its end", async () => {
  await used("drill.html", "drill", async (page, part, look) => {
    await click(part, "no-topic");
    await click(part, "begin");
    await look("without a topic");
    await click(part, "all-topics");
    await part.locator("#drill-exam").fill(new Date(Date.now() + 35 * 86_400_000).toISOString().slice(0, 10));
    await part.locator('[data-role="plan"] tr').nth(3).waitFor();
    await look("a plan");
    await part.locator("#drill-length").selectOption("6");
    await click(part, "begin");
    await round(part, look, 40);
    await look("the end");
  });
});

test("the mock exam, from its code to its review", async () => {
  await used("exam.html", "exam", async (page, part, look) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-who").fill("Ines");
    await click(part, "begin-exam");
    await part.locator(`${STAGE} [data-part="question"]`).waitFor();
    await look("begun");
    for (const key of ["7", "/", "0", "="]) await part.locator(`[data-key="${key}"]`).click();
    await look("the calculator");
    await paper(page, part, look, 25);
    await page.reload();
    await part.locator('[data-do="last"]').waitFor();
    await look("afterwards");
  });
});

test("step by step: an example, blanks, and what is said to them", async () => {
  await used("steps.html", "steps", async (page, part, look) => {
    await look("the list");
    await part.locator('[data-calculator="catch-test"]').click();
    await page.locator('[data-do="examples"]').waitFor();
    await look("a first problem");
    await click(part, "examples");
    await part.locator(".tk-why").waitFor();
    await click(part, "checked");
    await look("nothing chosen");
    for (const $mark of await part.locator(".tk-why input").all()) {
      await $mark.check();
      await click(part, "checked");
      await look("a reason chosen");
      if (await part.locator('[data-do="forward"]').count()) break;
    }
    await click(part, "forward");
    for (const typed of ["5", "?!", "999999 gal/min", "999998 gal/min"]) {
      await part.locator(".tk-step--blank input:enabled").first().fill(typed);
      await click(part, "checked");
      await look(`a step: ${typed}`);
    }
  });
});

test("the reading bench: every thing, not read, misread and read", async () => {
  await used("reading.html", "reading", async (page, part, look) => {
    await look("the list");
    const things = await part.locator("[data-thing]").evaluateAll(($all) => $all.map(($one) => $one.dataset.thing));
    assert.ok(things.length > 4);
    for (const thing of things) {
      await part.locator(`[data-thing="${thing}"]`).click();
      await part.locator(`${STAGE} .tk-question__entry`).waitFor();
      for (const typed of ["", "12", "?!", "98765 gal", "98765 s", "98765 ft", "98765 psi", "98765 gal/1000 ft2"]) {
        await part.locator(`${STAGE} .tk-question__entry`).fill(typed);
        await part.locator('[data-do="act"]').click();
        await look(`${thing}: ${typed}`);
        if (!(await part.locator(`${STAGE} .tk-question__entry:enabled`).count())) break;
      }
      await click(part, "leave");
    }
  });
});
