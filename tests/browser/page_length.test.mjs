// A lesson is short and its answer in sight: on a phone of 360 by 640, with nothing unfolded and no questions begun.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { open } from "./browser.mjs";
import { PAGES, diskUrl } from "./site.mjs";
import { EXAMPLES } from "./worked.mjs";

const SMALL = { viewport: { width: 360, height: 640 }, reducedMotion: "reduce" };
const LESSONS = PAGES.filter((page) => page.startsWith("lessons/"));

/** Of a lesson: screens, the share that worked examples fill, and Tab stops before its questions. */
function measure() {
  const all = [...document.querySelectorAll('[data-part="worked"]')];
  const height = document.documentElement.scrollHeight;
  const $quiz = document.querySelector(".tk-quiz");
  const controls = 'a[href], button, input, select, textarea, summary, [tabindex="0"]';
  const stops = [...document.querySelectorAll(controls)].filter(($one) => !$one.disabled && $one.checkVisibility({ visibilityProperty: true }));
  return {
    screens: height / innerHeight,
    share: all.reduce((sum, $one) => sum + $one.offsetHeight, 0) / height,
    stops: $quiz ? stops.filter(($one) => $quiz.compareDocumentPosition($one) & Node.DOCUMENT_POSITION_PRECEDING).length : 0,
  };
}

describe("a lesson", () => {
  for (const page of LESSONS) {
    test(`${page} is short`, async (t) => {
      await open(diskUrl(page), async (opened) => {
        await opened.locator('html[data-core="on"], html:not(:has(script[src*="core.js"]))').waitFor();
        const { screens, share, stops } = await opened.evaluate(measure);
        t.diagnostic(`${screens.toFixed(1)} screens, ${(share * 100).toFixed(0)} % worked examples, ${stops} stops`);
        assert.ok(screens <= 12, `${screens.toFixed(1)} screens`);
        assert.ok(share <= 0.45, `${(share * 100).toFixed(0)} % worked examples`);
        assert.ok(stops <= 30, `${stops} Tab stops before the questions`);
      }, SMALL);
    });
  }
});

test("an example of three catches is at most 1,000 px tall, and its result within a screen of the last field typed in", async () => {
  const found = EXAMPLES.filter(({ calculator, page }) => calculator === "catch-test" && page.startsWith("lessons/"));
  let seen = 0;
  for (const { url, selector } of found) {
    await open(url, async (page) => {
      if ((await page.locator(`${selector} [data-group="catch"] tbody`).count()) !== 3) return;
      const place = (what) => page.locator(`${selector} ${what}`).last().boundingBox();
      const section = await page.locator(selector).boundingBox();
      assert.ok(section.height <= 1000, `${section.height} px`);
      if (!(await page.locator(`${selector} .tk-result--large`).isVisible())) return;
      seen += 1;
      const [field, result] = [await place(".tk-rows__table input"), await place(".tk-result--large")];
      assert.ok(result.y + result.height - field.y <= 640, "at most a screen");
    }, SMALL);
  }
  assert.ok(seen > 0, "there is one");
});

test("the home page's first lesson is linked on its first screen", async () => {
  await open(diskUrl("index.html"), async (page) => {
    const box = await page.locator('a[href*="lessons/"]').first().boundingBox();
    assert.ok(box.y + box.height <= 640, `${box.y}`);
  }, SMALL);
});

for (const width of [180, 360, 768, 1280]) {
  test(`nothing scrolls sideways at ${width} px`, async () => {
    for (const name of ["index.html", "work/tank-mix.html", "work/application-rate.html", "work/lawn-area.html", ...LESSONS.slice(0, 3)]) {
      await open(diskUrl(name), async (page) => {
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${name} is ${wide} px wide`);
      }, { viewport: { width, height: 640 } });
    }
  });
}
