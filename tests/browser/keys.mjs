// Times a key until its answer is painted, for `cargo xtask bench`:
//   node keys.mjs SITE
// with the processor slowed six times, 40 keys on every calculator's own page, from the moment the browser got the key to
// the end of the frame that shows the result where it is in sight, and the bar where it is not. Prints the median and the
// worst of each, in milliseconds, the first key, which counts as any other, and the median until drawing, steps and all
// that is out of sight are painted too. Keys come as a person types them; nothing is asked of the page meanwhile. Only an
// idle machine gives numbers worth keeping.

import { readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { setTimeout } from "node:timers/promises";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const SLOWED = 6;
const KEYS = 40;
/** From one key to the next, ms. */
const PACE = 300;
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
    window.taken = { seen: [], whole: [] };
    // A frame is painted when the task after it begins.
    const painted = (then) => requestAnimationFrame(() => { const { port1, port2 } = new MessageChannel(); port1.onmessage = then; port2.postMessage(0); });
    let pressed = 0;
    addEventListener("keydown", ({ timeStamp }) => { pressed = timeStamp; }, { capture: true });
    addEventListener("input", () => {
      const begun = pressed;
      painted(() => window.taken.seen.push(performance.now() - begun));
    }, { capture: true });
    const $answer = document.querySelector('[data-part="answer"]');
    new MutationObserver(() => {
      const begun = pressed;
      if (!$answer.hasAttribute("aria-busy")) painted(() => window.taken.whole.push(performance.now() - begun));
    }).observe($answer, { attributeFilter: ["aria-busy"] });
  });
  const slow = await page.context().newCDPSession(page);
  await slow.send("Emulation.setCPUThrottlingRate", { rate: SLOWED });
  for (let key = 0; key < KEYS; key += 1) {
    await setTimeout(PACE);
    await page.keyboard.press(key % 2 === 0 ? "1" : "Backspace");
  }
  await setTimeout(PACE);
  const { seen, whole } = await page.evaluate(() => window.taken);
  if (seen.length !== KEYS) throw new Error(`${file}: ${seen.length} keys of ${KEYS} were answered`);
  const sorted = (times) => times.toSorted((one, other) => one - other);
  const [median, worst] = [sorted(seen)[KEYS / 2], Math.max(...seen)];
  const all = sorted(whole)[whole.length >> 1] ?? median;
  if (median > AIMS[0] || worst > AIMS[1]) over += 1;
  const ms = (time) => `${time.toFixed(0).padStart(4)} ms`;
  console.log(`${file.replace(".html", "").padEnd(20)} median ${ms(median)}   worst ${ms(worst)}   first ${ms(seen[0])}   all of it ${ms(all)}`);
  await page.context().close();
}
console.log(`${over} over the aims of ${AIMS.join(" and ")} ms`);
await browser.close();
