// What the first page and the pages of practice say of a learner: where to go on, what is due, what is learned.

import assert from "node:assert/strict";
import { test } from "node:test";
import { answer, asked, sittingsOf } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";
import { HOME, LESSON, QUIZ, practice, visit } from "./stored.mjs";

test("the home page of somebody new says nothing, and of somebody who was here where to go on, in the first screen", async () => {
  await visit(HOME, async (page) => {
    assert.ok(await page.locator('[data-role="here"]').isHidden());
    await page.goto(diskUrl("lessons/swath-timing.html"));
    await page.goto(HOME);
    const way = page.locator(".tk-here__on");
    assert.match(await way.innerText(), /^Continue: /);
    assert.equal(await way.getAttribute("href"), "lessons/swath-timing.html");
    const box = await way.boundingBox();
    assert.ok(box.y + box.height <= PHONE.height, `it ends at ${box.y + box.height}`);
    assert.match(await page.locator(".tk-contents").first().innerText(), /here/);
    assert.deepEqual(await violations(page), []);
  });
});

test("a lesson whose questions are all answered right is behind the learner: the next one is offered", async () => {
  await visit(LESSON, async (page) => {
    const next = await page.locator('.tk-turn__link[rel="next"]').getAttribute("href");
    await practice(page);
    assert.equal(await page.locator(`${QUIZ} a.tk-button--main`).getAttribute("href"), next);
    await page.goto(HOME);
    assert.equal(await page.locator(".tk-here__on").getAttribute("href"), `lessons/${next}`);
    // A second learner on the same phone sees who learns, and begins with the first lesson.
    await page.evaluate(() => { LEARN.rename(LEARN.currentId(), "Rosa"); LEARN.add("Bo"); });
    await page.reload();
    assert.match(await page.locator(".tk-here__ways").innerText(), /Learning here: Bo/);
    assert.equal(await page.locator(".tk-here__on").getAttribute("href"), "lessons/why-it-must-fit.html");
    // After the last lesson, the drill.
    await page.evaluate(() => {
      const { lessons } = JSON.parse(document.querySelector('[data-role="outline"]').textContent);
      const { stem, digests } = lessons.at(-1);
      LEARN.seen(stem);
      LEARN.setNote("standing", { day: learnDay(), items: Object.fromEntries(digests.map((digest) => [digest, { row: 1, right: true }])) });
    });
    await page.reload();
    assert.deepEqual(await page.locator(".tk-here__on").evaluateAll((all) => all.map((one) => one.getAttribute("href"))), ["drill.html"]);
  });
});

test("drill and mock exam are within reach on a first visit, in the first screen", async () => {
  await visit(HOME, async (page) => {
    for (const href of ["drill.html", "exam.html"]) {
      const box = await page.locator(`.tk-cover a[href="${href}"]`).boundingBox();
      assert.ok(box.y + box.height <= 640, `${href} ends at ${box.y + box.height}`);
    }
  });
});

test("the home page's first line is the exam that is running, with the minutes left, and then the drill that was left", async () => {
  await visit(diskUrl("drill.html"), async (page) => {
    await page.locator('[data-part="drill"][data-started] [data-do="begin"]').click();
    const part = page.locator('[data-part="drill"]');
    await answer(part, await asked(part), true);
    await part.locator('[data-do="check"]').click();
    await part.locator('[data-do="next"]').click();
    await page.goto(HOME);
    const first = page.locator(".tk-here__ways a").first();
    assert.match(await first.innerText(), /^Continue your drill: question 2 of 12$/);
    assert.equal(await first.getAttribute("href"), "drill.html");
    await page.goto(diskUrl("exam.html"));
    await page.locator('[data-part="exam"][data-started] [data-do="begin-exam"]').click();
    await page.locator('[data-role="stage"] [data-part="question"]').waitFor();
    const { plan } = (await sittingsOf(page)).find((one) => one.kind === "exam");
    await page.clock.setFixedTime(Date.parse(plan.until) - 22.5 * 60_000);
    await page.goto(HOME);
    assert.match(await first.innerText(), /^Continue your mock exam: 23 minutes left$/);
    assert.equal(await first.getAttribute("href"), "exam.html");
    const box = await first.boundingBox();
    assert.ok(box.y + box.height <= 640, `it ends at ${box.y + box.height}`);
    assert.deepEqual(await page.locator(".tk-here__ways a").evaluateAll((all) => all.filter((one) => /drill/.test(one.href)).length), 1);
    assert.deepEqual(await violations(page), []);
    await page.clock.setFixedTime(Date.parse(plan.until) + 60_000);
    await page.reload();
    assert.match(await first.innerText(), /^Time is up/);
  });
});

test("three right answers on fresh numbers count as learned, and the home page says so by lesson and by topic", async () => {
  await visit(HOME, async (page) => {
    await practice(page, 3);
    await page.goto(HOME);
    assert.match(await page.locator(".tk-contents").first().innerText(), /\d of \d learned|done/);
    await page.locator(".tk-here summary").click();
    assert.match(await page.locator(".tk-here__topics").innerText(), /learned/);
    const digests = (await sittingsOf(page)).flatMap((one) => one.answers);
    for (const digest of new Set(digests.map((one) => one.digest))) {
      const draws = digests.filter((one) => one.digest === digest).map((one) => one.draw);
      assert.equal(new Set(draws).size, draws.length, "the numbers were fresh each time");
    }
  });
});

test("what is due is on the first page on its day, in all, by lesson and by topic, and the drill counts the same", async () => {
  await visit(LESSON, async (page) => {
    await practice(page, 3);
    const due = page.locator(".tk-here__ways a", { hasText: /^Due today/ });
    await page.goto(HOME);
    assert.equal(await due.count(), 0, "nothing on the day it is learned");
    await page.clock.setSystemTime(Date.now() + 26 * 3_600_000);
    await page.goto(HOME);
    assert.equal(await due.innerText(), "Due today: 2 questions");
    assert.match(await page.locator(".tk-contents__how").innerText(), /2 of 3 learned, 2 due$/);
    await page.locator(".tk-here summary").click();
    assert.match(await page.locator(".tk-here__topic").innerText(), /^Output\s+2 of \d+ learned, 2 due$/);
    await due.click();
    await page.locator('[data-role="standing"]').filter({ hasText: "Due today: 2." }).waitFor();
    // A day without practice asks for nothing.
    await page.evaluate(() => LEARN.setNote("settings", { ...LEARN.note("settings")?.note, off: [new Date().getDay()] }));
    await page.reload();
    await page.locator('[data-part="drill"][data-started]').waitFor();
    assert.doesNotMatch(await page.locator('[data-role="standing"]').innerText(), /Due/);
    await page.goto(HOME);
    assert.equal(await due.count(), 0);
    assert.match(await page.locator(".tk-contents__how").innerText(), /2 of 3 learned$/);
  });
});

test("what was right once and then missed is missed, and is not counted as right too", async () => {
  await visit(HOME, async (page) => {
    await practice(page);
    await page.goto(HOME);
    assert.match(await page.locator(".tk-contents__how").innerText(), /3 of 3 answered right$/);
    await page.goto(LESSON);
    const part = page.locator(QUIZ);
    await part.locator('[data-role="start"] button').click();
    for (let turn = 0; turn < 2; turn += 1) {
      await answer(part, await asked(part), false);
      await part.locator('[data-do="check"]').click();
    }
    await part.locator('[data-do="next"]').click();
    await part.locator('[data-do="stop"]').click();
    await part.locator('[data-role="total"]').waitFor();
    await page.goto(HOME);
    assert.match(await page.locator(".tk-contents__how").innerText(), /2 of 3 answered right, 1 missed$/);
    assert.equal(await page.locator(".tk-here__on").getAttribute("href"), LESSON.slice(LESSON.indexOf("lessons/")), "and its lesson is not behind the learner");
  });
});

test("somebody who left a drill in the middle finds on the first page what was missed, and where it goes wrong most", async () => {
  await visit(diskUrl("drill.html"), async (page) => {
    const part = page.locator('[data-part="drill"]');
    await page.locator('[data-part="drill"][data-started] [data-do="no-topic"]').click();
    await page.locator('input[name="topic"][value="tank"]').check();
    await part.locator('[data-do="begin"]').click();
    for (let question = 0; question < 2; question += 1) {
      for (let turn = 0; turn < 2; turn += 1) {
        await answer(part, await asked(part), false);
        await part.locator('[data-do="check"]').click();
      }
      await part.locator('[data-do="next"]').click();
    }
    await page.clock.setSystemTime(Date.now() + 26 * 3_600_000);
    await page.goto(HOME);
    const first = page.locator(".tk-here__ways a").first();
    assert.equal(await first.innerText(), "Missed last time: 2. Weak spot: Filling the tank");
    assert.equal(await first.getAttribute("href"), "drill.html");
    const box = await first.boundingBox();
    assert.ok(box.y + box.height <= PHONE.height, `it ends at ${box.y + box.height}`);
  });
});

test("the first page of somebody who was here is drawn at once as it stays, however late its script comes", async () => {
  const server = await serve(SITE);
  await open(server.url("lessons/swath-timing.html"), async (page) => {
    await page.addInitScript(() => {
      window.moved = 0;
      new PerformanceObserver((list) => { for (const one of list.getEntries()) window.moved += one.value; }).observe({ type: "layout-shift", buffered: true });
    });
    await page.route("**/home.js", async (route) => { await new Promise((later) => { setTimeout(later, 500); }); await route.continue(); });
    await page.goto(server.url("index.html"));
    await page.locator(".tk-here__on").waitFor();
    await page.evaluate(() => new Promise((drawn) => { requestAnimationFrame(() => requestAnimationFrame(drawn)); }));
    assert.equal(await page.evaluate(() => window.moved), 0);
  }, { viewport: PHONE });
  await server.close();
});
