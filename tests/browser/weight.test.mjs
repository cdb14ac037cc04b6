// A phone in a garden fetches what a page needs and no more: what every page of the demo course really loads when it is
// opened and nothing is touched, and what a calculator has loaded once a number was changed, as a web server compresses it.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { describe, test } from "node:test";
import { fileURLToPath } from "node:url";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { PHONE, open } from "./browser.mjs";
import { PAGES, SITE, diskUrl } from "./site.mjs";
import { firstNumber, ready, type, whole } from "./worked.mjs";

/**
 * Bytes, gzip: of a calculator's page, opened or worked with (page, style, scripts, core, its parts and what they say), of
 * any page that is opened, of the style.
 */
const CALCULATOR = 100_000;
const ANY = 140_000;
const STYLE = 12_000;

const CALCULATORS = PAGES.filter((page) => page.startsWith("work/"));

const pack = {
  gzip: (bytes) => gzipSync(bytes, { level: 9 }).length,
  brotli: (bytes) => brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 9 } }).length,
};
const weights = new Map();
function weightOf(file, how) {
  const key = `${how} ${file}`;
  if (!weights.has(key)) weights.set(key, pack[how](readFileSync(file)));
  return weights.get(key);
}
const total = (files, how) => [...files].reduce((sum, file) => sum + weightOf(file, how), 0);

/** Every file that the browser asks for: of a page opened, and after `act`. */
async function loaded(address, act = async () => {}) {
  const files = new Set();
  await open("about:blank", async (page) => {
    page.on("request", (request) => {
      if (request.url().startsWith("file:")) files.add(fileURLToPath(request.url().split(/[?#]/)[0]));
    });
    await page.goto(diskUrl(address), { waitUntil: "networkidle" });
    await act(page);
  }, { viewport: PHONE });
  return files;
}

const names = (files) => [...files].map((file) => basename(file)).filter((name) => name.endsWith(".js")).sort();

describe("what a page loads", () => {
  test("when it is opened keeps within the budget, as it is served, and is never the core", async (t) => {
    const rows = [];
    for (const page of PAGES) {
      const files = await loaded(page);
      rows.push({ page, gzip: total(files, "gzip"), brotli: total(files, "brotli") });
      assert.deepEqual(names(files).filter((name) => /^(core|questions)/.test(name)), [], page);
    }
    for (const [pages, budget] of [[CALCULATORS, CALCULATOR], [PAGES, ANY]]) {
      const { page, gzip, brotli } = rows.filter((row) => pages.includes(row.page)).reduce((most, row) => (row.gzip > most.gzip ? row : most));
      t.diagnostic(`heaviest of ${pages.length}: ${page}, ${gzip} bytes gzip, ${brotli} brotli`);
      assert.ok(gzip <= budget, `${page} loads ${gzip} bytes`);
    }
  });

  test("when a number is changed is the core, the sheet and the calculator's own part", async (t) => {
    const rows = [];
    for (const page of CALCULATORS) {
      let refused = false;
      const files = await loaded(page, async (opened) => {
        await ready(opened, '[data-part="worked"]');
        await type(opened, firstNumber(opened, '[data-part="worked"]'), "7");
        await whole(opened);
        refused = await opened.locator('[data-part="worked"] .tk-answer__errors').count() > 0;
      });
      const own = page.replace(/^work\/|\.html$/g, "");
      // What is wrong with a number comes in words of its own.
      const core = names(files).filter((name) => name.startsWith("core") && (name !== "core-problems.js" || !refused));
      assert.deepEqual(core, ["core-" + own + ".js", "core-sheet.js", "core.js"].sort(), page);
      rows.push({ page, gzip: total(files, "gzip"), brotli: total(files, "brotli") });
    }
    const { page, gzip, brotli } = rows.reduce((most, row) => (row.gzip > most.gzip ? row : most));
    t.diagnostic(`heaviest worked with: ${page}, ${gzip} bytes gzip, ${brotli} brotli`);
    assert.ok(gzip <= CALCULATOR, `${page} has loaded ${gzip} bytes`);
  });

  test("has a style of at most 12 KB", () => {
    assert.ok(weightOf(join(SITE, "assets/site.css"), "gzip") <= STYLE);
  });
});
