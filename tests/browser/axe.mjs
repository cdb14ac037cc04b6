// Accessibility rules, run inside a page. The source is evaluated by the driver: a script element
// would be refused by the page's own policy.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { DESK, PHONE } from "./browser.mjs";

const SOURCE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * What the rules find on the page as it is now, one line for each element; empty when nothing.
 * @param {import("playwright-core").Page} page
 * @returns {Promise<string[]>}
 */
export async function violations(page) {
  // Half a megabyte to read: once for each page is enough.
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(SOURCE);
  return page.evaluate(async () => {
    const found = await globalThis.axe.run(document, {
      resultTypes: ["violations"],
      // It would fetch the style sheets, which no browser allows from a disk.
      preload: false,
      // Fingers in gloves: off unless asked for, as it is newer than the rules most sites are held to.
      rules: { "target-size": { enabled: true } },
    });
    return found.violations.flatMap((rule) =>
      rule.nodes.map((node) => `${rule.id}: ${node.target.join(" ")}: ${node.failureSummary.replace(/\s+/g, " ")}`),
    );
  });
}

/**
 * In light and dark, on a phone and at a desk, the page as it is now breaks no rule and is no wider than the screen.
 * @param {import("playwright-core").Page} page
 */
export async function keepsTheRules(page) {
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    for (const viewport of [PHONE, DESK]) {
      await page.setViewportSize(viewport);
      assert.deepEqual(await violations(page), [], `${colorScheme}, ${viewport.width} px`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= viewport.width, `${wide} px wide at ${viewport.width}`);
    }
  }
}
