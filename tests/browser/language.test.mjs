// The demo course in an invented language that shouts: no word of the pages' own is left unmarked, neither as published
// nor once the scripts have started. What is content and not furniture is named in language.mjs.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { before, describe, test } from "node:test";
import { open } from "./browser.mjs";
import { LANGUAGE, allowNames, shoutingSite, unmarked } from "./language.mjs";

// A browser writes days of a language it does not know in its own; Japanese ones have no Latin word that could hide.
const HOW = { locale: "ja-JP", reducedMotion: "reduce" };
const site = shoutingSite();
const { pages } = site;

before(() => allowNames(site));

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
