// How a page looks where it once looked wrong: on a phone, on a narrow strip beside enlarged letters, at a desk, on paper.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, describe, test } from "node:test";
import { open } from "./browser.mjs";
import { PAGES, diskUrl, pagesWith } from "./site.mjs";

const folder = mkdtempSync(join(tmpdir(), "tankside-look-"));
after(() => rmSync(folder, { recursive: true, force: true }));

const CALCULATORS = PAGES.filter((page) => page.startsWith("work/"));

/** Opens a page at a width, all of its folds open, and hands it to `look`. */
function at(width, page, look, media = "screen") {
  return open(diskUrl(page), async (opened) => {
    await opened.emulateMedia({ media });
    await opened.evaluate(() => { for (const $one of document.querySelectorAll("details")) $one.open = true; });
    await look(opened);
  }, { viewport: { width, height: 740 }, reducedMotion: "reduce" });
}

/** Words, within what the selector finds, that are broken in two; a no-break space is part of a word, a hyphen is not. */
function broken(selector) {
  const found = [];
  for (const $one of document.querySelectorAll(selector)) {
    const walker = document.createTreeWalker($one, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      for (const word of walker.currentNode.data.matchAll(/[^ \n-]+/g)) {
        const range = document.createRange();
        range.setStart(walker.currentNode, word.index);
        range.setEnd(walker.currentNode, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.top)));
        if (lines.size > 1) found.push(word[0]);
      }
    }
  }
  return found;
}

describe("no number and no unit of what is to be entered is broken", () => {
  for (const [width, media] of [[360, "screen"], [768, "screen"], [1280, "screen"], [720, "print"]]) {
    test(`${width} px, ${media}`, async () => {
      for (const page of CALCULATORS) {
        await at(width, page, async (opened) => assert.deepEqual(await opened.evaluate(broken, ".tk-ask__fact dd"), [], page), media);
      }
    });
  }
});

test("on a strip of 180 px no answer is broken within its number, and nothing is cut off", async () => {
  for (const page of [...CALCULATORS, "card.html"]) {
    await at(180, page, async (opened) => {
      assert.deepEqual(await opened.evaluate(broken, ".tk-result__number, .tk-card__number"), [], page);
      const cut = await opened.evaluate(() => [...document.querySelectorAll(".tk-card__rate, .tk-card__half, .tk-result")].filter(($one) => $one.scrollWidth > $one.clientWidth + 1).map(($one) => $one.className));
      assert.deepEqual(cut, [], page);
    });
  }
});

describe("where each field of a row has a line of its own, its name is beside it", () => {
  for (const width of [360, 1280]) {
    test(`${width} px`, async () => {
      let seen = 0;
      for (const page of [...CALCULATORS, "card.html"]) {
        await at(width, page, async (opened) => {
          const apart = await opened.evaluate(() => [...document.querySelectorAll(".tk-rows__row--long .tk-field")].map(($field) => {
            const [name, entry] = [$field.querySelector("label"), $field.querySelector(".tk-field__entry")].map(($one) => $one.getBoundingClientRect());
            return { name: $field.dataset.name, apart: name.width > 0 && (name.top > entry.bottom || name.bottom < entry.top), over: name.right > entry.left };
          }));
          seen += apart.length;
          assert.deepEqual(apart.filter((one) => one.apart || one.over), [], page);
        });
      }
      assert.ok(seen > 20, `${seen} fields`);
    });
  }
});

test("on a phone the formula in words and the one in numbers are on lines of their own", async () => {
  for (const page of CALCULATORS) {
    await at(360, page, async (opened) => {
      const joined = await opened.evaluate(() => [...document.querySelectorAll(".tk-step__words + .tk-step__numbers")].filter(($numbers) => $numbers.getClientRects().length && $numbers.getClientRects()[0].top < $numbers.previousElementSibling.getBoundingClientRect().bottom - 1).length);
      assert.equal(joined, 0, page);
    });
  }
});

test("on a phone a link of the formulas and of the glossary is high enough for a finger", async () => {
  for (const page of ["formulas.html", "glossary.html"]) {
    await at(360, page, async (opened) => {
      const low = await opened.evaluate(() => [...document.querySelectorAll("main a")].filter(($one) => $one.checkVisibility() && $one.getBoundingClientRect().height < 24).map(($one) => $one.textContent));
      assert.deepEqual(low, [], page);
    });
  }
});

test("on a phone two columns fit next to each other, and nothing of a comparison is out of sight", async () => {
  for (const page of ["work/carrier-volume.html", "lessons/carrier-volume.html"]) {
    await at(360, page, async (opened) => {
      const cut = await opened.evaluate(() => [...document.querySelectorAll(".tk-table")].filter(($one) => $one.scrollWidth > $one.clientWidth).map(($one) => $one.innerText.slice(0, 60)));
      assert.deepEqual(cut, [], page);
    });
  }
});

test("a step has the same number among the steps and among the units that cancel", async () => {
  let seen = 0;
  for (const page of pagesWith('class="tk-chains"')) {
    await at(1280, page, async (opened) => {
      const wrong = await opened.evaluate(() => [...document.querySelectorAll(".tk-answer")].flatMap(($answer) => {
        const titles = new Map();
        for (const $list of $answer.querySelectorAll(".tk-steps")) {
          [...$list.children].forEach(($step, index) => titles.set($list.start + index, $step.querySelector(".tk-step__title").textContent));
        }
        return [...$answer.querySelectorAll(".tk-chain")].map(($chain) => [titles.get($chain.value), $chain.querySelector(".tk-chain__words").textContent]);
      }));
      seen += wrong.length;
      assert.deepEqual(wrong.filter(([title, words]) => !title || !words.startsWith(`${title} = `)), [], page);
    });
  }
  assert.ok(seen > 50, `${seen} steps`);
});

describe("on paper", () => {
  /** The lines of each page. */
  async function printed(opened) {
    const file = join(folder, "page.pdf");
    await opened.pdf({ path: file, preferCSSPageSize: true, format: "Letter" });
    const pages = spawnSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" }).stdout.split("\f").slice(0, -1);
    return pages.map((page) => page.split("\n").filter((line) => line.trim()));
  }

  test("no tool of the screen is printed", async () => {
    for (const page of pagesWith('data-part="tools"')) {
      await at(720, page, async (opened) => assert.equal(await opened.locator('[data-part="tools"]:visible').count(), 0, page), "print");
    }
  });

  test("the formulas for an exam are one page", async () => {
    await open(diskUrl("formulas.html"), async (opened) => assert.equal((await printed(opened)).length, 1));
  });

  test("no last page holds the foot and the law alone", async () => {
    for (const page of [...CALCULATORS, "units.html"]) {
      await open(diskUrl(page), async (opened) => {
        const pages = await printed(opened);
        const last = pages.at(-1);
        const before = last.slice(0, last.findIndex((line) => line.includes("The label is the law"))).filter((line) => line.trim());
        assert.ok(pages.length === 1 || before.length > 0, `${page}: ${last.join("\n")}`);
      });
    }
  });

  test("the sum of a table of uncertainties is printed once", async () => {
    for (const page of ["work/usage-check.html", "work/tank-mix.html"]) {
      await open(diskUrl(page), async (opened) => {
        const tables = await opened.locator(".tk-sure__table").count();
        const sums = (await printed(opened)).flat().filter((line) => /^\s*\|?\s*All together/.test(line)).length;
        assert.equal(sums, tables, page);
      });
    }
  });

  test("the name of a learner is on the page of their progress", async () => {
    await open(diskUrl("progress.html"), async (opened) => {
      await opened.locator('[data-role="name"]').fill("Ada Fern");
      await opened.emulateMedia({ media: "print" });
      assert.ok(await opened.locator('[data-role="name"]').isVisible());
      assert.equal(await opened.locator(".tk-progress button:visible").count(), 0, "and no button");
    });
  });

  test("a row of a form reads as a line: name, number, unit", async () => {
    await at(720, "work/tank-mix.html", async (opened) => {
      const lines = await opened.evaluate(() => [...document.querySelectorAll(".tk-rows__row--long .tk-field")].map(($field) => [$field.querySelector("label"), ...$field.querySelectorAll("input, select")].map(($one) => Math.round($one.getBoundingClientRect().bottom))));
      assert.ok(lines.length > 3);
      for (const line of lines) assert.ok(Math.max(...line) - Math.min(...line) < 8, line.join(" "));
    }, "print");
  });
});
