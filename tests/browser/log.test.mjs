// The day's log: lawns as they are entered, the chart, and what it says in plain words.

import assert from "node:assert/strict";
import { test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, held, open } from "./browser.mjs";
import { DANA, LEE, keep, ready } from "./card.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";

async function lawn(page, name, area, used) {
  await page.locator("#log-name").fill(name);
  await page.locator("#log-area").fill(area);
  await page.locator("#log-used").fill(used);
  await page.keyboard.press("Enter");
}

test("lawns in control, one lawn off, and a rate that drifts are told apart in plain words", async () => {
  await open(
    diskUrl("log.html"),
    async (page) => {
      await page.locator('[data-part="log"][data-started]').waitFor();
      const verdict = page.locator('[data-role="verdict"]');
      await page.locator("#log-operator").fill("Ana");
      await page.locator("#log-rate").fill("2 gal/1000 ft2");
      await page.keyboard.press("Tab");
      for (const [name, area, used] of [["Oak St", "12,500", "25"], ["Elm St", "8000 ft2", "16.2 gal"], ["Ash Ct", "10000", "19.8"]]) await lawn(page, name, area, used);
      assert.match(await verdict.innerText(), /^In control/);
      assert.equal(await page.locator(".tk-log__point").count(), 3);
      assert.deepEqual(await page.locator('[data-role="rows"] td:nth-child(2)').allInnerTexts(), ["12,500 ft²", "8000 ft²", "10,000 ft²"]);
      await lawn(page, "Fir Ln", "10000", "31");
      assert.match(await verdict.innerText(), /One lawn is off\. Fir Ln got too much/);
      assert.equal(await page.locator(".tk-log__off").count(), 1, "another shape, not only another colour");
      assert.deepEqual(await violations(page), []);
      // The chart says how far off and which lawn.
      const texts = await page.locator(".tk-log__chart text").allTextContents();
      for (const text of ["0 %", "Oak St", "Fir Ln"]) assert.ok(texts.includes(text), `${texts}`);
      assert.ok(texts.some((text) => /^\+\d+ %$/.test(text)) && texts.some((text) => /^−\d+ %$/.test(text)), `${texts}`);
      // What was removed by mistake comes back where it was.
      await page.locator('[aria-label="Remove Elm St"]').click();
      assert.match(await page.locator('[data-role="said"]').innerText(), /^Elm St is removed\./);
      assert.equal(await page.evaluate(() => document.activeElement.textContent), "Put it back");
      await page.keyboard.press("Enter");
      assert.deepEqual(await page.locator('[data-role="rows"] th').allInnerTexts(), ["Oak St", "Elm St", "Ash Ct", "Fir Ln"]);
      await page.locator('[aria-label="Remove Fir Ln"]').click();
      for (const used of ["22", "22.2", "22.1", "22"]) await lawn(page, "", "10000", used);
      assert.match(await verdict.innerText(), /^Drifting high\. Stop and recalibrate/);
      await page.reload();
      await page.locator('[data-part="log"][data-started]').waitFor();
      await verdict.filter({ hasText: /^Drifting high/ }).waitFor();
      await lawn(page, "<img src=x>", "10000", "20");
      assert.match(await page.locator('[data-role="rows"]').innerText(), /<img src=x>/);
      assert.equal(await page.locator('img[src="x"]').count(), 0);
      // A row that was stored and cannot be read is named, and the others stay.
      await page.evaluate(() => {
        /* global LEARN */
        const [id] = Object.keys(LEARN.note("logs").note);
        const { note } = LEARN.note(`log.${id}`);
        LEARN.setNote(`log.${id}`, { ...note, lawns: [...note.lawns, ["Old St", "ten", "9"]] });
      });
      await page.reload();
      await page.locator('[data-role="rows"]').filter({ hasText: "cannot be read" }).waitFor();
      await page.locator('[data-do="new-day"]').click();
      assert.equal(await page.locator("#log-rate").inputValue(), "", "a rate is one operator's own");
      await page.locator("#log-operator").fill("Beto");
      await page.keyboard.press("Tab");
      assert.equal(await page.locator("#log-rate").inputValue(), "", "nobody begins with the rate of another");
      await page.locator("#log-rate").fill("2.1 gal/1000 ft2");
      await page.keyboard.press("Tab");
      await lawn(page, "Bay Rd", "10000", "20");
      assert.match(await page.locator("#log-day").innerText(), /Ana/);
      assert.deepEqual(await violations(page), []);
      // Too little for one lawn to show it, and too much for a day.
      await page.locator('[data-do="new-day"]').click();
      await page.locator("#log-operator").fill("beto");
      await page.keyboard.press("Tab");
      assert.equal(await page.locator("#log-rate").inputValue(), "2.1 gal/1000 ft2", "the rate of somebody's last log is theirs");
      await page.locator("#log-operator").fill("Cleo");
      await page.keyboard.press("Tab");
      assert.equal(await page.locator("#log-rate").inputValue(), "");
      await page.locator("#log-rate").fill("2 gal/1000 ft2");
      await page.keyboard.press("Tab");
      for (const used of ["21.1", "21.1", "21.1"]) await lawn(page, "", "10000", used);
      assert.match(await verdict.innerText(), /^No lawn is off by itself, but all of them together are \+5\.5 % off your card\./);
    },
    { viewport: PHONE, reducedMotion: "reduce" },
  );
});

test("an area or an amount that cannot be read is reported beside its field, and nothing is lost or entered", async () => {
  await open(diskUrl("log.html"), async (page) => {
    await page.locator('[data-part="log"][data-started]').waitFor();
    const rows = page.locator('[data-role="rows"] tr');
    const error = (name) => page.locator(`#log-${name}-error`).innerText();
    await lawn(page, "Oak St", "abc", "25");
    await page.locator('#log-area[aria-invalid="true"]').waitFor();
    assert.match(await error("area"), /can’t read that area/);
    assert.equal(await error("used"), "");
    assert.deepEqual(await Promise.all(["name", "area", "used"].map((name) => page.locator(`#log-${name}`).inputValue())), ["Oak St", "abc", "25"]);
    assert.equal(await page.evaluate(() => document.activeElement.id), "log-area");
    assert.equal(await rows.count(), 0);
    await page.locator('[data-do="new-day"]').click();
    assert.equal(await error("area"), "", "what could not be read goes with its day");
    await lawn(page, "Oak St", "12,500", "1,5");
    await page.locator('#log-used[aria-invalid="true"]').waitFor();
    assert.deepEqual([await error("area"), /can’t read that amount/.test(await error("used"))], ["", true]);
    assert.deepEqual(await violations(page), []);
    await lawn(page, "Oak St", "12,500", "25");
    await rows.first().waitFor();
    assert.equal(await rows.count(), 1);
    assert.equal(await error("used"), "");
  }, { viewport: PHONE, reducedMotion: "reduce" });
});

for (const width of [320, 360, 1280]) {
  test(`what a lawn took, its rate and how far that is off are read without scrolling sideways, ${width} px wide`, async () => {
    await open(diskUrl("log.html"), async (page) => {
      await page.locator('[data-part="log"][data-started]').waitFor();
      await page.locator("#log-rate").fill("2 gal/1000 ft2");
      await page.keyboard.press("Tab");
      await lawn(page, "The long lawn behind Quarry Lane", "112,500", "225.5");
      await lawn(page, "", "0.25 acre", "31");
      await page.locator('[data-role="rows"] tr').nth(1).waitFor();
      const table = page.locator('[data-role="table"]');
      if (width > 1000) {
        const bottoms = await page.locator("form .tk-set__field :is(input, button)").evaluateAll(($all) => $all.map(($one) => Math.round($one.getBoundingClientRect().bottom)));
        assert.equal(new Set(bottoms).size, 1, "the button is in the row of its fields");
      }
      const over = await table.evaluate(($one) => $one.scrollWidth - $one.clientWidth);
      assert.ok(over <= 0, `${over} px too wide`);
      for (const cell of await table.locator("tbody :is(th, td)").all()) {
        const box = await cell.boundingBox();
        assert.ok(box.x >= 0 && box.x + box.width <= width, `${await cell.innerText()}: ${JSON.stringify(box)}`);
      }
      assert.match((await table.locator("tbody tr").nth(1).innerText()).replaceAll("\u00a0", " "), /0\.25 acre\s+31 gal[^]*gal\/1000 ft² \(\+?[\d.]+ %\)\s+outside limits/);
      assert.deepEqual(await violations(page), []);
    }, { viewport: { width, height: 740 }, reducedMotion: "reduce" });
  });
}

test("the logs of several operators leave with the cards in one file, and both come back on another device", async () => {
  const started = (page, part) => page.locator(`[data-part="${part}"][data-started]`).waitFor();
  const key = (page) => page.evaluate(() => `tankside.${document.documentElement.dataset.course}.cards`);
  let file;
  let card;
  await open(diskUrl("card.html"), async (page) => {
    await ready(page);
    await keep(page, DANA);
    card = await page.evaluate((key) => localStorage.getItem(key), await key(page));
    await page.goto(diskUrl("log.html"));
    await started(page, "log");
    for (const operator of ["Ana", "Beto"]) {
      await page.locator("#log-operator").fill(operator);
      await page.locator("#log-rate").fill("2 gal/1000 ft2");
      await lawn(page, `Lawn of ${operator}`, "10000", "20");
      await page.locator('[data-do="new-day"]').click();
    }
    file = await page.evaluate(() => LEARN.exported());
  });
  await open(diskUrl("log.html"), async (page) => {
    await started(page, "log");
    await page.locator("#log-operator").fill("Cleo");
    await page.locator("#log-rate").fill("2 gal/1000 ft2");
    await lawn(page, "Lawn of Cleo", "10000", "20");
    await page.goto(diskUrl("card.html"));
    await ready(page);
    await keep(page, LEE);
    await page.goto(diskUrl("progress.html"));
    await started(page, "progress");
    await page.locator('input[type="file"]').setInputFiles({ name: "p.json", mimeType: "application/json", buffer: Buffer.from(file) });
    await page.waitForFunction((key) => localStorage.getItem(key).includes("Dana Quill"), await key(page));
    assert.ok((await page.evaluate((key) => localStorage.getItem(key), await key(page))).includes("Lee Marsh"), "what was here stays");
    assert.ok(card.includes("Dana Quill"));
    await page.locator('input[name="person"]').first().check();
    await page.goto(diskUrl("log.html"));
    await started(page, "log");
    const days = await page.locator('[data-role="day"] option').allInnerTexts();
    for (const operator of ["Ana", "Beto"]) assert.ok(days.some((day) => day.includes(operator)), `${operator}: ${days}`);
  });
});

test("a lawn that is entered before it can be read is entered once it can, whole and on its own day", async () => {
  const server = await serve(SITE);
  await open(server.url("log.html"), async (page) => {
    await page.locator('[data-part="log"][data-started]').waitFor();
    const release = await held(page, "core-log.js");
    await lawn(page, "Oak St", "12,500", "25");
    // The next one is typed at once, and another day begun.
    await page.locator("#log-used").press("Control+A");
    await page.keyboard.type("31");
    await page.keyboard.press("Enter");
    assert.ok(await page.locator("#log-day").isDisabled());
    await page.locator('[data-do="new-day"]').click();
    release();
    await page.locator('[data-role="rows"] tr').first().waitFor();
    assert.deepEqual(await page.locator('[data-role="rows"] tr').allInnerTexts().then((rows) => rows.map((row) => row.split("\t").slice(0, 3))), [["Oak St", "12,500 ft²", "25 gal"]]);
    assert.ok(await page.locator("#log-day").isEnabled());
    await lawn(page, "Elm St", "8000", "16");
    assert.equal(await page.locator('[data-role="rows"] tr').count(), 2);
  }, { reducedMotion: "reduce" });
  await server.close();
});

test("two tabs on one day keep the lawns of both, and each shows what the other enters", async () => {
  const server = await serve(SITE);
  try {
    await open(server.url("log.html"), async (page) => {
      await page.locator('[data-part="log"][data-started]').waitFor();
      await page.locator("#log-rate").fill("2 gal/1000 ft2");
      await page.keyboard.press("Tab");
      await lawn(page, "Oak St", "12500", "25");
      const other = await page.context().newPage();
      await other.goto(server.url("log.html"));
      const rows = (tab) => tab.locator('[data-role="rows"] th');
      await rows(other).filter({ hasText: "Oak St" }).waitFor();
      await lawn(other, "Elm St", "8000", "16");
      await rows(page).filter({ hasText: "Elm St" }).waitFor();
      // Each goes on from what the other has entered.
      await lawn(page, "Ash Ct", "10000", "20");
      await rows(other).filter({ hasText: "Ash Ct" }).waitFor();
      await lawn(other, "Fir Ln", "9000", "18");
      for (const tab of [page, other]) {
        await rows(tab).nth(3).waitFor();
        assert.deepEqual(await rows(tab).allInnerTexts(), ["Oak St", "Elm St", "Ash Ct", "Fir Ln"]);
      }
      await other.close();
    });
  } finally {
    await server.close();
  }
});
