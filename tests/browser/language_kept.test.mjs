// The demo course in the language that shouts: what the scripts say of what is kept: the day’s log, cards, progress, files
// that cannot be read, a full device.

import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { answer, asked } from "./asking.mjs";
import { DANA, LEE, chore } from "./card.mjs";
import { QUIZZES, click, site, used } from "./language_said.mjs";

const room = mkdtempSync(join(tmpdir(), "tankside-said-"));
after(() => rmSync(room, { recursive: true, force: true }));

test("the day’s log: lawns, slips, verdicts, another day, a row that cannot be read", async () => {
  await used("log.html", "log", async (page, part, look) => {
    const lawn = async (name, area, used) => {
      await page.locator("#log-name").fill(name);
      await page.locator("#log-area").fill(area);
      await page.locator("#log-used").fill(used);
      await page.keyboard.press("Enter");
    };
    await lawn("", "abc", "1,5,5");
    await look("cannot be read");
    await page.locator("#log-rate").fill("2 gal");
    await page.keyboard.press("Tab");
    await look("a rate without its area");
    await page.locator("#log-rate").fill("2 gal/1000 ft2");
    await page.keyboard.press("Tab");
    for (const used of ["20", "20,2", "19,9"]) await lawn("", "10000", used);
    await look("in control");
    await lawn("", "10000", "31");
    await look("one is off");
    for (const used of ["22", "22,2", "22,1", "22,3"]) await lawn("", "10000", used);
    await look("drifting");
    await page.locator('[data-role="rows"] button').first().click();
    await look("a row removed");
    await page.evaluate(() => {
      /* global LEARN */
      const [id] = Object.keys(LEARN.note("logs").note);
      const { note } = LEARN.note(`log.${id}`);
      LEARN.setNote(`log.${id}`, { ...note, lawns: [...note.lawns, ["", "?!", "9"]] });
    });
    await page.reload();
    await part.waitFor();
    await look("a row that cannot be read");
    await click(part, "new-day");
    await look("another day");
  });
});

test("the card: slips, saved, compared, deleted, read from a file", async () => {
  await used("card.html", "", async (page, _, look) => {
    await page.locator('[data-part="card"]').dispatchEvent("pointerdown");
    await page.locator('[data-part="card"][data-started]').waitFor();
    await look("started");
    await chore(page, "new").click();
    for (const [name, text] of [["timed.1.volume", "abc"], ["timed.1.area", ""], ["timed.1.area-time", "-3"], ["tank", "99999999"], ["date", "13/45"]]) await page.fill(`.tk-sheet [name="${name}"]`, text);
    await chore(page, "keep").click();
    await look("slips");
    for (const card of [DANA, LEE]) {
      await chore(page, "new").click();
      if (await page.locator('[data-chore="leave"]:visible').count()) { await look("unsaved"); await chore(page, "leave").click(); }
      for (const [name, text] of Object.entries(card)) await page.fill(`.tk-sheet [name="${name}"]`, text);
      await chore(page, "keep").click();
      await look("saved");
    }
    await chore(page, "edit").click();
    await page.locator('[data-do="add"][data-group="product"]').first().click();
    await page.fill('[name="product.1.name"]', "Quibblewort");
    await page.fill('[name="product.1.rate"]', "2 fl oz/1000 ft2");
    await page.fill('[name="product.1.label-max"]', "1 fl oz/1000 ft2");
    await look("above the label");
    await page.locator('[data-do="units"][data-units="metric"]').first().evaluate(($button) => $button.click());
    await look("metric");
    await page.locator('[data-chore="ask"]').first().click();
    await look("asked whether it is deleted");
    await page.locator('[data-chore="drop"]').first().click();
    await look("deleted");
    for (const [name, text] of [["no.json", "{"], ["other.json", '{"kind":"x"}'], ["more.json", "[]"]]) {
      writeFileSync(join(room, name), text);
      await page.setInputFiles('[data-role="file"]', join(room, name));
      await page.locator('[data-role="list-said"]:not(:empty)').waitFor();
      await look(`a file: ${text}`);
    }
  });
});

test("progress: a name, another person, a record, a certificate, files, starting over", async () => {
  await used("index.html", "", async (page, _, look) => {
    const quiz = QUIZZES.find((one) => one.counts);
    await page.goto(site.url(quiz.name));
    const part = page.locator(`[data-part="quiz"][data-bank="${quiz.bank}"][data-started]`);
    await part.locator('[data-role="start"] button').first().click();
    for (let turn = 0; turn < quiz.ask; turn += 1) {
      await answer(part, await asked(part), true);
      if (turn < quiz.ask - 1) await click(part, "next");
    }
    await click(part, "hand-in");
    await click(part, "surely");
    await part.locator('[data-role="total"]').waitFor();
    await look("all right");
    await page.goto(site.url("index.html"));
    await look("home, of somebody who was here");
    await page.goto(site.url("progress.html"));
    const progress = page.locator('[data-part="progress"][data-started]');
    await progress.waitFor();
    await look("progress");
    await page.evaluate(() => { window.print = () => {}; });
    await page.locator("#learner-name").fill("Sam Sample");
    for (const name of ["rename", "copy", "certificate", "print-record"]) {
      await click(progress, name);
      await look(name);
    }
    for (const name of ["record", "export"]) {
      await Promise.all([page.waitForEvent("download"), click(progress, name)]);
      await look(name);
    }
    for (const text of ["{", '{"kind":"x"}', "[]"]) {
      writeFileSync(join(room, "progress.json"), text);
      await page.setInputFiles('[data-role="file"]', join(room, "progress.json"));
      await page.locator('[data-role="said"]:not(:empty)').waitFor();
      await look(`a file: ${text}`);
    }
    await click(progress, "add");
    await look("another person");
    await progress.locator('input[name="person"]').first().check();
    await look("the first again");
    await click(progress, "start-over");
    await look("asked whether it starts over");
    await click(progress, "surely");
    await look("started over");
  });
});

test("what is kept and cannot be read is said in the course’s language", async () => {
  for (const name of ["index.html", "drill.html", "progress.html", QUIZZES[0].name]) {
    await used(name, "", async (page, _, look) => {
      await page.evaluate(() => {
        const course = document.documentElement.dataset.course;
        for (const key of ["people", "person", "sitting.x", "memory", "notes", "state"]) localStorage.setItem(`tankside.${course}.learn.${key}`, "{");
        localStorage.setItem(`tankside.${course}.learn`, "{");
      });
      await page.reload();
      await page.waitForTimeout(200);
      await look("unreadable");
      await page.evaluate(() => { Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); }; });
      const $begin = page.locator('[data-do="begin"]:visible, [data-role="start"] button:visible').first();
      if (await $begin.count()) await $begin.click();
      await page.waitForTimeout(400);
      await look("a full device");
    });
  }
});
