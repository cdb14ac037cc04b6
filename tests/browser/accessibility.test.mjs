// No page breaks an accessibility rule: every page in the sharper case, light colors on a phone, and one page of
// each kind in the others. Pages of a kind share template and colors, and what a form does is asked of each
// calculator elsewhere; a whole course four times over would be minutes for nothing new.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { ONE_OF_EACH_KIND, PAGES, diskUrl } from "./site.mjs";

for (const colorScheme of ["light", "dark"]) {
  test(`a term that a link led to keeps them, in ${colorScheme} colours`, async () => {
    await open(`${diskUrl("glossary.html")}#pass-spacing`, async (page) => assert.deepEqual(await violations(page), []), { colorScheme });
  });
}

for (const colorScheme of ["light", "dark"]) {
  for (const [where, viewport] of [
    ["on a phone", PHONE],
    ["on a desk", DESK],
  ]) {
    describe(`keeps the accessibility rules in ${colorScheme} colours ${where}`, () => {
      const all = colorScheme === "light" && viewport === PHONE;
      for (const name of all ? PAGES : ONE_OF_EACH_KIND) {
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
}
