// Times a key until its answer is painted, for `cargo xtask bench`:
//   node keys.mjs SITE
// with the processor slowed six times, 40 keys on every calculator's own page. Prints the median and the worst of each,
// in milliseconds. Only an idle machine gives numbers worth keeping.

import { readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const SLOWED = 6;
const KEYS = 40;
/** Aims, median and worst. */
const AIMS = [50, 100];

const [site] = process.argv.slice(2);
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
});
let over = 0;
for (const file of readdirSync(join(site, "work")).sort()) {
  const page = await (await browser.newContext({ viewport: { width: 360, height: 640 } })).newPage();
  await page.goto(pathToFileURL(resolve(site, "work", file)).href);
  await page.locator('[data-part="worked"]').first().dispatchEvent("pointerdown");
  await page.locator('[data-part="worked"][data-started]').waitFor();
  await page.locator('.tk-field__number:not([value=""])').first().focus();
  await page.evaluate(() => {
    window.taken = [];
    addEventListener("keydown", () => {
      const begun = performance.now();
      // The frame after the key's own, once it is drawn.
      requestAnimationFrame(() => { const { port1, port2 } = new MessageChannel(); port1.onmessage = () => window.taken.push(performance.now() - begun); port2.postMessage(0); });
    }, { capture: true });
  });
  const slow = await page.context().newCDPSession(page);
  await slow.send("Emulation.setCPUThrottlingRate", { rate: SLOWED });
  for (let key = 0; key < KEYS; key += 1) {
    await page.keyboard.press(key % 2 === 0 ? "1" : "Backspace");
    await page.waitForFunction((count) => window.taken.length > count, key);
  }
  const taken = (await page.evaluate(() => window.taken)).sort((one, other) => one - other);
  const [median, worst] = [taken[KEYS / 2], taken[KEYS - 1]];
  if (median > AIMS[0] || worst > AIMS[1]) over += 1;
  console.log(`${file.replace(".html", "").padEnd(20)} median ${median.toFixed(0).padStart(4)} ms   worst ${worst.toFixed(0).padStart(4)} ms`);
  await page.context().close();
}
console.log(`${over} over the aims of ${AIMS.join(" and ")} ms`);
await browser.close();
