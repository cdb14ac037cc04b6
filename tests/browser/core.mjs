// The built core in node: the same files that published pages carry, in a context with as
// little as a page's script needs. What it answers is what the page answers.

import { readFileSync, readdirSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { createContext, runInContext } from "node:vm";

const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), "../..");
const BUILT = resolve(ROOT, "calc-wasm/pkg");
/** What unpacks the built files on a page. */
const UNPACK = `const TANKSIDE_UNPACK = "${readFileSync(resolve(BUILT, "unpack.txt"), "utf8")}";
${readFileSync(resolve(ROOT, "templates/unpack.js"), "utf8")}`;

/**
 * Loads the core and hands it the phrases it speaks with.
 * @param {string} [phrases] lines of `key<TAB>text`
 */
export function loadCore(phrases = "") {
  const context = createContext({ TextDecoder, TextEncoder, WebAssembly, atob, console });
  const core = runInContext(`${UNPACK}\n${readFileSync(resolve(BUILT, "core.js"), "utf8")}\nwasm_bindgen;`, context, {
    filename: "core.js",
  });
  // The glue knows its options by their prototype, so they are made in its own context.
  const startWith = runInContext("(module) => wasm_bindgen.initSync({ module })", context);
  const unpacked = runInContext("unpacked", context);
  const { module, streams } = unpacked(readFileSync(resolve(BUILT, "core.txt"), "utf8"), new Uint8Array(0));
  const own = startWith(module);
  for (const part of readdirSync(BUILT).filter((file) => file.startsWith("core-"))) {
    const fitting = unpacked(readFileSync(resolve(BUILT, part), "utf8"), streams);
    new WebAssembly.Instance(new WebAssembly.Module(fitting.module), { core: own });
    core.fitted(part.replace(/^core-|\.txt$/g, ""));
  }
  if (core.start) core.start(phrases);
  return {
    /** The functions as the page's script finds them. */
    raw: core,
    /** @param {string} calculator @param {[string, string][]} pairs @param {object} [options] */
    worked: (calculator, pairs, options = {}) =>
      reply(core.worked(calculator, JSON.stringify(pairs), JSON.stringify(options))),
    /** @param {string} calculator @param {[string, string][]} pairs @param {"us" | "metric"} units */
    switchUnits: (calculator, pairs, units) =>
      JSON.parse(core.switch_units(calculator, JSON.stringify(pairs), units)),
    /** @param {object} question @param {number} draw */
    pose: (question, draw) => JSON.parse(core.pose(JSON.stringify(question), draw)),
    /** @param {object} question @param {number} draw @param {unknown} answer */
    score: (question, draw, answer) => JSON.parse(core.score(JSON.stringify(question), draw, JSON.stringify(answer))),
  };
}

/**
 * What the core says of a worked example, as a page takes it apart.
 * @param {string} text
 */
export function reply(text) {
  const [said, form, answer] = text.split("\0");
  return { ...JSON.parse(said), form, answer };
}

/** The phrases a published site speaks with, as the core and its parts bring them along. */
export function phrasesOf(site) {
  const said = [];
  const context = createContext({ brought: (name, bytes, phrases) => said.push(phrases) });
  const scripts = readdirSync(resolve(site, "assets")).filter((file) => /^core(-.*)?\.js$/.test(file));
  for (const file of scripts.sort()) {
    const lines = readFileSync(resolve(site, "assets", file), "utf8").split("\n");
    // The line that binds the core comes before its own.
    runInContext(lines.filter((line) => line.startsWith("brought(")).join("\n"), context);
  }
  return said.join("");
}
