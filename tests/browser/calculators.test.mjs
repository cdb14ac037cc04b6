// A learner changes the numbers of a worked example, and the page answers as they type.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { EXAMPLES, ONE_OF_EACH, answerChanges, answerText, firstNumber, formValues, mainNumbers, numberIn, ready, type } from "./worked.mjs";

const CALCULATORS = ["application-rate", "carrier-volume", "catch-test", "swath-timing", "tank-mix"];
const MARKUP = [
  `<img src=x onerror="window.ran=1">`,
  `"><script>window.ran=1</script>`,
  `' autofocus onfocus='window.ran=1`,
  `</textarea><svg onload="window.ran=1">`,
];

test("the demo course shows every calculator", () => {
  const shown = ONE_OF_EACH.map((example) => example.calculator);
  for (const calculator of CALCULATORS) assert.ok(shown.includes(calculator), `${calculator} is worked somewhere`);
});

describe("typing a number changes the answer", () => {
  for (const example of EXAMPLES) {
    test(`${example.page} ${example.name}`, async () => {
      await open(example.url, async (page) => {
        await ready(page, example.selector);
        const field = firstNumber(page, example.selector);
        const before = await answerText(page, example.selector);
        const printed = await field.inputValue();
        await type(page, field, String((await numberIn(field)) * 1.5));
        await answerChanges(page, example.selector, before);
        assert.equal(await field.evaluate(($field) => document.activeElement === $field), true, "the field keeps the focus");
        await type(page, field, printed);
        await page.waitForFunction(
          ([part, text]) => document.querySelector(`${part} [data-part="answer"]`).innerText === text,
          [example.selector, before],
        );
      });
    });
  }
});

describe("a number that cannot be is answered with words beside it, and keeps the rules", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      await open(
        example.url,
        async (page) => {
          await ready(page, example.selector);
          const field = firstNumber(page, example.selector);
          await type(page, field, "a bucket");
          const error = page.locator(`${example.selector} .tk-field`, { has: page.locator(`[name="${await field.getAttribute("name")}"]`) });
          await error.locator(".tk-field__error").filter({ hasText: /\S/ }).waitFor();
          assert.deepEqual(await violations(page), []);
        },
        { viewport: PHONE, reducedMotion: "reduce" },
      );
    });
  }
});

describe("units switch to and fro, and reset brings the lesson's numbers back", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      await open(example.url, async (page) => {
        await ready(page, example.selector);
        const button = (what) => page.locator(`${example.selector} [data-do="${what}"]`);
        const first = { values: await formValues(page, example.selector), main: await mainNumbers(page, example.selector), answer: await answerText(page, example.selector) };

        await button("units").click();
        await answerChanges(page, example.selector, first.answer);
        assert.notDeepEqual(await formValues(page, example.selector), first.values, "the form shows the other units");

        await button("units").click();
        // A calculator that compares has no main result; one in percent shows the same in both systems.
        await page.waitForFunction(
          ([part, main]) => {
            const $all = [...document.querySelectorAll(`${part} .tk-result--main .tk-result__value`)];
            const shown = $all.map(($one) => $one.innerText.replace(/\s+/g, " ").trim());
            return document.querySelector(part).dataset.units === "us" && shown.join() === main.join();
          },
          [example.selector, first.main],
        );

        const field = firstNumber(page, example.selector);
        await type(page, field, String((await numberIn(field)) * 2));
        await answerChanges(page, example.selector, first.answer);
        await button("reset").click();
        await page.waitForFunction(
          ([part, text]) => document.querySelector(`${part} [data-part="answer"]`).innerText === text,
          [example.selector, first.answer],
        );
        assert.deepEqual(await formValues(page, example.selector), first.values);
      });
    });
  }
});

describe("a link brings the same numbers to another browser", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      const made = await madeLink(example, (number) => String(number * 1.25));
      await open(made.url, async (page) => {
        await ready(page, example.selector);
        await page.waitForFunction(
          ([part, text]) => document.querySelector(`${part} [data-part="answer"]`).innerText === text,
          [example.selector, made.answer],
        );
        assert.deepEqual(await formValues(page, example.selector), made.values);
      });
    });
  }
});

test("a link with numbers leads to a calculator's own page", async () => {
  // By hand: 3 gal in 90 s is 2 gal/min.
  const url = `${diskUrl("work/catch-test.html")}#worked-catch-test?catch.1.volume=3+gal&catch.1.time=90+s&units=us`;
  const selector = '[data-part="worked"][data-name="catch-test"]';
  await open(url, async (page) => {
    await ready(page, selector);
    assert.deepEqual(await mainNumbers(page, selector), ["2 gal/min"]);
    await page.locator(`${selector} [data-do="reset"]`).click();
    await page.waitForFunction(() => location.hash === "#worked-catch-test");
    assert.notDeepEqual(await mainNumbers(page, selector), ["2 gal/min"], "back to the numbers of the page");
  });
});

describe("on a phone the main results stay in sight while a number is typed", () => {
  // One shape for each number of main results; one that compares has none.
  for (const [calculator, count] of [["catch-test", 1], ["swath-timing", 2], ["application-rate", 2], ["tank-mix", 2], ["carrier-volume", 0]]) {
    test(calculator, async () => {
      const selector = `[data-part="worked"][data-name="${calculator}"]`;
      const glance = (page) => page.locator(`${selector} .tk-glance`);
      const url = diskUrl(`work/${calculator}.html`);
      await open(url, async (page) => {
        await ready(page, selector);
        if (count === 0) { assert.equal(await glance(page).isVisible(), false); return; }
        await glanceIsMain(page, selector, count);
        const field = firstNumber(page, selector);
        await type(page, field, String((await numberIn(field)) * 3));
        await glanceIsMain(page, selector, count);
        assert.equal(await glance(page).evaluate(inView), true);
        assert.equal(await page.locator(`${selector} .tk-result--main`).first().evaluate(inView), false, "the result itself is far below");
        assert.equal(await glance(page).getAttribute("aria-hidden"), "true", "the spoken result is not said twice");
        assert.deepEqual(await violations(page), []);

        // The focus leads through the whole form, and the glance is never before it.
        await page.locator(`${selector} input`).first().focus();
        for (let press = 0; press < 60; press += 1) {
          const covered = await page.evaluate(([part]) => {
            const $focus = document.activeElement;
            if (!$focus.closest(`${part} form`)) return "out of the form";
            const box = $focus.getBoundingClientRect();
            return document.querySelector(`${part} .tk-glance`).getBoundingClientRect().top < box.bottom ? $focus.outerHTML : "";
          }, [selector]);
          if (covered === "out of the form") break;
          assert.equal(covered, "");
          await page.keyboard.press("Tab");
        }

        await type(page, field, "a bucket");
        await page.locator(`${selector} .tk-answer__wait`).waitFor();
        assert.equal(await glance(page).isVisible(), false, "no result, no glance");
        await page.locator(`${selector} [data-do="reset"]`).click();
        await field.focus();
        await glance(page).click();
        assert.equal(await page.locator(`${selector} .tk-result--main`).first().evaluate(($one) => document.activeElement === $one), true);
        await page.emulateMedia({ media: "print" });
        assert.equal(await glance(page).isVisible(), false, "none on paper");
      }, { viewport: { ...PHONE, height: 420 }, reducedMotion: "reduce" });
      await open(url, async (page) => {
        await ready(page, selector);
        assert.equal(await glance(page).isVisible(), false, "none where the answer stands beside the form");
      });
      await open(url, async (page) => assert.equal(await glance(page).count(), 0), { viewport: PHONE, javaScriptEnabled: false });
    });
  }
});

/** The glance says what the first main results say: name and value. */
async function glanceIsMain(page, selector, count) {
  const said = await page.locator(`${selector} .tk-glance__one`).allTextContents();
  const main = await page.locator(`${selector} .tk-result--main`).evaluateAll(($all) =>
    $all.map(($one) => $one.querySelector(".tk-result__name").textContent + $one.querySelector(".tk-result__value").textContent),
  );
  assert.equal(said.length, count);
  assert.deepEqual(said, main.slice(0, count));
}

function inView($one) {
  const box = $one.getBoundingClientRect();
  return 0 <= box.top && box.bottom <= innerHeight;
}

test("rows are added and removed where a calculator takes several", async () => {
  const repeated = [];
  for (const example of ONE_OF_EACH) {
    await open(example.url, async (page) => {
      await ready(page, example.selector);
      const add = page.locator(`${example.selector} [data-do="add"]`).first();
      if ((await add.count()) === 0) return;
      repeated.push(example.calculator);
      const rows = page.locator(`${example.selector} .tk-group`);
      const before = await rows.count();
      await add.click();
      await rows.nth(before).waitFor();
      await page.locator(`${example.selector} [data-do="drop"]`).last().click();
      await page.waitForFunction(
        ([part, count]) => document.querySelectorAll(`${part} .tk-group`).length === count,
        [example.selector, before],
      );
    });
  }
  assert.ok(repeated.includes("catch-test"), "a catch test takes several catches");
});

describe("markup typed into a form never runs", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      await open(example.url, async (page) => {
        await ready(page, example.selector);
        const fields = page.locator(`${example.selector} input[type="text"]`);
        for (let index = 0; index < (await fields.count()); index += 1) {
          for (const markup of MARKUP) await fields.nth(index).fill(markup);
        }
        await nothingRan(page);
      });
    });
  }
});

describe("markup in a link's numbers never runs", () => {
  for (const example of ONE_OF_EACH) {
    test(example.calculator, async () => {
      const { url } = await madeLink(example, () => "987654");
      assert.match(url, /987654/, "the link carries the number as typed");
      const [address, numbers] = url.split("#");
      const hashes = MARKUP.flatMap((markup) => [
        numbers.replace("987654", encodeURIComponent(markup)),
        numbers.replace("987654", markup),
        numbers.replaceAll(/(?<==)[^&]*/g, encodeURIComponent(markup)),
        `${numbers}&${encodeURIComponent(markup)}=1`,
        markup,
      ]);
      await open("about:blank", async (page) => {
        for (const hash of [...hashes, "%", "=&=&", numbers.replace("987654", "%ff")]) {
          // From elsewhere, so that the page is loaded anew and not only told of another place in it.
          await page.goto("about:blank");
          await page.goto(`${address}#${hash}`);
          await ready(page, example.selector);
          await nothingRan(page);
        }
      });
    });
  }
});

async function nothingRan(page) {
  await page.waitForTimeout(50);
  assert.equal(await page.evaluate(() => window.ran), undefined, "no script ran");
  assert.equal(await page.locator('img[src="x"], [onload], [onfocus], [onerror]').count(), 0, "no element came of it");
}

/** Changes the first number, asks the page for its link, and tells what the page then showed. */
async function madeLink(example, change) {
  let made;
  await open(example.url, async (page) => {
    await ready(page, example.selector);
    const field = firstNumber(page, example.selector);
    const before = await answerText(page, example.selector);
    await type(page, field, change(await numberIn(field)));
    await answerChanges(page, example.selector, before);
    await page.locator(`${example.selector} [data-do="link"]`).click();
    await page.waitForFunction(() => location.hash.length > 1);
    made = {
      url: page.url(),
      answer: await answerText(page, example.selector),
      values: await formValues(page, example.selector),
    };
  });
  return made;
}
