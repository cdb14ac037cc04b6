// The native core and the WebAssembly are one source compiled twice: for problems drawn over everything the
// calculators declare, their limits among them, each answers the other's text to the last character.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { describe, test } from "node:test";
import { fileURLToPath } from "node:url";
import { loadCore, phrasesOf } from "./core.mjs";
import { SITE } from "./site.mjs";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const EACH = 120;

const phrases = phrasesOf(SITE);
const CALLS = drawn();

/** What the native core answers: for each call its name, its texts and the answer. */
function drawn() {
  const folder = mkdtempSync(join(tmpdir(), "tankside-drawn-"));
  try {
    const file = join(folder, "phrases");
    writeFileSync(file, phrases);
    const example = ["run", "--locked", "--quiet", "--package", "xtask", "--example", "drawn_problems", "--", file, String(EACH)];
    const told = execFileSync(process.env.CARGO ?? "cargo", example, { cwd: ROOT, encoding: "utf8", maxBuffer: 256 * 1024 * 1024 });
    return told.trimEnd().split("\n").map((line) => JSON.parse(line));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

describe("the WebAssembly answers as the native core does, to the last character", () => {
  const core = loadCore(phrases).raw;
  for (const id of new Set(CALLS.map(([, calculator]) => calculator))) {
    test(id, () => {
      const own = CALLS.filter(([, calculator]) => calculator === id);
      assert.ok(own.length >= EACH);
      let worked = 0;
      for (const [call, calculator, pairs, last, answer] of own) {
        assert.equal(core[call](calculator, pairs, last), answer, `${call} ${calculator} ${pairs} ${last}`);
        if (call === "work_json" && !answer.startsWith('{"error"')) worked += 1;
      }
      assert.ok(worked >= EACH / 3, `${worked} of them could be worked`);
    });
  }
});
