// The day of the exam in a real browser: the plan up to it, days off, and what the first page counts.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, beginExam, kept, stage, visit } from "./asking.mjs";
import { keepsTheRules, violations } from "./axe.mjs";
import { open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

/** A day as a date field holds it, this many days from today. */
function dayFromNow(days) {
  const day = new Date(Date.now() + days * 86_400_000);
  return new Date(day - day.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

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
