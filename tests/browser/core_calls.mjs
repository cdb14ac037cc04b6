// Times the core in node, for `cargo xtask bench`:
//   node core_calls.mjs CALLS SITE PHRASES
// prints `calculator<TAB>microseconds` for each call and leaves the site's phrases in PHRASES, so that
// the native core can be timed saying the same.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { loadCore, phrasesOf, reply } from "./core.mjs";

const MEASURED_FOR_MS = 300;

const [calls, site, leave] = process.argv.slice(2);
const phrases = phrasesOf(site);
writeFileSync(leave, phrases);
const core = loadCore(phrases).raw;

for (const call of JSON.parse(readFileSync(calls, "utf8"))) {
  const pairs = JSON.stringify(call.pairs);
  const options = JSON.stringify({ name: "measured", units: "us", title: "Measured" });
  const work = () => core.worked(call.calculator, pairs, options);
  assert.deepEqual(reply(work()).errors, {}, `${call.calculator} takes its numbers`);
  // Long enough for the engine to have compiled what runs often.
  repeat(work, MEASURED_FOR_MS);
  console.log(`${call.calculator}\t${repeat(work, MEASURED_FOR_MS).toFixed(3)}`);
}

/** Microseconds for one call, on average over a while. */
function repeat(work, milliseconds) {
  const begun = performance.now();
  let times = 0;
  while (performance.now() - begun < milliseconds) {
    for (let turn = 0; turn < 20; turn += 1) work();
    times += 20;
  }
  return ((performance.now() - begun) * 1000) / times;
}
