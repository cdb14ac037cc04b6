// The demo course in an invented language that shouts: no word of the pages' own is left unmarked, neither as published
// nor once the scripts have started. What is content and not furniture is named in language.mjs.

import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { before, describe, test } from "node:test";
import { open } from "./browser.mjs";
import { LANGUAGE, allowNames, shoutingSite, unmarked } from "./language.mjs";

// A browser writes days of a language it does not know in its own; Japanese ones have no Latin word that could hide.
const HOW = { locale: "ja-JP", reducedMotion: "reduce" };
const site = shoutingSite();
const { pages } = site;

before(() => allowNames(site));

async function marked(page, when) {
  assert.deepEqual(await unmarked(page), [], when);
}

/** The texts in the first argument of each call of `word` in a script; what is only compared or matched with is left out. */
function asked(script) {
  const calls = [...script.matchAll(/(?<![\w.])word\(((?:[^(),`]|\([^()]*\))*)/g)].map(([, first]) => first.replace(/[!=]== *"[^"]*"|\.matches\("[^"]*"\)/g, ""));
  return calls.flatMap((first) => [...first.matchAll(/"([^"]+)"/g)].map(([, key]) => key));
}

test("every word that a page's script asks for by name is in the catalogue", () => {
  assert.deepEqual(asked('word("a"); word(x === "no" || y.matches(".z") ? "b" : "c", { d: "e" }); reword("f"); word(`g-${h}`)'), ["a", "b", "c"]);
  const top = new URL("../../", import.meta.url);
  const words = new Set([...readFileSync(new URL("content/phrases/en/learn.yaml", top), "utf8").matchAll(/^learn\.([a-z0-9-]+):/gm)].map(([, key]) => key));
  // How the language writes a number comes with them (`src/site/assets.rs`).
  words.add("number");
  // The pocket calculator's `word` names a kind of key.
  const scripts = readdirSync(new URL("templates/learn/", top)).filter((name) => name.endsWith(".js") && name !== "pocket.js");
  const missing = scripts.flatMap((name) => asked(readFileSync(new URL(`templates/learn/${name}`, top), "utf8")).filter((key) => !words.has(key)).map((key) => `${name}: ${key}`));
  assert.ok(words.size > 150 && scripts.length > 10);
  assert.deepEqual(missing, []);
});

describe("as published", () => {
  for (const name of pages) {
    test(name, async () => {
      const markup = readFileSync(join(site.site, name), "utf8");
      assert.match(markup, new RegExp(`<html lang="${LANGUAGE}"`));
      await open("about:blank", async (page) => assert.deepEqual(await unmarked(page, markup), []), HOW);
    });
  }
});

describe("as scripts have started", () => {
  for (const name of pages) {
    test(name, async () => {
      await open(
        site.url(name),
        async (page) => {
          await page.waitForTimeout(150);
          await marked(page, name);
        },
        HOW,
      );
    });
  }
});
