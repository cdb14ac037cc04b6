// The formula sheet on paper, a switch of units, and pages at the widths at which they are hardest to lay out.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { PAGES, diskUrl } from "./site.mjs";
import { ONE_OF_EACH, ready, type, whole } from "./worked.mjs";

describe("the formula sheet for an exam", () => {
  const folder = mkdtempSync(join(tmpdir(), "tankside-sheet-"));
  after(() => rmSync(folder, { recursive: true, force: true }));

  for (const format of ["Letter", "A4"]) {
    test(`is one page of ${format}, foot and all, with its constants and sources`, async () => {
      const file = join(folder, `${format}.pdf`);
      await open(diskUrl("formulas.html"), async (page) => {
        const formulas = await page.locator(".tk-exam__group td").allInnerTexts();
        const sources = await page.locator(".tk-exam__sources a").allInnerTexts();
        await page.pdf({ path: file, format });
        const pages = Number(execFileSync("pdfinfo", [file], { encoding: "utf8" }).match(/Pages:\s+(\d+)/)[1]);
        assert.equal(pages, 1);
        // A hyphen at the end of a line is not copied.
        const squeeze = (text) => text.replace(/[\s-]+/g, "");
        const printed = squeeze(execFileSync("pdftotext", [file, "-"], { encoding: "utf8" }));
        for (const constant of ["43,560", "43.56", "5940", "1/128acre", "495", "8.34", "88ft/min", "128floz=1gal"]) assert.ok(printed.includes(constant), constant);
        assert.ok(formulas.length >= 28 && sources.length >= 8, `${formulas.length} formulas, ${sources.length} sources`);
        for (const source of sources) assert.ok(printed.includes(squeeze(source).slice(0, 16)), source);
      });
    });
  }
});

describe("a switch of units", () => {
  for (const { calculator, url, selector } of ONE_OF_EACH) {
    test(`${calculator}: numbers that a person would set, said so, and back`, async () => {
      await open(url, async (page) => {
        await ready(page, selector);
        const numbers = () => page.locator(`${selector} .tk-field__number`).evaluateAll(($all) => $all.map(($one) => $one.value));
        const before = await numbers();
        const unlike = (some) => some.some((text, at) => text !== before[at]);
        await page.locator(`${selector} [data-do="units"]:visible`).click();
        await whole(page);
        const there = await numbers();
        for (const text of there) assert.ok(text.replace(/[^\d]/g, "").replace(/^0+|0+$/g, "").length <= 4, `${text} of ${there}`);
        assert.equal(await page.locator(`${selector} [data-role="rounded"]`).isVisible(), unlike(there), `${before} and ${there}`);
        await page.locator(`${selector} [data-do="units"]:visible`).click();
        await whole(page);
        assert.deepEqual(await numbers(), before);
        assert.ok(!await page.locator(`${selector} [data-role="rounded"]`).isVisible(), "what comes back is not round");
      });
    });
  }
});

test("link, units, link, units, reset: one message at a time, under the buttons", async () => {
  const { url, selector } = ONE_OF_EACH.find(({ calculator }) => calculator === "tank-mix");
  await open(url, async (page) => {
    await ready(page, selector);
    const said = page.locator(`${selector} .tk-tools__said:visible`);
    const roles = [];
    for (const chore of ["link", "units", "link", "units", "reset"]) {
      await page.locator(`${selector} [data-do="${chore}"]:visible`).click();
      await whole(page);
      if (chore === "link") await page.locator(`${selector} :is([data-role="link-copied"], [data-role="link-note"]):visible`).waitFor();
      roles.push((await said.evaluateAll(($all) => $all.map(($one) => $one.dataset.role.split("-")[0]))).join(" and "));
    }
    assert.deepEqual(roles, ["link", "rounded", "link", "", ""]);
  });
});

test("at 180 px, a page of 720 at four times its size, nothing but a table of its own scrolls sideways on any page", async () => {
  for (const name of PAGES) {
    await open(diskUrl(name), async (page) => {
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= 180, `${name} is ${wide} px wide`);
    }, { viewport: { width: 180, height: 400 } });
  }
});

test("at 768 px inputs are under each other where a label wraps", async () => {
  for (const { url, selector, calculator } of ONE_OF_EACH) {
    await open(url, async (page) => {
      await ready(page, selector);
      const columns = await page.locator(`${selector} .tk-form__fields`).evaluateAll(($all) => $all.map(($fields) =>
        [...$fields.querySelectorAll(":scope > .tk-field > .tk-field__entry")].filter(($one) => $one.checkVisibility()).map(($one) => Math.round($one.getBoundingClientRect().left))));
      for (const lefts of columns) assert.ok(new Set(lefts).size <= 2, `${calculator}: ${lefts}`);
    }, { viewport: { width: 768, height: 900 } });
  }
});

for (const width of [PHONE.width, 768, 1280]) {
  test(`what was found for one nozzle is in one row, ${width} px wide`, async () => {
    const selector = '[data-part="worked"][data-name="nozzle-wear"]';
    await open(diskUrl("work/nozzle-wear.html"), async (page) => {
      await ready(page, selector);
      await page.locator(`${selector} [data-fold="results"]`).evaluate(($fold) => { $fold.open = true; });
      await type(page, page.locator(`${selector} [name="catch-time"]`), "60");
      for (const number of [1, 2, 3]) {
        const found = page.locator(`${selector} [data-fold="results"] [data-result^="nozzle-${number}-"]`);
        await found.first().waitFor();
        const rows = await found.evaluateAll(($all) => $all.map(($one) => Math.round($one.getBoundingClientRect().bottom)));
        assert.ok(rows.length >= 3 && new Set(rows).size === 1, `${rows}`);
      }
    }, { viewport: { width, height: 900 } });
  });
}
