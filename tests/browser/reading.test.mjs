// Reading practice in a real browser: each instrument is drawn, read, and what was read is worked with.

import assert from "node:assert/strict";
import { describe, test } from "node:test";
import { violations } from "./axe.mjs";
import { DESK, PHONE, open } from "./browser.mjs";
import { diskUrl } from "./site.mjs";

const PART = '[data-part="reading"][data-started]';
const STAGE = '[data-role="stage"]';
const THINGS = ["jug", "gauge", "watch", "tape", "pressure", "label"];

function visit(look, options = {}) {
  return open(diskUrl("reading.html"), async (page) => {
    await page.locator(PART).waitFor();
    await page.evaluate(() => needParts(["practice", "reading"]));
    await look(page, page.locator(PART));
  }, { viewport: PHONE, reducedMotion: "reduce", ...options });
}

/** The thing on the stage, with what the core says it shows. */
function shown(part) {
  return part.evaluate(($part) => {
    const $question = $part.querySelector('[data-role="stage"] [data-part="question"]');
    const thing = $question.dataset.question.replace("reading-", "");
    const ask = (answer) => JSON.parse(wasm_bindgen.reading(JSON.stringify({ do: "read", thing, units: $part.dataset.units, seed: Number($question.dataset.draw), answer })));
    const $told = new DOMParser().parseFromString(ask("x").told, "text/html");
    const right = $told.body.textContent.replace(/\s+/g, " ").match(/(?:shows|says) ([\d.]+) ([^:.]+)/);
    return { thing, draw: Number($question.dataset.draw), value: Number(right[1]), unit: right[2].trim(), next: ask("x").question["answer-in"] };
  });
}

const check = (part) => part.locator('[data-do="act"]').click();
const write = (part, text) => part.locator(`${STAGE} .tk-question__entry`).fill(text);

describe("each instrument is read to its nearest mark, the missed mark is named, and the reading is worked on with", () => {
  for (const thing of THINGS) {
    test(thing, async () => {
      await visit(async (page, part) => {
        await part.locator(`[data-thing="${thing}"]`).click();
        const { value, unit, draw, next: nextUnit } = await shown(part);
        assert.deepEqual(await violations(page), []);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= PHONE.width, `${wide} px wide`);
        // A number alone is asked about and is no miss.
        await write(part, String(value));
        await check(part);
        assert.match(await part.locator('[data-role="ask"]').innerText(), /unit/);
        await write(part, `${value * 3 + 7} ${unit}`);
        await check(part);
        const said = (await part.locator(".tk-round__said").innerText()).replace(/\s+/g, " ");
        assert.match(said, /Look again/);
        assert.ok(!new RegExp(`(?<![\\d.])${String(value).replace(".", "\\.")} ${unit}`).test(said), `the reading is not given away: ${said}`);
        await write(part, `${value} ${unit}`);
        await check(part);
        assert.match(await part.locator(".tk-round__said").innerText(), /0 of 1 read right on the first try/);
        assert.match(await part.locator(".tk-round__said").innerText(), thing === "label" ? /That is the rate beside “/ : /as nearly as it can be read/);
        await check(part);
        const next = part.locator(`${STAGE} [data-part="question"]`);
        await part.locator(`${STAGE} .tk-question__text`).waitFor();
        assert.ok((await next.innerText()).replace(/\s+/g, " ").includes(String(value)), "the next question uses what was read");
        assert.deepEqual(await violations(page), []);
        // Wrong twice: the working is shown, and the answer in it is that of the reading.
        for (let turn = 0; turn < 2; turn += 1) {
          await write(part, `987654 ${nextUnit}`);
          await check(part);
        }
        assert.ok((await part.locator(".tk-question__feedback:not([data-role])").innerText()).trim().length > 0, "the working");
        await part.locator('[data-do="leave"]').click();
        assert.ok(await part.locator('[data-role="list"]').isVisible());
        // What was read goes into the training record, with the seed that draws it again, and into no schedule.
        const [kept, rows] = await page.evaluate(() => [LEARN.record("t", "d").sittings, answerRows()]);
        assert.deepEqual(kept.map((one) => [one.kind, one.name, one.ended !== ""]), [["practice", "reading", true]]);
        assert.deepEqual(kept[0].answers.map((one) => [one.question, one.digest, one.draw, one.answer, one.try]), [
          [`reading/${thing}`, "reading-us", draw, `${value * 3 + 7} ${unit}`, 1],
          [`reading/${thing}`, "reading-us", draw, `${value} ${unit}`, 2],
        ]);
        assert.deepEqual(rows, []);
        await page.goto(diskUrl("progress.html"));
        await page.locator('[data-part="progress"][data-started]').waitFor();
        assert.match((await page.locator('[data-role="rows"]').innerText()).replace(/\s+/g, " "), /Read the gauge .*0 of 1 right/);
      });
    });
  }
});

describe("a reading that is wrong twice is shown, and worked on with all the same", () => {
  for (const thing of THINGS) {
    test(thing, async () => {
      await visit(async (page, part) => {
        await part.locator(`[data-thing="${thing}"]`).click();
        const { value, unit } = await shown(part);
        for (let turn = 0; turn < 2; turn += 1) {
          await write(part, `${value * 3 + 7} ${unit}`);
          await check(part);
        }
        const said = part.locator(".tk-round__said");
        assert.match(await said.innerText(), /^Wrong\s/);
        assert.match(await said.innerText(), /0 of 1 read right on the first try/);
        assert.ok((await said.innerText()).replaceAll(",", "").includes(String(value)), "the reading itself");
        await check(part);
        await part.locator(`${STAGE} .tk-question__text`).waitFor();
      });
    });
  }
});

test("a reading at a wrong mark is told how many marks off it is, and where to count from", async () => {
  await visit(async (page, part) => {
    const told = await part.evaluate(($part) => {
      const all = [];
      for (let seed = 0; seed < 60; seed += 1) {
        const ask = (answer) => JSON.parse(wasm_bindgen.reading(JSON.stringify({ do: "read", thing: "jug", units: "us", seed, answer })));
        const right = Number(ask("x").told.match(/shows\s([\d.]+)/)[1]);
        all.push([ask(`${right} fl oz`).right, ask(`${right + 2} fl oz`).html, ask(`${right - 4} fl oz`).html, $part.dataset.units]);
      }
      return all;
    });
    for (const [right, high, low, units] of told) {
      assert.equal(right, true);
      assert.match(high, /1\smark too high|small mark/);
      assert.match(low, /2\smarks too low|small mark/);
      assert.equal(units, "us");
    }
  });
});

test("the text beside a drawing says where things are and never the reading itself", async () => {
  await visit(async (page, part) => {
    const found = await part.evaluate(() => {
      const all = [];
      for (const thing of ["jug", "gauge", "watch", "tape", "pressure"]) for (let seed = 0; seed < 30; seed += 1) {
        const request = { thing, units: "us", seed };
        const { html } = JSON.parse(wasm_bindgen.reading(JSON.stringify({ do: "show", ...request })));
        const { told } = JSON.parse(wasm_bindgen.reading(JSON.stringify({ do: "read", answer: "x", ...request })));
        const $shown = new DOMParser().parseFromString(html, "text/html");
        const words = $shown.querySelector("desc").textContent;
        const right = told.replace(/\s+/g, " ").match(/shows ([\d.]+ [^:]+)/)[1];
        all.push({ words, right, step: /step \d+ (above|after)/.test(words), named: $shown.querySelector("svg").getAttribute("aria-labelledby") });
      }
      return all;
    });
    for (const { words, right, step, named } of found) {
      assert.ok(step && named, words);
      assert.ok(!words.includes(` ${right}`), `${right}: ${words}`);
    }
  });
});

test("the keyboard alone reads and works on", async () => {
  await visit(async (page, part) => {
    await part.locator('[data-thing="jug"]').focus();
    await page.keyboard.press("Enter");
    const { value, unit } = await shown(part);
    await page.keyboard.press("Tab");
    await page.keyboard.type(`${value} ${unit}`);
    await page.keyboard.press("Enter");
    await page.locator('[data-do="act"]:focus').waitFor();
    await page.keyboard.press("Enter");
    await part.locator(`${STAGE} .tk-question__text`).waitFor();
    const right = await part.evaluate(($part) => {
      const question = JSON.parse(wasm_bindgen.reading(JSON.stringify({ do: "read", thing: "jug", units: "us", seed: 1, answer: "x" }))).question;
      return { asks: question.asks, unit: question["answer-in"], here: $part.querySelector('[data-role="stage"] [data-part="question"]').dataset.question };
    });
    assert.deepEqual(right, { asks: "catch-test/nozzle-output", unit: "gal/min", here: "reading-jug" });
  }, { viewport: DESK });
});
