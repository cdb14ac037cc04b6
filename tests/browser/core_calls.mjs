// Times the core in a browser, for `cargo xtask bench`:
//   node core_calls.mjs CALLS SITE PHRASES
// prints `calculator<TAB>microseconds` for each call and leaves the site's phrases in PHRASES, so that
// the native core can be timed saying the same. A page of the site loads the core, as a learner's does.

/* global needParts, wasm_bindgen */

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { phrasesOf, reply } from "./core.mjs";

const [file, site, leave] = process.argv.slice(2);
const calls = JSON.parse(readFileSync(file, "utf8"));
writeFileSync(leave, phrasesOf(site));

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
});
const page = await browser.newPage();
await page.goto(pathToFileURL(resolve(join(site, "work", `${calls[0].calculator}.html`))).href);
await page.evaluate((parts) => needParts(parts), ["sheet", "typing", "problems", "form", "doubt", "chain", ...calls.map(({ calculator }) => calculator)]);
for (const { calculator, pairs } of calls) {
  const options = { name: "measured", units: "us", title: "Measured" };
  const { answered, time } = await page.evaluate(timed, [calculator, JSON.stringify(pairs), JSON.stringify(options)]);
  assert.deepEqual(reply(answered).errors, {}, `${calculator} takes its numbers`);
  console.log(`${calculator}\t${time.toFixed(3)}`);
}
await browser.close();

/** In the page: microseconds for one call, the best of many short rounds. */
async function timed([calculator, pairs, options]) {
  const MEASURED_FOR_MS = 1000;
  const ROUND = 40;
  const work = () => wasm_bindgen.worked(calculator, pairs, options);
  const best = () => {
    let least = Infinity;
    for (const begun = performance.now(); performance.now() - begun < MEASURED_FOR_MS;) {
      const round = performance.now();
      for (let turn = 0; turn < ROUND; turn += 1) work();
      least = Math.min(least, performance.now() - round);
    }
    return (least * 1000) / ROUND;
  };
  // Long enough for the engine to have compiled what runs often, beside the page.
  best();
  await new Promise((done) => { setTimeout(done, 50); });
  return { answered: work(), time: best() };
}
