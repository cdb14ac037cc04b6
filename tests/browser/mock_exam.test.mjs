// The mock exam in a real browser: its draw, its clock, its pocket calculator, and what is shown when it is over.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, answerSomehow, asked, beginExam, kept, sittingsOf, stage, visit } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { DESK, PHONE, held, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";

test("a mock exam: an exam code, a name and the phone fix the draw, a closed page loses nothing, the clock goes on, and every item is explained", async () => {
  const draws = [];
  const slots = async (page, part) => {
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    const [place, text] = Object.entries(await kept(page)).find(([name]) => name.startsWith("sitting."));
    const { plan } = JSON.parse(text);
    assert.equal(plan.slots.length, 25);
    assert.equal(plan.slots.filter((slot) => slot[4]).length, 8, "eight are typed, the others are choices");
    return { place, drawn: JSON.stringify(plan.slots) };
  };
  // Two people of one name on two phones, another code, another name.
  for (const [code, name] of [["OAK-17", "Ines Roe"], ["OAK-17", "Ines Roe"], ["ELM-3", "Ines Roe"], ["OAK-17", "Bo"]]) {
    await visit("exam.html", async (page, part) => {
      await part.locator("#exam-code").fill(code);
      await part.locator('[data-do="begin-exam"]').click();
      await part.locator('[data-role="said"]').filter({ hasText: /^Write your name too/ }).waitFor();
      assert.equal(await page.evaluate(() => document.activeElement.id), "exam-who");
      await page.keyboard.type(name);
      await part.locator('[data-do="begin-exam"]').click();
      const { place, drawn } = await slots(page, part);
      draws.push(drawn);
      if (draws.length > 1) return;
      // On the same phone the code gives the same paper again, however it is typed.
      await page.evaluate((place) => { for (const key of Object.keys(localStorage)) if (key.endsWith(place)) localStorage.removeItem(key); }, place);
      await page.reload();
      await page.locator('[data-part="exam"][data-started]').waitFor();
      await part.locator("#exam-code").fill("oak 17");
      await part.locator('[data-do="begin-exam"]').click();
      assert.equal((await slots(page, part)).drawn, drawn);
    });
  }
  assert.equal(new Set(draws).size, 4, "nobody has the numbers of another");

  await visit("exam.html", async (page, part) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-who").fill("Ines");
    await part.locator('[data-do="begin-exam"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.match(await part.locator(".tk-paper__clock").innerText(), /60 minutes left/);
    let [choices, written] = [0, 0];
    for (let turn = 0; turn < 25; turn += 1) {
      await part.locator(`[data-to="${turn}"]`).click();
      const question = await asked(part);
      const place = part.locator(`${stage} [data-part="question"]`);
      if (await place.locator(".tk-choice__mark[data-answer]").count()) {
        choices += 1;
        const texts = await place.locator(".tk-choice__mark").evaluateAll((all) => all.map((one) => one.dataset.answer));
        assert.equal(new Set(texts).size, texts.length);
        await place.locator(".tk-choice__mark").first().check();
        assert.ok(texts.length === 3 || texts.length === 4, `${texts}`);
      } else {
        written += await place.locator(".tk-question__entry, [data-piece]").count() ? 1 : 0;
        await answer(part, question, true);
      }
    }
    assert.ok(written <= 10, `${written} of 25 are typed: an exam is mostly multiple choice`);
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
    const shares = (await part.locator(".tk-topics td").allInnerTexts()).map((text) => { const [right, all] = text.match(/\d+/g); return right / all; });
    assert.deepEqual(shares, shares.toSorted((one, other) => one - other), "the weakest topic is first");
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

test("an exam whose time ran out while the page was closed keeps the answer of the question that was open", async () => {
  await visit("exam.html", async (page, part) => {
    await page.clock.install();
    await page.reload();
    await page.locator("[data-started]").first().waitFor();
    await beginExam(part);
    await part.locator('[data-to="3"]').click();
    await answerSomehow(part);
    const [{ plan }] = await sittingsOf(page);
    assert.ok(plan.answers[3]);
    await page.goto("about:blank");
    await page.clock.setSystemTime(Date.now() + 90 * 60_000);
    await page.goto(diskUrl("exam.html"));
    await part.locator('[data-role="total"]').waitFor();
    const [sat, ...more] = await sittingsOf(page);
    assert.deepEqual(more, []);
    assert.equal(sat.answers.find((one) => one.draw === plan.slots[3][2]).answer, plan.answers[3]);
    assert.doesNotMatch(await part.locator(".tk-reviewed__verdict").nth(3).innerText(), /Not answered/);
    // What the page does every few seconds while an exam is sat has stopped.
    await page.clock.runFor(60_000);
    assert.equal(await part.locator(".tk-reviewed__row").count(), 25);
  });
});

test("an exam that is open in two tabs keeps the answers of both, and is handed in once", async () => {
  await visit("exam.html", async (page, part) => {
    await beginExam(part);
    const other = await page.context().newPage();
    await other.goto(diskUrl("exam.html"));
    const there = other.locator("[data-started]").first();
    await there.locator(`${stage} [data-part="question"]`).waitFor();
    for (const [tab, turn] of [[part, 1], [there, 2], [part, 3], [there, 4]]) {
      await tab.locator(`[data-to="${turn}"]`).click();
      await answerSomehow(tab);
    }
    await there.locator('[data-do="flag"]').click();
    const answered = [1, 2, 3, 4];
    for (const tab of [part, there]) {
      await tab.locator('[data-to="4"][data-flagged="yes"]').waitFor();
      for (const turn of answered) await tab.locator(`[data-to="${turn}"][data-answered="yes"]`).waitFor();
    }
    await page.reload();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.equal(await part.locator('[data-answered="yes"]').count(), 4);
    await there.locator('[data-do="hand-in"]').click();
    await there.locator('[data-do="surely"]').click();
    await there.locator('[data-role="total"]').waitFor();
    await part.locator('[data-role="total"]').filter({ hasText: /in another tab/ }).waitFor();
    const sat = await sittingsOf(page);
    assert.equal(sat.length, 1);
    assert.equal(sat[0].answers.length, 25, "each question once");
    assert.equal(sat[0].answers.filter((one) => one.answer).length, 4);
    const figures = (tab) => tab.locator(".tk-score").innerText();
    assert.equal(await figures(part), await figures(there));
    await other.close();
  });
});

test("an exam that is handed in in one tab while another loads it is shown there too, as it was handed in", async () => {
  const server = await serve(SITE);
  await open(server.url("exam.html"), async (page) => {
    const part = page.locator("[data-started]").first();
    await part.waitFor();
    await beginExam(part);
    const other = await page.context().newPage();
    await other.addInitScript(() => { delete Navigator.prototype.serviceWorker; });
    const release = await held(other, "questions.js");
    await other.goto(server.url("exam.html"), { waitUntil: "domcontentloaded" });
    await other.locator('[data-part="exam"][data-started]').waitFor();
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    await part.locator('[data-role="total"]').waitFor();
    release();
    await other.locator('[data-role="total"]').filter({ hasText: /in another tab/ }).waitFor();
    assert.equal((await sittingsOf(other)).length, 1);
    await other.close();
  }, { viewport: PHONE, reducedMotion: "reduce" });
  await server.close();
});

test("a clock that is set back during an exam gives no more time than there was", async () => {
  await visit("exam.html", async (page, part) => {
    const start = Date.now();
    await page.clock.install({ time: start });
    await page.reload();
    await page.locator("[data-started]").first().waitFor();
    await beginExam(part);
    const left = async () => Number((await part.locator(".tk-paper__clock").innerText()).match(/\d+/)[0]);
    await page.clock.runFor(10 * 60_000);
    assert.equal(await left(), 50);
    await page.clock.setSystemTime(start - 120 * 60_000);
    await page.clock.runFor(6_000);
    assert.equal(await left(), 50);
    await page.clock.runFor(5 * 60_000);
    assert.ok((await left()) <= 45, `${await left()}`);
    // Nor when the page was closed meanwhile.
    const before = await left();
    await page.goto("about:blank");
    await page.clock.setSystemTime(start - 240 * 60_000);
    await page.goto(diskUrl("exam.html"));
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.ok((await left()) <= before + 1, `${await left()}`);
  });
});

test("an exam begins at the Enter key with the question in focus, marks what is answered at once, and names what is left when it is handed in", async () => {
  await visit("exam.html", async (page, part) => {
    await part.locator("#exam-code").fill("OAK-17");
    await part.locator("#exam-code").press("Enter");
    await page.waitForFunction(() => document.activeElement.id === "exam-who");
    await page.keyboard.type("Ines");
    await page.keyboard.press("Enter");
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    assert.match(await page.evaluate(() => document.activeElement.textContent), /^Question 1 of 25/);
    await answerSomehow(part);
    await part.locator('[data-to="0"][data-answered="yes"][aria-current="step"]').waitFor();
    await part.locator('[data-to="6"]').click();
    await part.locator('[data-do="flag"]').click();
    await part.locator('[data-do="hand-in"]').click();
    const sure = part.locator(".tk-quiz__sure");
    assert.match(await sure.innerText(), /Not answered, so each counts as wrong:[^]*Still flagged:/);
    assert.equal(await sure.locator(".tk-paper__back button").count(), 25);
    assert.deepEqual(await violations(page), []);
    await sure.locator('.tk-paper__back button').last().click();
    assert.match(await page.evaluate(() => document.activeElement.textContent), /^Question 7 of 25/);
  });
});

test("on a wide screen the aids are beside the question, and a button that cannot be used is readable", async () => {
  await visit("exam.html", async (page, part) => {
    await beginExam(part);
    await part.locator('[data-to="24"]').click();
    await part.locator(".tk-exam__aids summary").first().click();
    const [question, calculator] = [await part.locator(`${stage} [data-part="question"]`).boundingBox(), await part.locator(".tk-pocket").boundingBox()];
    assert.ok(calculator.x >= question.x + question.width, "beside it");
    assert.ok(calculator.y < question.y + question.height && calculator.y + calculator.height <= DESK.height, "and in view with it");
    const next = part.locator('[data-do="next"]');
    assert.ok(await next.isDisabled());
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      const ratio = await next.evaluate(($one) => {
        const light = (color) => {
          const [r, g, b] = color.match(/[\d.]+/g).slice(0, 3).map((part) => part / 255).map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
          return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        const { color, backgroundColor } = getComputedStyle($one);
        const [one, two] = [light(color), light(backgroundColor)].sort((a, b) => b - a);
        return (one + 0.05) / (two + 0.05);
      });
      assert.ok(ratio >= 4.5, `${colorScheme}: ${ratio}`);
    }
  }, { viewport: DESK });
});

test("the result of an exam is printed with the working of every question", async () => {
  await visit("exam.html", async (page, part) => {
    await beginExam(part);
    await part.locator('[data-do="hand-in"]').click();
    await part.locator('[data-do="surely"]').click();
    await part.locator('[data-role="total"]').waitFor();
    assert.doesNotMatch(await part.locator('[data-role="total"]').innerText(), /first try/);
    assert.equal(await part.locator(".tk-reviewed details[open]").count(), 0);
    await page.evaluate(() => { dispatchEvent(new Event("beforeprint")); });
    assert.equal(await part.locator(".tk-reviewed__row > details[open]").count(), 25);
    await page.emulateMedia({ media: "print" });
    assert.ok(await part.locator(".tk-reviewed .tk-steps").first().isVisible());
    await page.evaluate(() => { dispatchEvent(new Event("afterprint")); });
    assert.equal(await part.locator(".tk-reviewed details[open]").count(), 0);
  });
});

test("Enter works out what was typed on the pocket calculator, wherever the focus is, and presses a key that was reached with Tab", async () => {
  await visit("exam.html", async (page, part) => {
    await beginExam(part);
    await part.locator(".tk-exam__aids summary").first().click();
    const shown = part.locator(".tk-pocket__shown");
    await part.locator('[data-key="7"]').focus();
    for (const key of ["2", "+", "3", "Enter"]) await page.keyboard.press(key);
    assert.equal(await shown.innerText(), "5");
    for (const key of ["C", "2", "+", "3"]) await part.locator(`[data-key="${key === "2" ? 2 : key}"]`).click();
    await page.keyboard.press("Enter");
    assert.equal(await shown.innerText(), "5");
    await part.locator('[data-key="C"]').click();
    await part.locator('[data-key="7"]').focus();
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    assert.equal(await shown.innerText(), "78");
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
