// A phone in a garden fetches what a page names and no more: what every page of the demo course really loads (itself,
// style, scripts, core, phrases), as a web server compresses it, keeps within a budget.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { describe, test } from "node:test";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { PAGES, SITE, readPage } from "./site.mjs";

/**
 * Bytes, gzip: of a calculator's page, of any page, of the style. The aims are 100 KB for a calculator and 140 KB for any
 * page; they are not met while the core alone is 90 KB and the pages that mix topics load every bank. These keep it from
 * growing further.
 */
const CALCULATOR = 150_000;
const ANY = 240_000;
const STYLE = 12_000;

/** The parts of the core that a page names in its head, the core itself first. */
function partsOf(page) {
  return [...readPage(page).matchAll(/assets\/(core[a-z-]*)\.js"/g)].map(([, name]) => name);
}

/** Files that a page names and the browser fetches with it. */
function loads(page) {
  const named = [...readPage(page).matchAll(/<(?:script[^>]+src|link rel="stylesheet" href)="([^"]+)"/g)];
  return [join(SITE, page), ...named.map(([, address]) => join(SITE, dirname(page), address))];
}

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
const total = (page, how) => loads(page).reduce((sum, file) => sum + weightOf(file, how), 0);
const heaviest = (pages, how) => pages.map((page) => [total(page, how), page]).reduce((most, one) => (one[0] > most[0] ? one : most));

describe("what a page loads", () => {
  test("keeps within the budget, as it is served", (t) => {
    const calculators = PAGES.filter((page) => page.startsWith("work/"));
    for (const [pages, budget] of [[calculators, CALCULATOR], [PAGES, ANY]]) {
      const [weight, page] = heaviest(pages, "gzip");
      t.diagnostic(`heaviest of ${pages.length}: ${page}, ${weight} bytes gzip, ${total(page, "brotli")} brotli`);
      assert.ok(weight <= budget, `${page} loads ${weight} bytes`);
    }
  });

  test("has a style of at most 12 KB", () => {
    assert.ok(weightOf(join(SITE, "assets/site.css"), "gzip") <= STYLE);
  });

  test("is of a calculator's page its sheet, its own part and its own phrases", () => {
    assert.deepEqual(partsOf("work/tank-mix.html"), ["core", "core-sheet", "core-tank-mix"]);
    const phrases = [...readPage("work/tank-mix.html").matchAll(/assets\/(phrases[a-z-]*)\.js"/g)].map(([, name]) => name);
    assert.deepEqual(phrases, ["phrases", "phrases-sheet", "phrases-tank-mix"]);
  });

  test("is no core where nothing is computed", () => {
    assert.deepEqual(partsOf("formulas.html"), []);
  });
});
