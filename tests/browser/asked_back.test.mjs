// What a page asks before it marks: an exam that is handed in with answers that cannot be read, a comma for a point, a
// choice that is tried once more; and which questions a course in US units asks.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

const stage = '[data-role="stage"]';

function visit(page, look) {
  return open(diskUrl(page), async (page) => {
    await page.locator("[data-started]").first().waitFor();
    await look(page, page.locator("[data-started]").first());
  }, { viewport: PHONE, reducedMotion: "reduce" });
}

test("an exam that is handed in says how many answers cannot be marked, and leads to each", async () => {
  await visit("exam.html", async (page, part) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-who").fill("Ines");
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    const all = await part.locator(".tk-paper__go").count();
    const typed = [];
    for (let turn = 0; turn < all; turn += 1) {
      await part.locator(`.tk-paper__go[data-to="${turn}"]`).click();
      const place = part.locator(`${stage} [data-part="question"]`);
      if (await place.locator(".tk-question__entry").count()) {
        typed.push(turn);
        const question = await asked(part);
        if (typed.length <= 2) await place.locator(".tk-question__entry").first().fill("1,5 gal");
        else await answer(part, question, true);
      } else if (await place.locator(".tk-order__item").count()) await place.locator('[data-do="down"]').first().click();
      else await place.locator(".tk-choice__mark").first().check();
    }
    assert.ok(typed.length > 2);
    const sure = part.locator(".tk-quiz__sure");
    await part.locator('[data-do="hand-in"]').click();
    assert.match(await sure.innerText(), /2 answers can’t be marked as they stand/);
    assert.doesNotMatch(await sure.innerText(), /Every question has an answer/);
    assert.match(await sure.innerText(), /decimal mark\? Then write 1\.5 gal/);
    assert.deepEqual(await sure.locator('[data-do="go"]').allInnerTexts(), typed.slice(0, 2).map((turn) => `Question ${turn + 1}`));
    assert.deepEqual(await violations(page), []);
    for (const turn of typed.slice(0, 2)) {
      await part.locator(`.tk-paper__go[data-to="${turn}"]`).click();
      await answer(part, await asked(part), true);
    }
    await part.locator('[data-do="hand-in"]').click();
    assert.match(await sure.innerText(), /^Every question has an answer\. Hand it in\?/);
  });
});

test("a drill asks back about a comma that may be a decimal mark", async () => {
  await visit("drill.html", async (page, part) => {
    // A drill may draw no question of one kind: then another is begun.
    await part.locator("#drill-length").selectOption("12");
    await part.locator('[data-do="begin"]').click();
    const seen = new Set();
    for (let turn = 0; turn < 12 * 6 && seen.size < 2; turn += 1) {
      const question = await asked(part);
      const kind = question.kind === "number" ? "number" : "choice";
      if (!seen.has(kind) && !question.authored.parts?.length) {
        if (kind === "number") {
          await part.locator(`${stage} .tk-question__entry`).fill("1,5 gal");
          await part.locator('[data-do="check"]').click();
          assert.match(await part.locator(`${stage} [data-role="ask"]`).innerText(), /^Is “,” the decimal mark\? Then write 1\.5 gal\. Here “,” only groups thousands\.$/);
          assert.equal(await part.locator(".tk-again").count(), 0, "it is no miss");
        }
        await answer(part, question, false);
        await part.locator('[data-do="check"]').click();
        const again = await part.locator(".tk-again__try").innerText();
        assert.equal(again, kind === "number" ? "Try once more with the same numbers." : "Try once more.");
        seen.add(kind);
      }
      if (question.kind === "number" || seen.has(kind)) await answer(part, question, true);
      await part.locator('[data-do="check"]').click();
      await part.locator('[data-do="next"]').click();
      if (await part.locator('[data-do="more"]').count()) {
        await part.locator('[data-do="more"]').click();
        await part.locator('[data-do="begin"]').click();
      }
    }
    assert.deepEqual([...seen].sort(), ["choice", "number"]);
  });
});

test("a choice that was missed is offered once more in its own words", async () => {
  await open(diskUrl("lessons/why-it-must-fit.html"), async (page) => {
    const part = page.locator('[data-part="quiz"][data-bank="check-map"]');
    await part.locator('[data-role="start"] button').click();
    await answer(part, await asked(part), false);
    await part.locator('[data-do="check"]').click();
    assert.equal(await part.locator(".tk-again__try").innerText(), "Try once more.");
  }, { viewport: PHONE, reducedMotion: "reduce" });
});

test("a course in US units asks nothing that is metric throughout, unless a lesson does", async () => {
  await visit("steps.html", async (page) => {
    await page.addScriptTag({ url: diskUrl("assets/questions.js") });
    const metric = await page.evaluate(() => {
      /* global TANKSIDE_QUESTIONS */
      const { banks, questions } = TANKSIDE_QUESTIONS;
      const stock = questions.filter(([bank]) => !/^check-|^first-week/.test(banks[bank])).map(([, , one]) => one);
      const amounts = (one) => JSON.stringify([one.given ?? {}, one.beside ?? {}, one["answer-in"] ?? ""]);
      return { all: stock.length, found: stock.filter((one) => / (?:L|mL|m|m2|cm|ha)\b|\b(?:L|mL|m2|kg|g)\//.test(amounts(one)) && !/\b(?:gal|fl oz|ft|ft2|acre|lb|oz|in|mph|psi|qt|pt)\b/.test(amounts(one))).map((one) => one.id) };
    });
    assert.ok(metric.all > 100, `${metric.all}`);
    assert.deepEqual(metric.found, []);
  });
});
