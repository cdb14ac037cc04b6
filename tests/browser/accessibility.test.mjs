// No page breaks an accessibility rule: light and dark, on a phone and on a desk.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { PAGES, diskUrl } from "./site.mjs";

for (const colorScheme of ["light", "dark"]) {
  for (const [where, viewport] of [
    ["on a phone", PHONE],
    ["on a desk", DESK],
  ]) {
    describe(`keeps the accessibility rules in ${colorScheme} colours ${where}`, () => {
      for (const name of PAGES) {
        test(name, async () => {
          await open(
            diskUrl(name),
            async (page) => assert.deepEqual(await violations(page), []),
            // A transition caught half way would be judged by a colour nobody reads.
            { colorScheme, viewport, reducedMotion: "reduce" },
          );
        });
      }
    });
  }
}
