// The drill in a real browser: topics mixed, what was missed brought back, slips found, what was left gone on with.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, kept, stage, visit } from "./asking.mjs";
import { violations } from "./axe.mjs";

test("a drill mixes topics, asks no formula twice in a row, and brings a missed one back with other numbers", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator('[data-do="begin"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    const seen = [];
    let all = Number((await part.locator(".tk-round__count").innerText()).match(/of (\d+)/)[1]);
    assert.equal(all, 12);
    for (let turn = 0; turn < all; turn += 1) {
      const question = await asked(part);
      seen.push(question);
      if (turn === 1) {
        await answer(part, question, false);
        await part.locator('[data-do="check"]').click();
        all = Number((await part.locator(".tk-round__count").innerText()).match(/of (\d+)/)[1]);
        assert.ok(all >= 12);
        if (question.kind !== "number") await answer(part, question, true);
      }
      await answer(part, question, true);
      await part.locator('[data-do="check"]').click();
      await part.locator('[data-do="next"]').click();
    }
    const formula = (question) => question.authored.asks || question.id;
    for (const [index, question] of seen.entries()) if (index) assert.notEqual(formula(question), formula(seen[index - 1]), `${index}`);
    const again = seen.slice(2).filter((question) => question.id === seen[1].id);
    for (const question of again) if (question.kind === "number") assert.notEqual(question.draw, seen[1].draw);
    assert.match(await part.locator('[data-role="total"]').innerText(), /^\d+\s+of \d+ right on the first try/);
    assert.ok(await page.locator(".tk-head__summary").isHidden(), "what the page is for was read before");
    assert.doesNotMatch(await part.locator(".tk-total__words").innerText(), /Learned means/, "a definition is not the result");
    const heading = await page.locator("h1").innerText();
    assert.equal(heading, "Drill", "nothing in a heading gives the formula away");
    assert.deepEqual(await violations(page), []);
    // What is not learned yet is not lost either.
    await part.locator('[data-do="more"]').click();
    const begun = (await part.locator('[data-role="standing"]').innerText()).match(/On the way, with at least one right: (\d+)\./);
    assert.ok(begun && Number(begun[1]) >= 8, `${begun}`);
  });
});

test("a slip that puts down too much is found in a worked example before the next drill, and is written into the record", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator("#drill-length").selectOption("6");
    await part.locator('[data-do="begin"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    // A kind with a slip that over-applies and can be shown, answered with it.
    const made = await page.evaluate(() => {
      /* global TANKSIDE_QUESTIONS, LEARN, wasm_bindgen, everyQuestion, needCalculators, scoreOf, recordName */
      const all = everyQuestion().filter((one) => one.kind === "number" && !one.parts?.length && one.asks.startsWith("tank-mix/"));
      return needCalculators(all).then(() => {
        for (const question of all) for (let seed = 0; seed < 8; seed += 1) {
          const draw = wasm_bindgen.draw_at(question.json, seed);
          const $choices = new DOMParser().parseFromString(JSON.parse(wasm_bindgen.choices(question.json, draw, seed)).html, "text/html");
          for (const text of [...$choices.querySelectorAll("[data-answer]")].map(($one) => $one.dataset.answer)) {
            const score = scoreOf(question, draw, text);
            if (score.over !== "shown") continue;
            const held = LEARN.begin("drill", "drill");
            held.answer({ question: recordName(question), digest: question.digest, draw, answer: text, try: 1, right: false, mistake: score.mistake, over: score.over });
            held.end();
            return { digest: question.digest, mistake: score.mistake, topic: question.topic };
          }
        }
        return null;
      });
    });
    assert.ok(made, "some slip over-applies and can be shown");
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    await part.locator('[data-role="beyond"]').check();
    await part.locator('[data-do="begin"]').click();
    for (let find = 0; find < 2; find += 1) {
      await part.locator(".tk-round__count").filter({ hasText: /^You made a mistake here/ }).waitFor();
      if (!find) assert.deepEqual(await violations(page), []);
      await part.locator('[data-do="forward"]').click();
      await part.locator("#slip-figure").waitFor();
      if (!find) assert.deepEqual(await violations(page), []);
      await part.locator('[data-do="checked"]').click();
      assert.match(await part.locator("#slip-ask").innerText(), /Mark the line/);
      await part.locator('input[name="slip"]').first().check();
      await part.locator("#slip-figure").fill("123456 gal");
      await part.locator('[data-do="checked"]').click();
      if (await part.locator('[data-do="checked"]').count()) await part.locator("#slip-figure").press("Enter");
      await part.locator(".tk-again__word").filter({ hasText: /^Here it is/ }).waitFor();
      await part.locator('[data-do="forward"]').click();
    }
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    const looked = await page.evaluate(() => LEARN.record("", "").sittings.flatMap((one) => one.answers).filter((one) => one.part));
    assert.ok(looked.length >= 2 && looked.every((one) => one.part.replace(/^slip-\d+-/, "") === made.mistake), JSON.stringify(looked));
    assert.equal(new Set(looked.map((one) => one.part)).size, 2, "two examples in a sitting");
    assert.equal(Number((await part.locator(".tk-round__count").innerText()).match(/of (\d+)/)[1]), 4, "of six, two were examples");
  });
});

test("a drill that was left goes on; topics, length and exam day are kept; the plan prints by itself", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator('[data-do="no-topic"]').click();
    await part.locator('[data-do="begin"]').click();
    assert.match(await part.locator('[data-role="said"]').innerText(), /at least one topic/);
    // Area is a topic of the exam; no lesson of the demo teaches it.
    await part.locator('input[name="topic"][value="area"]').check();
    await part.locator('[data-do="begin"]').click();
    assert.match(await part.locator('[data-role="said"]').innerText(), /No lesson of this course teaches that/);
    await part.locator('input[name="topic"][value="area"]').uncheck();
    await part.locator('input[name="topic"][value="output"]').check();
    await part.locator('input[name="topic"][value="timing"]').check();
    await part.locator("#drill-length").selectOption("6");
    const day = new Date(Date.now() + 35 * 86_400_000).toISOString().slice(0, 10);
    await part.locator("#drill-exam").fill(day);
    await part.locator(".tk-drill__plan summary").click();
    assert.match(await part.locator('[data-role="plan-about"]').innerText(), /your exam on \w+, \w+ \d+,? if/);
    await part.locator("#drill-exam").fill("2999-12-31");
    await part.locator('[data-role="plan-about"]').filter({ hasText: "2999" }).waitFor();
    await part.locator("#drill-exam").fill(day);
    // The plan is worked out when it is unfolded: more than three days of it.
    await part.locator('[data-role="plan"] tr').nth(3).waitFor();
    assert.deepEqual(await violations(page), []);
    await part.locator('[data-do="begin"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    const first = await asked(part);
    assert.ok(["output", "timing"].includes(first.authored.topic));
    await answer(part, first, true);
    await part.locator('[data-do="check"]').click();
    await part.locator('[data-do="next"]').click();
    const second = await asked(part);
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    assert.equal(await part.locator("#drill-exam").inputValue(), day);
    await part.locator('[data-role="go-on"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.deepEqual(await asked(part), second);
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    await page.emulateMedia({ media: "print" });
    // Folded, it has no rows yet: no empty table is printed.
    assert.ok(await part.locator(".tk-drill__plan .tk-plan").isHidden());
    // Instead there are days to write on.
    const byHand = part.locator(".tk-drill__by-hand");
    assert.ok(await byHand.isVisible());
    assert.ok((await byHand.locator("tbody tr").count()) > 3);
    assert.doesNotMatch(await byHand.innerText(), /open it/);
    await page.emulateMedia({ media: "screen" });
    await page.evaluate(() => { window.printed = 0; window.print = () => { window.printed = document.querySelectorAll('[data-role="plan"] tr').length; }; });
    await part.locator('[data-do="print-plan"]').click();
    await page.waitForFunction(() => window.printed > 3);
    await page.emulateMedia({ media: "print" });
    assert.ok(await part.locator(".tk-drill__plan .tk-plan").isVisible());
    assert.ok(await part.locator(".tk-drill__by-hand").isHidden());
    assert.ok(await part.locator('[data-do="begin"]').isHidden());
  });
});

test("a plan that nobody opened is printed whole from the browser's own menu, once the page has been touched; a pointer that moves over it loads nothing", async () => {
  await visit("drill.html", async (page, part) => {
    await page.mouse.move(100, 100);
    assert.equal(await page.locator('script[src*="core"]').count(), 0);
    await page.keyboard.press("Shift");
    await page.waitForFunction(() => {
      /* global haveParts */
      return haveParts(["learning"]);
    });
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    await page.emulateMedia({ media: "print" });
    await part.locator('[data-role="plan"] tr').nth(3).waitFor();
    assert.ok(await part.locator(".tk-drill__by-hand").isHidden(), "no hint at a fold");
    await page.evaluate(() => dispatchEvent(new Event("afterprint")));
    assert.equal(await part.locator(".tk-drill__plan[open]").count(), 0, "folded again");
  });
});
