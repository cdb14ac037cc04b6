// How sure a result is: its budget unfolds, keeps the rules when it is open, stays open, and prints open.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { ONE_OF_EACH, ready, whole } from "./worked.mjs";

const folder = mkdtempSync(join(tmpdir(), "tankside-sure-"));
after(() => rmSync(folder, { recursive: true, force: true }));

const EXAMPLE = ONE_OF_EACH.find(({ calculator }) => calculator === "catch-test");
const part = (page) => page.locator(`${EXAMPLE.selector} [data-fold="sure"]`);

for (const colorScheme of ["light", "dark"]) {
  test(`an open budget keeps the accessibility rules on a phone, in ${colorScheme} colours`, async () => {
    await open(
      EXAMPLE.url,
      async (page) => {
        await ready(page, EXAMPLE.selector);
        await part(page).locator("summary").click();
        await part(page).locator("table").first().waitFor();
        assert.deepEqual(await violations(page), []);
        const [wide, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
        assert.ok(wide <= seen, "the page does not scroll sideways");
        const bars = await part(page).locator("svg rect.tk-draw-mark").count();
        const rows = await part(page).locator("table").first().locator("tbody tr").count();
        assert.equal(bars, rows, "a bar for each line of the table");
      },
      { colorScheme, viewport: PHONE, reducedMotion: "reduce" },
    );
  });
}

test("a budget that was unfolded stays so while a number is changed, and says something else", async () => {
  await open(EXAMPLE.url, async (page) => {
    await ready(page, EXAMPLE.selector);
    const value = part(page).locator(".tk-sure__value").first();
    const before = await value.textContent();
    await part(page).locator("summary").click();
    await page.locator(`${EXAMPLE.selector} input[name="catch.1.time"]`).fill("20");
    await whole(page);
    assert.notEqual(await value.innerText(), before);
    assert.ok(await part(page).locator("table").first().isVisible());
    await part(page).locator("summary").click();
    await page.locator(`${EXAMPLE.selector} input[name="catch.1.time"]`).fill("21");
    await whole(page);
    assert.ok(!(await part(page).locator("table").first().isVisible()), "folded, it stays folded");
  });
});

test("a part folded just before a key stays folded, though the browser says so only after the key", async () => {
  await open(EXAMPLE.url, async (page) => {
    await ready(page, EXAMPLE.selector);
    await part(page).locator("summary").click();
    await page.locator(`${EXAMPLE.selector} input[name="catch.1.time"]`).fill("20");
    await whole(page);
    // In one frame the heading is clicked and the answer written; the browser's own event for the fold comes after it.
    const turnedBefore = (time) => page.evaluate(([selector, number]) => {
      requestAnimationFrame(() => document.querySelector(`${selector} [data-fold="sure"] summary`).click());
      const input = document.querySelector(`${selector} input[name="catch.1.time"]`);
      input.value = number;
      input.dispatchEvent(new Event("input", { bubbles: true }));
    }, [EXAMPLE.selector, time]);
    await turnedBefore("21");
    await whole(page);
    assert.equal(await part(page).getAttribute("open"), null, "folded");
    await turnedBefore("22");
    await whole(page);
    assert.equal(await part(page).getAttribute("open"), "", "unfolded");
    // So tall that the answer is in sight: what is not is written later.
  }, { viewport: { width: 1280, height: 3000 } });
});

test("the budget of a calculator's own sheet is on paper without being unfolded", async () => {
  const sheet = "work/catch-test.html";
  await open(
    diskUrl(sheet),
    async (page) => {
      const caption = (await page.locator('[data-part="worked"] [data-fold="sure"] caption').first().textContent()).trim();
      const file = join(folder, "sure.pdf");
      await page.pdf({ path: file, preferCSSPageSize: true });
      const read = spawnSync("pdftotext", ["-raw", file, "-"], { encoding: "utf8" });
      assert.equal(read.error, undefined, "pdftotext starts (Debian's poppler-utils)");
      assert.ok(read.stdout.replace(/\s+/g, " ").includes(caption), caption);
    },
    { javaScriptEnabled: false },
  );
});
