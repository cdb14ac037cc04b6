// The unit factors of a step: folded away, unfolded by keyboard, kept open while the numbers change, and every unit
// that cancels visibly struck: on screen, in the dark, in the reader's own colors and on paper.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { EXAMPLES, ONE_OF_EACH, ready, type } from "./worked.mjs";

const CHAIN = '.tk-answer [data-fold="chain"]';
// On paper the factors are left out, except where an example is there for its steps.
const EXAMPLE = EXAMPLES.find((example) => example.calculator === "catch-test" && example.show === "steps");
/** Dots to a pixel, so that a line through a unit of one letter is told from the letter. */
const FINE = { deviceScaleFactor: 3 };

const LOOKS = {
  "on screen": { context: { colorScheme: "light" } },
  "in the dark": { context: { colorScheme: "dark" } },
  "in the reader's own colours": { context: { forcedColors: "active" } },
  "on a phone": { context: { viewport: PHONE } },
  "on paper": { context: {}, media: "print" },
};

describe("a unit that cancels is struck through", () => {
  for (const [look, { context, media }] of Object.entries(LOOKS)) {
    test(look, async () => {
      await open(
        EXAMPLE.url,
        async (page) => {
          await ready(page, EXAMPLE.selector);
          const chain = page.locator(`${EXAMPLE.selector} ${CHAIN}`).first();
          if (media) await page.emulateMedia({ media });
          else await chain.locator("summary").click();
          const units = chain.locator("math mtext:has(s)");
          assert.ok((await units.count()) > 0, "something cancels");
          for (const unit of await units.all()) assert.ok(await struck(page, unit.locator("s"), 0.85), `${await unit.textContent()} is struck`);
          // The space between a number and its unit belongs to the unit's box and would not be struck.
          const kept = chain.locator("math mtext:not(:has(s))");
          for (const unit of await kept.all()) {
            if (await unit.isVisible()) assert.ok(!(await struck(page, unit, 0.6)), `${await unit.textContent()} is not`);
          }
        },
        { ...FINE, ...context },
      );
    });
  }
});

describe("the factors of a step", () => {
  test("are folded away, open by keyboard and stay open while a number changes", async () => {
    await open(EXAMPLE.url, async (page) => {
      await ready(page, EXAMPLE.selector);
      const chain = page.locator(`${EXAMPLE.selector} ${CHAIN}`).first();
      assert.equal(await chain.locator("math").first().isVisible(), false, "at first only the title is seen");
      await chain.locator("summary").focus();
      await page.keyboard.press("Enter");
      assert.ok(await chain.locator("math").first().isVisible(), "Enter shows them");
      const before = await chain.locator("math").first().textContent();
      await type(page, page.locator(`${EXAMPLE.selector} .tk-field__number`).first(), "321");
      await page.waitForFunction(
        ([part, text]) => document.querySelector(`${part} math`)?.textContent !== text,
        [`${EXAMPLE.selector} ${CHAIN}`, before],
      );
      assert.ok(await chain.locator("math").first().isVisible(), "they stay open");
    });
  });

  test("are read in words and not sign by sign", async () => {
    await open(EXAMPLE.url, async (page) => {
      await ready(page, EXAMPLE.selector);
      const chain = page.locator(`${EXAMPLE.selector} ${CHAIN}`).first();
      await chain.locator("summary").click();
      const heard = await chain.ariaSnapshot();
      assert.match(heard, /fluid ounces divided by \d+ seconds, times 1 gallon per 128 fluid ounces/);
      // Above its factors each step has its formula in words, as the steps have it; the factors themselves are heard
      // without a sign.
      const formulas = await chain.locator(".tk-chain__words").allInnerTexts();
      assert.equal(formulas.length, await chain.locator("math").count());
      const factors = formulas.reduce((rest, formula) => {
        assert.ok(rest.includes(formula), `${formula} is heard`);
        return rest.replace(formula, "");
      }, heard);
      assert.doesNotMatch(factors, /[÷×⁄]/, "the signs are for the eye");
    });
  });

  for (const example of ONE_OF_EACH) {
    test(`keep within a phone's screen: ${example.calculator}`, async () => {
      await open(
        example.url,
        async (page) => {
          await ready(page, example.selector);
          const wide = await page.locator(`${example.selector} ${CHAIN}`).evaluateAll(($all) => {
            for (const $details of $all) $details.open = true;
            const lines = $all.flatMap(($details) => [...$details.querySelectorAll("math")]);
            return lines.filter(($line) => $line.scrollWidth > $line.clientWidth + 1).map(($line) => $line.textContent);
          });
          assert.deepEqual(wide, []);
          assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
        },
        { viewport: PHONE },
      );
    });
  }
});

/** Whether a line is drawn through the middle of an element: a row of its picture with one stretch of ink, over this share of its width. */
async function struck(page, locator, share) {
  const picture = (await locator.screenshot()).toString("base64");
  // The page's policy forbids what is needed to look into a picture, so it is done on an empty page.
  const desk = await page.context().newPage();
  try {
    return await desk.evaluate(async ([data, least]) => {
      const $image = new Image();
      $image.src = `data:image/png;base64,${data}`;
      await $image.decode();
      const { width, height } = $image;
      const $canvas = Object.assign(document.createElement("canvas"), { width, height });
      const brush = $canvas.getContext("2d");
      brush.drawImage($image, 0, 0);
      const { data: dots } = brush.getImageData(0, 0, width, height);
      const light = (x, y) => dots[(y * width + x) * 4] + dots[(y * width + x) * 4 + 1] + dots[(y * width + x) * 4 + 2];
      const ground = light(0, 0);
      for (let y = Math.floor(height * 0.3); y < height * 0.8; y += 1) {
        let ink = 0;
        for (let x = 0; x < width; x += 1) ink += Math.abs(light(x, y) - ground) > 150 ? 1 : 0;
        if (ink > width * least && runs(y, 150) < 2) return true;
      }
      return false;

      /** How many separate stretches of ink a row has. */
      function runs(y, step) {
        let count = 0;
        let inside = false;
        for (let x = 0; x < width; x += 1) {
          const now = Math.abs(light(x, y) - ground) > step;
          if (now && !inside) count += 1;
          inside = now;
        }
        return count;
      }
    }, [picture, share]);
  } finally {
    await desk.close();
  }
}
