// The core is loaded when a form is first touched: what is done before it has loaded is carried out afterward, and if it
// cannot be loaded the page says so and shows no stale answer as a true one.

import assert from "node:assert/strict";
import { test } from "node:test";
import { PHONE, held, open } from "./browser.mjs";
import { serve } from "./server.mjs";
import { SITE, diskUrl } from "./site.mjs";
import { answerChanges, answerText, firstNumber, mainNumbers } from "./worked.mjs";

const PAGE = "work/tank-mix.html";
const PART = '[data-part="worked"]';
const ANSWER = `${PART} [data-part="answer"]`;

/** The page from a web server: what comes from a disk cannot be held back. */
async function served(look) {
  const server = await serve(SITE);
  try { await open(server.url(PAGE), look, { viewport: PHONE }); } finally { await server.close(); }
}

test("what is typed before the core is loaded is answered once it is", async () => {
  await served(async (page) => {
    const release = await held(page, "core.js");
    const [before, numbers] = [await answerText(page, PART), await mainNumbers(page, PART)];
    await firstNumber(page, PART).focus();
    await page.keyboard.press("Control+A");
    await page.keyboard.type("157");
    assert.equal(await answerText(page, PART), before);
    assert.equal(await page.locator(`${ANSWER}[data-stale]`).count(), 1, "the answer is marked as not that of the numbers");
    release();
    await answerChanges(page, PART, before);
    assert.notDeepEqual(await mainNumbers(page, PART), numbers);
    assert.equal(await page.locator(`${ANSWER}[data-stale]`).count(), 0);
  });
});

test("a button pressed before the core is loaded does its work afterward, once", async () => {
  await served(async (page) => {
    const release = await held(page, "core.js");
    const rates = page.locator(`${PART} [name^="product."][name$=".rate"]`);
    const before = await rates.count();
    await page.locator(`${PART} [data-do="add"][data-group="product"]`).first().click();
    assert.equal(await rates.count(), before);
    release();
    await page.locator(`${PART}[data-started]`).waitFor();
    await rates.nth(before).waitFor();
    assert.equal(await rates.count(), before + 1, "once");
  });
});

test("a core that cannot be loaded is reported beside the numbers, and tried again", async () => {
  await open(diskUrl(PAGE), async (page) => {
    await page.evaluate(() => {
      const loads = window.needScript;
      window.signal = false;
      window.needScript = (file) => (window.signal ? loads(file) : Promise.reject(new Error("no signal")));
    });
    const $said = page.locator('[data-role="unloaded"]');
    assert.equal(await $said.isVisible(), false);
    await firstNumber(page, PART).fill("157");
    await $said.waitFor({ state: "visible" });
    assert.match(await $said.innerText(), /could not be loaded/);
    assert.equal(await page.locator(`${ANSWER}[data-stale]`).count(), 1);
    await page.evaluate(() => { window.signal = true; });
    const before = await answerText(page, PART);
    await firstNumber(page, PART).fill("158");
    await answerChanges(page, PART, before);
    assert.equal(await $said.isVisible(), false);
  }, { viewport: PHONE });
});
