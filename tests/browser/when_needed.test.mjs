// What most people never ask of a calculator comes when it is first needed: what is typed out of the ordinary, what is
// wrong with a number, a form with other rows or units, how sure a result is in full, and how the units cancel.

import assert from "node:assert/strict";
import { test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { answerChanges, answerText, firstNumber, mainNumbers, ready, whole } from "./worked.mjs";

const PAGE = "work/catch-test.html";
const PART = '[data-part="worked"]';
const EXTRA = ["typing", "problems", "form", "doubt", "chain"];

/* global TANKSIDE_FITTED */
const fitted = (page) => page.evaluate((extra) => extra.filter((part) => TANKSIDE_FITTED.has(part)), EXTRA);
const touched = (look) => open(diskUrl(PAGE), async (page) => { await ready(page, PART); await look(page); }, { viewport: PHONE });

/** Types into the first field, and waits for what follows. */
async function typed(page, text) {
  const before = await answerText(page, PART);
  // At once: half a quantity is one that cannot be read.
  await firstNumber(page, PART).fill(text);
  await answerChanges(page, PART, before);
}

test("a number is answered without any of it", async () => {
  await touched(async (page) => {
    await typed(page, "157");
    assert.deepEqual(await fitted(page), []);
  });
});

test("a quantity in two units is read once what reads it has come", async () => {
  await touched(async (page) => {
    await typed(page, "1 gal 30 fl oz");
    assert.deepEqual(await fitted(page), ["typing"]);
    const numbers = await mainNumbers(page, PART);
    await typed(page, "159 fl oz");
    assert.equal(await page.locator(`${PART} [data-stale]`).count(), 0);
    await typed(page, "1 gal 30 fl oz");
    assert.deepEqual(await mainNumbers(page, PART), numbers);
  });
});

test("what is wrong with a number is said beside it, and no old answer is left as its own", async () => {
  await touched(async (page) => {
    await typed(page, "");
    assert.deepEqual(await fitted(page), ["problems"]);
    assert.match(await answerText(page, PART), /\S/);
    assert.equal(await page.locator(`${PART} .tk-result`).count(), 0);
    assert.match(await page.locator(`${PART} .tk-field__error:not(:empty)`).first().innerText(), /\S/);
    await typed(page, "3 furlongs");
    assert.deepEqual(await fitted(page), ["typing", "problems"]);
    assert.match(await page.locator(`${PART} .tk-field__error:not(:empty)`).first().innerText(), /furlongs/);
  });
});

test("rows and units bring the form, and what is typed stays", async () => {
  await touched(async (page) => {
    await typed(page, "157");
    const fields = page.locator(`${PART} [name^="catch."][name$=".volume"]`);
    const rows = await fields.count();
    await page.locator(`${PART} [data-do="add"]`).first().click();
    await fields.nth(rows).waitFor({ state: "attached" });
    assert.equal(await firstNumber(page, PART).inputValue(), "157");
    assert.deepEqual(await fitted(page), ["form"]);
    await page.locator(`${PART} [data-do="units"]:not([hidden])`).click();
    await page.locator(`${PART}[data-units="metric"]`).waitFor();
    assert.match((await mainNumbers(page, PART)).join(), /L\/min/);
  });
});

test("what is unfolded is fetched then, and follows the next number", async () => {
  await touched(async (page) => {
    await typed(page, "157");
    for (const [fold, inside, part] of [["sure", "table", "doubt"], ["chain", "math", "chain"]]) {
      const $fold = page.locator(`${PART} details[data-fold="${fold}"]`);
      assert.equal(await $fold.locator(inside).count(), 0);
      await $fold.locator("> summary").click();
      await $fold.locator(inside).first().waitFor({ state: "visible" });
      assert.ok((await fitted(page)).includes(part));
      const before = await $fold.innerText();
      await typed(page, fold === "sure" ? "158" : "159");
      await whole(page);
      assert.notEqual(await $fold.innerText(), before);
    }
  });
});

test("paper asks for all that is folded", async () => {
  await touched(async (page) => {
    await typed(page, "157");
    await page.emulateMedia({ media: "print" });
    await page.locator(`${PART} details[data-fold="sure"] table`).first().waitFor({ state: "attached" });
    await page.locator(`${PART} details[data-fold="chain"] math`).first().waitFor({ state: "attached" });
  });
});

test("the key for printing waits for it", async () => {
  await touched(async (page) => {
    await typed(page, "157");
    await page.evaluate(() => { window.print = () => { document.documentElement.dataset.printed = "yes"; }; });
    await page.keyboard.press("Control+p");
    await page.locator("[data-printed]").waitFor();
    assert.deepEqual(await fitted(page), ["doubt", "chain"]);
  });
});

test("what cannot be fetched is reported, and tried again with the next key", async () => {
  await touched(async (page) => {
    await page.evaluate(() => {
      const loads = window.needScript;
      window.signal = false;
      window.needScript = (file) => (window.signal ? loads(file) : Promise.reject(new Error("no signal")));
    });
    const $said = page.locator('[data-role="unloaded"]');
    await firstNumber(page, PART).fill("1 gal 30 fl oz");
    await $said.waitFor({ state: "visible" });
    assert.equal(await page.locator(`${PART} [data-part="answer"][data-stale]`).count(), 1);
    await page.evaluate(() => { window.signal = true; });
    await typed(page, "1 gal 31 fl oz");
    assert.equal(await $said.isVisible(), false);
    assert.equal(await page.locator(`${PART} [data-stale]`).count(), 0);
  });
});
