// A learner changes the numbers of a worked example, and the page answers as they type.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { EXAMPLES, ONE_OF_EACH, answerChanges, answerText, firstNumber, formValues, mainNumbers, numberIn, ready, type, whole } from "./worked.mjs";

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

test("in a key's own frame the result changes, and drawing and steps stay where they are until they follow", async () => {
  const { url, selector } = EXAMPLES.find(({ page }) => page === "work/catch-test.html");
  await open(url, async (page) => {
    await ready(page, selector);
    const seen = await page.evaluate((part) => new Promise((resolve) => {
      const $answer = document.querySelector(`${part} [data-part="answer"]`);
      $answer.scrollIntoView();
      const $field = document.querySelector(`${part} .tk-field__number:not([value=""])`);
      const look = () => [".tk-result__number, .tk-answer__sentence", ".tk-steps", ".tk-draw"].map((what) => $answer.querySelector(what)?.textContent);
      const before = look();
      $field.value = "250";
      $field.dispatchEvent(new Event("input", { bubbles: true }));
      requestAnimationFrame(() => resolve({ before, frame: look() }));
    }), selector);
    const [result, ...rest] = seen.frame;
    assert.notEqual(result, seen.before[0]);
    assert.deepEqual(rest, seen.before.slice(1), "as they were");
    await whole(page);
    const steps = await page.locator(`${selector} .tk-steps`).first().textContent();
    assert.notEqual(steps, seen.before[1], "and then they follow");
  }, { viewport: DESK });
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
          const error = page.locator(`${example.selector} .tk-field__error[data-for="${await field.getAttribute("name")}"]`);
          await error.filter({ hasText: /\S/ }).waitFor();
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
        const button = (what) => page.locator(`${example.selector} [data-do="${what}"]:not([hidden])`);
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

test("a link that is longer than any problem is not read, and the page works with its own numbers", async () => {
  const selector = '[data-part="worked"][data-name="catch-test"]';
  const link = (more) => `${diskUrl("work/catch-test.html")}#worked-catch-test?catch.1.volume=3+gal&catch.1.time=90+s&units=us${more}`;
  await open(link(`&x=${"gal+".repeat(5000)}`), async (page) => {
    await ready(page, selector);
    assert.notDeepEqual(await mainNumbers(page, selector), ["2 gal/min"]);
    const before = await answerText(page, selector);
    await type(page, firstNumber(page, selector), "321");
    await answerChanges(page, selector, before);
  });
});

describe("the result stays in sight while a number is typed", () => {
  // A calculator that compares says its first line.
  for (const [calculator, view] of [["catch-test", PHONE], ["swath-timing", PHONE], ["application-rate", PHONE], ["tank-mix", PHONE], ["carrier-volume", PHONE], ["tank-mix", DESK]]) {
    test(`${calculator}, ${view.width} wide`, async () => {
      const selector = `[data-part="worked"][data-name="${calculator}"]`;
      const bar = (page) => page.locator(".tk-bar");
      const url = diskUrl(`work/${calculator}.html`);
      await open(url, async (page) => {
        await ready(page, selector);
        assert.equal(await bar(page).isVisible(), false, "nobody is typing");
        const field = firstNumber(page, selector);
        await field.focus();
        // Scroll until the field is the last thing on the screen, with the result below it.
        await field.evaluate(($field) => scrollBy(0, $field.getBoundingClientRect().bottom - innerHeight + 4));
        const before = await answerText(page, selector);
        await type(page, field, String((await numberIn(field)) * 1.5));
        await answerChanges(page, selector, before);
        const result = page.locator(`${selector} :is(.tk-result--large, .tk-compare)`).first();
        if (await result.evaluate(partlyInView)) return;
        await bar(page).waitFor();
        const said = (await bar(page).innerText()).replace(/\s+/g, " ");
        const name = (await page.locator(`${selector} :is(.tk-result--large dt, .tk-compare tbody th)`).first().innerText()).trim();
        assert.ok(said.includes(name), `${said} names ${name}, whole`);
        assert.match(said, /\d/);
        assert.equal(await bar(page).getAttribute("aria-hidden"), "true", "the spoken result is not read out twice");
        const covered = () => page.evaluate(() => document.activeElement.getBoundingClientRect().bottom > document.querySelector(".tk-bar").getBoundingClientRect().top);
        await page.waitForFunction(() => document.querySelector(".tk-bar").hidden || document.activeElement.getBoundingClientRect().bottom <= document.querySelector(".tk-bar").getBoundingClientRect().top);
        assert.deepEqual(await violations(page), []);
        if (await bar(page).isVisible()) {
          assert.equal(await covered(), false, "what is being typed is never covered by it");
          await bar(page).click({ delay: 150 });
          assert.equal(await result.evaluate(partlyInView), true, "it leads to the result");
        }
        await field.focus();
        await page.emulateMedia({ media: "print" });
        assert.equal(await bar(page).isVisible(), false, "none on paper");
      }, { viewport: { ...view, height: 300 }, reducedMotion: "reduce" });
      await open(url, async (page) => assert.equal(await bar(page).count(), 0), { viewport: PHONE, javaScriptEnabled: false });
    });
  }
});

function partlyInView($one) {
  const box = $one.getBoundingClientRect();
  return box.top < innerHeight - 24 && box.bottom > 24;
}

test("a dose over the label's maximum looks like a danger: in words and shape, with the result and in the bar", async () => {
  const selector = '[data-part="worked"][data-name="tank-mix"]';
  // By hand: the example's label maximum is 1.8 fl oz/1000 ft²; 9 is five times that.
  await open(diskUrl("work/tank-mix.html"), async (page) => {
    await ready(page, selector);
    const rate = page.locator(`${selector} [name="product.1.rate"]`);
    const most = page.locator(`${selector} [name="product.1.label-max"]`);
    await type(page, most, "1");
    await type(page, rate, "9");
    const stop = page.locator(`${selector} .tk-stop`);
    await stop.waitFor();
    assert.match(await stop.innerText(), /Danger[^]*above the label maximum[^]*Do not mix this/);
    assert.ok((await stop.locator(".tk-result--main").count()) > 0, "the numbers are inside it");
    assert.equal(await page.locator(`${selector} .tk-answer > .tk-results`).count(), 0, "and there is no ordinary tag");
    assert.ok((await page.locator(`${selector} [data-role="spoken"]`).filter({ hasText: /Do not mix this/ }).waitFor(), true));
    await page.setViewportSize({ width: 360, height: 300 });
    await rate.focus();
    await rate.evaluate(($field) => scrollBy(0, $field.getBoundingClientRect().bottom - innerHeight + 4));
    const bar = page.locator(".tk-bar--danger");
    await bar.waitFor();
    assert.match(await bar.innerText(), /Danger[^]*Do not mix this/);
    assert.deepEqual(await violations(page), []);
  }, { viewport: PHONE, reducedMotion: "reduce" });
});

test("what became of a link is shown at its button, one message at a time", async () => {
  const selector = '[data-part="worked"][data-name="catch-test"]';
  await open(diskUrl("work/catch-test.html"), async (page) => {
    await ready(page, selector);
    const button = page.locator(`${selector} [data-do="link"]`);
    await button.click();
    const said = page.locator(`${selector} .tk-tools__said:not([hidden])`);
    await said.first().waitFor();
    assert.equal(await said.count(), 1);
    const [at, there] = [await button.boundingBox(), await said.boundingBox()];
    assert.ok(there.y - at.y < 120, "beside it");
  }, { viewport: PHONE });
});

test("a hint is shown for the field in use, and for one that is outside its usual range", async () => {
  const selector = '[data-part="worked"][data-name="catch-test"]';
  await open(diskUrl("work/catch-test.html"), async (page) => {
    await ready(page, selector);
    const hints = () => page.locator(`${selector} .tk-field__hint:not([hidden])`).allInnerTexts();
    assert.deepEqual(await hints(), []);
    await page.locator(`${selector} [name="catch.1.time"]`).focus();
    assert.deepEqual(await hints(), ["Usually 20 to 120 s."]);
    await page.locator(`${selector} [name="catch.1.volume"]`).focus();
    assert.deepEqual(await hints(), ["Usually 16 fl oz to 5 gal."]);
    await type(page, page.locator(`${selector} [name="catch.1.volume"]`), "5");
    await page.locator(`${selector} .tk-field--unusual [name="catch.1.volume"]`).waitFor();
    await page.locator(`${selector} [name="catch.1.time"]`).focus();
    assert.deepEqual((await hints()).sort(), ["Usually 16 fl oz to 5 gal.", "Usually 20 to 120 s."]);
  });
});

test("a unit typed into a row wins over the one in the column's head", async () => {
  const selector = '[data-part="worked"][data-name="catch-test"]';
  // By hand: 3 gal in 90 s is 2 gal/min.
  await open(`${diskUrl("work/catch-test.html")}#worked-catch-test?catch.1.volume=186+fl+oz&catch.1.time=90+s&units=us`, async (page) => {
    await ready(page, selector);
    await type(page, page.locator(`${selector} [name="catch.1.volume"]`), "3 gal");
    await whole(page);
    assert.deepEqual(await mainNumbers(page, selector), ["2 gal/min"]);
    await type(page, page.locator(`${selector} [name="catch.1.volume"]`), "3");
    await page.locator(`${selector} [name="catch.volume@"]`).selectOption("gal");
    await whole(page);
    assert.deepEqual(await mainNumbers(page, selector), ["2 gal/min"]);
  });
});

test("rows are added and removed where a calculator takes several", async () => {
  const repeated = [];
  for (const example of ONE_OF_EACH) {
    await open(example.url, async (page) => {
      await ready(page, example.selector);
      const add = page.locator(`${example.selector} [data-do="add"]:visible`).first();
      if ((await add.count()) === 0) return;
      repeated.push(example.calculator);
      const rows = page.locator(`${example.selector} .tk-rows__row`);
      const before = await rows.count();
      await add.click();
      await rows.nth(before).waitFor();
      await page.locator(`${example.selector} [data-do="drop"]`).last().click();
      await page.waitForFunction(
        ([part, count]) => document.querySelectorAll(`${part} .tk-rows__row`).length === count,
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

// A link is read in one way for all calculators: each tries one kind of markup in three places, and all kinds and places
// come round. Every kind in every place for every calculator would load its page a thousand times.
const PLACES = [
  (numbers, markup) => numbers.replace("987654", encodeURIComponent(markup)),
  (numbers, markup) => numbers.replace("987654", markup),
  (numbers, markup) => numbers.replaceAll(/(?<==)[^&]*/g, encodeURIComponent(markup)),
  (numbers, markup) => `${numbers}&${encodeURIComponent(markup)}=1`,
  (_numbers, markup) => markup,
  () => "%",
  () => "=&=&",
  (numbers) => numbers.replace("987654", "%ff"),
];
const PLACES_EACH = 3;
test("every kind of markup, and every place for it, comes round", () => {
  assert.ok(ONE_OF_EACH.length >= MARKUP.length);
  assert.ok(ONE_OF_EACH.length * PLACES_EACH >= 2 * PLACES.length);
});
describe("markup in a link's numbers never runs", () => {
  for (const [index, example] of ONE_OF_EACH.entries()) {
    test(example.calculator, async () => {
      const { url } = await madeLink(example, () => "987654");
      assert.match(url, /987654/, "the link carries the number as typed");
      const [address, numbers] = url.split("#");
      const markup = MARKUP[index % MARKUP.length];
      await open("about:blank", async (page) => {
        for (let turn = 0; turn < PLACES_EACH; turn += 1) {
          const hash = PLACES[(index * PLACES_EACH + turn) % PLACES.length](numbers, markup);
          // From elsewhere, so that the page is loaded again and does not only jump to another place.
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
  await whole(page);
  await page.waitForTimeout(50);
  assert.equal(await page.evaluate(() => window.ran), undefined, "no script ran");
  assert.equal(await page.locator('img[src="x"], [onload], [onfocus], [onerror]').count(), 0, "no element came of it");
}

test("a link that is copied only after a number was changed is not said to be there", async () => {
  const [example] = ONE_OF_EACH;
  await open(example.url, async (page) => {
    await ready(page, example.selector);
    const before = await answerText(page, example.selector);
    await page.evaluate(() => { navigator.clipboard.writeText = () => new Promise((done) => { window.copied = done; }); });
    const said = page.locator(`${example.selector} :is([data-role="link-copied"], [data-role="link-note"])`).filter({ visible: true });
    const field = firstNumber(page, example.selector);
    await page.locator(`${example.selector} [data-do="link"]`).click();
    await type(page, field, String((await numberIn(field)) * 2));
    await answerChanges(page, example.selector, before);
    await page.evaluate(() => window.copied());
    assert.equal(await said.count(), 0);
    await page.locator(`${example.selector} [data-do="link"]`).click();
    await page.evaluate(() => window.copied());
    await said.waitFor();
  });
});

/** Changes the first number, asks the page for its link, and returns what the page then showed. */
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
    await whole(page);
    made = {
      url: page.url(),
      answer: await answerText(page, example.selector),
      values: await formValues(page, example.selector),
    };
  });
  return made;
}
