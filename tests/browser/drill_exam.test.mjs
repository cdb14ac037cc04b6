// The drill, the mock exam and step by step practice in a real browser.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

function visit(page, look, options = {}) {
  return open(
    diskUrl(page),
    async (page) => {
      await page.locator("[data-started]").first().waitFor();
      await look(page, page.locator("[data-started]").first());
    },
    { viewport: PHONE, reducedMotion: "reduce", ...options },
  );
}

const stage = '[data-role="stage"]';

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
    const heading = await page.locator("h1").innerText();
    assert.equal(heading, "Drill", "nothing in a heading gives the formula away");
    assert.deepEqual(await violations(page), []);
  });
});

test("a drill that was left goes on; topics, length and exam day are kept; the plan prints by itself", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator('[data-do="no-topic"]').click();
    await part.locator('[data-do="begin"]').click();
    assert.match(await part.locator('[data-role="said"]').innerText(), /at least one topic/);
    await part.locator('input[name="topic"][value="output"]').check();
    await part.locator('input[name="topic"][value="timing"]').check();
    await part.locator("#drill-length").selectOption("6");
    const day = new Date(Date.now() + 35 * 86_400_000).toISOString().slice(0, 10);
    await part.locator("#drill-exam").fill(day);
    await part.locator(".tk-drill__plan summary").click();
    assert.match(await part.locator('[data-role="plan-about"]').innerText(), /your exam/);
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
    await page.emulateMedia({ media: "print" });
    await page.evaluate(() => { document.querySelector('[data-role="setup"]').hidden = false; });
    assert.ok(await part.locator(".tk-plan").first().isVisible());
    assert.ok(await part.locator('[data-do="begin"]').isHidden());
  });
});

test("a mock exam: an exam code and a name fix the draw, a closed page loses nothing, the clock goes on, and every item is explained", async () => {
  const draws = [];
  for (const [code, name] of [["OAK-17", "Ines"], ["oak 17", "ines"], ["ELM-3", "Ines"], ["OAK-17", "Bo"]]) {
    await visit("exam.html", async (page, part) => {
      await part.locator("#exam-code").fill(code);
      await part.locator('[data-do="begin-exam"]').click();
      await part.locator('[data-role="said"]').filter({ hasText: /^Write your name too/ }).waitFor();
      assert.equal(await page.evaluate(() => document.activeElement.id), "exam-who");
      await page.keyboard.type(name);
      await part.locator('[data-do="begin-exam"]').click();
      await part.locator(`${stage} [data-part="question"]`).waitFor();
      const sitting = JSON.parse(Object.entries(await kept(page)).find(([name]) => name.startsWith("sitting."))[1]);
      draws.push(JSON.stringify(sitting.plan.slots));
      assert.equal(sitting.plan.slots.length, 25);
      assert.ok(sitting.plan.slots.filter((slot) => slot[4]).length >= 8, "at least eight are typed");
    });
  }
  assert.equal(draws[0], draws[1]);
  assert.equal(new Set(draws).size, 3, "another code or another name gives another exam");

  await visit("exam.html", async (page, part) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-who").fill("Ines");
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.match(await part.locator(".tk-paper__clock").innerText(), /60 minutes left/);
    let choices = 0;
    for (let turn = 0; turn < 25; turn += 1) {
      await part.locator(`[data-to="${turn}"]`).click();
      const question = await asked(part);
      const place = part.locator(`${stage} [data-part="question"]`);
      if (await place.locator(".tk-choice__mark[data-answer]").count()) {
        choices += 1;
        const texts = await place.locator(".tk-choice__mark").evaluateAll((all) => all.map((one) => one.dataset.answer));
        assert.equal(new Set(texts).size, texts.length);
        await place.locator(".tk-choice__mark").first().check();
      } else await answer(part, question, true);
    }
    assert.ok(choices >= 4, `${choices} number questions are choices`);
    await part.locator('[data-do="flag"]').click();
    const before = await part.locator(".tk-paper__place").allInnerTexts();
    await page.clock.install({ time: new Date(Date.now() + 7 * 60_000) }).catch(() => {});
    await page.reload();
    await page.locator(`${stage} [data-part="question"]`).waitFor();
    assert.deepEqual(await part.locator(".tk-paper__place").allInnerTexts(), before);
    assert.equal(await part.locator('.tk-paper__go[data-answered="yes"]').count(), 25);
    assert.equal(await part.locator('.tk-paper__go[data-flagged="yes"]').count(), 1);
    assert.doesNotMatch(await part.locator(".tk-paper__clock").innerText(), /60 minutes/, "the clock went on");
    assert.deepEqual(await violations(page), []);
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    assert.equal(await part.locator(".tk-reviewed__row").count(), 25);
    assert.match(await part.locator(".tk-topics").innerText(), /Area\s+\d of \d right/);
    for (const row of await part.locator(".tk-reviewed__row > details").all()) assert.equal(await row.locator(".tk-feedback").count(), 1, await row.innerHTML());
    assert.deepEqual(await violations(page), []);
    // What was handed in can be looked at again later, and is recorded once.
    const total = await part.locator('[data-role="total"]').innerText();
    const records = Object.keys(await kept(page)).filter((name) => name.startsWith("sitting.")).length;
    await page.reload();
    await part.locator('[data-do="last"]').click();
    await part.locator('[data-role="total"]').waitFor();
    assert.equal(await part.locator('[data-role="total"]').innerText(), total);
    assert.equal(await part.locator(".tk-reviewed__row").count(), 25);
    assert.equal(Object.keys(await kept(page)).filter((name) => name.startsWith("sitting.")).length, records);
  });
});

test("an exam whose time has run out while the page was closed is marked as it stood", async () => {
  await visit("exam.html", async (page, part) => {
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    await page.evaluate(() => {
      const [name, text] = Object.entries(localStorage).find(([key]) => key.includes(".sitting."));
      const sitting = JSON.parse(text);
      sitting.plan.until = new Date(Date.now() - 1000).toISOString();
      localStorage.setItem(name, JSON.stringify(sitting));
    });
    await page.evaluate(() => { onpagehide = null; });
    await page.goto("about:blank");
    await page.goto(diskUrl("exam.html"));
    await part.locator('[data-role="total"]').waitFor();
    assert.match(await part.locator('[data-role="total"]').innerText(), /Time ran out/);
  });
});

test("the pocket calculator has four functions, by keys and by thumb, and no noise", async () => {
  await visit("exam.html", async (page, part) => {
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator(".tk-exam__aids").waitFor();
    await part.locator(".tk-exam__aids summary").first().click();
    const shown = part.locator(".tk-pocket__shown");
    for (const key of ["0", ".", "1", "+", "0", ".", "2", "="]) await part.locator(`[data-key="${key}"]`).click();
    assert.equal(await shown.innerText(), "0.3");
    await part.locator(".tk-pocket").focus();
    for (const [typed, result] of [["c12*3=", "36"], ["c7/0=", "Error"], ["c100-250=", "−150"], ["c2+3*4=", "20"], ["c1/3=", "0.3333333333"]]) {
      for (const key of typed) await page.keyboard.press(key);
      assert.equal(await shown.innerText(), result, typed);
    }
  });
});
