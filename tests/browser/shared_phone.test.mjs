// Several people on one phone: each has progress of their own, and it is said whose it is.

import assert from "node:assert/strict";
import { test } from "node:test";
import { kept } from "./asking.mjs";
import { violations } from "./axe.mjs";
import { diskUrl } from "./site.mjs";
import { HOME, LESSON, PROGRESS, practice, visit } from "./stored.mjs";

test("starting over takes what one person did and nothing else: on a shared phone the others keep theirs, and nobody goes on in another's name", async () => {
  await visit(PROGRESS, async (page) => {
    const press = (chore) => page.locator(`[data-do="${chore}"]`).click();
    for (const name of ["Ana", "Beto"]) {
      if (name === "Beto") await press("add");
      await page.locator("#learner-name").fill(name);
      await press("rename");
      await practice(page);
      await page.goto(PROGRESS);
    }
    const before = await kept(page);
    await page.goto(HOME);
    await page.getByRole("link", { name: "Start over" }).click();
    await press("start-over");
    assert.match(await page.locator("#over-sure").innerText(), /^Everything Beto did here will be deleted; the others keep theirs/);
    await press("surely");
    assert.match(await page.locator('[data-role="said"]').innerText(), /^Done\. You are back at the beginning/);
    const [beto, ana] = await page.evaluate(() => [LEARN.current(), LEARN.people().find((one) => one.name === "Ana")]);
    assert.equal(beto.name, "Beto");
    const after = await kept(page);
    for (const [name, text] of Object.entries(before)) if (name.includes(ana.id)) assert.equal(after[name], text, name);
    assert.deepEqual(Object.keys(after).filter((name) => name.includes(beto.id)), [`person.${beto.id}`]);
    await page.goto(HOME);
    assert.match(await page.locator(".tk-here__on").innerText(), /^Continue: /);
    assert.equal(await page.locator(".tk-contents__how").count(), 0, "no lesson has been begun");
    await page.goto(PROGRESS);
    await page.getByLabel("Ana").check();
    assert.ok(await page.locator('[data-role="none"]').isHidden(), "Ana's record is there");
  });
});

test("several people share a phone, each with progress of their own", async () => {
  await visit(LESSON, async (page) => {
    await practice(page);
    await page.goto(PROGRESS);
    await page.locator("#learner-name").fill("Ana");
    await page.locator('[data-do="rename"]').click();
    await page.locator('[data-do="add"]').click();
    await page.locator("#learner-name").fill("Beto <b>");
    await page.locator('[data-do="rename"]').click();
    assert.ok(await page.locator('[data-role="none"]').isVisible(), "somebody new has done nothing");
    assert.deepEqual(await violations(page), []);
    await page.goto(HOME);
    await page.goto(PROGRESS);
    await page.getByLabel("Ana").check();
    assert.ok(await page.locator('[data-role="none"]').isHidden());
    const record = await page.evaluate(() => LEARN.record("t", "d"));
    assert.equal(record.learner.name, "Ana");
  });
});

test("on a lesson and on each page for learners it says whose progress it is, where a name is set", async () => {
  await visit(LESSON, async (page) => {
    const who = page.locator(".tk-who");
    assert.equal(await who.count(), 0, "nothing without a name");
    await page.evaluate(() => LEARN.rename(LEARN.currentId(), "Ana"));
    for (const name of ["lessons/catch-test", "drill", "exam", "steps", "reading", "log"]) {
      await page.goto(diskUrl(`${name}.html`));
      assert.equal(await who.innerText(), "Learning here: Ana", name);
      assert.match(await who.locator("a").getAttribute("href"), /^(\.\.\/)?progress\.html$/);
    }
    assert.deepEqual(await violations(page), []);
  });
});

test("a name that somebody on the phone has already is asked about: the same person goes on, another adds a letter", async () => {
  await visit(LESSON, async (page) => {
    const part = page.locator('[data-part="progress"]');
    const names = () => page.evaluate(() => LEARN.people().map((one) => one.name));
    const same = part.locator('[data-role="same"]');
    await page.goto(PROGRESS);
    await page.locator("#learner-name").fill("Ada");
    await page.locator('[data-do="rename"]').click();
    await page.locator('[data-do="add"]').click();
    await practice(page);
    await page.goto(PROGRESS);
    await page.locator("#learner-name").fill(" ada ");
    await page.locator('[data-do="rename"]').click();
    assert.match(await same.innerText(), /already a learner called Ada on this device\. Are you the same person\?/);
    assert.equal(await page.evaluate(() => document.activeElement.textContent), "Yes, I am that Ada");
    assert.deepEqual(await violations(page), []);
    assert.deepEqual(await names(), ["Ada", ""], "nothing is decided yet");
    await part.locator('[data-do="another"]').click();
    assert.equal(await page.evaluate(() => document.activeElement.id), "learner-name");
    assert.match(await part.locator('[data-role="said"]').innerText(), /first letter of your last name/);
    await page.locator("#learner-name").fill("Ada B.");
    await page.locator('[data-do="rename"]').click();
    assert.deepEqual(await names(), ["Ada", "Ada B."]);
    // Somebody who began without a name, and is one of them.
    await page.locator('[data-do="add"]').click();
    await practice(page);
    await page.goto(PROGRESS);
    await page.locator("#learner-name").fill("Ada");
    await page.locator('[data-do="rename"]').click();
    await part.locator('[data-do="same"]').click();
    assert.deepEqual(await names(), ["Ada", "Ada B."]);
    assert.equal(await page.evaluate(() => LEARN.current().name), "Ada");
    assert.equal(await page.evaluate(() => LEARN.sittings().length), 1, "what was done without a name is Ada's");
    // An exam asks as well.
    await page.locator('[data-do="add"]').click();
    await page.goto(diskUrl("exam.html"));
    const exam = page.locator('[data-part="exam"][data-started]');
    await exam.locator("#exam-code").fill("OAK-17");
    await exam.locator("#exam-who").fill("Ada");
    await exam.locator('[data-do="begin-exam"]').click();
    await exam.locator('[data-role="said"] a').waitFor();
    assert.match(await exam.locator('[data-role="said"]').innerText(), /Are you the same person\? .*choose yourself first/);
    assert.equal(await page.evaluate(() => LEARN.current().name), "");
    // Two devices bring two of one name together: the days tell them apart.
    await page.evaluate(() => {
      const file = JSON.parse(LEARN.exported());
      LEARN.imported(JSON.stringify({ ...file, people: [{ id: "another1", name: "Ada", made: "2026-01-05T12:00:00.000Z", sittings: [], notes: [] }] }));
    });
    await page.goto(PROGRESS);
    const list = (await part.locator('[data-role="people-list"]').innerText()).split("\n").filter((text) => /^Ada \(since /.test(text));
    assert.equal(new Set(list).size, 2, `${list}`);
  });
});

test("what another tab keeps does not take away a name that is being typed, or a question that is open; another person does", async () => {
  await visit(PROGRESS, async (page) => {
    const name = page.locator("#learner-name");
    await name.fill("Ana");
    await page.locator('[data-do="rename"]').click();
    const other = await page.context().newPage();
    await other.goto(PROGRESS);
    await name.fill("Ana Ro");
    await page.locator('[data-do="start-over"]').click();
    /** Another tab keeps something, and this one has heard of it. */
    const hears = async (work) => {
      await page.evaluate(() => { window.heard = new Promise((done) => addEventListener("storage", () => setTimeout(done), { once: true })); });
      await other.evaluate(work);
      await page.evaluate(() => window.heard);
    };
    await hears(() => LEARN.setNote("settings", { length: "6" }));
    assert.equal(await name.inputValue(), "Ana Ro");
    assert.ok(await page.locator('[data-role="sure"]').isVisible());
    await hears(() => { LEARN.add("Beto"); });
    await page.waitForFunction(() => document.querySelector("#learner-name").value === "Beto");
    assert.ok(await page.locator('[data-role="sure"]').isHidden(), "what is asked would be about somebody else");
    await hears(() => { LEARN.rename(LEARN.currentId(), "Beto Ruiz"); });
    await page.waitForFunction(() => document.querySelector("#learner-name").value === "Beto Ruiz");
    await other.close();
  });
});
