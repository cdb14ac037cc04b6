// A phone in a garden fetches what a page names and no more: every page of the demo course keeps within the budget of
// its WebAssembly, as a web server compresses it, and names just those parts of the core that it computes with.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { describe, test } from "node:test";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { PAGES, readPage } from "./site.mjs";

const BUILT = resolve(dirname(fileURLToPath(import.meta.url)), "../../calc-wasm/pkg");
/** Bytes, gzip. */
const BUDGET = 120_000;

/** The parts of the core that a page names in its head, the core itself first. */
function partsOf(page) {
  return [...readPage(page).matchAll(/assets\/(core[a-z-]*)\.js"/g)].map(([, name]) => name);
}

const weights = new Map();
function weightOf(part) {
  const file = part === "core" ? "core_bg.wasm" : `${part}.wasm`;
  if (!weights.has(part)) weights.set(part, gzipSync(readFileSync(resolve(BUILT, file)), { level: 9 }).length);
  return weights.get(part);
}

describe("WebAssembly", () => {
  test("every page keeps within the budget", (t) => {
    const pages = PAGES.map((page) => [partsOf(page).reduce((sum, part) => sum + weightOf(part), 0), page]);
    const computing = pages.filter(([weight]) => weight > 0);
    assert.ok(computing.length > 20, `${computing.length} pages compute`);
    const [weight, page] = computing.reduce((most, one) => (one[0] > most[0] ? one : most));
    t.diagnostic(`heaviest: ${page}, ${weight} bytes`);
    assert.ok(weight <= BUDGET, `${page} loads ${weight} bytes`);
  });

  test("a calculator's page loads its sheet and its own part", () => {
    assert.deepEqual(partsOf("work/tank-mix.html"), ["core", "core-sheet", "core-tank-mix"]);
  });

  test("a page that computes nothing loads nothing", () => {
    assert.deepEqual(partsOf("formulas.html"), []);
  });
});
