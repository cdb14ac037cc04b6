// The demo course in an invented language that shouts: no word of the pages' own is left unmarked, neither as published
// nor once the scripts have started. What is content and not furniture is named in language.mjs.

import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { before, describe, test } from "node:test";
import { open } from "./browser.mjs";
import { LANGUAGE, allow, shoutingSite, unmarked } from "./language.mjs";

// A browser writes days of a language it does not know in its own; Japanese ones have no Latin word that could hide.
const HOW = { locale: "ja-JP", reducedMotion: "reduce" };
const site = shoutingSite();
const pages = readdirSync(site.site, { recursive: true })
  .map((name) => String(name).replaceAll("\\", "/"))
  .filter((name) => name.endsWith(".html"))
  .sort();

before(() => {
  const units = readFileSync(join(site.site, "units.html"), "utf8");
  allow(...[...units.matchAll(/tk-unit__symbol">([^<]*)/g)].map(([, symbol]) => symbol.replace("&#39;", "'")).filter((symbol) => symbol.length > 1), "mph", "oz", "fl\u00a0oz");
  // Names that somebody typed: in the stock's examples, the demo course's, and here.
  allow("Weed control", "Spreader-sticker", "Iron, dry", "Sam Sample", "9 Mill Street", "Quarry Lane church", "14 Alder Court", "catch and passes", "passes", "refill", "the product", "Truck 4", "Turf gun", "Blue", "refill to the mark", "bucket and stopwatch", "Quibblewort", "Puddlefoot", "Mumblemoss");
});

async function marked(page, when) {
  assert.deepEqual(await unmarked(page), [], when);
}

describe("as published", () => {
  for (const name of pages) {
    test(name, async () => {
      const markup = readFileSync(join(site.site, name), "utf8");
      assert.match(markup, new RegExp(`<html lang="${LANGUAGE}"`));
      await open("about:blank", async (page) => assert.deepEqual(await unmarked(page, markup), []), HOW);
    });
  }
});

describe("as scripts have started", () => {
  for (const name of pages) {
    test(name, async () => {
      await open(
        site.url(name),
        async (page) => {
          await page.waitForTimeout(150);
          await marked(page, name);
        },
        HOW,
      );
    });
  }
});
