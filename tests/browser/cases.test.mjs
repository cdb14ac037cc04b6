// The published cases, worked by the built core under node and by the page a learner uses.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { open } from "./browser.mjs";
import { CASES, fits, numberOf } from "./cases.mjs";
import { loadCore, phrasesOf } from "./core.mjs";
import { PAGES, SITE } from "./site.mjs";
import { EXAMPLES, ready } from "./worked.mjs";

/* global needParts */

/** A browser takes some 200 changes of a page's address in ten seconds, and drops any beyond that. */
const AT_ONCE = 150;

const core = loadCore(phrasesOf(SITE));
const CALCULATORS = [...new Set(CASES.map((one) => one.calculator))];
const casesOf = (calculator) => CASES.filter((one) => one.calculator === calculator);

function workJson(one, wanted = []) {
  const options = JSON.stringify({ units: one.units, wanted });
  return JSON.parse(core.raw.work_json(one.calculator, JSON.stringify(one.given), options));
}

/** What WebAssembly answers, results in the units the case names. */
function workedInUnits(one) {
  const wanted = one.expect.filter(([, figure]) => figure.unit).map(([name, { unit }]) => [name, unit]);
  return workJson(one, wanted);
}

describe("every case holds in WebAssembly", () => {
  for (const calculator of CALCULATORS) {
    test(`${calculator}, ${casesOf(calculator).length} cases`, () => {
      for (const one of casesOf(calculator)) {
        const answer = workedInUnits(one);
        assert.equal(answer.error, undefined, one.name);
        for (const [name, figure] of one.expect) {
          const result = answer.results[name];
          assert.ok(result, `${one.name}: ${name}`);
          if (figure.verdict) assert.equal(result.verdict, figure.verdict, one.name);
          else assert.ok(fits(figure, result.value), `${one.name}: ${name} is ${result.value} ${result.unit}, not ${figure.value} ${figure.unit}`);
        }
        if (one.cautions) assert.deepEqual(answer.cautions.map(({ id }) => id).sort(), one.cautions, one.name);
      }
    });
  }
});

// Two pages at a time: each waits for its turn to be drawn more than it works.
describe("every case holds on the page", { concurrency: 2 }, () => {
  for (const calculator of CALCULATORS) {
    const example = exampleOf(calculator);
    const skip = example ? false : "the course shows it on no page yet";
    test(`${calculator}, ${casesOf(calculator).length} cases`, { skip }, async () => {
      const cases = casesOf(calculator);
      for (let from = 0; from < cases.length; from += AT_ONCE) {
        const part = cases.slice(from, from + AT_ONCE);
        for (const [index, shown] of (await askPage(example, part)).entries()) check(part[index], shown);
      }
    });
  }
});

/** The calculator's own page, or else a lesson that works it; without pages of their own, a calculator may be on no page. */
function exampleOf(calculator) {
  const all = EXAMPLES.filter((example) => example.calculator === calculator);
  const own = all.find(({ page }) => page === `work/${calculator}.html`);
  const havePages = PAGES.some((page) => page.startsWith("work/"));
  assert.ok(own || !havePages, `${calculator} has no page of its own`);
  return own ?? all[0];
}

/** Follows a link for each case on one open page, and reads what the page then shows. */
async function askPage(example, cases) {
  let shown;
  await open(example.url, async (page) => {
    await ready(page, example.selector);
    // What a page fetches when it is first needed is there from the first case on.
    await page.evaluate(() => needParts(["typing", "problems", "form", "doubt", "chain"]));
    const unfolded = await page.locator(`${example.selector} .tk-answer details[open]`).evaluateAll(($all) => $all.map(($fold) => $fold.dataset.fold));
    const asked = cases.map((one) => {
      // What the page asks with, as its markup says.
      const options = { name: example.name, units: one.units, title: "", level: example.level, show: example.show };
      const hash = `worked-${example.name}?${new URLSearchParams([...one.given, ["units", one.units]])}`;
      const whole = core.worked(one.calculator, one.given, options).answer;
      return { hash, whole, folded: core.worked(one.calculator, one.given, { ...options, unfolded }).answer };
    });
    shown = await page.evaluate(followLinks, [example.selector, asked, unfolded]);
  });
  return shown;
}

/** In the page: follows each link; reads the answer, again after the form was touched, and again with every fold opened. */
async function followLinks([selector, asked, open]) {
  const $section = document.querySelector(selector);
  const $answer = () => $section.querySelector('[data-part="answer"]');
  const folds = () => [...$answer().querySelectorAll("details[data-fold]")];
  /** The markup but for what the reader has unfolded, which is theirs and stays from one answer to the next. */
  const markup = ($element) => {
    const $copy = $element.cloneNode(true);
    for (const $fold of $copy.querySelectorAll("details")) $fold.removeAttribute("open");
    return $copy.outerHTML;
  };
  const parsed = (answer) => {
    const $template = document.createElement("template");
    $template.innerHTML = answer.trim();
    return markup($template.content.firstElementChild);
  };
  // A key's answer comes with the next frame, and what is out of sight a little later.
  const settled = () => new Promise((resolve) => {
    const look = () => requestAnimationFrame(() => { if ($answer().hasAttribute("aria-busy")) look(); else resolve(); });
    look();
  });
  const toggle = async ($fold) => {
    const told = new Promise((resolve) => $fold.addEventListener("toggle", resolve, { once: true }));
    $fold.querySelector("summary").click();
    await told;
  };
  const all = [];
  for (const { hash, whole, folded } of asked) {
    if (location.hash !== `#${hash}`) {
      const told = new Promise((resolve) => addEventListener("hashchange", resolve, { once: true }));
      location.hash = hash;
      await told;
    }
    const linked = markup($answer());
    const asLeft = folds().every(($fold) => $fold.open === open.includes($fold.dataset.fold));
    const results = Object.fromEntries(
      [...$section.querySelectorAll("[data-result]")].map(($result) => {
        const $value = $result.querySelector(".tk-result__value") ?? $result;
        return [$result.dataset.result, $value.innerText.split("\n")[0].replace(/\s+/g, " ").trim()];
      }),
    );
    // The form must hold what the link brought: read back from it, the answer is the same, without what nobody sees.
    $section.querySelector("input").dispatchEvent(new Event("input", { bubbles: true }));
    await settled();
    const kept = markup($answer()) === parsed(folded);
    // What was left out comes when it is unfolded.
    const opened = [];
    for (let $fold; ($fold = folds().find(($one) => !$one.open)); opened.push($fold)) await toggle($fold);
    const unfolded = markup($answer()) === linked;
    for (const $fold of opened) await toggle($fold);
    all.push({ same: linked === parsed(whole), kept, asLeft, unfolded, results, linked });
  }
  return all;
}

/** What the page shows is the case's figure, rounded to three figures, and what WebAssembly says under node. */
function check(one, shown) {
  assert.ok(shown.same, `${one.name}: the page's answer is WebAssembly's:\n${shown.linked}`);
  assert.ok(shown.kept, `${one.name}: the form holds what the link brought`);
  assert.ok(shown.asLeft, `${one.name}: what was unfolded, and nothing else, is unfolded`);
  assert.ok(shown.unfolded, `${one.name}: unfolded, the answer is whole`);
  const own = workJson(one).results;
  const inUnits = workedInUnits(one).results;
  for (const [name, figure] of one.expect) {
    const text = shown.results[name];
    assert.equal(text, own[name].text.replace(/\s+/g, " "), `${one.name}: ${name}`);
    if (figure.verdict) continue;
    const [, number] = text.match(/^([−\d.,]+)/);
    // The page shows its own unit; the case may be printed in another.
    const size = own[name].value === 0 ? 1 : inUnits[name].value / own[name].value;
    const places = number.split(".")[1]?.length ?? 0;
    assert.ok(fits(figure, numberOf(number) * size, (0.5 / 10 ** places) * size), `${one.name}: ${name} shows ${text}, not ${figure.value} ${figure.unit}`);
  }
}
