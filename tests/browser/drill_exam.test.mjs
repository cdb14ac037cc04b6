// The drill, the mock exam and step by step practice in a real browser.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, kept } from "./asking.mjs";
import { keepsTheRules, violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
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
    assert.ok(await part.locator(".tk-plan").first().isHidden());
    assert.ok(await part.locator(".tk-drill__unfold").isVisible());
    await page.emulateMedia({ media: "screen" });
    await page.evaluate(() => { window.printed = 0; window.print = () => { window.printed = document.querySelectorAll('[data-role="plan"] tr').length; }; });
    await part.locator('[data-do="print-plan"]').click();
    await page.waitForFunction(() => window.printed > 3);
    await page.emulateMedia({ media: "print" });
    assert.ok(await part.locator(".tk-plan").first().isVisible());
    assert.ok(await part.locator(".tk-drill__unfold").isHidden());
    assert.ok(await part.locator('[data-do="begin"]').isHidden());
  });
});

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

/** Begins an exam and waits for its first question. */
async function beginExam(part) {
  await part.locator('[data-do="begin-exam"]').click();
  await part.locator(`${stage} [data-part="question"]`).waitFor();
}

/** Answers the question on the page in some way. */
async function answerSomehow(part) {
  const place = part.locator(`${stage} [data-part="question"]`);
  const entries = await place.locator(".tk-question__entry, [data-piece]").all();
  if (entries.length) for (const entry of entries) await entry.fill("12.5 gal");
  else if (await place.locator(".tk-order__item").count()) await place.locator('[data-do="down"]').first().click();
  else await place.locator(".tk-choice__mark").first().check();
}

const sittingsOf = async (page) => Object.entries(await kept(page)).filter(([name]) => name.startsWith("sitting.")).map(([, text]) => JSON.parse(text));

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

const dayFromNow = (days) => { const day = new Date(Date.now() + days * 86_400_000); return new Date(day - day.getTimezoneOffset() * 60_000).toISOString().slice(0, 10); };

test("an exam date makes a candidate: the drill asks what no lesson teaches, unless that was decided by hand, and says what stays out", async () => {
  await visit("drill.html", async (page, part) => {
    const beyond = part.locator('[data-role="beyond"]');
    const out = part.locator('[data-role="out"]');
    const all = async () => Number((await part.locator('[data-role="standing"]').innerText()).match(/of (\d+)/)[1]);
    assert.ok(!(await beyond.isChecked()));
    const few = await all();
    const left = Number((await out.innerText()).match(/\d+/)[0]);
    await part.locator("#drill-length").selectOption("6");
    assert.ok(!(await beyond.isChecked()), "another setting decides nothing");
    await part.locator("#drill-exam").fill(dayFromNow(35));
    assert.ok(await beyond.isChecked());
    assert.equal(await all(), few + left);
    assert.equal(await out.innerText(), `Also asked: ${left} kinds of problem that no lesson of this course teaches. That makes ${few + left} in all.`);
    assert.equal(await out.getAttribute("role"), "status", "a change of how many are asked is said aloud");
    assert.deepEqual(await violations(page), []);
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    assert.ok(await beyond.isChecked());
    await beyond.uncheck();
    await part.locator("#drill-exam").fill(dayFromNow(20));
    assert.ok(!(await beyond.isChecked()), "what was decided by hand stays");
    assert.match(await out.innerText(), new RegExp(`^Not asked: ${left} kinds.* ${few} are left\\.$`));
  });
});

test("days of the week without practice are kept, left out of the plan, and never all seven; an older store has none", async () => {
  await visit("drill.html", async (page, part) => {
    const plan = () => part.locator('[data-role="plan"] tr');
    const days = async () => (await plan().locator("th").allInnerTexts()).map((text) => text.slice(0, 3));
    await page.evaluate(() => LEARN.setNote("settings", { length: "12", exam: "", without: [] }));
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    assert.equal(await part.locator('input[name="off"]:checked').count(), 0);
    await part.locator("#drill-exam").fill(dayFromNow(35));
    await part.locator(".tk-drill__plan summary").click();
    await plan().nth(20).waitFor();
    assert.equal(new Set(await days()).size, 7);
    for (const day of ["Sat", "Sun"]) await part.getByLabel(day, { exact: true }).check();
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    await part.locator(".tk-drill__plan summary").click();
    await plan().nth(15).waitFor();
    assert.deepEqual([...new Set(await days())].sort(), ["Fri", "Mon", "Thu", "Tue", "Wed"]);
    assert.deepEqual(await violations(page), []);
    for (const day of ["Mon", "Tue", "Wed", "Thu"]) await part.getByLabel(day, { exact: true }).check();
    await part.getByLabel("Fri", { exact: true }).click();
    assert.ok(!(await part.getByLabel("Fri", { exact: true }).isChecked()));
    assert.match(await part.locator('[data-role="off-all"]').innerText(), /^One day a week/);
  });
});

test("the plan is printed whole though it is folded, and folds again", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator("#drill-length").focus();
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => haveParts(["learning"]));
    await page.evaluate(() => { dispatchEvent(new Event("beforeprint")); });
    await page.emulateMedia({ media: "print" });
    assert.ok(await part.locator('[data-role="plan"] tr').nth(3).isVisible());
    assert.ok(await part.locator(".tk-drill__unfold").isHidden());
    await page.evaluate(() => { dispatchEvent(new Event("afterprint")); });
    assert.ok(!(await part.locator(".tk-drill__plan").evaluate(($plan) => $plan.open)));
  });
});

test("an exam date that is past is said to be, and the day of the exam wishes luck in place of an empty plan", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator("#drill-exam").fill(dayFromNow(-2));
    assert.match(await part.locator('[data-role="past"]').innerText(), /is past/);
    await part.locator("#drill-exam").fill(dayFromNow(0));
    assert.equal(await part.locator('[data-role="past"]').innerText(), "");
    await part.locator(".tk-drill__plan summary").click();
    assert.match(await part.locator('[data-role="plan-about"]').innerText(), /Your exam is today/);
    assert.ok(await part.locator(".tk-plan").first().isHidden());
    await part.locator("#drill-length").selectOption("6");
    await part.locator('[data-do="begin"]').click();
    await part.locator(`${stage} [data-part="question"]`).waitFor();
    await answer(part, await asked(part), true);
    await part.locator('[data-do="check"]').click();
    await part.locator('[data-do="stop"]').click();
    const total = await part.locator('[data-role="total"]').innerText();
    assert.match(total, /Your exam is today/);
    assert.doesNotMatch(total, /Come back on/);
  });
});

test("what an exam missed is due in the drill, and home and drill count the same", async () => {
  await visit("drill.html", async (page, part) => {
    await part.locator("#drill-exam").fill(dayFromNow(35));
    await page.goto(diskUrl("exam.html"));
    const exam = page.locator('[data-part="exam"][data-started]');
    await exam.waitFor();
    await beginExam(exam);
    await exam.locator('[data-do="hand-in"]').click();
    await exam.locator('[data-do="surely"]').click();
    await exam.locator('[data-role="total"]').waitFor();
    await page.goto(diskUrl("index.html"));
    const missed = Number((await page.locator(".tk-here").innerText()).match(/Missed last time: (\d+)/)[1]);
    assert.ok(missed > 10, `${missed}`);
    await page.goto(diskUrl("drill.html"));
    await part.waitFor();
    assert.match(await part.locator('[data-role="standing"]').innerText(), new RegExp(`Missed last time: ${missed}\\.`));
    // The plan has them too, in its first days.
    await part.locator(".tk-drill__plan summary").click();
    const rows = part.locator('[data-role="plan"] tr');
    await rows.nth(3).waitFor();
    assert.equal(await part.locator('[data-role="plan-missed"]').innerText(), "Missed or begun");
    const planned = await rows.locator("td:nth-child(2)").allInnerTexts();
    const [sum, days] = [planned.reduce((sum, text) => sum + Number(text), 0), planned.filter((text) => text !== "0").length];
    // One that a day has no room for is finished on the next, and is in both.
    assert.ok(sum >= missed && sum < missed + days, `${planned}`);
    assert.ok(days <= 7 && Number(planned[0]) > 2, `${planned}`);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "all columns fit a phone");
  });
});

test("the first page counts the days to the exam and says how far the candidate is, and nothing where no day is set", async () => {
  await visit("drill.html", async (page, part) => {
    const line = page.locator('.tk-here [data-role="exam"]');
    const home = async (shown = true) => {
      await page.goto(diskUrl("index.html"));
      assert.equal(await line.isVisible(), shown);
      return shown ? line.innerText() : "";
    };
    const setDay = async (day) => {
      await page.goto(diskUrl("drill.html"));
      await part.waitFor();
      await part.locator("#drill-exam").fill(day);
    };
    await home(false);
    // A day alone is enough: the candidate has answered nothing yet.
    await setDay(dayFromNow(35));
    assert.match(await home(), /^Exam in 35 days\. 0 of \d+ kinds of problem learned\.$/);
    await page.evaluate(() => {
      const { topics } = JSON.parse(document.querySelector('[data-role="outline"]').textContent);
      const [one, two] = topics.find(([, taught]) => taught.length > 1)[1];
      LEARN.setNote("standing", { day: learnDay(), items: { [one]: { row: 3, learned: true, due: learnDay() + 3 }, [two]: { row: 1, right: true } } });
      const held = LEARN.begin("exam", "exam");
      held.answer({ question: "a", digest: "b", draw: 0, answer: "1", try: 1, right: true });
      held.sitting.result = { right: 17, all: 25, need: 18 };
      held.end();
    });
    assert.match(await home(), /^Exam in 35 days\. 1 of \d+ kinds of problem learned\. Last mock exam: 17 of 25; 18 needed to pass\.$/);
    await keepsTheRules(page);
    await page.evaluate((day) => LEARN.setNote("settings", { ...LEARN.note("settings").note, exam: day }), dayFromNow(1));
    assert.match(await home(), /^Exam tomorrow\. 1 of/);
    await page.evaluate((day) => LEARN.setNote("settings", { ...LEARN.note("settings").note, exam: day }), dayFromNow(0));
    assert.match(await home(), /^Your exam is today\. Good luck\. 1 of/);
    await page.evaluate((day) => LEARN.setNote("settings", { ...LEARN.note("settings").note, exam: day }), dayFromNow(-1));
    assert.equal(await home(), "Your exam date is past. Set a new one in the drill, or clear it there.");
    await page.evaluate(() => LEARN.setNote("settings", { ...LEARN.note("settings").note, exam: "2026-99-99" }));
    await home(false);
    await setDay("");
    await home(false);
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
