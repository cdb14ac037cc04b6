// No page breaks an accessibility rule: one page of each kind, in all colors and widths. Every page in the sharper case,
// light colors on a phone, is looked at where it is opened anyway (every_page.test.mjs). Pages of a kind share template
// and colors, and what a form does is asked of each calculator elsewhere.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { ONE_OF_EACH_KIND, diskUrl } from "./site.mjs";

for (const colorScheme of ["light", "dark"]) {
  test(`a term that a link led to keeps them, in ${colorScheme} colours`, async () => {
    await open(`${diskUrl("glossary.html")}#pass-spacing`, async (page) => assert.deepEqual(await violations(page), []), { colorScheme });
  });
}

for (const [colorScheme, where, viewport] of [
  ["light", "on a desk", DESK],
  ["dark", "on a desk", DESK],
  ["dark", "on a phone", PHONE],
]) {
  describe(`keeps the accessibility rules in ${colorScheme} colours ${where}`, () => {
    for (const name of ONE_OF_EACH_KIND) {
      test(name, async () => {
        await open(
          diskUrl(name),
          async (page) => assert.deepEqual(await violations(page), []),
          // A transition caught half way would be judged by a color nobody reads.
          { colorScheme, viewport, reducedMotion: "reduce" },
        );
      });
    }
  });
}
