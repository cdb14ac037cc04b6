// The native core and the WebAssembly are one source compiled twice: for problems drawn over everything the
// calculators declare, their limits among them, each answers the other's text to the last character, and beyond the
// 15 digits of that text every input, step, result, uncertainty and unit has the same 64 bits.

import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, test } from "node:test";
import { loadCore, phrasesOf } from "./core.mjs";
import { SITE, runExample } from "./site.mjs";

const EACH = 120;

const phrases = phrasesOf(SITE);
const CALLS = drawn();

/** What the native core answers: for each call its name, its texts and the answer. */
function drawn() {
  const folder = mkdtempSync(join(tmpdir(), "tankside-drawn-"));
  try {
    const file = join(folder, "phrases");
    writeFileSync(file, phrases);
    const told = runExample("drawn_problems", [file, String(EACH)], { encoding: "utf8", maxBuffer: 256 * 1024 * 1024 });
    return told.trimEnd().split("\n").map((line) => JSON.parse(line));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** How many numbers were held against each other, bit by bit. */
const compared = { inputs: 0, steps: 0, results: 0, uncertainties: 0 };
const units = new Set();

describe("the WebAssembly answers as the native core does, to the last character and the last bit", () => {
  const core = loadCore(phrases).raw;
  const ids = [...new Set(CALLS.map(([, calculator]) => calculator))];
  for (const id of ids) {
    test(id, () => {
      const own = CALLS.filter(([, calculator]) => calculator === id);
      assert.ok(own.length >= EACH);
      let worked = 0;
      for (const [call, calculator, pairs, last, native] of own) {
        const answer = core[call](calculator, pairs, last);
        const about = `${call} ${calculator} ${pairs} ${last}`;
        if (call === "work_json" && !native.startsWith('{"error"')) {
          sameBits(JSON.parse(answer), JSON.parse(native), about);
          worked += 1;
        }
        assert.equal(answer, native, about);
      }
      assert.ok(worked >= EACH / 3, `${worked} of them could be worked`);
    });
  }

  test("and enough was compared", (t) => {
    t.diagnostic(`compared bit by bit: ${JSON.stringify(compared)}, in ${units.size} units`);
    // Each of the problems worked has an input, a step and a result, and most calculators say how sure they are.
    for (const [what, count] of Object.entries(compared)) assert.ok(count >= (ids.length * EACH) / 3, `${count} ${what}`);
    assert.ok(units.size >= 100, `${units.size} units`);
  });

  test("bits are given to those who ask, and to nobody else", () => {
    const pairs = JSON.stringify([["amount", "1 gal"], ["to", "L"]]);
    const answer = (options) => JSON.parse(core.work_json("unit-conversion", pairs, options));
    assert.deepEqual(Object.keys(answer('{"units":"us"}')), Object.keys(answer('{"bits":true}')).filter((key) => key !== "bits"));
    // By hand: a US gallon is 231 in³ of 0.0254 m each, 0.003785411784 m³; a liter 0.001 m³.
    const [amount] = pairsOf(answer('{"bits":true}').bits);
    assert.deepEqual(amount.values, [0.003785411784, 0.003785411784]);
  });
});

/** Compares the bits of two answers, and holds the bits against the numbers that the answer shows. */
function sameBits(answer, native, about) {
  const numbers = pairsOf(answer.bits);
  assert.deepEqual(numbers.map(({ bits }) => bits), pairsOf(native.bits).map(({ bits }) => bits), about);
  const places = {
    inputs: Object.values(answer.inputs).filter(({ value }) => value !== null),
    steps: answer.steps,
    results: Object.values(answer.results).filter(({ value }) => value !== null),
  };
  let next = 0;
  for (const [what, shown] of Object.entries(places)) {
    for (const { value, unit } of shown) {
      const [si, size] = numbers[next].values;
      // Shown are the figures that the arithmetic is sure of: 14 of a product, fewer of a difference of like numbers.
      // They are rounded from the 15 that a number has, so that half a unit of the fifteenth comes to half of the last
      // shown.
      const exact = si / size;
      const last = (figures) => 10 ** (Math.floor(Math.log10(Math.abs(exact))) - figures + 1);
      const some = value === exact || [15, 14, 13, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3].some(
        (figures) => Number(value.toPrecision(figures)) === value && Math.abs(exact - value) <= 0.5 * (last(figures) + last(15)) + 1e-15 * Math.abs(exact),
      );
      assert.ok(some, `${si} / ${size} is not ${value} ${unit}: ${about}`);
      units.add(unit);
      next += 1;
    }
    compared[what] += shown.length;
  }
  const sure = Object.values(answer.uncertainty);
  const parts = sure.flatMap(({ readings, scatter }) => [...readings, ...(scatter ? [scatter] : [])]);
  assert.equal(numbers.length, next + sure.length + parts.length, about);
  compared.uncertainties += sure.length + parts.length;
}

/** The pairs of numbers in a text of hex digits. */
function pairsOf(hex) {
  assert.match(hex, /^(?:[0-9a-f]{32})+$/);
  return hex.match(/.{32}/g).map((bits) => {
    const bytes = Buffer.from(bits, "hex");
    return { bits, values: [bytes.readDoubleBE(0), bytes.readDoubleBE(8)] };
  });
}
