// Numbers typed into a worked example are still there when its page is loaded again, until somebody starts over; a link's
// numbers go first, and a browser that keeps nothing takes nothing away.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";
import { EXAMPLES, mainNumbers, ready, type } from "./worked.mjs";

const OWN = { url: diskUrl("work/catch-test.html"), selector: '[data-part="worked"][data-name="catch-test"]' };
const IN_LESSON = EXAMPLES.find(({ calculator, page }) => calculator === "catch-test" && page.startsWith("lessons/"));
const started = (page, selector) => page.locator(`${selector}[data-started]`).waitFor();
const volume = (page, selector) => page.locator(`${selector} [name="catch.1.volume"]`);

describe("after a reload", () => {
  for (const [where, { url, selector }] of [["a calculator's page", OWN], ["a lesson", IN_LESSON]]) {
    test(`${where} has the numbers that were typed, its rows, its units and its answer`, async () => {
      await open(url, async (page) => {
        await ready(page, selector);
        const rows = () => page.locator(`${selector} [data-group="catch"] tbody.tk-rows__row`).count();
        const before = await rows();
        await type(page, volume(page, selector), "123");
        await page.locator(`${selector} [data-do="add"][data-group="catch"]`).click();
        // The form with another row is fetched when it is first needed.
        await page.locator(`${selector} [data-group="catch"] tbody.tk-rows__row`).nth(before).waitFor({ state: "attached" });
        const answer = await page.locator(`${selector} [data-part="answer"] [data-result]`).first().innerText();
        await page.reload();
        await started(page, selector);
        assert.equal(await volume(page, selector).inputValue(), "123");
        assert.equal(await rows(), before + 1);
        assert.equal(await page.locator(`${selector} [data-part="answer"] [data-result]`).first().innerText(), answer);
      }, { viewport: PHONE });
    });
  }

  test("the other units stay, and starting over brings the page's own numbers and keeps nothing", async () => {
    await open(OWN.url, async (page) => {
      await ready(page, OWN.selector);
      const printed = await mainNumbers(page, OWN.selector);
      await page.locator(`${OWN.selector} [data-do="units"]:visible`).click();
      // The form in other units is fetched when it is first needed.
      await page.locator(`${OWN.selector}[data-units="metric"]`).waitFor();
      await page.reload();
      await started(page, OWN.selector);
      assert.equal(await page.locator(OWN.selector).getAttribute("data-units"), "metric");
      await page.locator(`${OWN.selector} [data-do="reset"]`).click();
      assert.deepEqual(await mainNumbers(page, OWN.selector), printed);
      await page.reload();
      assert.equal(await page.evaluate(() => Object.keys(sessionStorage).filter((name) => name.includes(".typed.")).length), 0);
      assert.equal(await page.locator(OWN.selector).getAttribute("data-started"), null, "nothing waits for the core");
      assert.deepEqual(await mainNumbers(page, OWN.selector), printed);
    });
  });

  test("what is typed after a link's numbers is kept, and the link is no longer in the address", async () => {
    await open(`${OWN.url}#worked-catch-test?catch.1.volume=3+gal&catch.1.time=90+s&units=us`, async (page) => {
      await ready(page, OWN.selector);
      // By hand: 3 gal in 90 s is 2 gal/min, and 6 gal in 90 s is 4.
      assert.deepEqual(await mainNumbers(page, OWN.selector), ["2 gal/min"]);
      await type(page, volume(page, OWN.selector), "6 gal");
      assert.equal(await page.evaluate(() => location.hash), "#worked-catch-test");
      await page.reload();
      await started(page, OWN.selector);
      assert.deepEqual(await mainNumbers(page, OWN.selector), ["4 gal/min"]);
    });
  });
});

test("a link's numbers go before those that were typed", async () => {
  await open(OWN.url, async (page) => {
    await ready(page, OWN.selector);
    await type(page, volume(page, OWN.selector), "123");
    await page.goto("about:blank");
    await page.goto(`${OWN.url}#worked-catch-test?catch.1.volume=3+gal&catch.1.time=90+s&units=us`);
    await started(page, OWN.selector);
    assert.deepEqual(await mainNumbers(page, OWN.selector), ["2 gal/min"]);
  });
});

test("numbers kept for another version of the page, or no numbers at all, are not put back", async () => {
  await open(OWN.url, async (page) => {
    await ready(page, OWN.selector);
    const printed = await mainNumbers(page, OWN.selector);
    const name = await page.evaluate(() => `tankside.${document.documentElement.dataset.course}.typed.${location.pathname}#worked-catch-test`);
    for (const text of ["{", "[]", '{"from":1}', '{"from":"other","units":"us","pairs":[["catch.1.volume","9 gal"]]}', '{"from":"other","units":"us","pairs":[1]}']) {
      // From a page that has no worked example of its own to write over it.
      await page.goto(diskUrl("glossary.html"));
      await page.evaluate(([name, text]) => sessionStorage.setItem(name, text), [name, text]);
      await page.goto(OWN.url);
      await ready(page, OWN.selector);
      assert.deepEqual(await mainNumbers(page, OWN.selector), printed, text);
    }
  });
});

test("where the browser keeps nothing, a calculator works as ever", async () => {
  await open("about:blank", async (page) => {
    await page.addInitScript(() => {
      Object.defineProperty(window, "sessionStorage", { get() { throw new DOMException("refused", "SecurityError"); } });
    });
    await page.goto(OWN.url);
    await ready(page, OWN.selector);
    const printed = await mainNumbers(page, OWN.selector);
    await type(page, volume(page, OWN.selector), "256");
    await page.waitForFunction(([part, text]) => document.querySelector(`${part} .tk-result--main .tk-result__value`)?.innerText.replace(/\s+/g, " ").trim() !== text, [OWN.selector, printed[0]]);
    await page.reload();
    await ready(page, OWN.selector);
    assert.deepEqual(await mainNumbers(page, OWN.selector), printed);
  });
});
