// Accessibility rules, run inside a page. The source is evaluated by the driver: a script element
// would be refused by the page's own policy.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const SOURCE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * What the rules find on the page as it is now, one line for each element; empty when nothing.
 * @param {import("playwright-core").Page} page
 * @returns {Promise<string[]>}
 */
export async function violations(page) {
  await page.evaluate(SOURCE);
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
